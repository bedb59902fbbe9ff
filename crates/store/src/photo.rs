//! Photos, each under the SHA-256 of its bytes: the same photo sent twice is kept once.

use std::fmt;
use std::str::FromStr;

use jiff::Timestamp;

use crate::error::StoreError;
use crate::store::Store;
use crate::text;
use crate::value::values;

/// The SHA-256 of a photo's bytes.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PhotoHash(String);

impl PhotoHash {
    /// Of these bytes.
    pub fn of(bytes: &[u8]) -> Self {
        Self(text::sha256(bytes))
    }

    /// As 64 small hexadecimal letters.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl FromStr for PhotoHash {
    type Err = StoreError;

    /// Reads 64 hexadecimal letters.
    fn from_str(hash: &str) -> Result<Self, StoreError> {
        if hash.len() == 64 && hash.bytes().all(|byte| byte.is_ascii_hexdigit()) {
            return Ok(Self(hash.to_ascii_lowercase()));
        }
        Err(StoreError::Unstorable {
            what: format!("The photo “{hash}”"),
            detail: "this is not a SHA-256 of 64 hexadecimal letters".into(),
        })
    }
}

impl fmt::Display for PhotoHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// A photo.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// Of what kind, such as “image/jpeg”.
    pub media: String,
    /// The file.
    pub bytes: Vec<u8>,
    /// When it was received.
    pub taken: Timestamp,
}

impl Store {
    /// Keeps a photo, and gives back what it is found by. If it is here already, nothing changes.
    pub async fn keep_photo(&self, photo: &Photo) -> Result<PhotoHash, StoreError> {
        text::plain("A photo", &photo.media)?;
        let hash = PhotoHash::of(&photo.bytes);
        let mut change = self.database.change().await?;
        let sql =
            "insert into photos (hash, media, bytes, taken) values ($1, $2, $3, $4) on conflict do nothing";
        let Photo { media, bytes, taken } = photo;
        change.run(sql, values![hash.as_str(), media, bytes.as_slice(), *taken]).await?;
        change.commit().await?;
        Ok(hash)
    }

    /// The photo of this hash.
    ///
    /// # Errors
    /// [`StoreError::Corrupt`] if its bytes are not those that were kept.
    pub async fn photo(&self, hash: &PhotoHash) -> Result<Option<Photo>, StoreError> {
        let sql = "select media, bytes, taken from photos where hash = $1";
        let Some(row) = self.database.row(sql, values![hash.as_str()]).await? else { return Ok(None) };
        let photo = Photo { media: row.text(0)?, bytes: row.bytes(1)?, taken: row.time(2)? };
        if PhotoHash::of(&photo.bytes) != *hash {
            let detail = format!("the photo {hash} is not what it was");
            return Err(StoreError::Corrupt { place: self.place().to_owned(), detail });
        }
        Ok(Some(photo))
    }

    /// Whether this photo is here, so that it need not be sent.
    pub async fn has_photo(&self, hash: &PhotoHash) -> Result<bool, StoreError> {
        let row = self.database.row("select 1 from photos where hash = $1", values![hash.as_str()]).await?;
        Ok(row.is_some())
    }

    /// Reads every photo, one at a time.
    pub(crate) async fn check_photos(&self) -> Result<(), StoreError> {
        let rows = self.database.rows("select hash from photos order by hash", vec![]).await?;
        for row in rows {
            let text = row.text(0)?;
            let hash: PhotoHash = text.parse().map_err(|_| row.wrong(0, &text))?;
            self.photo(&hash).await?;
        }
        Ok(())
    }
}
