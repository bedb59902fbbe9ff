//! What changed between two walks: kit that is missing, levels, hours, damage.

use std::collections::{BTreeMap, BTreeSet};

use boat::model::{Boat, StoreKind};
use quantity::{Mass, Ratio, Time, Volume};

use crate::ids::{CharterId, EventId};
use crate::moment::Moment;
use crate::stage::Stage;
use crate::standing::{BoatStanding, CharterStanding, Damage, Standing};
use crate::what::{Amount, Level, Meter, Reading, Walk};

/// What hands say of one thing.
#[derive(Debug, Clone, PartialEq)]
pub enum Known<T> {
    /// They all say this.
    Agreed(T),
    /// They say these, in the order in which they said it.
    Disputed(Vec<T>),
}

/// What was found on a walk. What is absent was not counted or not read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Walked {
    /// Counts by kit line.
    pub counts: BTreeMap<String, Known<u32>>,
    /// What each meter showed.
    pub readings: BTreeMap<Meter, Known<Reading>>,
}

impl Walked {
    /// What a charter's hands found on a walk.
    pub fn of(charter: &CharterStanding, walk: Walk) -> Self {
        let here = |at: Walk| at == walk;
        let counts = charter.counts.iter().filter(|((at, _), _)| here(*at));
        let readings = charter.readings.iter().filter(|((at, _), _)| here(*at));
        Self {
            counts: counts
                .filter_map(|((_, line), said)| {
                    Some((line.clone(), known(said.iter().map(|one| one.count))?))
                })
                .collect(),
            readings: readings
                .filter_map(|((_, meter), said)| {
                    Some((meter.clone(), known(said.iter().map(|one| one.reading.clone()))?))
                })
                .collect(),
        }
    }

    /// The same, with what another walk found where this one found nothing.
    #[must_use]
    pub fn or(mut self, other: Self) -> Self {
        for (line, count) in other.counts {
            self.counts.entry(line).or_insert(count);
        }
        for (meter, reading) in other.readings {
            self.readings.entry(meter).or_insert(reading);
        }
        self
    }
}

fn known<T: PartialEq>(said: impl Iterator<Item = T>) -> Option<Known<T>> {
    let mut different: Vec<T> = Vec::new();
    for one in said {
        if !different.contains(&one) {
            different.push(one);
        }
    }
    match different.len() {
        0 => None,
        1 => different.pop().map(Known::Agreed),
        _ => Some(Known::Disputed(different)),
    }
}

/// A kit line whose count changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KitChange {
    /// The line.
    pub line: String,
    /// How many went out.
    pub expected: u32,
    /// How many came back.
    pub counted: u32,
}

/// What went into the stores in between.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Filled {
    /// Liquid by store.
    pub volumes: BTreeMap<String, Volume>,
    /// Gas by store.
    pub masses: BTreeMap<String, Mass>,
    /// Stores that were emptied.
    pub emptied: BTreeSet<String>,
}

impl Filled {
    /// What went into a boat's stores between two moments.
    pub fn between(boat: &BoatStanding, from: Moment, until: Moment) -> Self {
        let mut filled = Self::default();
        for (store, filling) in
            boat.fillings.iter().flat_map(|(store, all)| all.iter().map(move |one| (store, one)))
        {
            if filling.mark.when <= from || filling.mark.when > until {
                continue;
            }
            match filling.amount {
                Some(Amount::Volume(volume)) => *filled.volumes.entry(store.clone()).or_default() += volume,
                Some(Amount::Mass(mass)) => *filled.masses.entry(store.clone()).or_default() += mass,
                None => {
                    filled.emptied.insert(store.clone());
                }
            }
        }
        filled
    }
}

/// How an amount in a store, or the hours of an engine, changed.
#[derive(Debug, Clone, PartialEq)]
pub struct Change<T> {
    /// The store or engine.
    pub of: String,
    /// What there was when she went out.
    pub out: T,
    /// What there was when she came back.
    pub back: T,
    /// What was put in in between.
    pub filled: T,
    /// What was used: out and filled, less back. Of a tank that was emptied, or a waste tank, it says little.
    pub used: T,
    /// How far its gauge may be off, if the boat file says it.
    pub give_or_take: Option<T>,
}

/// Damage of a charter.
#[derive(Debug, Clone, PartialEq)]
pub struct Harmed {
    /// The event that told of it.
    pub event: EventId,
    /// What it says.
    pub damage: Damage,
    /// Defects of the same item that were known before the crew took her over.
    pub known_before: BTreeSet<EventId>,
}

/// What changed between two walks.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Differences {
    /// Kit of which fewer came back.
    pub missing: Vec<KitChange>,
    /// Kit of which more came back.
    pub extra: Vec<KitChange>,
    /// Kit lines that were counted on one walk only.
    pub uncounted: BTreeSet<String>,
    /// Kit lines and meters on which hands disagree, on either walk.
    pub disputed_kit: BTreeSet<String>,
    /// Meters on which hands disagree, on either walk.
    pub disputed_meters: BTreeSet<Meter>,
    /// Meters that were read on one walk only, or that the boat file does not know.
    pub unread: BTreeSet<Meter>,
    /// Tanks.
    pub tanks: Vec<Change<Volume>>,
    /// Bottles.
    pub gas: Vec<Change<Mass>>,
    /// Engines; over the meter's change if there was one.
    pub hours: Vec<Change<Time>>,
    /// Damage that was told of; only [`differences`] fills it in.
    pub damage: Vec<Harmed>,
}

/// What changed between two walks.
pub fn compare(out: &Walked, back: &Walked, boat: &Boat, filled: &Filled) -> Differences {
    let mut found = Differences::default();
    let lines: BTreeSet<&String> = out.counts.keys().chain(back.counts.keys()).collect();
    for line in lines {
        compare_kit(&mut found, line, out.counts.get(line), back.counts.get(line));
    }
    let meters: BTreeSet<&Meter> = out.readings.keys().chain(back.readings.keys()).collect();
    for meter in meters {
        match (out.readings.get(meter), back.readings.get(meter)) {
            (Some(Known::Agreed(out)), Some(Known::Agreed(back))) => {
                if compare_meter(&mut found, boat, filled, out, back).is_none() {
                    found.unread.insert(meter.clone());
                }
            }
            (Some(_), Some(_)) => {
                found.disputed_meters.insert(meter.clone());
            }
            _ => {
                found.unread.insert(meter.clone());
            }
        }
    }
    found
}

fn compare_kit(found: &mut Differences, line: &str, out: Option<&Known<u32>>, back: Option<&Known<u32>>) {
    match (out, back) {
        (Some(Known::Agreed(expected)), Some(Known::Agreed(counted))) => {
            let change = KitChange { line: line.to_owned(), expected: *expected, counted: *counted };
            if counted < expected {
                found.missing.push(change);
            } else if counted > expected {
                found.extra.push(change);
            }
        }
        (Some(_), Some(_)) => {
            found.disputed_kit.insert(line.to_owned());
        }
        _ => {
            found.uncounted.insert(line.to_owned());
        }
    }
}

/// Nothing if the boat file does not know the store.
fn compare_meter(
    found: &mut Differences,
    boat: &Boat,
    filled: &Filled,
    out: &Reading,
    back: &Reading,
) -> Option<()> {
    match (out, back) {
        (Reading::EngineHours { engine, hours: out }, Reading::EngineHours { hours: back, .. }) => {
            found.hours.push(change(engine, *out, *back, Time::ZERO, *back - *out, None));
        }
        (Reading::Tank { store, level: out }, Reading::Tank { level: back, .. }) => {
            let (whole, off) = tank(boat, store)?;
            let (out, back) = (volume(*out, whole), volume(*back, whole));
            let filled = filled.volumes.get(store).copied().unwrap_or_default();
            found.tanks.push(change(
                store,
                out,
                back,
                filled,
                out + filled - back,
                off.map(|off| whole * off),
            ));
        }
        (Reading::Gas { store, mass: out }, Reading::Gas { mass: back, .. }) => {
            let filled = filled.masses.get(store).copied().unwrap_or_default();
            found.gas.push(change(store, *out, *back, filled, *out + filled - *back, None));
        }
        // Batteries are charged again alongside; what they showed is kept, and nothing is made of it.
        _ => {}
    }
    Some(())
}

fn change<T>(of: &str, out: T, back: T, filled: T, used: T, give_or_take: Option<T>) -> Change<T> {
    Change { of: of.to_owned(), out, back, filled, used, give_or_take }
}

/// What all tanks of a store hold, and how far its gauge may be off.
fn tank(boat: &Boat, store: &str) -> Option<(Volume, Option<Ratio>)> {
    let store = boat.stores.iter().find(|row| row.id == store)?;
    match store.kind {
        StoreKind::Tank(_, each) => Some((each * f64::from(store.count), store.gauge_error)),
        _ => None,
    }
}

pub(crate) fn volume(level: Level, whole: Volume) -> Volume {
    match level {
        Level::Part(part) => whole * part,
        Level::Volume(volume) => volume,
    }
}

/// What changed on a charter: between check-out (where it found nothing, what the base found when it made her ready)
/// and hand-back, with the damage that was told of. Nothing if the charter is not known.
pub fn differences(standing: &Standing, id: &CharterId, boat: &Boat) -> Option<Differences> {
    let charter = standing.charters.get(id)?;
    let out = Walked::of(charter, Walk::CheckOut).or(Walked::of(charter, Walk::Readying));
    let back = Walked::of(charter, Walk::HandBack);
    let records = standing.boats.get(&charter.boat)?;
    let taken = charter.came_to(Stage::CheckedOut);
    let returned = charter.came_to(Stage::HandedBack).unwrap_or(Moment::from_milliseconds(i64::MAX));
    let filled = taken.map(|taken| Filled::between(records, taken, returned)).unwrap_or_default();
    let mut found = compare(&out, &back, boat, &filled);
    for hours in &mut found.hours {
        if let Some((out, back)) = in_all(records, id, &hours.of) {
            *hours = change(&hours.of, out, back, Time::ZERO, back - out, None);
        }
    }
    found.damage =
        charter.damage.iter().map(|(event, damage)| harmed(records, *event, damage, taken)).collect();
    Some(found)
}

/// An engine's hours in all when the crew took her over and when she came back.
fn in_all(boat: &BoatStanding, charter: &CharterId, engine: &str) -> Option<(Time, Time)> {
    let sights = boat.meters.get(&Meter::EngineHours(engine.to_owned()))?;
    let on = |walk: Walk| {
        let here = sights
            .iter()
            .filter(move |sight| sight.walk == walk && sight.mark.charter.as_ref() == Some(charter));
        here.filter_map(|sight| sight.total).next_back()
    };
    Some((on(Walk::CheckOut).or_else(|| on(Walk::Readying))?, on(Walk::HandBack)?))
}

fn harmed(boat: &BoatStanding, event: EventId, damage: &Damage, taken: Option<Moment>) -> Harmed {
    let before = |when: Moment| taken.is_none_or(|taken| when <= taken);
    let same = boat.defects.values().filter(|defect| {
        defect.defect.item == damage.item
            && before(defect.found.when)
            && defect.found.when <= damage.mark.when
    });
    let known_before = same.map(crate::DefectStanding::id).collect();
    Harmed { event, damage: damage.clone(), known_before }
}
