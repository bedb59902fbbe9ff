//! Several boats as one fleet: what their records teach of each fault.

use std::collections::BTreeMap;

use boat::model::{Boat, Fault, FaultId, Id};
use quantity::{Ratio, Time};

use crate::WEEKS_A_YEAR;
use crate::learn::{Before, Demand, Fleet, Gamma, Rate, Record, Whose};

/// A charter year, in time in use.
pub fn charter_years(years: f64) -> Time {
    Time::weeks(years * WEEKS_A_YEAR)
}

/// What records say: so many failures of a fault of a boat in so many charter years.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// The boat, by its place among those asked about.
    pub boat: usize,
    /// The fault.
    pub fault: FaultId,
    /// How often it came.
    pub failures: u32,
    /// In how many charter years.
    pub years: f64,
}

/// One fault of one boat, with what was seen of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Unit {
    /// The boat, by its place among those asked about.
    pub boat: usize,
    /// The fault.
    pub fault: FaultId,
    /// How often it was seen.
    pub failures: u32,
    /// In how many charter years.
    pub years: f64,
}

/// What is known of the units of one kind.
#[derive(Debug, Clone)]
enum Known {
    /// Nothing of its kind is aboard elsewhere: the boat file's rate and its own records.
    Alone(Gamma),
    /// Several are alike, and learn from each other.
    Fleet(Fleet),
    /// The boat file says that it never comes.
    Never,
}

/// Faults of one kind: of one class, or of one id in several boats, with the same rate in the boat file.
#[derive(Debug, Clone)]
pub struct Kind {
    /// Its faults.
    pub units: Vec<Unit>,
    known: Known,
}

/// A learned rate, in failures a charter year.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Learned {
    /// The expected rate.
    pub mean: f64,
    /// The true rate is between this and `high` in nine cases of ten.
    pub low: f64,
    /// See `low`.
    pub high: f64,
}

impl Kind {
    fn of(units: Vec<Unit>, fault: &Fault) -> Self {
        let base = Rate::of(fault.per_year, charter_years(1.0));
        let known = if fault.per_year <= 0.0 {
            Known::Never
        } else if let [unit] = &units[..] {
            let before = Gamma::about(base, fault.weight);
            Known::Alone(if unit.years > 0.0 {
                before.update(unit.failures, charter_years(unit.years))
            } else {
                before
            })
        } else {
            let records: Vec<Record> = units
                .iter()
                .map(|unit| Record { failures: unit.failures, exposure: charter_years(unit.years) })
                .collect();
            Known::Fleet(Fleet::learn(&records, &Before::class(base, fault.weight)))
        };
        Self { units, known }
    }

    /// The expected rate of one of its units, a charter year.
    pub fn mean(&self, at: usize) -> f64 {
        let year = charter_years(1.0);
        match &self.known {
            Known::Alone(gamma) => gamma.mean().times_in(year),
            Known::Fleet(fleet) => fleet.rate(Whose::Boat(at)).mean().times_in(year),
            Known::Never => 0.0,
        }
    }

    /// What was learned of one of its units.
    pub fn learned(&self, at: usize) -> Learned {
        let year = charter_years(1.0);
        let (low, high) = match &self.known {
            Known::Alone(gamma) => {
                let at = |per_cent| gamma.quantile(Ratio::percent(per_cent));
                (at(5.0).times_in(year), at(95.0).times_in(year))
            }
            Known::Fleet(fleet) => {
                let (low, high) = fleet.rate(Whose::Boat(at)).likely();
                (low.times_in(year), high.times_in(year))
            }
            Known::Never => (0.0, 0.0),
        };
        Learned { mean: self.mean(at), low, high }
    }

    /// How many pieces these of its units will want in a time in use; nothing if it never comes.
    pub fn demand(&self, units: &[usize], time: Time) -> Option<Demand> {
        match &self.known {
            Known::Alone(gamma) => Some(Demand::over(gamma, time)),
            Known::Fleet(fleet) => {
                let boats: Vec<(Whose, Time)> = units.iter().map(|at| (Whose::Boat(*at), time)).collect();
                Some(fleet.demand(&boats))
            }
            Known::Never => None,
        }
    }
}

/// What makes faults alike: class and what is wrong, or the id; and the rate that the boat file gives.
type Likeness = (String, u64, u64);

fn likeness(boat: &Boat, fault: &Fault) -> Likeness {
    let item = &boat.items[fault.item];
    let own = fault.id.strip_prefix(item.id.as_str()).and_then(|rest| rest.strip_prefix('_'));
    let name = match (&item.class, own) {
        (Some(class), Some(own)) => format!("{class}.{own}"),
        _ => format!(".{}", fault.id),
    };
    (name, fault.per_year.to_bits(), fault.weight.to_bits())
}

/// All faults of the boats by kind, in the order in which they are met; `wanted` chooses kinds by any of their faults.
pub fn kinds(boats: &[&Boat], seen: &[Seen], wanted: impl Fn(usize, FaultId) -> bool) -> Vec<Kind> {
    let mut tallies: BTreeMap<(usize, usize), (u32, f64)> = BTreeMap::new();
    for one in seen {
        let tally = tallies.entry((one.boat, one.fault.index())).or_default();
        tally.0 += one.failures;
        tally.1 += one.years;
    }
    let mut places: BTreeMap<Likeness, usize> = BTreeMap::new();
    let mut alike: Vec<Vec<Unit>> = Vec::new();
    for (at, boat) in boats.iter().enumerate() {
        for (id, fault) in boat.faults.iter_ids() {
            let (failures, years) = tallies.get(&(at, id.index())).copied().unwrap_or_default();
            let unit = Unit { boat: at, fault: id, failures, years };
            let place = *places.entry(likeness(boat, fault)).or_insert_with(|| {
                alike.push(Vec::new());
                alike.len() - 1
            });
            alike[place].push(unit);
        }
    }
    alike
        .into_iter()
        .filter(|units| units.iter().any(|unit| wanted(unit.boat, unit.fault)))
        .map(|units| {
            let fault = &boats[units[0].boat].faults[units[0].fault];
            Kind::of(units, fault)
        })
        .collect()
}

/// The learned rates of the first boat, by the fault's id: of all kinds of which any boat has a record.
pub fn taught(boats: &[&Boat], seen: &[Seen]) -> BTreeMap<String, f64> {
    let any = |boat: usize, fault: FaultId| seen.iter().any(|one| one.boat == boat && one.fault == fault);
    let mut taught = BTreeMap::new();
    for kind in kinds(boats, seen, any) {
        for (at, unit) in kind.units.iter().enumerate().filter(|(_, unit)| unit.boat == 0) {
            taught.insert(boats[0].faults[unit.fault].id.clone(), kind.mean(at));
        }
    }
    taught
}
