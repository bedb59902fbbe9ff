//! Two people changed one boat file: what each did to the text that both began with, brought together.

use super::compare::{Change, changes};
use super::value::Value;
use super::{Refused, apply};

/// Whose word stands where two differ.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Whose {
    /// Of whoever saves now.
    Mine,
    /// Of whoever saved before.
    Theirs,
}

/// Where two people changed the same.
#[derive(Debug, Clone, PartialEq)]
pub struct Clash {
    /// What it is about, to choose by: "items.lamp.place".
    pub about: String,
    /// What whoever saves now made of it.
    pub mine: Change,
    /// What whoever saved before made of it.
    pub theirs: Change,
}

/// Both brought together.
#[derive(Debug, Clone, PartialEq)]
pub struct Merged {
    /// Their text with all of mine in it that does not clash, or was chosen.
    pub text: String,
    /// What of mine is in it.
    pub mine: Vec<Change>,
    /// What of theirs is in it.
    pub theirs: Vec<Change>,
    /// What is still to be chosen; until then theirs stands.
    pub clashes: Vec<Clash>,
}

/// Brings two texts together that were made from one: `picks` says whose word stands, by [`Clash::about`].
///
/// # Errors
/// If one of the texts is not TOML.
pub fn merge(base: &str, mine: &str, theirs: &str, picks: &[(String, Whose)]) -> Result<Merged, Refused> {
    let my_changes = changes(base, mine)?;
    let their_changes = changes(base, theirs)?;
    let mut merged = Merged {
        text: theirs.to_owned(),
        mine: Vec::new(),
        theirs: their_changes.clone(),
        clashes: Vec::new(),
    };
    for change in my_changes {
        let Some(other) = their_changes.iter().find(|other| clash(&change, other)) else {
            merged.text = done(&merged.text, &change)?;
            merged.mine.push(change);
            continue;
        };
        if same(&change, other) {
            continue;
        }
        let about = change.about();
        match picks.iter().find(|(own, _)| *own == about).map(|(_, whose)| *whose) {
            Some(Whose::Mine) => {
                merged.text = replaced(&merged.text, &change, other)?;
                merged.mine.push(change);
            }
            Some(Whose::Theirs) => {}
            None => merged.clashes.push(Clash { about, theirs: other.clone(), mine: change }),
        }
    }
    Ok(merged)
}

fn clash(mine: &Change, theirs: &Change) -> bool {
    mine.section == theirs.section
        && mine.id == theirs.id
        && (mine.key == theirs.key || mine.key.is_none() || theirs.key.is_none())
}

fn same(mine: &Change, theirs: &Change) -> bool {
    mine.key == theirs.key
        && match (&mine.after, &theirs.after) {
            (Some(mine), Some(theirs)) => mine.same(theirs),
            (None, None) => true,
            _ => false,
        }
}

/// A text with one change more.
fn done(text: &str, change: &Change) -> Result<String, Refused> {
    let Change { section, id, key, after, .. } = change;
    match (key, after) {
        (Some(key), after) => apply::set(text, section, id, key, after.as_ref()),
        (None, Some(row)) => apply::set_row(text, section, id, row),
        (None, None) => apply::remove_row(text, section, id),
    }
}

/// A text in which mine stands where theirs stood.
fn replaced(text: &str, mine: &Change, theirs: &Change) -> Result<String, Refused> {
    let removed_by_them = theirs.key.is_none() && theirs.after.is_none();
    match (&mine.key, removed_by_them, &theirs.before) {
        // They removed the entry of which I changed a key: it comes back as it was, with my change.
        (Some(key), true, Some(row)) => {
            let mut row: Value = row.clone();
            if let Ok(now) = super::row(text, &mine.section, &mine.id) {
                row = now;
            }
            row.set(key, mine.after.clone());
            apply::set_row(text, &mine.section, &mine.id, &row)
        }
        _ => done(text, mine),
    }
}
