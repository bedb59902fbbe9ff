//! How full stores are at the start, and where readings on the way belong.

use boat::diagnostic::{Diagnostic, nearest};
use boat::model::{BankFacts, Boat, StoreId};
use boat::source::Span;
use boat::trip::{Sight, Trip};
use quantity::{Ratio, Time};

use super::ledger::Ledgers;
use super::timeline::{DAY_MINUTES, Timeline};
use super::{BankPlan, Gauge, Reading};
use crate::battery::{BankSpec, Chemistry};

/// The part of its rated capacity that a bank in use has, where nobody measured it (our judgement: between new and
/// the four fifths at which it is commonly renewed).
const USUAL_HEALTH: Ratio = Ratio::plain(0.88);
/// How far a battery monitor may be off (common practice).
const BANK_GAUGE: f64 = 0.05;

/// The banks of a boat as the reckoning sees them.
pub(super) fn banks(boat: &Boat, trip: &Trip, faults: &mut Vec<Diagnostic>) -> Vec<BankPlan> {
    known_levels(boat, trip, faults);
    let mut banks = Vec::new();
    for (store, row) in boat.stores.iter_ids() {
        let Some(facts) = row.bank() else { continue };
        let spec = spec_of(facts);
        if let Err(error) = spec.check() {
            faults.push(
                Diagnostic::error("bank", trip.span, format!("{}: {}", row.name, error.what))
                    .expected("a battery of the boat file with figures that can be")
                    .mend(format!("In the boat file: {}", error.mend)),
            );
            continue;
        }
        banks.push(BankPlan {
            store,
            spec,
            usable: row.usable,
            health_known: facts.health.is_some(),
            start: level(boat, trip, store).unwrap_or(Ratio::plain(1.0)),
            gauge_error: row.gauge_error.map_or(BANK_GAUGE, Ratio::as_plain),
        });
    }
    banks
}

/// A plan that was written for another boat.
pub(super) fn another_boat(boat: &Boat, trip: &Trip, notes: &mut Vec<Diagnostic>) {
    let Some(named) = trip.boat.as_ref().filter(|named| **named != boat.particulars.name) else { return };
    notes.push(
        Diagnostic::warning("another-boat", trip.span, format!("The plan was written for \"{named}\"."))
            .expected(format!("boat = \"{}\"", boat.particulars.name))
            .mend("Look whether this is the right boat file; then correct `boat` in [plan]."),
    );
}

/// The facts of a bank at its expected health.
pub(crate) fn spec_of(facts: &BankFacts) -> BankSpec {
    let chemistry = match facts.chemistry {
        boat::model::Chemistry::Flooded => Chemistry::Flooded,
        boat::model::Chemistry::Agm => Chemistry::Agm,
        boat::model::Chemistry::Gel => Chemistry::Gel,
        boat::model::Chemistry::Lfp => Chemistry::Lfp,
    };
    BankSpec {
        nominal: facts.voltage,
        health: facts.health.unwrap_or(USUAL_HEALTH),
        accepts: facts.accepts,
        bulk: facts.bulk,
        float: facts.float,
        in_per_out: facts.in_per_out,
        resistance: facts.resistance,
        ..BankSpec::new(chemistry, facts.capacity)
    }
}

/// How full each ledger is: full, or of waste empty, unless the plan says otherwise.
pub(super) fn ledgers(boat: &Boat, trip: &Trip, ledgers: &Ledgers, faults: &mut Vec<Diagnostic>) -> Vec<f64> {
    let _ = faults;
    ledgers
        .all
        .iter()
        .map(|ledger| {
            let (mut held, mut all) = (0.0, 0.0);
            for (store, size) in &ledger.parts {
                let usual = if ledger.fills() { 0.0 } else { 1.0 };
                held += size * level(boat, trip, *store).map_or(usual, Ratio::as_plain);
                all += size;
            }
            if all > 0.0 { held / all } else { 0.0 }
        })
        .collect()
}

fn level(boat: &Boat, trip: &Trip, store: StoreId) -> Option<Ratio> {
    trip.levels.iter().find(|level| level.store == boat.stores[store].id).map(|level| level.level)
}

fn known_levels(boat: &Boat, trip: &Trip, faults: &mut Vec<Diagnostic>) {
    for level in &trip.levels {
        store_named(boat, &level.store, level.span, faults);
    }
}

fn store_named(boat: &Boat, id: &str, span: Span, faults: &mut Vec<Diagnostic>) -> Option<StoreId> {
    let found = boat.stores.iter_ids().find(|(_, store)| store.id == id).map(|(id, _)| id);
    if found.is_none() {
        faults.push(
            Diagnostic::error("unknown-name", span, format!("The boat has no store \"{id}\"."))
                .expected("the id of an entry of [stores] of the boat file")
                .near(nearest(id, boat.stores.iter().map(|store| store.id.as_str())))
                .mend("Mend the name."),
        );
    }
    found
}

/// The readings, placed in time and at their gauges, in the order of time.
pub(super) fn readings(
    boat: &Boat,
    trip: &Trip,
    (timeline, step): (&Timeline, Time),
    (banks, ledgers): (&[BankPlan], &Ledgers),
    faults: &mut Vec<Diagnostic>,
) -> Vec<Reading> {
    let mut placed = Vec::new();
    for (number, reading) in trip.readings.iter().enumerate() {
        let minute = (reading.day - 1) * DAY_MINUTES + reading.at.minutes();
        if minute < timeline.begin || minute > timeline.end {
            faults.push(
                Diagnostic::error(
                    "outside-trip",
                    reading.span,
                    format!("Day {} at {} is not in the trip.", reading.day, reading.at),
                )
                .expected("a time between take-over and hand-back")
                .mend("Correct `day` or `at`."),
            );
            continue;
        }
        let store = match &reading.store {
            Some(id) => match store_named(boat, id, reading.span, faults) {
                Some(store) => Some(store),
                None => continue,
            },
            None => None,
        };
        let of = store.and_then(|store| {
            let bank = banks.iter().position(|bank| bank.store == store).map(Gauge::Bank);
            bank.or_else(|| ledgers.of_store(store).map(Gauge::Ledger))
        });
        if matches!((reading.sight, of), (Sight::Voltage(_), Some(Gauge::Ledger(_)))) {
            faults.push(
                Diagnostic::error("reading", reading.span, "A tank has no voltage.")
                    .expected("`level` for a tank or a bottle")
                    .mend("Write `level`, or name a battery."),
            );
            continue;
        }
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the trip")]
        let at = (Time::minutes(f64::from(minute - timeline.begin)) / step).round() as usize;
        placed.push(Reading { step: at.max(1) - 1, minute, of, store, sight: reading.sight, number });
    }
    placed.sort_by_key(|reading| (reading.step, reading.number));
    placed
}
