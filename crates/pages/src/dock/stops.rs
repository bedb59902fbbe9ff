//! The stops of a walk over a boat: her places in walking order, then her meters, then the briefing.

use std::collections::BTreeMap;

use boat::model::{Boat, ItemId, KitId, Level, PlaceId, StoreKind, TopicId};
use records::{Meter, Need, Stage, Walk, usual_rules};

use super::handover::{Handover, Walking};

/// The stop at which meters and gauges are read; no place of a boat file has a hyphen in its name.
pub(crate) const METERS: &str = "meters-and-gauges";
/// The stop at which the briefing is ticked off.
pub(crate) const BRIEFING: &str = "what-was-shown";

/// One stop: what is counted, read, looked at and shown there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stop {
    /// Its part of the address.
    pub id: String,
    /// Its name.
    pub name: String,
    /// The place of the boat that it is.
    pub place: Option<PlaceId>,
    /// What is counted.
    pub kit: Vec<KitId>,
    /// What is read.
    pub meters: Vec<Meter>,
    /// What is looked at, what matters in an emergency first.
    pub items: Vec<ItemId>,
    /// What is shown to the crew.
    pub topics: Vec<TopicId>,
}

/// How much of a stop is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Tally {
    /// How many are done.
    pub(crate) done: usize,
    /// Of how many that are asked for.
    pub(crate) of: usize,
}

impl std::ops::Add for Tally {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { done: self.done + other.done, of: self.of + other.of }
    }
}

/// The stops of a walk, in walking order; places with nothing to do are left out.
///
/// From the dock over the deck, from the stern to the bow; then below from the bow to the stern. What lies within a
/// place comes right after it.
pub fn stops(boat: &Boat, walk: Walking) -> Vec<Stop> {
    let mut all: Vec<Stop> = walking_order(boat).into_iter().map(|place| at(boat, place)).collect();
    all.retain(|stop| !(stop.kit.is_empty() && stop.items.is_empty() && stop.meters.is_empty()));
    let meters = meters(boat);
    let here: Vec<Meter> = meters.into_iter().filter(|meter| place_of(boat, meter).is_none()).collect();
    if !here.is_empty() {
        all.push(bare(METERS, "Meters and gauges", |stop| stop.meters = here));
    }
    if walk == Walking::CheckOut && !boat.topics.is_empty() {
        let topics = boat.topics.iter_ids().map(|(id, _)| id).collect();
        all.push(bare(BRIEFING, "What was shown and told", |stop| stop.topics = topics));
    }
    all
}

fn bare(id: &str, name: &str, fill: impl FnOnce(&mut Stop)) -> Stop {
    let (id, name) = (id.to_owned(), name.to_owned());
    let (kit, meters, items, topics) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    let mut stop = Stop { id, name, place: None, kit, meters, items, topics };
    fill(&mut stop);
    stop
}

fn at(boat: &Boat, place: PlaceId) -> Stop {
    let row = &boat.places[place];
    let mut items: Vec<ItemId> =
        boat.items.iter_ids().filter(|(_, item)| item.place == place).map(|(id, _)| id).collect();
    items.sort_by_key(|id| !boat.items[*id].emergency);
    Stop {
        id: row.id.clone(),
        name: row.name.clone(),
        place: Some(place),
        kit: boat.kit.iter_ids().filter(|(_, line)| line.place == place).map(|(id, _)| id).collect(),
        meters: meters(boat).into_iter().filter(|meter| place_of(boat, meter) == Some(place)).collect(),
        items,
        topics: Vec::new(),
    }
}

/// All meters of a boat: engine hours and tanks that the usual rules ask for, then banks and bottles.
pub(crate) fn meters(boat: &Boat) -> Vec<Meter> {
    let asked = usual_rules(boat).into_iter().filter(|rule| rule.before == Stage::CheckedOut);
    let mut all: Vec<Meter> = asked
        .filter_map(|rule| match rule.need {
            Need::Read(Walk::CheckOut, meter) => Some(meter),
            _ => None,
        })
        .collect();
    for store in &boat.stores {
        match store.kind {
            StoreKind::Battery(_) => {
                all.extend([Meter::Voltage(store.id.clone()), Meter::Charge(store.id.clone())]);
            }
            StoreKind::Bottle(_) => all.push(Meter::Gas(store.id.clone())),
            StoreKind::Tank(..) => {}
        }
    }
    all
}

/// Bottles are weighed where they stand; all else is read together.
fn place_of(boat: &Boat, meter: &Meter) -> Option<PlaceId> {
    let Meter::Gas(id) = meter else { return None };
    let store = boat.stores.iter().find(|store| store.id == *id)?;
    Some(boat.items[store.item?].place)
}

/// The places in walking order.
fn walking_order(boat: &Boat) -> Vec<PlaceId> {
    let mut within: BTreeMap<Option<PlaceId>, Vec<PlaceId>> = BTreeMap::new();
    for (id, place) in boat.places.iter_ids() {
        within.entry(place.within).or_default().push(id);
    }
    for places in within.values_mut() {
        places.sort_by(|one, other| {
            key(boat, *one).partial_cmp(&key(boat, *other)).unwrap_or(std::cmp::Ordering::Equal)
        });
    }
    let mut order = Vec::new();
    let mut open: Vec<PlaceId> = within.get(&None).cloned().unwrap_or_default();
    open.reverse();
    while let Some(place) = open.pop() {
        order.push(place);
        open.extend(within.get(&Some(place)).into_iter().flatten().rev());
    }
    order
}

/// The level in walking order, then metres along the way.
fn key(boat: &Boat, place: PlaceId) -> (u8, f64) {
    let row = &boat.places[place];
    let aft = row.aft.as_metres();
    match row.level {
        Level::Dock => (0, -aft),
        Level::Deck => (1, -aft),
        Level::Aloft => (2, -aft),
        Level::Below => (3, aft),
        Level::Bilge => (4, aft),
    }
}

impl Stop {
    /// How much of it is done on a walk: every count, every meter that the rules ask for, what matters in an emergency,
    /// every subject of the briefing that is never left out.
    pub(crate) fn tally(&self, over: &Handover<'_>, walk: Walking) -> Tally {
        let (boat, at) = (over.boat(), walk.walk());
        let mut tally = Tally::default();
        let mut count = |done: bool| tally = tally + Tally { done: usize::from(done), of: 1 };
        for line in &self.kit {
            count(over.stands.counts.contains_key(&(at, boat.kit[*line].id.clone())));
        }
        for meter in self.meters.iter().filter(|meter| asked(meter)) {
            count(over.stands.readings.contains_key(&(at, meter.clone())));
        }
        for item in self.items.iter().map(|id| &boat.items[*id]).filter(|item| item.emergency) {
            let said = over.stands.looks.get(&(at, item.id.clone()));
            count(said.is_some_and(|said| said.iter().any(|one| one.look != records::Look::NotLookedAt)));
        }
        for topic in self.topics.iter().map(|id| &boat.topics[*id]).filter(|topic| topic.always) {
            let shown = over.stands.briefed.get(&topic.id);
            count(shown.is_some_and(|shown| shown.showing >= least(topic.shown)));
        }
        tally
    }
}

/// The least that counts as gone through.
pub(crate) fn least(shown: bool) -> records::Showing {
    if shown { records::Showing::Shown } else { records::Showing::ToldOnly }
}

/// Whether the usual rules ask for a meter; the others are read where a base does that.
pub(crate) fn asked(meter: &Meter) -> bool {
    matches!(meter, Meter::EngineHours(_) | Meter::Tank(_))
}
