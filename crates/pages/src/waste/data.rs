//! The answers for programs.

use boat::model::Boat;
use rules::{overview, words as say};
use serde_json::{Value, json};

use super::ask::WasteAsk;

/// What may go overboard, for programs.
pub fn waste_data(boat: &Boat, ask: &WasteAsk) -> Value {
    let chain = ask.whose.chain();
    let here = |authority: &rules::Authority| {
        let named = |(what, answer): (rules::Waste, rules::Answer)| (what.word().to_owned(), json!(answer));
        ask.answers(authority)
            .map(|all| all.into_iter().map(named).collect::<serde_json::Map<String, Value>>())
    };
    let one = |authority: &&rules::Authority| {
        let table = overview(authority).map(|table| {
            let places: Vec<Value> = table
                .places
                .iter()
                .enumerate()
                .map(|(at, place)| {
                    let verdicts: serde_json::Map<String, Value> = table
                        .rows
                        .iter()
                        .map(|row| (row.what.word().to_owned(), json!(row.answers[at].verdict)))
                        .collect();
                    json!({ "where": place.words(), "place": place, "verdicts": verdicts })
                })
                .collect();
            places
        });
        json!({
            "rules": authority.id,
            "name": authority.name,
            "entered": authority.entered.to_string(),
            "here": here(authority),
            "everywhere": table,
            "zones": authority.zones,
            "beside": authority.beside(true).collect::<Vec<_>>(),
            "words": authority.discharges.iter().map(|rule| json!({
                "id": rule.id, "what": rule.what.word(), "verdict": rule.verdict, "words": rule.words, "citation": rule.citation,
            })).collect::<Vec<_>>(),
        })
    };
    json!({
        "boat": boat.particulars.name,
        "asked": {
            "rules": ask.whose.word(),
            "waters": ask.waters.map(rules::Waters::word),
            "zone": ask.zone.map(rules::ZoneKind::word),
            "from_land_nmi": ask.off.map(quantity::Length::as_nautical_miles),
        },
        "not_known": ask.unknown(),
        "authorities": chain.iter().map(one).collect::<Vec<_>>(),
        "known": chain.iter().flat_map(|one| say::coverage(one)).chain([say::listed()]).collect::<Vec<_>>(),
        "caution": say::WASTE_CAUTION,
    })
}
