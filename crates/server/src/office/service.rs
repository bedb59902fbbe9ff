//! Upkeep of all boats.

use axum::extract::{Path, RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use boat::model::UpkeepId;
use pages::dock::Flaw;
use pages::links;
use pages::office::{DoneAsk, done_page, service_page};
use quantity::Time;
use records::{BoatId, What};

use super::base::Base;
use super::stock::Room;
use super::used;
use crate::app::Shared;
use crate::caller::Who;
use crate::form::Form;
use crate::routes::Route;
use crate::visit::Visit;
use crate::{answers, handlers};

/// The most hours that an engine's meter can show here.
const MOST_HOURS: f64 = 200_000.0;

/// Its part of the table of routes.
pub(super) fn routes() -> Vec<Route> {
    vec![
        Route::page("/upkeep", Who::Hand, get(page)),
        Route::page("/upkeep/{slug}/{line}", Who::Hand, get(line)),
        Route::form("/upkeep/{slug}/{line}", Who::Hand, post(done)),
    ]
}

async fn page(State(app): State<Shared>, visit: Visit, RawQuery(query): RawQuery) -> Response {
    let asked = handlers::pairs(query.as_deref());
    let only = handlers::value(&asked, "boat").unwrap_or_default();
    answers::page(service_page(&visit.site, &Base::of(&app).hulls(), only))
}

/// The place of a boat among those of the room, and a line of her service plan.
fn find(room: &Room, slug: &str, line: &str) -> Option<(usize, UpkeepId)> {
    let hulls = room.hulls();
    let at = hulls.iter().position(|hull| hull.vessel.slug == slug)?;
    let (id, _) = hulls[at].vessel.boat.upkeep.iter_ids().find(|(_, own)| own.id == line)?;
    Some((at, id))
}

fn show(
    visit: &Visit,
    room: &Room,
    (at, line): (usize, UpkeepId),
    typed: &[(String, String)],
    flaws: &[Flaw],
    status: StatusCode,
) -> Response {
    let (hulls, shelves, names) = (&room.hulls(), &room.shelves, &room.names);
    let ask = DoneAsk { hulls, at, line, shelves, names, typed, flaws };
    answers::with(status, done_page(&visit.site, &ask))
}

fn nowhere(visit: &Visit) -> Response {
    let what = "No service plan has a line of that name.";
    answers::not_found(pages::not_found(&visit.site, what, Some(("/upkeep", "All upkeep"))))
}

async fn line(
    State(app): State<Shared>,
    visit: Visit,
    Path((slug, line)): Path<(String, String)>,
) -> Response {
    match Room::enter(&app, &visit).await {
        Ok(room) => match find(&room, &slug, &line) {
            Some(found) => show(&visit, &room, found, &[], &[], StatusCode::OK),
            None => nowhere(&visit),
        },
        Err(answer) => *answer,
    }
}

async fn done(
    State(app): State<Shared>,
    visit: Visit,
    Path((slug, line)): Path<(String, String)>,
    form: Form,
) -> Response {
    let room = match Room::enter(&app, &visit).await {
        Ok(room) => room,
        Err(answer) => return *answer,
    };
    let Some(found) = find(&room, &slug, &line) else { return nowhere(&visit) };
    if let Some(typed) = used::more(&form) {
        return show(&visit, &room, found, &typed, &[], StatusCode::OK);
    }
    let mut flaws = Vec::new();
    let hours = hours(form.get("hours")).unwrap_or_else(|words| {
        flaws.push(Flaw::wrong("hours", words));
        None
    });
    let took = used::took(&form, "took", &mut flaws);
    let work = used::money(&form, "work", &mut flaws);
    let cost = used::money(&form, "cost", &mut flaws);
    let parts = used::parts(&room, &form, found.0, &mut flaws);
    if !flaws.is_empty() {
        return show(&visit, &room, found, form.pairs(), &flaws, StatusCode::UNPROCESSABLE_ENTITY);
    }
    let here = links::upkeep_line(&slug, &line);
    let what = What::UpkeepDone { line, hours, parts, took, work, cost };
    match visit.tell(&app, &form, &BoatId::new(slug), None, [what]).await {
        Ok(_) => answers::elsewhere(&here),
        Err(unmade) => unmade.answer(&visit.site, &here),
    }
}

/// Engine hours as they are typed; nothing if it is empty.
fn hours(text: &str) -> Result<Option<Time>, String> {
    if text.is_empty() {
        return Ok(None);
    }
    let read = text.parse().ok().filter(|hours: &f64| (0.0..=MOST_HOURS).contains(hours));
    read.map(|hours| Some(Time::hours(hours)))
        .ok_or_else(|| format!("\u{201c}{text}\u{201d} is no number of hours. Write it such as 1234.5."))
}
