//! Upkeep of all boats.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use pages::dock::Flaw;
use pages::office::{ServiceAsk, service_page};
use quantity::Time;
use records::{BoatId, What};

use super::base::{self, Base};
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
        Route::form("/upkeep/{slug}/done", Who::Hand, post(done)),
    ]
}

async fn page(State(app): State<Shared>, visit: Visit) -> Response {
    let base = Base::of(&app);
    answers::page(service_page(&visit.site, &ServiceAsk { hulls: &base.hulls(), typed: &[], flaws: &[] }))
}

async fn done(State(app): State<Shared>, visit: Visit, Path(slug): Path<String>, form: Form) -> Response {
    let base = Base::of(&app);
    let hulls = base.hulls();
    let Some(hull) = hulls.iter().find(|hull| hull.vessel.slug == slug) else {
        return handlers::no_boat(&visit);
    };
    let mut flaws = Vec::new();
    let line = form.get("line").to_owned();
    if !hull.vessel.boat.upkeep.iter().any(|own| own.id == line) {
        flaws.push(Flaw::wrong("line", "Her service plan has no such line. Load the page again."));
    }
    let hours = hours(form.get("hours")).unwrap_or_else(|words| {
        flaws.push(Flaw::wrong("hours", words));
        None
    });
    let cost = base::money(&form, "cost").unwrap_or_else(|words| {
        flaws.push(Flaw::wrong("cost", words));
        None
    });
    if !flaws.is_empty() {
        let ask = ServiceAsk { hulls: &hulls, typed: form.pairs(), flaws: &flaws };
        return answers::with(StatusCode::UNPROCESSABLE_ENTITY, service_page(&visit.site, &ask));
    }
    let what = What::UpkeepDone { line, hours, parts: Vec::new(), took: None, work: None, cost };
    match visit.tell(&app, &form, &BoatId::new(slug), None, [what]).await {
        Ok(_) => answers::elsewhere("/upkeep"),
        Err(unmade) => unmade.answer(&visit.site, "/upkeep"),
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
