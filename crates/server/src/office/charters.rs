//! All charters, and planning one.

use axum::extract::{RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use pages::dock::Flaw;
use pages::links;
use pages::office::{ChartersAsk, PlanForm, charters_listed, charters_page, new_charter_page, overlap_words};
use records::{BoatId, CharterId, Life, Local, Moment, PersonId, Plan, Stage, What};
use serde_json::json;

use super::base::Base;
use crate::app::{App, Failure, Shared};
use crate::caller::Who;
use crate::dock::table;
use crate::form::Form;
use crate::ledger::Book;
use crate::routes::Route;
use crate::visit::Visit;
use crate::{answers, handlers};

/// Its part of the table of routes.
pub(super) fn routes() -> Vec<Route> {
    vec![
        Route::page("/charters", Who::Hand, get(list)),
        Route::page("/charters/new", Who::Skipper, get(fresh)),
        Route::form("/charters/new", Who::Skipper, post(plan)),
    ]
}

async fn list(State(app): State<Shared>, visit: Visit, RawQuery(query): RawQuery) -> Response {
    let question = handlers::pairs(query.as_deref());
    let asked = |name: &str| question.iter().find(|(own, _)| own == name).map(|(_, value)| value.clone());
    let ask = ChartersAsk {
        boat: asked("boat").unwrap_or_default(),
        stage: asked("stage").unwrap_or_default(),
        when: asked("when").unwrap_or_default(),
    };
    let base = Base::of(&app);
    let hulls = base.hulls();
    let shown = charters_listed(&visit.site, &hulls, &ask);
    match table::people(&app, &shown).await {
        Ok((names, _)) => answers::page(charters_page(&visit.site, &hulls, &names, &ask)),
        Err(failure) => answers::failed(&visit.site, &failure),
    }
}

async fn fresh(State(app): State<Shared>, visit: Visit) -> Response {
    answers::page(new_charter_page(&visit.site, &boats(&app), &PlanForm::default()))
}

/// The boats whose files can be read: their part of the address, and their name.
fn boats(app: &App) -> Vec<(String, String)> {
    let base = Base::of(app);
    let name =
        |hull: pages::office::Hull<'_>| (hull.vessel.slug.clone(), hull.vessel.boat.particulars.name.clone());
    base.hulls().into_iter().map(name).collect()
}

async fn plan(State(app): State<Shared>, visit: Visit, form: Form) -> Response {
    let all = boats(&app);
    let again = |flaws: &[Flaw]| {
        let page = new_charter_page(&visit.site, &all, &PlanForm { typed: form.pairs(), flaws });
        answers::with(StatusCode::UNPROCESSABLE_ENTITY, page)
    };
    let boat = all.iter().find(|(slug, _)| slug == form.get("boat"));
    let mut flaws = Vec::new();
    if boat.is_none() {
        flaws.push(Flaw::wrong("boat", "Choose a boat."));
    }
    let name = form.get("name");
    if name.is_empty() || name.chars().count() > 120 {
        flaws.push(Flaw::wrong("name", "Write who booked, in up to 120 letters."));
    }
    let read = read_plan(&visit, &form, &mut flaws);
    let (Some((slug, title)), Some(plan), true) = (boat, read, flaws.is_empty()) else {
        return again(&flaws);
    };
    // The charter is named after the page, so that a form that is sent twice plans one.
    let Some(tail) = form.get("once").get(24..) else {
        return again(&[Flaw::wrong("boat", "The page was not whole. Load it again.")]);
    };
    let id = CharterId::new(format!("c-{tail}"));
    let book = app.ledger.boat(slug);
    if let Some(flaw) = overlap(&visit, &form, title, &book, &id, &plan) {
        return again(&[flaw]);
    }
    let person = PersonId::new(format!("p-{tail}"));
    let fields = json!({ "name": name }).to_string();
    let kept = store::Person { id: person.as_str().to_owned(), charter: id.as_str().to_owned(), fields };
    if let Err(error) = app.store.save_person(&kept).await {
        return answers::failed(&visit.site, &Failure::Store(error));
    }
    let what = What::Planned(Plan { booked: Some(person), ..plan });
    match visit.tell(&app, &form, &BoatId::new(slug.as_str()), Some(&id), [what]).await {
        Ok(_) => answers::elsewhere(&links::charter(id.as_str())),
        Err(unmade) => unmade.answer(&visit.site, links::NEW_CHARTER),
    }
}

/// That the boat is on another charter at that time, unless that is meant.
pub(super) fn overlap(
    visit: &Visit,
    form: &Form,
    boat: &str,
    book: &Book,
    own: &CharterId,
    plan: &Plan,
) -> Option<Flaw> {
    if form.get("overlap") == "yes" {
        return None;
    }
    let others = book.standing.charters.iter().filter(|(id, other)| {
        let over = matches!(other.life, Life::Cancelled | Life::At(Stage::HandedBack | Stage::Settled));
        *id != own && other.boat == book.boat && !over
    });
    let clash = others.filter_map(|(_, other)| other.plan.as_ref()).find(|(_, other)| {
        other.from.moment() < plan.until.moment() && plan.from.moment() < other.until.moment()
    });
    clash.map(|(_, other)| Flaw::wrong("overlap", overlap_words(&visit.site, boat, other)))
}

/// The plan that a form says, with nobody who booked; nothing if a field is wrong.
pub(super) fn read_plan(visit: &Visit, form: &Form, flaws: &mut Vec<Flaw>) -> Option<Plan> {
    let from = time(visit, form, "from", flaws);
    let until = time(visit, form, "until", flaws);
    let typed = form.get("crew");
    let crew = typed.parse::<u32>().ok().filter(|crew| (1..=99).contains(crew));
    if crew.is_none() && !typed.is_empty() {
        flaws.push(Flaw::wrong("crew", "Write how many people sail, from 1 to 99, or leave it empty."));
        return None;
    }
    let (from, until) = (from?, until?);
    if until.moment() <= from.moment() {
        flaws.push(Flaw::wrong("until_day", "The end is not after the beginning."));
        return None;
    }
    Some(Plan { from, until, crew, booked: None })
}

fn time(visit: &Visit, form: &Form, name: &str, flaws: &mut Vec<Flaw>) -> Option<Local> {
    let (day, hour) = (format!("{name}_day"), format!("{name}_time"));
    let date = form.get(&day).parse::<jiff::civil::Date>();
    let clock = form.get(&hour).parse::<jiff::civil::Time>();
    if date.is_err() {
        flaws.push(Flaw::wrong(&day, "Choose the day."));
    }
    if clock.is_err() {
        flaws.push(Flaw::wrong(&hour, "Write the time of day, such as 16:00."));
    }
    let zoned = date.ok()?.to_datetime(clock.ok()?).to_zoned(visit.site.zone.clone());
    let local = zoned.ok().and_then(|zoned| {
        Local::new(Moment::from_milliseconds(zoned.timestamp().as_millisecond()), zoned.offset())
    });
    if local.is_none() {
        flaws.push(Flaw::wrong(&day, "That day is out of range."));
    }
    local
}
