//! Defects: all of them, and what is done about one.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use jiff::civil::Date;
use pages::dock::Flaw;
use pages::links;
use pages::office::{DefectAsk, Hull, defect_page, defects_page};
use records::{BoatId, DefectStanding, EventId, Held, Local, Moment, Pieces, What};

use super::base::{self, Base};
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
    show(&app, &visit, &id, &[], &[], StatusCode::OK).await
}

async fn show(
    app: &App,
    visit: &Visit,
    id: &str,
    typed: &[(String, String)],
    flaws: &[Flaw],
    status: StatusCode,
) -> Response {
    let base = Base::of(app);
    let hulls = base.hulls();
    let Some((hull, defect)) = find(&hulls, id) else { return nowhere(visit) };
    match base::names(app).await {
        Ok(names) => {
            let ask = DefectAsk { hull, defect, names: &names, typed, flaws };
            answers::with(status, defect_page(&visit.site, &ask))
        }
        Err(failure) => answers::failed(&visit.site, &failure),
    }
}

fn find<'a>(hulls: &[Hull<'a>], id: &str) -> Option<(Hull<'a>, &'a DefectStanding)> {
    let id: EventId = id.parse().ok()?;
    hulls.iter().find_map(|hull| {
        let records = hull.standing.boats.get(&BoatId::new(hull.vessel.slug.as_str()))?;
        Some((*hull, records.defects.get(&id)?))
    })
}

fn nowhere(visit: &Visit) -> Response {
    let what = "There is no defect of that name.";
    answers::not_found(pages::not_found(&visit.site, what, Some(("/defects", "All defects"))))
}

async fn tell(State(app): State<Shared>, visit: Visit, Path(id): Path<String>, form: Form) -> Response {
    let base = Base::of(&app);
    let hulls = base.hulls();
    let Some((hull, defect)) = find(&hulls, &id) else { return nowhere(&visit) };
    let boat = BoatId::new(hull.vessel.slug.as_str());
    if form.get("do") == "sails" && !visit.site.may(pages::Role::Manager) {
        return answers::not_yours(&visit.site);
    }
    let mut flaws = Vec::new();
    let what = read(&app, &form, hull, defect, &mut flaws);
    let (Some(what), true) = (what, flaws.is_empty()) else {
        return show(&app, &visit, &id, form.pairs(), &flaws, StatusCode::UNPROCESSABLE_ENTITY).await;
    };
    let here = links::defect(&id);
    match visit.tell(&app, &form, &boat, None, what).await {
        Ok(_) => answers::elsewhere(&here),
        Err(unmade) => unmade.answer(&visit.site, &here),
    }
}

/// What a form says of a defect; nothing, with what is wrong, if it can't be taken.
fn read(
    app: &App,
    form: &Form,
    hull: Hull<'_>,
    known: &DefectStanding,
    flaws: &mut Vec<Flaw>,
) -> Option<Vec<What>> {
    let defect = known.id();
    let doing = form.get("do");
    let field = format!("{doing}-words");
    let words: String = form.get(&field).chars().take(WORDS).collect();
    if words.is_empty() && doing != "cause" {
        flaws.push(Flaw::wrong(&field, "Write it in a few words."));
    }
    let mut cost = |field: &str| {
        base::money(form, field).unwrap_or_else(|words| {
            flaws.push(Flaw::wrong(field, words));
            None
        })
    };
    let what = match doing {
        "task" => What::TaskSet { defect, words, by: by(app, form, flaws) },
        "cause" => {
            let fault = form.get("fault").to_owned();
            if !hull.vessel.boat.faults.iter().any(|own| own.id == fault) {
                flaws.push(Flaw::wrong("fault", "Choose a cause from the list."));
            }
            What::Diagnosed { defect, fault }
        }
        "part" => {
            let cost = cost("part-cost");
            What::PartUsed { defect, pieces: pieces(form, words, flaws)?, cost }
        }
        "mended" => What::Mended { defect, words, took: None, cost: cost("mended-cost") },
        "close" => What::Closed { defect, words },
        "sails" => What::SailsWith { defect, covers: known.severity, reason: words },
        _ => {
            flaws.push(Flaw::wrong("do", "The page was not whole. Load it again."));
            return None;
        }
    };
    Some(vec![what])
}

fn pieces(form: &Form, part: String, flaws: &mut Vec<Flaw>) -> Option<Pieces> {
    let count = form.get("count").parse().ok().filter(|count| (1..=999).contains(count));
    if count.is_none() {
        flaws.push(Flaw::wrong("count", "Write how many, from 1 to 999."));
    }
    let held = if form.get("held") == "aboard" { Held::Aboard } else { Held::Ashore };
    Some(Pieces { part, count: count?, held })
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
