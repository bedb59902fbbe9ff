//! One handler a page: find the boat, read the question, call one pure function, answer.

use std::sync::Arc;

use axum::extract::rejection::PathRejection;
use axum::extract::{Path, RawQuery, State};
use axum::http::Uri;
use axum::response::Response;
use jiff::Timestamp;
use jiff::civil::Date;
use pages::{Asked, Known, Moored, NowAsk, PlanAsk, Site, SlipsAsk, Vessel, links, links::Room};
use records::BoatStanding;

use crate::answers;
use crate::app::{App, Shared};
use crate::visit::Visit;

pub(crate) type Slug = Result<Path<String>, PathRejection>;

pub(crate) async fn fleet(State(app): State<Shared>, visit: Visit) -> Response {
    let berths = app.fleet.all();
    let books: Vec<_> = berths.iter().map(|berth| app.ledger.boat(berth.moored.slug())).collect();
    let boats: Vec<_> =
        berths.iter().zip(&books).map(|(berth, book)| (&berth.moored, &book.standing)).collect();
    answers::page(pages::fleet_page(&visit.site, &boats))
}

pub(crate) async fn about(visit: Visit) -> Response {
    answers::page(pages::about_page(&visit.site))
}

pub(crate) async fn health(State(app): State<Shared>) -> Response {
    let boats = app.fleet.all();
    let well = boats.iter().filter(|berth| matches!(berth.moored, Moored::Well(_))).count();
    match app.store.setting("health").await {
        Ok(_) => {
            answers::text(format!("well: {well} of {} boats are readable, the store answers\n", boats.len()))
        }
        Err(error) => answers::unwell(format!("unwell: {error}\n")),
    }
}

pub(crate) async fn asset(visit: Visit, uri: Uri) -> Response {
    match pages::assets().iter().find(|asset| asset.path == uri.path()) {
        Some(asset) => answers::asset(asset),
        None => nowhere(visit, uri).await,
    }
}

pub(crate) async fn plan(
    State(app): State<Shared>,
    visit: Visit,
    slug: Slug,
    RawQuery(query): RawQuery,
) -> Response {
    let question = pairs(query.as_deref());
    let ask = PlanAsk {
        level: value(&question, "level").map(str::to_owned),
        place: value(&question, "place").map(str::to_owned),
        q: value(&question, "q").unwrap_or_default().to_owned(),
    };
    with_standing(&app, &visit, slug, |site, vessel, standing| {
        answers::page(pages::plan_page(site, vessel, Known::of(standing), &ask))
    })
}

pub(crate) async fn steps(State(app): State<Shared>, visit: Visit, slug: Slug) -> Response {
    aboard(&app, &visit, slug, |site, vessel| answers::page(pages::steps_page(site, vessel)))
}

pub(crate) async fn procedure(
    State(app): State<Shared>,
    visit: Visit,
    path: Result<Path<(String, String)>, PathRejection>,
) -> Response {
    let Ok(Path((slug, id))) = path else { return no_boat(&visit) };
    with_standing(&app, &visit, Ok(Path(slug)), |site, vessel, standing| {
        if let Some(procedure) = vessel.boat.procedure(&id) {
            return answers::page(pages::procedure_page(site, vessel, Known::of(standing), procedure));
        }
        let what = format!("{} has no step list of that name.", vessel.boat.particulars.name);
        let back = links::room(&vessel.slug, Room::Steps);
        answers::not_found(pages::not_found(site, &what, Some((&back, "All step lists"))))
    })
}

pub(crate) async fn items(
    State(app): State<Shared>,
    visit: Visit,
    slug: Slug,
    RawQuery(query): RawQuery,
) -> Response {
    let question = pairs(query.as_deref());
    let looked_for = value(&question, "q").unwrap_or_default();
    with_standing(&app, &visit, slug, |site, vessel, standing| {
        answers::page(pages::items_page(site, vessel, Known::of(standing), looked_for))
    })
}

pub(crate) async fn slips(
    State(app): State<Shared>,
    visit: Visit,
    slug: Slug,
    RawQuery(query): RawQuery,
) -> Response {
    let question = pairs(query.as_deref());
    aboard(&app, &visit, slug, |site, vessel| match SlipsAsk::read(&vessel.boat, &question) {
        Ok(ask) => answers::page(pages::slips_page(site, vessel, &ask)),
        Err(what) => not_understood(site, vessel, Room::Slips, &what),
    })
}

pub(crate) async fn proof(State(app): State<Shared>, visit: Visit, slug: Slug) -> Response {
    aboard(&app, &visit, slug, |site, vessel| answers::page(pages::proof_page(site, vessel)))
}

pub(crate) async fn kit(State(app): State<Shared>, visit: Visit, slug: Slug) -> Response {
    aboard(&app, &visit, slug, |site, vessel| answers::page(pages::kit_page(site, vessel)))
}

pub(crate) async fn upkeep(State(app): State<Shared>, visit: Visit, slug: Slug) -> Response {
    aboard(&app, &visit, slug, |site, vessel| answers::page(pages::upkeep_page(site, vessel)))
}

/// The way from how she stands; looked for on a thread of its own, few at a time.
pub(crate) async fn now(
    State(app): State<Shared>,
    visit: Visit,
    slug: Slug,
    RawQuery(query): RawQuery,
) -> Response {
    let question = pairs(query.as_deref());
    apart(app, visit, move |app, visit| aboard(app, visit, slug, |site, vessel| way(site, vessel, &question)))
        .await
}

fn way(site: &Site, vessel: &Vessel, question: &[(String, String)]) -> Response {
    let model = operate::Model::new(&vessel.boat);
    let ask = match NowAsk::read(&model, question) {
        Ok(ask) => ask,
        Err(what) => return not_understood(site, vessel, Room::Now, &what),
    };
    let shortest = ask.shortest(&vessel.boat);
    if shortest != question {
        let pairs: Vec<(&str, &str)> =
            shortest.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
        return answers::elsewhere(&links::query(&links::room(&vessel.slug, Room::Now), &pairs));
    }
    answers::page(pages::now_page(site, vessel, &ask, Asked::look(&model, &ask).as_ref()))
}

pub(crate) async fn nowhere(visit: Visit, uri: Uri) -> Response {
    let what = format!("Nothing is kept at {}.", uri.path());
    answers::not_found(pages::not_found(&visit.site, &what, None))
}

pub(crate) async fn read_only(visit: Visit) -> Response {
    let what = "These pages can only be read; nothing can be sent to them.";
    answers::not_allowed(pages::not_understood(&visit.site, what, ("/about", "About Becket")))
}

/// Answers about a boat, if there is one of that name and her file could be read.
pub(crate) fn aboard(
    app: &App,
    visit: &Visit,
    slug: Slug,
    answer: impl FnOnce(&Site, &Vessel) -> Response,
) -> Response {
    let found = slug.ok().and_then(|Path(slug)| app.fleet.get(&slug));
    match found.as_deref().map(|berth| &berth.moored) {
        Some(Moored::Well(vessel)) => answer(&visit.site, vessel),
        Some(Moored::Wrecked(wreck)) => answers::not_readable(pages::wreck_page(&visit.site, wreck)),
        None => no_boat(visit),
    }
}

/// As [`aboard`], with how she stands by her records.
pub(crate) fn with_standing(
    app: &App,
    visit: &Visit,
    slug: Slug,
    answer: impl FnOnce(&Site, &Vessel, Option<&BoatStanding>) -> Response,
) -> Response {
    aboard(app, visit, slug, |site, vessel| {
        let book = app.ledger.boat(&vessel.slug);
        answer(site, vessel, book.standing.boats.get(&book.boat))
    })
}

/// Answers on a thread of its own, few at a time: what takes long must not hold up the others.
pub(crate) async fn apart(
    app: Shared,
    visit: Visit,
    work: impl FnOnce(&App, &Visit) -> Response + Send + 'static,
) -> Response {
    let Ok(permit) = app.searches.acquire().await else { return answers::broken(&visit.site) };
    let (working, visiting) = (Arc::clone(&app), visit.clone());
    let answer = tokio::task::spawn_blocking(move || work(&working, &visiting)).await;
    drop(permit);
    answer.unwrap_or_else(|_| answers::broken(&visit.site))
}

/// Now by the clocks of the base.
pub(crate) fn moment(site: &Site) -> Timestamp {
    Timestamp::from_millisecond(site.now.milliseconds()).unwrap_or(Timestamp::UNIX_EPOCH)
}

/// Today by the clocks of the base.
pub(crate) fn today(site: &Site) -> Date {
    moment(site).to_zoned(site.zone.clone()).date()
}

pub(crate) fn no_boat(visit: &Visit) -> Response {
    answers::not_found(pages::not_found(&visit.site, "This base has no boat of that name.", None))
}

pub(crate) fn not_understood(site: &Site, vessel: &Vessel, room: Room, what: &str) -> Response {
    let back = links::room(&vessel.slug, room);
    answers::not_understood(pages::not_understood(site, what, (&back, "Ask again")))
}

pub(crate) fn pairs(query: Option<&str>) -> Vec<(String, String)> {
    form_urlencoded::parse(query.unwrap_or_default().as_bytes()).into_owned().collect()
}

/// What stands in a question under a name; nothing if it is not asked.
pub(crate) fn value<'q>(question: &'q [(String, String)], key: &str) -> Option<&'q str> {
    question.iter().find(|(name, _)| name == key).map(|(_, value)| value.as_str())
}
