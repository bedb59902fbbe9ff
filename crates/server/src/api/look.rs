//! Boats and charters as programs see them.

use std::collections::BTreeSet;

use axum::extract::{Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use pages::Moored;
use records::{BoatStanding, CharterId, CharterStanding, Life, Stage, Standing};
use serde_json::{Value, json};

use super::{failed, not_there};
use crate::answers;
use crate::app::{App, Failure, Shared};
use crate::fleet::Berth;

pub(super) async fn boats(State(app): State<Shared>) -> Response {
    let all: Vec<Value> = app.fleet.all().iter().map(|berth| short(&app, berth)).collect();
    answers::json(StatusCode::OK, &json!({ "boats": all }))
}

fn short(app: &App, berth: &Berth) -> Value {
    let slug = berth.moored.slug();
    let book = app.ledger.boat(slug);
    let open = book.standing.boats.get(&book.boat).map_or(0, |boat| boat.open_defects().count());
    let (name, readable) = match &berth.moored {
        Moored::Well(vessel) => (vessel.boat.particulars.name.as_str(), true),
        Moored::Wrecked(_) => (slug, false),
    };
    json!({ "boat": slug, "name": name, "revision": berth.revision, "readable": readable, "open_defects": open })
}

pub(super) async fn boat(State(app): State<Shared>, Path(slug): Path<String>) -> Response {
    let Some(berth) = app.fleet.get(&slug) else { return not_there("This base has no boat of that name.") };
    let book = app.ledger.boat(&slug);
    let mut value = short(&app, &berth);
    let none = BoatStanding::default();
    let standing = book.standing.boats.get(&book.boat).unwrap_or(&none);
    value["defects"] = standing.open_defects().map(defect).collect();
    let meters = standing.meters.values().filter_map(|sights| sights.last());
    value["readings"] = meters
        .map(|sight| json!({ "at": sight.mark.when.milliseconds(), "reading": json_of(&sight.reading) }))
        .collect();
    answers::json(StatusCode::OK, &value)
}

fn defect(defect: &records::DefectStanding) -> Value {
    json!({
        "defect": defect.id().to_string(), "item": defect.defect.item, "words": defect.defect.words,
        "severity": json_of(&defect.severity), "found": defect.found.when.milliseconds(),
    })
}

pub(super) async fn file(State(app): State<Shared>, Path(slug): Path<String>) -> Response {
    match app.store.newest_revision(&slug).await {
        Ok(Some(revision)) => ([(header::CONTENT_TYPE, "application/toml")], revision.text).into_response(),
        Ok(None) => not_there("This base has no boat of that name."),
        Err(error) => failed(&Failure::Store(error)),
    }
}

pub(super) async fn charters(State(app): State<Shared>) -> Response {
    let mut all: Vec<(CharterId, Value)> = Vec::new();
    for book in app.ledger.all() {
        let own = book.standing.charters.iter().filter(|(_, charter)| charter.boat == book.boat);
        all.extend(own.map(|(id, charter)| (id.clone(), told(id, charter))));
    }
    all.sort_by(|one, other| one.0.cmp(&other.0));
    let all: Vec<Value> = all.into_iter().map(|(_, value)| value).collect();
    answers::json(StatusCode::OK, &json!({ "charters": all }))
}

pub(super) async fn charter(State(app): State<Shared>, Path(charter): Path<String>) -> Response {
    let id = CharterId::new(charter.as_str());
    let book = match app.ledger.whole_charter(&app.store, &charter).await {
        Ok(book) => book,
        Err(error) => return failed(&Failure::Store(error)),
    };
    let found = book.as_ref().and_then(|book| Some((&book.standing, book.standing.charters.get(&id)?)));
    let Some((standing, charter)) = found else { return not_there("This base has no charter of that name.") };
    let mut value = told(&id, charter);
    let berth = app.fleet.get(charter.boat.as_str());
    if let Some(Moored::Well(vessel)) = berth.as_ref().map(|berth| &berth.moored) {
        value["lacks"] = lacks(standing, &id, vessel);
    }
    answers::json(StatusCode::OK, &value)
}

/// What is missing before the next stage, in one word each.
fn lacks(standing: &Standing, id: &CharterId, vessel: &pages::Vessel) -> Value {
    let rules = records::usual_rules(&vessel.boat);
    let missing = [Stage::Readied, Stage::CheckedOut, Stage::HandedBack, Stage::Settled];
    let missing = missing.into_iter().map(|stage| {
        let lacks = records::lacks(standing, id, stage, &rules);
        let must: BTreeSet<String> = lacks
            .iter()
            .filter(|lack| lack.force == records::Force::Must)
            .map(|lack| format!("{:?}", lack.need))
            .collect();
        json!({ "stage": word(stage), "must": must })
    });
    missing.collect()
}

fn told(id: &CharterId, charter: &CharterStanding) -> Value {
    let life = match charter.life {
        Life::Unknown => "unknown",
        Life::Cancelled => "cancelled",
        Life::At(stage) => word(stage),
    };
    let plan = charter.plan.as_ref().map(|(_, plan)| json_of(plan));
    json!({ "charter": id.as_str(), "boat": charter.boat.as_str(), "life": life, "plan": plan })
}

fn word(stage: Stage) -> &'static str {
    match stage {
        Stage::Planned => "planned",
        Stage::Readied => "readied",
        Stage::CheckedOut => "checked_out",
        Stage::Out => "out",
        Stage::HandedBack => "handed_back",
        Stage::Settled => "settled",
    }
}

fn json_of(value: &impl serde::Serialize) -> Value {
    serde_json::to_value(value).unwrap_or_default()
}
