//! Saving a boat file: what others saved meanwhile is brought together with it, what can't be read is not saved, and
//! what clashes waits as a draft.

use boat::edit::merge;
use pages::setup::Tried;
use store::{Save, StoreError};

use super::attempt::{Attempt, Depth, attempt};
use super::bench::{aside, author};
use crate::app::{Failure, Shared};
use crate::fleet::Berth;
use crate::visit::Visit;

/// What somebody wants to save.
pub(super) struct Wish {
    pub(super) slug: String,
    /// The revision that they began with.
    pub(super) made_from: u32,
    pub(super) text: String,
    pub(super) note: String,
    /// Whether it may be saved although something new is to be mended.
    pub(super) anyway: bool,
}

/// What came of it.
pub(super) enum Outcome {
    /// It stands as this revision, alone or together with what others did.
    Saved(u32),
    /// The file says all of it already.
    Same,
    /// It can't be read, or something new is to be mended.
    Bad(Box<Tried>),
    /// Others changed the same: it is kept as this draft.
    Clash(u32),
    /// It is kept as this draft, since the text is not even TOML.
    Kept(u32),
}

/// How often it is tried again when somebody else is quicker.
const TRIES: usize = 6;

/// Saves a text.
pub(super) async fn save(app: &Shared, visit: &Visit, wish: &Wish) -> Result<Outcome, Failure> {
    for _ in 0..TRIES {
        let Some(newest) = app.store.newest_revision(&wish.slug).await? else { return Err(Failure::Broken) };
        let mut text = wish.text.clone();
        if newest.number != wish.made_from {
            let base = app.store.revision(&wish.slug, wish.made_from).await?;
            let base = base.map_or_else(String::new, |base| base.text);
            let (mine, theirs) = (wish.text.clone(), newest.text.clone());
            match aside(move || merge(&base, &mine, &theirs, &[])).await? {
                Ok(merged) if merged.clashes.is_empty() => text = merged.text,
                Ok(_) => return Ok(Outcome::Clash(keep(app, visit, wish).await?)),
                Err(_) => return Ok(Outcome::Kept(keep(app, visit, wish).await?)),
            }
        }
        if text == newest.text {
            return Ok(Outcome::Same);
        }
        let looked = attempt(app, &wish.slug, &newest.text, &text, Depth::Whole).await?;
        let Attempt { tried, moored: Some(moored) } = looked else { return Err(Failure::Broken) };
        if !tried.readable || (tried.is_worse() && !wish.anyway) {
            return Ok(Outcome::Bad(Box::new(tried)));
        }
        match app.store.save_revision(&as_save(app, visit, wish, Some(newest.number), text)).await {
            Ok(revision) => {
                app.fleet.moor(Berth { moored, revision: revision.number });
                return Ok(Outcome::Saved(revision.number));
            }
            // Somebody was quicker while it was proven. Our text is still here, so its draft is not needed.
            Err(StoreError::Conflict(conflict)) => {
                app.store.remove_draft(&wish.slug, conflict.draft.number).await?;
            }
            Err(other) => return Err(other.into()),
        }
    }
    Ok(Outcome::Kept(keep(app, visit, wish).await?))
}

/// Keeps a text as a draft.
pub(super) async fn keep(app: &Shared, visit: &Visit, wish: &Wish) -> Result<u32, Failure> {
    let save = as_save(app, visit, wish, Some(wish.made_from), wish.text.clone());
    Ok(app.store.save_draft(&save).await?.number)
}

fn as_save(app: &Shared, visit: &Visit, wish: &Wish, made_from: Option<u32>, text: String) -> Save {
    let (boat, note) = (wish.slug.clone(), wish.note.clone());
    Save { boat, made_from, author: author(visit), at: app.clock.timestamp(), text, note }
}
