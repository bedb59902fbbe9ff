//! Links that let a crew see their boat and charter, without an account.

use jiff::Timestamp;

use crate::account::TokenHash;
use crate::database::Row;
use crate::error::StoreError;
use crate::store::Store;
use crate::text;
use crate::value::values;

/// A crew's link.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Link {
    /// Of the secret in the link.
    pub token: TokenHash,
    /// The boat that it shows.
    pub boat: String,
    /// The charter that it shows.
    pub charter: String,
    /// Until when it can be used.
    pub ends: Timestamp,
    /// When it was taken back, if it was.
    pub revoked: Option<Timestamp>,
}

impl Link {
    /// Whether it can be used at this time.
    pub fn holds(&self, now: Timestamp) -> bool {
        self.revoked.is_none() && now < self.ends
    }
}

impl Store {
    /// Adds a link.
    ///
    /// # Errors
    /// [`StoreError::Taken`] if there is one of this secret.
    pub async fn add_link(&self, link: &Link) -> Result<(), StoreError> {
        text::plain("A link", &link.boat)?;
        text::plain("A link", &link.charter)?;
        let mut change = self.database.change().await?;
        let sql = "insert into links (token, boat, charter, ends, revoked) values ($1, $2, $3, $4, $5)";
        let revoked = link.revoked.map(text::from_time);
        let Link { token, boat, charter, ends, .. } = link;
        change.run(sql, values![token.as_str(), boat, charter, *ends, revoked.as_deref()]).await?;
        change.commit().await
    }

    /// The link of this secret, ended or taken back or not; see [`Link::holds`].
    pub async fn link(&self, token: &TokenHash) -> Result<Option<Link>, StoreError> {
        let sql = "select token, boat, charter, ends, revoked from links where token = $1";
        self.database.row(sql, values![token.as_str()]).await?.as_ref().map(read).transpose()
    }

    /// All links of a charter.
    pub async fn links(&self, charter: &str) -> Result<Vec<Link>, StoreError> {
        let sql =
            "select token, boat, charter, ends, revoked from links where charter = $1 order by ends, token";
        self.database.rows(sql, values![charter]).await?.iter().map(read).collect()
    }

    /// Takes a link back; `now` is written down, unless it was taken back before.
    ///
    /// # Errors
    /// [`StoreError::Missing`] if there is no such link.
    pub async fn revoke_link(&self, token: &TokenHash, now: Timestamp) -> Result<(), StoreError> {
        let mut change = self.database.change().await?;
        let sql = "update links set revoked = coalesce(revoked, $1) where token = $2";
        if change.run(sql, values![now, token.as_str()]).await? == 0 {
            return Err(StoreError::Missing { what: "such link".into() });
        }
        change.commit().await
    }
}

fn read(row: &Row) -> Result<Link, StoreError> {
    Ok(Link {
        token: TokenHash::stored(row.text(0)?),
        boat: row.text(1)?,
        charter: row.text(2)?,
        ends: row.time(3)?,
        revoked: row.maybe_time(4)?,
    })
}
