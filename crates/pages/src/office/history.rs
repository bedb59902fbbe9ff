//! What was told of a charter, event by event, in words.

use maud::{Markup, html};
use records::{ChargeKey, Event, EventId, Look, Moment, Records, Showing, What};

use crate::dock::{Handover, occasion, reading, role_name, severity};
use crate::frame::Site;
use crate::{when, words};

/// The history, the latest first.
pub(crate) fn section(site: &Site, over: &Handover<'_>, records: &Records) -> Markup {
    let mut events: Vec<(Moment, &Event)> = records
        .events()
        .map(|(event, _)| event)
        .filter(|event| event.charter.as_ref() == Some(over.charter))
        .map(|event| (over.standing.when.get(&event.id).copied().unwrap_or(event.at), event))
        .collect();
    events.sort_by_key(|(when, event)| (*when, event.id));
    let together = |one: &(Moment, &Event), other: &(Moment, &Event)| {
        let (one, other) = (one.1, other.1);
        let kind = walk_part(&one.what);
        let plain = one.answers.is_none() && other.answers.is_none();
        kind.is_some() && kind == walk_part(&other.what) && one.who == other.who && plain
    };
    let groups: Vec<&[(Moment, &Event)]> = events.chunk_by(together).collect();
    html! {
        section.block #history {
            h2 { "History" }
            ol.history {
                @for group in groups.iter().rev() {
                    @if let [(when, event), ..] = group {
                        li {
                            span.soft { (when::moment(site, *when)) ", " (over.names.hand(&event.who)) ": " }
                            @if group.len() > 1 { (many(event, group.len())) } @else { (one(site, over, records, event)) }
                        }
                    }
                }
            }
        }
    }
}

/// What of a walk an event tells.
fn walk_part(what: &What) -> Option<(&'static str, Option<records::Walk>)> {
    match what {
        What::Counted { walk, .. } => Some(("kit", Some(*walk))),
        What::Read { walk, .. } => Some(("meters", Some(*walk))),
        What::Checked { walk, .. } => Some(("items", Some(*walk))),
        What::Briefed { .. } => Some(("topics", None)),
        _ => None,
    }
}

fn many(first: &Event, count: usize) -> String {
    match walk_part(&first.what) {
        Some(("kit", Some(walk))) => {
            format!("Counted {} ({}).", words::count(count, "line of kit", "lines of kit"), occasion(walk))
        }
        Some(("meters", Some(walk))) => {
            format!("Read {} ({}).", words::count(count, "meter", "meters and gauges"), occasion(walk))
        }
        Some(("items", Some(walk))) => {
            format!("Looked at {} ({}).", words::count(count, "item", "items"), occasion(walk))
        }
        _ => format!("Went through {} of the briefing.", words::count(count, "subject", "subjects")),
    }
}

/// One event, and what it corrects.
fn one(site: &Site, over: &Handover<'_>, records: &Records, event: &Event) -> Markup {
    let answered = event.answers.and_then(|id| records.get(id));
    let corrected = over.standing.answers.contains_key(&event.id);
    html! {
        @if let Some(before) = answered {
            @if !matches!(event.what, What::Withdrawn { .. }) { strong { "Corrected: " } }
            (said(site, over, &event.what)) " "
            span.soft { "Before, " (when::moment(site, before.at)) ": " (said(site, over, &before.what)) }
        } @else { (said(site, over, &event.what)) }
        @if corrected { " " span.tag { "corrected later" } }
    }
}

/// What an event says.
fn said(site: &Site, over: &Handover<'_>, what: &What) -> String {
    charter(site, over, what)
        .or_else(|| walk(over, what))
        .or_else(|| trouble(over, what))
        .unwrap_or_else(|| other(what))
}

fn charter(site: &Site, over: &Handover<'_>, what: &What) -> Option<String> {
    let plan = |plan: &records::Plan| {
        let (from, until) = (when::moment(site, plan.from.moment()), when::moment(site, plan.until.moment()));
        format!("{from} to {until}, {}.", words::count(plan.crew as usize, "person", "people"))
    };
    Some(match what {
        What::Planned(one) => format!("Planned, {}", plan(one)),
        What::Changed(one) => format!("Plan changed, {}", plan(one)),
        What::Cancelled { reason } => format!("Cancelled: {}", words::sentence(reason)),
        What::Readied => "She is ready.".to_owned(),
        What::CheckedOut => "The crew has her.".to_owned(),
        What::Left => "She has left.".to_owned(),
        What::HandedBack => "She is back.".to_owned(),
        What::Settled => "All that is owed is agreed.".to_owned(),
        What::Signed(one) => {
            let name = over.names.of(&one.person, over.standing);
            format!("{name} signed as {} ({}).", role_name(one.role), occasion(one.walk))
        }
        What::Noted { words } => format!("Note: {}", words::sentence(words)),
        What::ChargeAdded { reason, amount } => format!("Charge of {amount}: {}", words::sentence(reason)),
        What::ChargeWaived { charge, amount, reason } => {
            let how_much = amount.map_or_else(|| "All".to_owned(), |amount| amount.to_string());
            format!("{how_much} of {} waived: {}", charge_name(over, charge), words::sentence(reason))
        }
        What::PersonRemoved { .. } => "A name was removed on request.".to_owned(),
        What::Withdrawn { reason } => format!("Taken back: {}", words::sentence(reason)),
        _ => return None,
    })
}

fn charge_name(over: &Handover<'_>, charge: &ChargeKey) -> String {
    match charge {
        ChargeKey::Kit(line) => format!("the charge for {}", over.kit(line)),
        ChargeKey::Fuel(_) => "the diesel".to_owned(),
        ChargeKey::Filling => "the work of filling up".to_owned(),
        ChargeKey::Gas(_) => "the gas".to_owned(),
        ChargeKey::PumpOut(_) => "the pump-out".to_owned(),
        ChargeKey::Water(_) => "the water".to_owned(),
        ChargeKey::Hours(_) => "the engine hours".to_owned(),
        ChargeKey::Cleaning => "the cleaning".to_owned(),
        ChargeKey::Late => "the lateness".to_owned(),
        ChargeKey::Damage(_) => "a damage".to_owned(),
        ChargeKey::Added(_) => "a charge that was added".to_owned(),
    }
}

fn walk(over: &Handover<'_>, what: &What) -> Option<String> {
    let noted = |note: &Option<String>| {
        note.as_ref().map(|note| format!(" {}", words::sentence(note))).unwrap_or_default()
    };
    Some(match what {
        What::Counted { walk, line, count, note } => {
            format!("{}: {count} ({}).{}", over.kit(line), occasion(*walk), noted(note))
        }
        What::Read { walk, reading: shown } => {
            format!("{}: {} ({}).", meter(over, shown), reading(over.boat(), shown), occasion(*walk))
        }
        What::Checked { walk, item, look, note } => {
            let how = match look {
                Look::Ok => "as it should be",
                Look::NotOk => "not as it should be",
                Look::NotLookedAt => "not looked at",
            };
            format!("{}: {how} ({}).{}", over.item(item), occasion(*walk), noted(note))
        }
        What::Briefed { topic, showing } => {
            let name = over.boat().topics.iter().find(|own| own.id == *topic);
            let name = name.map_or(topic.as_str(), |own| own.name.as_str());
            let how = match showing {
                Showing::Shown => "shown",
                Showing::ToldOnly => "told only",
                Showing::Read => "read by the crew",
                Showing::NotDone => "left out",
            };
            format!("Briefing, “{name}”: {how}.")
        }
        _ => return None,
    })
}

fn meter(over: &Handover<'_>, reading: &records::Reading) -> String {
    use records::Meter;
    match reading.meter() {
        Meter::EngineHours(engine) => over.item(&engine),
        Meter::Tank(id) | Meter::Voltage(id) | Meter::Charge(id) | Meter::Gas(id) => {
            let store = over.boat().stores.iter().find(|store| store.id == id);
            store.map_or(id, |store| store.name.clone())
        }
    }
}

fn trouble(over: &Handover<'_>, what: &What) -> Option<String> {
    let of = |id: &EventId| {
        let found = over.records().and_then(|boat| boat.defects.get(id));
        found.map_or_else(
            || "a defect".to_owned(),
            |one| format!("the defect of {}", over.item(&one.defect.item)),
        )
    };
    Some(match what {
        What::Found(one) => {
            let words = words::sentence(&one.words);
            format!("Defect ({}) of {}: {words}", severity(one.severity), over.item(&one.item))
        }
        What::SeenAgain { defect, words, .. } => {
            format!("Saw {} again: {}", of(defect), words::sentence(words))
        }
        What::Diagnosed { defect, .. } => format!("Found the cause of {}.", of(defect)),
        What::TaskSet { defect, words, .. } => {
            format!("To do about {}: {}", of(defect), words::sentence(words))
        }
        What::PartUsed { defect, pieces, .. } => {
            format!("Used {} × {} for {}.", pieces.count, pieces.part, of(defect))
        }
        What::Mended { defect, words, .. } => format!("Mended {}: {}", of(defect), words::sentence(words)),
        What::Closed { defect, words } => format!("Closed {}: {}", of(defect), words::sentence(words)),
        What::SailsWith { defect, reason, .. } => {
            format!("Lets her go with {}: {}", of(defect), words::sentence(reason))
        }
        What::Called { symptom: id, advice, .. } => {
            format!("The crew called. {} Told to do: {}", symptom(over, id), words::sentence(advice))
        }
        What::Damaged { item, words, estimate, .. } => {
            let cost = estimate.map(|cost| format!(" It may cost {cost}.")).unwrap_or_default();
            format!("Damage of {}: {}{cost}", over.item(item), words::sentence(words))
        }
        _ => return None,
    })
}

/// What is told of the boat beside the charter.
fn other(what: &What) -> String {
    match what {
        What::UpkeepDone { line, .. } => format!("Upkeep done: {line}."),
        What::MeterReplaced { engine, .. } => format!("The meter of {engine} was replaced."),
        What::Filled { store, .. } => format!("Filled: {store}."),
        What::Emptied { store } => format!("Emptied: {store}."),
        What::StockCounted(pieces) => format!("In stock: {} × {}.", pieces.count, pieces.part),
        What::StockReceived(pieces) => {
            format!("Came into stock: {} × {}.", pieces.pieces.count, pieces.pieces.part)
        }
        What::StockUsed(pieces) => format!("Taken from stock: {} × {}.", pieces.count, pieces.part),
        _ => "Something that this version of Becket can't read. It is kept.".to_owned(),
    }
}

/// A symptom in a crew's words.
pub(crate) fn symptom(over: &Handover<'_>, id: &str) -> String {
    let all = trace::symptoms(over.boat());
    let found = all.iter().find(|symptom| symptom.id == id);
    words::sentence(found.map_or(id, |symptom| symptom.words.as_str()))
}
