//! The boats that a command is about as one fleet: what their records teach of each fault.

use std::collections::BTreeMap;
use std::path::Path;

use boat::model::{Boat, Fault, FaultId};
use quantity::Time;
use trace::WEEKS_A_YEAR;
use trace::learn::{Before, Demand, Fleet, Gamma, Rate, Record, Whose};

use crate::load::{self, Failure};
use crate::seen::Line;

/// A boat as it was asked for.
pub(crate) struct Given {
    /// What was typed.
    pub(crate) argument: String,
    /// The name of her file without its ending, or of the demo boat.
    pub(crate) stem: String,
    pub(crate) boat: Boat,
}

impl Given {
    /// Whether records may mean her by this name.
    pub(crate) fn is_called(&self, name: &str) -> bool {
        let same = |other: &str| other.to_lowercase() == name.to_lowercase();
        same(&self.stem) || same(&self.boat.particulars.name)
    }
}

/// Reads the boats, each under a name of its own.
pub(crate) fn load(arguments: &[String]) -> Result<Vec<Given>, Failure> {
    let mut boats: Vec<Given> = Vec::new();
    for argument in arguments {
        let stem =
            Path::new(argument).file_stem().map_or(argument.as_str().into(), |stem| stem.to_string_lossy());
        let given =
            Given { argument: argument.clone(), stem: stem.into_owned(), boat: load::boat(argument)? };
        let name = &given.boat.particulars.name;
        if let Some(other) = boats.iter().find(|other| other.is_called(name) || other.is_called(&given.stem))
        {
            return Err(Failure(format!(
                "{} and {argument} go by one name, so that nobody could tell their records apart. Give each boat once; \
                 if they are two boats, change the name of one.",
                other.argument
            )));
        }
        boats.push(given);
    }
    Ok(boats)
}

/// A charter year, in time in use.
pub(crate) fn charter_years(years: f64) -> Time {
    Time::weeks(years * WEEKS_A_YEAR)
}

/// One fault of one boat, with what was seen of it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Unit {
    /// The boat, by its place among those given.
    pub(crate) boat: usize,
    pub(crate) fault: FaultId,
    pub(crate) failures: u32,
    pub(crate) years: f64,
}

/// What is known of the units of one kind.
enum Known {
    /// Nothing of its kind is aboard elsewhere: the boat file's rate and its own records.
    Alone(Gamma),
    /// Several are alike, and learn from each other.
    Fleet(Fleet),
    /// The boat file says that it never comes.
    Never,
}

/// Faults of one kind: of one class, or of one id in several boats, with the same rate in the boat file.
pub(crate) struct Kind {
    pub(crate) units: Vec<Unit>,
    known: Known,
}

/// A learned rate, in failures a charter year.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Learned {
    pub(crate) mean: f64,
    /// The true rate is between these in nine cases of ten.
    pub(crate) low: f64,
    pub(crate) high: f64,
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
    pub(crate) fn mean(&self, at: usize) -> f64 {
        let year = charter_years(1.0);
        match &self.known {
            Known::Alone(gamma) => gamma.mean().times_in(year),
            Known::Fleet(fleet) => fleet.rate(Whose::Boat(at)).mean().times_in(year),
            Known::Never => 0.0,
        }
    }

    /// What was learned of one of its units.
    pub(crate) fn learned(&self, at: usize) -> Learned {
        let year = charter_years(1.0);
        let (low, high) = match &self.known {
            Known::Alone(gamma) => {
                let at = |per_cent| gamma.quantile(quantity::Ratio::percent(per_cent));
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
    pub(crate) fn demand(&self, units: &[usize], time: Time) -> Option<Demand> {
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
pub(crate) fn kinds(boats: &[Given], lines: &[Line], wanted: impl Fn(usize, FaultId) -> bool) -> Vec<Kind> {
    let mut places: BTreeMap<Likeness, usize> = BTreeMap::new();
    let mut alike: Vec<Vec<Unit>> = Vec::new();
    for (at, given) in boats.iter().enumerate() {
        for (id, fault) in given.boat.faults.iter_ids() {
            let of = |line: &&Line| line.boat == at && line.fault == id;
            let unit = Unit {
                boat: at,
                fault: id,
                failures: lines.iter().filter(of).map(|line| line.failures).sum(),
                years: lines.iter().filter(of).map(|line| line.years).sum(),
            };
            let place = *places.entry(likeness(&given.boat, fault)).or_insert_with(|| {
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
            let first = &units[0];
            let fault = boats[first.boat].boat.faults[first.fault].clone();
            Kind::of(units, &fault)
        })
        .collect()
}

/// The learned rates of the first boat, by the fault's id: of all kinds of which any boat has a record.
pub(crate) fn taught(boats: &[Given], lines: &[Line]) -> BTreeMap<String, f64> {
    let seen =
        |boat: usize, fault: FaultId| lines.iter().any(|line| line.boat == boat && line.fault == fault);
    let mut taught = BTreeMap::new();
    for kind in kinds(boats, lines, seen) {
        for (at, unit) in kind.units.iter().enumerate().filter(|(_, unit)| unit.boat == 0) {
            taught.insert(boats[0].boat.faults[unit.fault].id.clone(), kind.mean(at));
        }
    }
    taught
}
