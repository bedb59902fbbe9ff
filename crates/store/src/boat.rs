//! Boat files: every revision is kept, and a save says from which one it was made.

use std::fmt;

use jiff::Timestamp;

use crate::database::{Row, Transactor};
use crate::error::StoreError;
use crate::store::Store;
use crate::text;
use crate::value::values;

/// A boat file to be saved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Save {
    /// Which boat.
    pub boat: String,
    /// The revision that was opened for editing; `None` for a boat that is new.
    pub made_from: Option<u32>,
    /// Who made it.
    pub author: String,
    /// When.
    pub at: Timestamp,
    /// The boat file.
    pub text: String,
    /// Why, in the author's words.
    pub note: String,
}

/// A revision of a boat file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Revision {
    /// Which boat.
    pub boat: String,
    /// 1 for the first, without gaps.
    pub number: u32,
    /// The revision that it was made from.
    pub parent: Option<u32>,
    /// Who made it.
    pub author: String,
    /// When.
    pub at: Timestamp,
    /// The boat file.
    pub text: String,
    /// Why, in the author's words.
    pub note: String,
}

/// A boat file that was saved too late, and waits for somebody to bring both texts together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Draft {
    /// Which boat.
    pub boat: String,
    /// 1 for the boat's first draft. Numbers are not used again while a later draft is there.
    pub number: u32,
    /// The revision that it was made from.
    pub made_from: Option<u32>,
    /// Who made it.
    pub author: String,
    /// When.
    pub at: Timestamp,
    /// The boat file.
    pub text: String,
    /// Why, in the author's words.
    pub note: String,
}

/// Two people changed one boat file: the revision that was first, and what came after it, kept as a draft.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Conflict {
    /// The revision that stands.
    pub newest: Revision,
    /// What came too late.
    pub draft: Draft,
}

impl fmt::Display for Conflict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let from =
            self.draft.made_from.map_or_else(|| "as a new boat".into(), |n| format!("from revision {n}"));
        write!(
            f,
            "The boat file of {} was made {from}, and meanwhile {} saved revision {}. Yours is kept as draft {}: \
             compare the two, and save what should stand from revision {}.",
            self.draft.boat, self.newest.author, self.newest.number, self.draft.number, self.newest.number
        )
    }
}

/// A boat in a list, without the text of her file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Summary {
    /// Which boat.
    pub boat: String,
    /// When she was added.
    pub added: Timestamp,
    /// The number of her newest revision.
    pub newest: u32,
}

impl Store {
    /// Saves a boat file as the newest revision, if it was made from the one that is newest until now. The same save
    /// sent again gives back the revision that it became.
    ///
    /// # Errors
    /// [`StoreError::Conflict`] if somebody else was quicker: the text is then kept as a draft, and the error holds
    /// both. [`StoreError::Missing`] if there is no such boat or revision to be made from.
    pub async fn save_revision(&self, save: &Save) -> Result<Revision, StoreError> {
        let what = format!("The boat file of {}", save.boat);
        for text in [&save.boat, &save.author, &save.text, &save.note] {
            text::plain(&what, text)?;
        }
        let mut change = self.database.change().await?;
        let newest = hold(&mut change, save).await?;
        if save.made_from.unwrap_or(0) > newest {
            let number = save.made_from.unwrap_or(0);
            return Err(StoreError::Missing { what: format!("revision {number} of the boat {}", save.boat) });
        }
        let outcome = if save.made_from.unwrap_or(0) == newest {
            Ok(write_revision(&mut change, save, newest + 1).await?)
        } else {
            late(&mut change, save, newest).await?
        };
        // A draft is lasting too before anybody is told of it.
        change.commit().await?;
        outcome.map_err(|conflict| StoreError::Conflict(Box::new(conflict)))
    }

    /// All boats, by id.
    pub async fn boats(&self) -> Result<Vec<Summary>, StoreError> {
        let rows = self.database.rows("select id, added, newest from boats order by id", vec![]).await?;
        rows.iter()
            .map(|row| Ok(Summary { boat: row.text(0)?, added: row.time(1)?, newest: row.count(2)? }))
            .collect()
    }

    /// The newest revision of a boat file.
    pub async fn newest_revision(&self, boat: &str) -> Result<Option<Revision>, StoreError> {
        let sql = "select boat, number, parent, author, at, text, note from revisions
            where boat = $1 order by number desc limit 1";
        self.database.row(sql, values![boat]).await?.as_ref().map(revision).transpose()
    }

    /// One revision of a boat file.
    pub async fn revision(&self, boat: &str, number: u32) -> Result<Option<Revision>, StoreError> {
        let row = self.database.row(REVISION, values![boat, number]).await?;
        row.as_ref().map(revision).transpose()
    }

    /// All revisions of a boat file, the first one first.
    pub async fn revisions(&self, boat: &str) -> Result<Vec<Revision>, StoreError> {
        let sql = "select boat, number, parent, author, at, text, note from revisions
            where boat = $1 order by number";
        self.database.rows(sql, values![boat]).await?.iter().map(revision).collect()
    }

    /// Keeps a boat file as a draft, whatever the newest revision is. The same one sent again is kept once.
    ///
    /// # Errors
    /// [`StoreError::Missing`] if there is no such boat.
    pub async fn save_draft(&self, save: &Save) -> Result<Draft, StoreError> {
        let what = format!("The boat file of {}", save.boat);
        for text in [&save.boat, &save.author, &save.text, &save.note] {
            text::plain(&what, text)?;
        }
        let mut change = self.database.change().await?;
        let sql = "update boats set newest = newest where id = $1 returning newest";
        if change.row(sql, values![&save.boat]).await?.is_none() {
            return Err(StoreError::Missing { what: format!("boat {}", save.boat) });
        }
        let draft = keep_draft(&mut change, save).await?;
        change.commit().await?;
        Ok(draft)
    }

    /// The drafts of a boat, the first one first.
    pub async fn drafts(&self, boat: &str) -> Result<Vec<Draft>, StoreError> {
        self.database.rows(DRAFTS, values![boat]).await?.iter().map(draft).collect()
    }

    /// Removes a draft that was brought together with the boat file. Whether there was one.
    pub async fn remove_draft(&self, boat: &str, number: u32) -> Result<bool, StoreError> {
        let mut change = self.database.change().await?;
        let sql = "delete from drafts where boat = $1 and number = $2";
        let count = change.run(sql, values![boat, number]).await?;
        change.commit().await?;
        Ok(count > 0)
    }
}

const REVISION: &str = "select boat, number, parent, author, at, text, note from revisions
    where boat = $1 and number = $2";

const DRAFTS: &str = "select boat, number, made_from, author, at, text, note from drafts
    where boat = $1 order by number";

/// Makes others who save this boat wait until we are done, and gives back her newest revision; 0 for none.
async fn hold(change: &mut Transactor, save: &Save) -> Result<u32, StoreError> {
    let sql = "update boats set newest = newest where id = $1 returning newest";
    if let Some(row) = change.row(sql, values![&save.boat]).await? {
        return row.count(0);
    }
    if save.made_from.is_some() {
        return Err(StoreError::Missing { what: format!("boat {}", save.boat) });
    }
    let add = "insert into boats (id, added, newest) values ($1, $2, 0) on conflict do nothing";
    change.run(add, values![&save.boat, save.at]).await?;
    // Somebody else may have added her while we waited for that.
    let row = change.row(sql, values![&save.boat]).await?;
    row.map_or(Ok(0), |row| row.count(0))
}

async fn write_revision(change: &mut Transactor, save: &Save, number: u32) -> Result<Revision, StoreError> {
    let sql = "insert into revisions (boat, number, parent, author, at, text, note)
        values ($1, $2, $3, $4, $5, $6, $7)";
    let Save { boat, made_from, author, at, text, note } = save;
    change.run(sql, values![boat, number, *made_from, author, *at, text, note]).await?;
    change.run("update boats set newest = $1 where id = $2", values![number, boat]).await?;
    let Save { boat, made_from, author, at, text, note } = save.clone();
    Ok(Revision { boat, number, parent: made_from, author, at, text, note })
}

/// What becomes of a save that was not made from the newest revision.
async fn late(
    change: &mut Transactor,
    save: &Save,
    newest: u32,
) -> Result<Result<Revision, Conflict>, StoreError> {
    let here = change.row(REVISION, values![&save.boat, save.made_from.unwrap_or(0) + 1]).await?;
    if let Some(row) = here {
        let made = revision(&row)?;
        if says(save, made.parent, &made.author, made.at, &made.text, &made.note) {
            // Sent twice: its answer was lost on the way.
            return Ok(Ok(made));
        }
    }
    let draft = keep_draft(change, save).await?;
    let row = change.row(REVISION, values![&save.boat, newest]).await?;
    let Some(row) = row else {
        let detail = format!("revision {newest} of the boat {} is missing", save.boat);
        return Err(StoreError::Corrupt { place: change.place.to_string(), detail });
    };
    Ok(Err(Conflict { newest: revision(&row)?, draft }))
}

/// The draft that a save becomes; the one that it has become, if it is sent again.
async fn keep_draft(change: &mut Transactor, save: &Save) -> Result<Draft, StoreError> {
    let drafts = change.rows(DRAFTS, values![&save.boat]).await?;
    let drafts: Vec<Draft> = drafts.iter().map(draft).collect::<Result<_, _>>()?;
    let alike =
        |draft: &&Draft| says(save, draft.made_from, &draft.author, draft.at, &draft.text, &draft.note);
    match drafts.iter().find(alike) {
        Some(draft) => Ok(draft.clone()),
        None => write_draft(change, save, drafts.last().map_or(1, |last| last.number + 1)).await,
    }
}

async fn write_draft(change: &mut Transactor, save: &Save, number: u32) -> Result<Draft, StoreError> {
    let sql = "insert into drafts (boat, number, made_from, author, at, text, note)
        values ($1, $2, $3, $4, $5, $6, $7)";
    let Save { boat, made_from, author, at, text, note } = save.clone();
    change.run(sql, values![&boat, number, made_from, &author, at, &text, &note]).await?;
    Ok(Draft { boat, number, made_from, author, at, text, note })
}

fn says(save: &Save, from: Option<u32>, author: &str, at: Timestamp, text: &str, note: &str) -> bool {
    save.made_from == from && save.author == author && save.at == at && save.text == text && save.note == note
}

fn revision(row: &Row) -> Result<Revision, StoreError> {
    Ok(Revision {
        boat: row.text(0)?,
        number: row.count(1)?,
        parent: row.maybe_count(2)?,
        author: row.text(3)?,
        at: row.time(4)?,
        text: row.text(5)?,
        note: row.text(6)?,
    })
}

fn draft(row: &Row) -> Result<Draft, StoreError> {
    let Revision { boat, number, parent, author, at, text, note } = revision(row)?;
    Ok(Draft { boat, number, made_from: parent, author, at, text, note })
}
