//! Defects: all of them, and what is done about one.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use jiff::civil::Date;
use pages::dock::Flaw;
use pages::links;
use pages::office::{DefectAsk, Hull, defect_page, defects_page};
use records::{BoatId, DefectStanding, EventId, Local, Moment, What};

use super::base::Base;
use super::stock::Room;
use super::used;
use crate::answers;
use crate::app::{App, Shared};
use crate::caller::Who;
use crate::form::Form;
use crate::routes::Route;
use crate::visit::Visit;

/// The most letters of one text.
const WORDS: usize = 1000;

/// Its part of the table of routes.
pub(super) fn routes() -> Vec<Route> {
    vec![
        Route::page("/defects", Who::Hand, get(list)),
        Route::page("/defect/{id}", Who::Hand, get(one)),
        Route::form("/defect/{id}", Who::Hand, post(tell)),
    ]
}

async fn list(State(app): State<Shared>, visit: Visit) -> Response {
    answers::page(defects_page(&visit.site, &Base::of(&app).hulls()))
}

async fn one(State(app): State<Shared>, visit: Visit, Path(id): Path<String>) -> Response {
    match Room::enter(&app, &visit).await {
        Ok(room) => show(&visit, &room, &id, &[], &[], StatusCode::OK),
        Err(answer) => *answer,
    }
}

fn show(
    visit: &Visit,
    room: &Room,
    id: &str,
    typed: &[(String, String)],
    flaws: &[Flaw],
    status: StatusCode,
) -> Response {
    let (hulls, shelves, names) = (&room.hulls(), &room.shelves, &room.names);
    let Some((at, defect)) = find(hulls, id) else { return nowhere(visit) };
    let ask = DefectAsk { hulls, at, defect, shelves, names, typed, flaws };
    answers::with(status, defect_page(&visit.site, &ask))
}

/// A defect, with the place of its boat.
fn find<'a>(hulls: &[Hull<'a>], id: &str) -> Option<(usize, &'a DefectStanding)> {
    let id: EventId = id.parse().ok()?;
    hulls.iter().enumerate().find_map(|(at, hull)| {
        let records = hull.standing.boats.get(&BoatId::new(hull.vessel.slug.as_str()))?;
        Some((at, records.defects.get(&id)?))
    })
}

fn nowhere(visit: &Visit) -> Response {
    let what = "There is no defect of that name.";
    answers::not_found(pages::not_found(&visit.site, what, Some(("/defects", "All defects"))))
}

async fn tell(State(app): State<Shared>, visit: Visit, Path(id): Path<String>, form: Form) -> Response {
    let room = match Room::enter(&app, &visit).await {
        Ok(room) => room,
        Err(answer) => return *answer,
    };
    let hulls = room.hulls();
    let Some((at, defect)) = find(&hulls, &id) else { return nowhere(&visit) };
    if form.get("do") == "sails" && !visit.site.may(pages::Role::Manager) {
        return answers::not_yours(&visit.site);
    }
    if let Some(typed) = used::more(&form) {
        return show(&visit, &room, &id, &typed, &[], StatusCode::OK);
    }
    let mut flaws = Vec::new();
    let what = read(&app, &room, &form, (at, defect), &mut flaws);
    let (Some(what), true) = (what, flaws.is_empty()) else {
        return show(&visit, &room, &id, form.pairs(), &flaws, StatusCode::UNPROCESSABLE_ENTITY);
    };
    let here = links::defect(&id);
    let boat = BoatId::new(hulls[at].vessel.slug.as_str());
    match visit.tell(&app, &form, &boat, None, what).await {
        Ok(_) => answers::elsewhere(&here),
        Err(unmade) => unmade.answer(&visit.site, &here),
    }
}

/// What a form says of a defect of the boat at that place; nothing, with what is wrong, if it can't be taken.
fn read(
    app: &App,
    room: &Room,
    form: &Form,
    (at, known): (usize, &DefectStanding),
    flaws: &mut Vec<Flaw>,
) -> Option<Vec<What>> {
    let defect = known.id();
    let doing = form.get("do");
    let field = format!("{doing}-words");
    let words: String = form.get(&field).chars().take(WORDS).collect();
    if words.is_empty() && !matches!(doing, "cause" | "part") {
        flaws.push(Flaw::wrong(&field, "Write it in a few words."));
    }
    let what = match doing {
        "task" => vec![What::TaskSet { defect, words, by: by(app, form, flaws) }],
        "cause" => {
            let fault = form.get("fault").to_owned();
            if !room.hulls()[at].vessel.boat.faults.iter().any(|own| own.id == fault) {
                flaws.push(Flaw::wrong("fault", "Choose a cause from the list."));
            }
            vec![What::Diagnosed { defect, fault }]
        }
        "part" => {
            let parts = parts(room, form, at, defect, flaws);
            if parts.is_empty() && flaws.is_empty() {
                flaws.push(Flaw::wrong("part-0", "Say which part was used, and how many."));
            }
            parts
        }
        "mended" => {
            let mut all = parts(room, form, at, defect, flaws);
            let took = used::took(form, "mended-took", flaws);
            let cost = used::money(form, "mended-cost", flaws);
            all.push(What::Mended { defect, words: words.clone(), took, cost });
            if form.get("mended-close") == "yes" {
                all.push(What::Closed { defect, words });
            }
            all
        }
        "close" => vec![What::Closed { defect, words }],
        "sails" => vec![What::SailsWith { defect, covers: known.severity, reason: words }],
        _ => {
            flaws.push(Flaw::wrong("do", "The page was not whole. Load it again."));
            return None;
        }
    };
    Some(what)
}

fn parts(room: &Room, form: &Form, at: usize, defect: EventId, flaws: &mut Vec<Flaw>) -> Vec<What> {
    let used = used::parts(room, form, at, flaws);
    used.into_iter().map(|part| What::PartUsed { defect, pieces: part.pieces, cost: part.cost }).collect()
}

/// By the end of which day, by the clocks of the base.
fn by(app: &App, form: &Form, flaws: &mut Vec<Flaw>) -> Option<Local> {
    let text = form.get("by");
    if text.is_empty() {
        return None;
    }
    let date: Option<Date> = text.parse().ok();
    let end = date.and_then(|date| date.at(18, 0, 0, 0).to_zoned(app.zone.clone()).ok());
    let by = end.and_then(|end| {
        Local::new(Moment::from_milliseconds(end.timestamp().as_millisecond()), end.offset())
    });
    if by.is_none() {
        flaws.push(Flaw::wrong("by", "Write the day such as 2026-06-27."));
    }
    by
}
