//! What the law wants of a boat, and what the tide does: pages that ask tables and no records but the last counts.

use axum::extract::{RawQuery, State};
use axum::response::Response;
use axum::routing::get;
use pages::{EquipmentAsk, Shore, Site, TidesAsk, Vessel, WasteAsk};
use records::CharterId;

use crate::answers;
use crate::app::{App, Shared};
use crate::caller::{Caller, Who};
use crate::fleet::Berth;
use crate::handlers::{Slug, aboard, apart, moment, no_boat, pairs, today, with_standing};
use crate::routes::Route;
use crate::visit::Visit;

/// Its part of the table of routes.
pub(crate) fn routes() -> Vec<Route> {
    let page = Route::page;
    vec![
        page("/boat/{slug}/equipment", Who::Crew, get(equipment)),
        page("/boat/{slug}/equipment.json", Who::Crew, get(equipment_data)),
        page("/boat/{slug}/waste", Who::Crew, get(waste)),
        page("/boat/{slug}/waste.json", Who::Crew, get(waste_data)),
        page("/tides", Who::Crew, get(tides)),
        page("/tides.json", Who::Crew, get(tides_data)),
    ]
}

async fn equipment(
    State(app): State<Shared>,
    visit: Visit,
    slug: Slug,
    RawQuery(query): RawQuery,
) -> Response {
    let asked = asked_by(&app, &visit, pairs(query.as_deref()));
    apart(app, visit, move |app, visit| {
        with_standing(app, visit, slug, |site, vessel, standing| {
            let ask = EquipmentAsk::read(&vessel.boat, &asked, today(site));
            let page = pages::equipment_page(site, vessel, standing, &ask);
            answers::asked(ask.is_sound(), page)
        })
    })
    .await
}

async fn equipment_data(
    State(app): State<Shared>,
    visit: Visit,
    slug: Slug,
    RawQuery(query): RawQuery,
) -> Response {
    let asked = asked_by(&app, &visit, pairs(query.as_deref()));
    apart(app, visit, move |app, visit| {
        with_standing(app, visit, slug, |site, vessel, standing| {
            let ask = EquipmentAsk::read(&vessel.boat, &asked, today(site));
            answers::data(ask.flaws(), || pages::equipment_data(&vessel.boat, standing, &ask))
        })
    })
    .await
}

async fn waste(State(app): State<Shared>, visit: Visit, slug: Slug, RawQuery(query): RawQuery) -> Response {
    let asked = pairs(query.as_deref());
    aboard(&app, &visit, slug, |site, vessel| {
        let ask = WasteAsk::read(&vessel.boat, &asked);
        let page = pages::waste_page(site, vessel, &ask);
        answers::asked(ask.is_sound(), page)
    })
}

async fn waste_data(
    State(app): State<Shared>,
    visit: Visit,
    slug: Slug,
    RawQuery(query): RawQuery,
) -> Response {
    let asked = pairs(query.as_deref());
    aboard(&app, &visit, slug, |_, vessel| {
        let ask = WasteAsk::read(&vessel.boat, &asked);
        answers::data(ask.flaws(), || pages::waste_data(&vessel.boat, &ask))
    })
}

async fn tides(State(app): State<Shared>, visit: Visit, RawQuery(query): RawQuery) -> Response {
    with_shore(app, visit, query, |site, vessel, ask| {
        let page = pages::tides_page(site, vessel, ask);
        answers::asked(ask.is_sound(), page)
    })
    .await
}

async fn tides_data(State(app): State<Shared>, visit: Visit, RawQuery(query): RawQuery) -> Response {
    with_shore(app, visit, query, |_, _, ask| {
        answers::data(ask.flaws(), || pages::tides_data(ask).unwrap_or_default())
    })
    .await
}

/// What is asked; a crew that asks nothing means its own days and people.
fn asked_by(app: &App, visit: &Visit, asked: Vec<(String, String)>) -> Vec<(String, String)> {
    let Caller::Crew { charter, .. } = &visit.caller else { return asked };
    if !asked.is_empty() {
        return asked;
    }
    let Some(book) = app.ledger.charter(charter) else { return asked };
    let stands = book.standing.charters.get(&CharterId::new(charter.as_str()));
    let plan = stands.and_then(|stands| stands.plan.as_ref());
    plan.map_or(asked, |(_, plan)| pages::equipment_pairs(&visit.site, plan))
}

/// Answers about the tide for the boat that is named, which for a crew is its own whatever is named. A month of tides
/// takes long.
async fn with_shore(
    app: Shared,
    visit: Visit,
    query: Option<String>,
    answer: impl FnOnce(&Site, Option<&Vessel>, &TidesAsk) -> Response + Send + 'static,
) -> Response {
    let asked = pairs(query.as_deref());
    apart(app, visit, move |app, visit| on_shore(app, visit, &asked, answer)).await
}

fn on_shore(
    app: &App,
    visit: &Visit,
    asked: &[(String, String)],
    answer: impl FnOnce(&Site, Option<&Vessel>, &TidesAsk) -> Response,
) -> Response {
    let named = asked.iter().find(|(name, _)| name == "boat").map(|(_, value)| value.as_str());
    let slug = match &visit.caller {
        Caller::Crew { boat, .. } => Some(boat.as_str()),
        _ => named.filter(|slug| !slug.is_empty()),
    };
    let berth = slug.and_then(|slug| app.fleet.get(slug));
    if slug.is_some() && berth.is_none() {
        return no_boat(visit);
    }
    let vessel = berth.as_deref().and_then(Berth::well);
    let all = app.fleet.all();
    let base = all.iter().filter_map(|berth| berth.well()).find_map(|vessel| pages::base_of(&vessel.boat));
    let shore = Shore {
        boat: vessel.map(|vessel| &vessel.boat),
        base,
        now: moment(&visit.site),
        zone: visit.site.zone.clone(),
    };
    answer(&visit.site, vessel, &TidesAsk::read(&shore, asked))
}
