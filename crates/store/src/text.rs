//! How values are written: times so that they sort as they follow each other, JSON that is JSON.

use jiff::Timestamp;
use sha2::{Digest, Sha256};

use crate::error::StoreError;

/// A time in UTC with nine places of a second, so that text sorts as time does and nothing is lost.
pub(crate) fn from_time(time: Timestamp) -> String {
    format!("{time:.9}")
}

/// Refuses what PostgreSQL can't keep in a text: the character of number zero.
pub(crate) fn plain(what: &str, text: &str) -> Result<(), StoreError> {
    if text.contains('\0') {
        return Err(StoreError::Unstorable {
            what: what.to_owned(),
            detail: "it holds a character of number zero".into(),
        });
    }
    Ok(())
}

/// Refuses what is not JSON.
pub(crate) fn json(what: &str, text: &str) -> Result<(), StoreError> {
    serde_json::from_str::<serde::de::IgnoredAny>(text).map(|_| ()).map_err(|error| StoreError::Unstorable {
        what: what.to_owned(),
        detail: format!("it is not JSON: {error}"),
    })
}

/// SHA-256, in small hexadecimal letters.
pub(crate) fn sha256(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

/// Small hexadecimal letters.
pub(crate) fn hex(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 16] = b"0123456789abcdef";
    let digit = |value: u8| char::from(DIGITS[usize::from(value)]);
    bytes.iter().flat_map(|byte| [digit(byte >> 4), digit(byte & 15)]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_sort_as_text() {
        let times = ["2027-07-10T08:00:00Z", "2027-07-10T08:00:00.5Z", "2027-07-10T08:00:01Z"];
        let texts: Vec<String> =
            times.iter().map(|time| from_time(time.parse().expect("a time of the calendar"))).collect();
        assert!(texts.is_sorted(), "{texts:?}");
        assert_eq!(texts[1], "2027-07-10T08:00:00.500000000Z");
    }

    #[test]
    fn digests_are_as_published() {
        // FIPS 180-2, appendix B.1: the digest of “abc”.
        assert_eq!(sha256(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }
}
