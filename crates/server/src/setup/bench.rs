//! What every page about one boat's file begins with: the newest revision, laid out, and the boat as she is.

use std::sync::Arc;

use axum::response::Response;
use boat::edit::Deck;
use jiff::Timestamp;
use pages::setup::{Bench, DraftLine};
use records::Moment;
use store::Revision;

use crate::answers;
use crate::app::{App, Failure};
use crate::caller::Caller;
use crate::fleet::Berth;
use crate::handlers;
use crate::visit::Visit;

/// A boat at the bench.
pub(super) struct Laid {
    pub(super) newest: Revision,
    pub(super) berth: Arc<Berth>,
    pub(super) deck: Option<Deck>,
}

impl Laid {
    /// Lays a boat out, or answers that there is none.
    pub(super) async fn out(app: &App, visit: &Visit, slug: &str) -> Result<Self, Box<Response>> {
        let newest = match app.store.newest_revision(slug).await {
            Ok(newest) => newest,
            Err(error) => return Err(Box::new(failed(visit, error))),
        };
        match (newest, app.fleet.get(slug)) {
            (Some(newest), Some(berth)) => {
                let text = newest.text.clone();
                match aside(move || Deck::read(&text).ok()).await {
                    Ok(deck) => Ok(Self { newest, berth, deck }),
                    Err(failure) => Err(Box::new(answers::failed(&visit.site, &failure))),
                }
            }
            _ => Err(Box::new(handlers::no_boat(visit))),
        }
    }

    pub(super) fn bench(&self) -> Bench<'_> {
        Bench {
            slug: &self.newest.boat,
            deck: self.deck.as_ref(),
            moored: &self.berth.moored,
            revision: self.newest.number,
        }
    }
}

/// Reads and compares long texts on a thread of its own, so that others are answered meanwhile.
pub(super) async fn aside<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, Failure> {
    tokio::task::spawn_blocking(work).await.map_err(|_| Failure::Broken)
}

/// The store failed.
pub(super) fn failed(visit: &Visit, error: store::StoreError) -> Response {
    answers::failed(&visit.site, &Failure::Store(error))
}

/// Who signs a revision.
pub(super) fn author(visit: &Visit) -> String {
    match &visit.caller {
        Caller::Member { name, .. } => name.clone(),
        _ => String::new(),
    }
}

pub(super) fn moment(at: Timestamp) -> Moment {
    Moment::from_milliseconds(at.as_millisecond())
}

pub(super) fn draft_line(draft: &store::Draft) -> DraftLine {
    let (number, author, note) = (draft.number, draft.author.clone(), draft.note.clone());
    DraftLine { number, author, at: moment(draft.at), note }
}
