//! The calendar feed of turnarounds: open to whoever has its address, without anything of a person.

use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::{get, post};
use calendar::{FeedEntry, Span, write_icalendar};
use jiff::{SignedDuration, Timestamp};
use pages::links;
use pages::office::feed_page;
use records::{CharterId, Life, Moment, What};
use store::TokenHash;

use crate::app::{App, Failure, Shared};
use crate::caller::Who;
use crate::ledger::Book;
use crate::routes::Route;
use crate::visit::Visit;
use crate::{answers, secret};

/// The setting that holds the hash of the address's secret.
const SETTING: &str = "feed";

/// If the next crew comes within this time of the last one leaving, it is one turnaround.
const TURN: SignedDuration = SignedDuration::from_hours(48);

/// What is longer over than this is left out.
const PAST: SignedDuration = SignedDuration::from_hours(24 * 30);

/// Its part of the table of routes.
pub(super) fn routes() -> Vec<Route> {
    vec![
        Route::page("/calendar/{key}", Who::Anyone, get(feed)),
        Route::page("/settings/feed", Who::Manager, get(page)),
        Route::form("/settings/feed", Who::Manager, post(renew)),
    ]
}

async fn kept(app: &App) -> Result<Option<String>, Failure> {
    let json = app.store.setting(SETTING).await?;
    Ok(json.and_then(|json| serde_json::from_str(&json).ok()))
}

async fn page(State(app): State<Shared>, visit: Visit) -> Response {
    match kept(&app).await {
        Ok(kept) => answers::page(feed_page(&visit.site, kept.is_some(), None)),
        Err(failure) => answers::failed(&visit.site, &failure),
    }
}

/// Makes a new address; the one before is none from then on. It is shown once, since only its hash is kept.
async fn renew(State(app): State<Shared>, visit: Visit) -> Response {
    match fresh(&app).await {
        Ok(key) => {
            let address = format!("{}{}", app.at, links::feed(&key));
            answers::page(feed_page(&visit.site, true, Some(&address)))
        }
        Err(failure) => answers::failed(&visit.site, &failure),
    }
}

async fn fresh(app: &App) -> Result<String, Failure> {
    let key = secret::token()?;
    let hash = serde_json::Value::from(TokenHash::of(&key).as_str());
    app.store.set(SETTING, &hash.to_string()).await?;
    Ok(key)
}

async fn feed(State(app): State<Shared>, visit: Visit, Path(key): Path<String>) -> Response {
    match kept(&app).await {
        Ok(Some(hash)) if secret::same(&hash, TokenHash::of(&key).as_str()) => {
            let name = format!("{}: turnarounds", app.base);
            let text = write_icalendar(&entries(&app), app.clock.timestamp(), &name);
            answers::file("turnarounds.ics", "text/calendar; charset=utf-8", text)
        }
        Ok(_) => {
            let what = "There is no such calendar. Its address may have been renewed: ask the base.";
            answers::not_found(pages::not_found(&visit.site, what, None))
        }
        Err(failure) => answers::failed(&visit.site, &failure),
    }
}

/// A charter that is to take place, by when.
struct Stay {
    id: CharterId,
    from: Timestamp,
    until: Timestamp,
    changes: u32,
}

fn entries(app: &App) -> Vec<FeedEntry> {
    let since = app.clock.timestamp().checked_sub(PAST).unwrap_or(Timestamp::MIN);
    let mut entries = Vec::new();
    for berth in app.fleet.all().iter() {
        let slug = berth.moored.slug();
        let name = match &berth.moored {
            pages::Moored::Well(vessel) => vessel.boat.particulars.name.clone(),
            pages::Moored::Wrecked(_) => slug.to_owned(),
        };
        of_boat(&name, &stays(&app.ledger.boat(slug)), &mut entries);
    }
    entries.retain(|entry| match entry.span {
        Span::Times(_, until) => until >= since,
        Span::Days(..) => true,
    });
    entries
}

fn stays(book: &Book) -> Vec<Stay> {
    let stamp = |moment: Moment| Timestamp::from_millisecond(moment.milliseconds()).ok();
    let changes = |id: &CharterId| {
        let changed = book.records.events().filter(|(event, _)| {
            event.charter.as_ref() == Some(id) && matches!(event.what, What::Changed(_))
        });
        u32::try_from(changed.count()).unwrap_or(u32::MAX)
    };
    let own = book
        .standing
        .charters
        .iter()
        .filter(|(_, stands)| stands.boat == book.boat && stands.life != Life::Cancelled);
    let mut stays: Vec<Stay> = own
        .filter_map(|(id, stands)| {
            let (_, plan) = stands.plan.as_ref()?;
            let (from, until) = (stamp(plan.from.moment())?, stamp(plan.until.moment())?);
            Some(Stay { id: id.clone(), from, until, changes: changes(id) })
        })
        .collect();
    stays.sort_by_key(|stay| (stay.from, stay.until));
    stays
}

/// Each time that she goes out and comes back; coming back and going out again soon is one turnaround.
fn of_boat(boat: &str, stays: &[Stay], entries: &mut Vec<FeedEntry>) {
    let mut add = |name: &str, doing: &str, stay: &Stay, sequence: u32, from: Timestamp, until: Timestamp| {
        entries.push(FeedEntry {
            uid: format!("{name}-{}@becket", stay.id.as_str()),
            sequence,
            boat: boat.to_owned(),
            reference: stay.id.as_str().to_owned(),
            doing: doing.to_owned(),
            span: Span::Times(from, until),
            cancelled: false,
        });
    };
    for (at, stay) in stays.iter().enumerate() {
        let before = at.checked_sub(1).and_then(|before| stays.get(before));
        let soon = |one: &Stay, next: &Stay| next.from.duration_since(one.until) <= TURN;
        if !before.is_some_and(|before| soon(before, stay)) {
            add("out", "Hand-over", stay, stay.changes, stay.from, stay.from);
        }
        match stays.get(at + 1).filter(|next| soon(stay, next)) {
            Some(next) => {
                // With another crew after it, it is another turnaround: the versions of one name only grow.
                let name = format!("turnaround-{}", next.id.as_str());
                let sequence = stay.changes.saturating_add(next.changes);
                add(&name, "Turnaround", stay, sequence, stay.until, next.from.max(stay.until));
            }
            None => add("back", "Coming back", stay, stay.changes, stay.until, stay.until),
        }
    }
}
