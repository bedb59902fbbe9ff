//! Something that was told by mistake is crossed out: another event says so, and why.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use pages::dock::Flaw;
use pages::links;
use pages::office::{CrossAsk, Hull, crossed_page, may_be_crossed_out};
use records::{Event, What};

use super::base;
use crate::app::{App, Failure, Shared};
use crate::caller::Who;
use crate::dock::table;
use crate::form::Form;
use crate::ledger::Book;
use crate::routes::Route;
use crate::visit::Visit;
use crate::{answers, ledger, may};

/// The most letters of a reason.
const REASON: usize = 500;

/// Its part of the table of routes.
pub(super) fn routes() -> Vec<Route> {
    vec![
        Route::page("/told/{event}/cross-out", Who::Hand, get(page)),
        Route::form("/told/{event}/cross-out", Who::Hand, post(crossed_out)),
    ]
}

async fn page(State(app): State<Shared>, visit: Visit, Path(id): Path<String>) -> Response {
    match find(&app, &id).await {
        Ok(Some(event)) => show(&app, &visit, &event, &[], &[], StatusCode::OK).await,
        Ok(None) => nowhere(&visit),
        Err(failure) => answers::failed(&visit.site, &failure),
    }
}

/// An event by its name, wherever it is; nothing if there is none, or none that can be read.
async fn find(app: &App, id: &str) -> Result<Option<Event>, Failure> {
    let Ok(id) = id.parse() else { return Ok(None) };
    Ok(ledger::find(&app.store, id).await?)
}

/// The book in which an event is: all of it, if it is of something that is long over.
async fn book(app: &App, event: &Event) -> Result<Arc<Book>, Failure> {
    let book = app.ledger.boat(event.boat.as_str());
    if book.records.get(event.id).is_some() {
        return Ok(book);
    }
    Ok(app.ledger.whole(&app.store, event.boat.as_str()).await?)
}

fn nowhere(visit: &Visit) -> Response {
    let what = "Nothing of that name was told.";
    answers::not_found(pages::not_found(&visit.site, what, Some(("/", "Today"))))
}

async fn show(
    app: &App,
    visit: &Visit,
    event: &Event,
    typed: &[(String, String)],
    flaws: &[Flaw],
    status: StatusCode,
) -> Response {
    let site = &visit.site;
    let Some(berth) = app.fleet.get(event.boat.as_str()) else { return nowhere(visit) };
    let Some(vessel) = berth.well() else { return nowhere(visit) };
    let book = match book(app, event).await {
        Ok(book) => book,
        Err(failure) => return answers::failed(site, &failure),
    };
    let names = match &event.charter {
        Some(charter) => table::people(app, [charter]).await.map(|(names, _)| names),
        None => base::names(app).await,
    };
    let names = match names {
        Ok(names) => names,
        Err(failure) => return answers::failed(site, &failure),
    };
    let hull = Hull { vessel, standing: &book.standing };
    let refused = refused(visit, event, book.standing.answers.contains_key(&event.id));
    let ask = CrossAsk { hull, event, names: &names, refused: refused.as_deref(), typed, flaws };
    answers::with(status, crossed_page(site, &ask))
}

/// Why whoever asks can't cross it out; nothing if they can.
fn refused(visit: &Visit, event: &Event, answered: bool) -> Option<String> {
    if !may_be_crossed_out(&event.what) {
        return Some(
            match event.what {
                What::Planned(_) | What::Changed(_) => {
                    "A plan is changed, or the charter cancelled, on the charter's page."
                }
                What::PersonRemoved { .. } => "The name is gone.",
                What::Withdrawn { .. } => "It crosses something out itself. Tell anew what was true.",
                _ => "This version of Becket can't read it.",
            }
            .to_owned(),
        );
    }
    if answered {
        return Some("It was crossed out or corrected already.".to_owned());
    }
    may::answer(&visit.caller, event).err()
}

async fn crossed_out(
    State(app): State<Shared>,
    visit: Visit,
    Path(id): Path<String>,
    form: Form,
) -> Response {
    let event = match find(&app, &id).await {
        Ok(Some(event)) => event,
        Ok(None) => return nowhere(&visit),
        Err(failure) => return answers::failed(&visit.site, &failure),
    };
    if let Err(why) = may::answer(&visit.caller, &event) {
        return answers::not_taken_from(&visit.site, &links::cross_out(&id), &why);
    }
    let reason = form.get("reason").to_owned();
    let flaw = match reason.chars().count() {
        0 => Some("Write in a few words why."),
        1..=REASON => None,
        _ => Some("Write it in at most 500 letters."),
    };
    if let Some(words) = flaw {
        let flaws = [Flaw::wrong("reason", words)];
        return show(&app, &visit, &event, form.pairs(), &flaws, StatusCode::UNPROCESSABLE_ENTITY).await;
    }
    let book = match book(&app, &event).await {
        Ok(book) => book,
        Err(failure) => return answers::failed(&visit.site, &failure),
    };
    let what = What::Withdrawn { reason };
    // Sent twice it is taken once, and the second time it is not "crossed out already".
    let sent = form.get("once").parse().ok().and_then(|id| book.records.get(id));
    let again = sent.is_some_and(|sent| sent.what == what && sent.answers == Some(event.id));
    if !again && refused(&visit, &event, book.standing.answers.contains_key(&event.id)).is_some() {
        return show(&app, &visit, &event, form.pairs(), &[], StatusCode::UNPROCESSABLE_ENTITY).await;
    }
    match visit.answer(&app, &form, &event, what).await {
        Ok(()) => answers::elsewhere(&home(&event)),
        Err(unmade) => unmade.answer(&visit.site, &links::cross_out(&id)),
    }
}

/// Where one sees what it changed.
fn home(event: &Event) -> String {
    if let Some(defect) = event.what.defect() {
        return links::defect(&defect.to_string());
    }
    let part = match &event.what {
        What::StockCounted(pieces) | What::StockUsed(pieces) => Some(&pieces.part),
        What::StockReceived(priced) => Some(&priced.pieces.part),
        _ => None,
    };
    if let Some(part) = part {
        return links::stock_part(part);
    }
    match (&event.charter, &event.what) {
        (Some(charter), _) => links::charter(charter.as_str()),
        (None, What::UpkeepDone { line, .. }) => links::upkeep_line(event.boat.as_str(), line),
        (None, _) => links::standing(event.boat.as_str()),
    }
}
