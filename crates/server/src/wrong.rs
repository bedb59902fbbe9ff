//! What is wrong: the choice, the case as a screen, on paper and for programs.

use axum::extract::rejection::PathRejection;
use axum::extract::{Path, RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use pages::{CaseAsk, Known, Refused, Site, Vessel, WrongAsk, links, links::Room};
use records::BoatStanding;
use serde_json::json;

use crate::answers;
use crate::app::Shared;
use crate::handlers::{Slug, apart, no_boat, not_understood, pairs, with_standing};
use crate::visit::Visit;

type CasePath = Result<Path<(String, String)>, PathRejection>;

pub(crate) async fn choose(
    State(app): State<Shared>,
    visit: Visit,
    slug: Slug,
    RawQuery(query): RawQuery,
) -> Response {
    let question = pairs(query.as_deref());
    with_standing(&app, &visit, slug, |site, vessel, standing| {
        let ask = WrongAsk::read(&vessel.boat, &question);
        answers::page(pages::wrong_page(site, vessel, Known::of(standing), &ask))
    })
}

pub(crate) async fn case(
    State(app): State<Shared>,
    visit: Visit,
    path: CasePath,
    RawQuery(query): RawQuery,
) -> Response {
    off_thread(app, visit, path, query, |site, vessel, standing, symptom, question| {
        let asked = CaseAsk::read(vessel, symptom, question);
        // A symptom may itself be called so; only a name that is none is one with the ending for programs.
        if let (Err(Refused::Unknown(_)), Some(plain)) = (&asked, symptom.strip_suffix(".json")) {
            return data(vessel, CaseAsk::read(vessel, plain, question));
        }
        match asked {
            Ok(ask) => match ask.at_once(vessel) {
                Some(list) => answers::elsewhere(&list),
                None => answers::page(pages::case_page(site, vessel, Known::of(standing), &ask)),
            },
            Err(refused) => refuse(site, vessel, &refused),
        }
    })
    .await
}

pub(crate) async fn guide(
    State(app): State<Shared>,
    visit: Visit,
    path: CasePath,
    RawQuery(query): RawQuery,
) -> Response {
    off_thread(app, visit, path, query, |site, vessel, _, symptom, question| {
        match CaseAsk::read(vessel, symptom, question) {
            Ok(ask) => answers::page(pages::guide_page(site, vessel, &ask)),
            Err(refused) => refuse(site, vessel, &refused),
        }
    })
    .await
}

/// Cases are worked out off the threads that answer, few at a time.
async fn off_thread(
    app: Shared,
    visit: Visit,
    path: CasePath,
    query: Option<String>,
    answer: impl FnOnce(&Site, &Vessel, Option<&BoatStanding>, &str, &[(String, String)]) -> Response
    + Send
    + 'static,
) -> Response {
    let Ok(Path((slug, symptom))) = path else { return no_boat(&visit) };
    let question = pairs(query.as_deref());
    apart(app, visit, move |app, visit| {
        with_standing(app, visit, Ok(Path(slug)), |site, vessel, standing| {
            answer(site, vessel, standing, &symptom, &question)
        })
    })
    .await
}

fn data(vessel: &Vessel, asked: Result<CaseAsk<'_>, Refused>) -> Response {
    match asked {
        Ok(ask) => {
            let value = pages::case_json(&vessel.boat, &ask.symptom, &ask.case, &ask.next());
            answers::json(StatusCode::OK, &value)
        }
        Err(Refused::Unknown(what)) => answers::json(StatusCode::NOT_FOUND, &json!({ "error": what })),
        Err(Refused::Unclear(what)) => answers::json(StatusCode::BAD_REQUEST, &json!({ "error": what })),
        Err(Refused::Emergency(list)) => answers::elsewhere(&list),
    }
}

fn refuse(site: &Site, vessel: &Vessel, refused: &Refused) -> Response {
    let back = links::room(&vessel.slug, Room::Wrong);
    match refused {
        Refused::Unknown(what) => {
            answers::not_found(pages::not_found(site, what, Some((&back, "What is wrong?"))))
        }
        Refused::Emergency(list) => answers::elsewhere(list),
        Refused::Unclear(what) => not_understood(site, vessel, Room::Wrong, what),
    }
}
