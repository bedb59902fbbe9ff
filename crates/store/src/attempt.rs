//! Counting what is tried too often, such as logging in; kept so that restarting the server does not help a guesser.

use jiff::{SignedDuration, Timestamp};

use crate::error::StoreError;
use crate::store::Store;
use crate::text;
use crate::value::values;

/// How often something was tried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Attempts {
    /// How often since then, this time included.
    pub count: u32,
    /// Since when.
    pub since: Timestamp,
}

impl Store {
    /// Counts an attempt under this key (an account's name, an address), and says how many there were within the
    /// window that began with the first of them. When the window is over, counting begins anew.
    ///
    /// If the clock was set back to before the window, the window begins anew and the count stays, so that setting
    /// the clock neither helps a guesser nor locks anyone out for the hours it was set back by.
    pub async fn count_attempt(
        &self,
        key: &str,
        now: Timestamp,
        window: SignedDuration,
    ) -> Result<Attempts, StoreError> {
        text::plain("The name of what was tried", key)?;
        let mut change = self.database.change().await?;
        // The first to write a row makes others of the same key wait.
        let begin = "insert into attempts (key, since, count) values ($1, $2, 0) on conflict do nothing";
        change.run(begin, values![key, now]).await?;
        let hold = "update attempts set count = count + 1 where key = $1 returning since, count";
        let Some(row) = change.row(hold, values![key]).await? else {
            let detail = "a count that was just begun is not there".to_owned();
            return Err(StoreError::Corrupt { place: self.place().to_owned(), detail });
        };
        let mut attempts = Attempts { since: row.time(0)?, count: row.count(1)? };
        let age = now.duration_since(attempts.since);
        if age >= window {
            attempts = Attempts { since: now, count: 1 };
        } else if age.is_negative() {
            attempts.since = now;
        }
        let sql = "update attempts set since = $1, count = $2 where key = $3";
        change.run(sql, values![attempts.since, attempts.count, key]).await?;
        change.commit().await?;
        Ok(attempts)
    }

    /// Forgets the attempts of a key: it went well.
    pub async fn forget_attempts(&self, key: &str) -> Result<(), StoreError> {
        let mut change = self.database.change().await?;
        change.run("delete from attempts where key = $1", values![key]).await?;
        change.commit().await
    }

    /// Forgets all attempts that began before this time.
    pub async fn forget_attempts_before(&self, time: Timestamp) -> Result<u64, StoreError> {
        let mut change = self.database.change().await?;
        let count = change.run("delete from attempts where since < $1", values![time]).await?;
        change.commit().await?;
        Ok(count)
    }
}
