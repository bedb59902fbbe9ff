//! The answer for programs.

use boat::model::Boat;
use records::BoatStanding;
use rules::words as say;
use serde_json::{Value, json};

use super::aboard::{aboard, broken, dated};
use super::ask::EquipmentAsk;

/// What the law wants aboard, and what of it is there, for programs.
pub fn equipment_data(boat: &Boat, standing: Option<&BoatStanding>, ask: &EquipmentAsk) -> Value {
    let inquiry = ask.inquiry(boat, aboard(boat, standing));
    let chain = ask.whose.chain();
    let last = ask.dates.last();
    let facts: serde_json::Map<String, Value> = rules::Fact::ALL
        .into_iter()
        .map(|fact| (fact.word().to_owned(), json!(inquiry.vessel.says(fact))))
        .collect();
    let carried: Vec<Value> = inquiry
        .aboard
        .iter()
        .map(|line| {
            json!({
                "id": line.id,
                "name": line.name,
                "count": line.count,
                "expires": line.expires.map(|day| day.to_string()),
            })
        })
        .collect();
    json!({
        "boat": boat.particulars.name,
        "asked": {
            "rules": ask.whose.word(),
            "waters": ask.waters.map(rules::Waters::word),
            "from": ask.dates.first().to_string(),
            "until": last.to_string(),
            "adults": ask.crew.adults,
            "children_kg": ask.crew.children.iter().map(|mass| mass.as_kilograms()).collect::<Vec<_>>(),
            "length_m": boat.particulars.length.as_metres(),
            "facts": facts,
            "entrances": inquiry.vessel.entrances,
        },
        "not_known": ask.unknown(),
        "not_said": ask.questions(boat).into_iter().map(rules::Fact::word).collect::<Vec<_>>(),
        "aboard": carried,
        "checks": ask.checks(boat, standing).into_iter().map(|(_, found)| found).collect::<Vec<_>>(),
        "entered": chain.iter().map(|one| json!({ "rules": one.id, "day": one.entered.to_string() })).collect::<Vec<_>>(),
        "expires": dated(boat).into_iter().map(|(day, line)| json!({
            "kit": line.id, "until": day.to_string(), "in_date_on_last_day": day >= last,
        })).collect::<Vec<_>>(),
        "broken": broken(boat, standing).into_iter().map(|(name, words)| json!({ "item": name, "words": words })).collect::<Vec<_>>(),
        "beside": chain.iter().flat_map(|one| one.beside(false)).collect::<Vec<_>>(),
        "known": chain.iter().flat_map(|one| say::coverage(one)).chain([say::listed()]).collect::<Vec<_>>(),
        "cautions": [say::CAUTION, say::LAST_DAY],
    })
}
