//! What the two databases say when something goes wrong, put into our own kinds of error.
//!
//! Codes: SQLite, “Result and Error Codes”; PostgreSQL 15 documentation, appendix A.

use sqlx::error::ErrorKind;

use crate::error::StoreError;

/// Which of our errors this is.
pub(crate) fn told(error: sqlx::Error, place: &str) -> StoreError {
    let place = place.to_owned();
    let detail = error.to_string();
    match error {
        sqlx::Error::Database(inner) => {
            let code = inner.code().unwrap_or_default().into_owned();
            if inner.kind() == ErrorKind::UniqueViolation {
                return StoreError::Taken { what: format!("such an entry ({})", inner.message()) };
            }
            if inner.kind() == ErrorKind::ForeignKeyViolation {
                return StoreError::Missing {
                    what: format!("such an entry to refer to ({})", inner.message()),
                };
            }
            match code.parse::<u32>() {
                // PostgreSQL's codes have five places, and some are digits only.
                Ok(number) if code.len() < 5 => sqlite(number, place, detail),
                _ => postgres(&code, place, detail),
            }
        }
        sqlx::Error::PoolTimedOut => StoreError::Busy { place, detail: "no connection became free".into() },
        sqlx::Error::Configuration(_) => StoreError::BadAddress { detail },
        sqlx::Error::Io(_)
        | sqlx::Error::Tls(_)
        | sqlx::Error::PoolClosed
        | sqlx::Error::WorkerCrashed
        | sqlx::Error::BeginFailed
        | sqlx::Error::Protocol(_) => StoreError::Unreachable { place, detail },
        sqlx::Error::ColumnDecode { .. } | sqlx::Error::Decode(_) | sqlx::Error::ColumnNotFound(_) => {
            StoreError::Corrupt { place, detail }
        }
        _ => StoreError::Other { place, detail },
    }
}

/// By SQLite's extended result code; its lowest byte is the primary one.
fn sqlite(code: u32, place: String, detail: String) -> StoreError {
    // No room for the index of the write-ahead log is told as an input/output error.
    const SHARED_MEMORY_SIZE: u32 = 4874;
    match code & 0xff {
        5 | 6 => StoreError::Busy { place, detail },
        13 => StoreError::Full { place, detail },
        10 if code == SHARED_MEMORY_SIZE => StoreError::Full { place, detail },
        11 => StoreError::Corrupt { place, detail },
        26 => StoreError::Foreign { place, found: "something that is not an SQLite database".into() },
        8 | 10 | 14 => StoreError::Unreachable { place, detail },
        _ => StoreError::Other { place, detail },
    }
}

/// By PostgreSQL's five letters.
fn postgres(code: &str, place: String, detail: String) -> StoreError {
    match code {
        "53100" => StoreError::Full { place, detail },
        // Too many connections, a lock not got in time, a deadlock, transactions that can't be put in order.
        "53300" | "55P03" | "40P01" | "40001" => StoreError::Busy { place, detail },
        "XX001" | "XX002" => StoreError::Corrupt { place, detail },
        // No such database, a server that is starting or stopping, no right to do this, a server that may only be read.
        "3D000" | "57P01" | "57P02" | "57P03" | "42501" | "25006" => {
            StoreError::Unreachable { place, detail }
        }
        _ if code.starts_with("08") || code.starts_with("28") => StoreError::Unreachable { place, detail },
        _ => StoreError::Other { place, detail },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_of_sqlite_find_their_words() {
        let kind = |code| sqlite(code, "here".into(), String::new());
        assert!(matches!(kind(5), StoreError::Busy { .. }));
        assert!(matches!(kind(517), StoreError::Busy { .. }), "a snapshot that is too old");
        assert!(matches!(kind(13), StoreError::Full { .. }));
        assert!(matches!(kind(4874), StoreError::Full { .. }));
        assert!(matches!(kind(11), StoreError::Corrupt { .. }));
        assert!(matches!(kind(1), StoreError::Other { .. }));
    }

    #[test]
    fn codes_of_postgresql_find_their_words() {
        let kind = |code| postgres(code, "here".into(), String::new());
        assert!(matches!(kind("53100"), StoreError::Full { .. }));
        assert!(matches!(kind("40001"), StoreError::Busy { .. }));
        assert!(matches!(kind("08006"), StoreError::Unreachable { .. }));
        assert!(matches!(kind("28P01"), StoreError::Unreachable { .. }));
        assert!(matches!(kind("XX001"), StoreError::Corrupt { .. }));
        assert!(matches!(kind("42601"), StoreError::Other { .. }));
    }
}
