//! What the events of a boat and her charters say, in words.

use boat::model::Boat;
use records::{BoatId, BoatStanding, ChargeKey, EventId, Look, Showing, Standing, What};

use super::stage::{item_name, kit_name, people, upkeep_of};
use crate::dock::{Handover, Names, occasion, reading, role_name, severity};
use crate::frame::Site;
use crate::{when, words};

/// What is known of a boat while her events are told.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Speech<'a> {
    /// The boat as her file has her.
    pub(crate) boat: &'a Boat,
    /// Her name in the records.
    pub(crate) id: &'a BoatId,
    /// How all of her records stand.
    pub(crate) standing: &'a Standing,
    /// What people are called.
    pub(crate) names: &'a Names,
}

impl<'a> Speech<'a> {
    /// Of the boat of a charter.
    pub(crate) fn on(over: &Handover<'a>) -> Self {
        Self { boat: over.boat(), id: &over.stands.boat, standing: over.standing, names: over.names }
    }

    fn records(&self) -> Option<&'a BoatStanding> {
        self.standing.boats.get(self.id)
    }

    fn item(&self, id: &str) -> String {
        item_name(self.boat, id)
    }

    fn kit(&self, id: &str) -> String {
        kit_name(self.boat, id)
    }

    /// What an event says, in words.
    pub(crate) fn said(&self, site: &Site, what: &What) -> String {
        self.charter(site, what)
            .or_else(|| self.walk(what))
            .or_else(|| self.trouble(what))
            .unwrap_or_else(|| other(self.boat, what))
    }

    fn charter(&self, site: &Site, what: &What) -> Option<String> {
        let plan = |plan: &records::Plan| {
            let (from, until) =
                (when::moment(site, plan.from.moment()), when::moment(site, plan.until.moment()));
            format!("{from} to {until}, {}.", people(plan.crew))
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
                let name = self.names.of(&one.person, self.standing);
                format!("{name} signed as {} ({}).", role_name(one.role), occasion(one.walk))
            }
            What::Noted { words } => format!("Note: {}", words::sentence(words)),
            What::ChargeAdded { reason, amount } => {
                format!("Charge of {amount}: {}", words::sentence(reason))
            }
            What::ChargeWaived { charge, amount, reason } => {
                let how_much = amount.map_or_else(|| "All".to_owned(), |amount| amount.to_string());
                format!("{how_much} of {} waived: {}", self.charge_name(charge), words::sentence(reason))
            }
            What::PersonRemoved { .. } => "A name was removed on request.".to_owned(),
            What::Withdrawn { reason } => format!("Crossed out: {}", words::sentence(reason)),
            _ => return None,
        })
    }

    fn charge_name(&self, charge: &ChargeKey) -> String {
        match charge {
            ChargeKey::Kit(line) => format!("the charge for {}", self.kit(line)),
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

    fn walk(&self, what: &What) -> Option<String> {
        let noted = |note: &Option<String>| {
            note.as_ref().map(|note| format!(" {}", words::sentence(note))).unwrap_or_default()
        };
        Some(match what {
            What::Counted { walk, line, count, note } => {
                format!("{}: {count} ({}).{}", self.kit(line), occasion(*walk), noted(note))
            }
            What::Read { walk, reading: shown } => {
                format!("{}: {} ({}).", self.meter(shown), reading(self.boat, shown), occasion(*walk))
            }
            What::Checked { walk, item, look, note } => {
                let how = match look {
                    Look::Ok => "as it should be",
                    Look::NotOk => "not as it should be",
                    Look::NotLookedAt => "not looked at",
                };
                format!("{}: {how} ({}).{}", self.item(item), occasion(*walk), noted(note))
            }
            What::Briefed { topic, showing } => {
                let name = self.boat.topics.iter().find(|own| own.id == *topic);
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

    fn meter(&self, reading: &records::Reading) -> String {
        use records::Meter;
        match reading.meter() {
            Meter::EngineHours(engine) => self.item(&engine),
            Meter::Tank(id) | Meter::Voltage(id) | Meter::Charge(id) | Meter::Gas(id) => {
                store_name(self.boat, &id)
            }
        }
    }

    fn trouble(&self, what: &What) -> Option<String> {
        let of = |id: &EventId| {
            let found = self.records().and_then(|boat| boat.defects.get(id));
            found.map_or_else(
                || "a defect".to_owned(),
                |one| format!("the defect of {}", self.item(&one.defect.item)),
            )
        };
        Some(match what {
            What::Found(one) => {
                let words = words::sentence(&one.words);
                format!("Defect ({}) of {}: {words}", severity(one.severity), self.item(&one.item))
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
            What::Mended { defect, words, .. } => {
                format!("Mended {}: {}", of(defect), words::sentence(words))
            }
            What::Closed { defect, words } => format!("Closed {}: {}", of(defect), words::sentence(words)),
            What::SailsWith { defect, reason, .. } => {
                format!("Lets her go with {}: {}", of(defect), words::sentence(reason))
            }
            What::Called { symptom: id, advice, .. } => {
                format!("The crew called. {} Told to do: {}", symptom(self.boat, id), words::sentence(advice))
            }
            What::Damaged { item, words, estimate, .. } => {
                let cost = estimate.map(|cost| format!(" It may cost {cost}.")).unwrap_or_default();
                format!("Damage of {}: {}{cost}", self.item(item), words::sentence(words))
            }
            _ => return None,
        })
    }
}

/// What is told of the boat beside the charter.
fn other(boat: &Boat, what: &What) -> String {
    match what {
        What::UpkeepDone { line, .. } => format!("Upkeep done: {}.", upkeep_of(boat, line)),
        What::MeterReplaced { engine, .. } => {
            format!("The meter of {} was replaced.", item_name(boat, engine))
        }
        What::Filled { store, .. } => format!("Filled: {}.", store_name(boat, store)),
        What::Emptied { store } => format!("Emptied: {}.", store_name(boat, store)),
        What::StockCounted(pieces) => format!("In stock: {} × {}.", pieces.count, pieces.part),
        What::StockReceived(pieces) => {
            format!("Came into stock: {} × {}.", pieces.pieces.count, pieces.pieces.part)
        }
        What::StockUsed(pieces) => format!("Taken from stock: {} × {}.", pieces.count, pieces.part),
        _ => "Something that this version of Becket can't read. It is kept.".to_owned(),
    }
}

/// What a store is called.
pub(crate) fn store_name(boat: &Boat, id: &str) -> String {
    let found = boat.stores.iter().find(|store| store.id == id);
    found.map_or_else(|| words::spaced(id), |store| store.name.clone())
}

/// A symptom in a crew's words.
pub(crate) fn symptom(boat: &Boat, id: &str) -> String {
    let all = trace::symptoms(boat);
    let found = all.iter().find(|symptom| symptom.id == id);
    words::sentence(found.map_or(id, |symptom| symptom.words.as_str()))
}
