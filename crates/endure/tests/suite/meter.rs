//! The meter check: against closed forms, against its own model, and against boats with something amiss.

mod calibration;
mod closed_forms;
mod faults;
mod laws;

use boat::model::Boat;
use boat::trip::{Sight, Trip};
use endure::luck::Luck;
use endure::marks::Marker;
use endure::run::Runner;
use endure::voyage::{Gauge, Voyage};
use quantity::{Ratio, Time, Voltage};
use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64Mcg;

/// A small boat: a bank with a few loads and an alternator, a water tank, a holding tank.
const SANDPIPER: &str = include_str!("meter/sandpiper.toml");

fn sandpiper() -> Boat {
    compiled("sandpiper.toml", SANDPIPER)
}

fn compiled(name: &str, text: &str) -> Boat {
    let compiled = boat::compile(name, text);
    compiled.boat.unwrap_or_else(|| panic!("{name}: {:?}", compiled.diagnostics))
}

fn trip(text: &str) -> Trip {
    let compiled = boat::trip::compile("plan.toml", text);
    compiled.trip.unwrap_or_else(|| panic!("{:?}", compiled.diagnostics))
}

/// A voyage in steps of so many minutes.
fn voyage(boat: &Boat, plan: &str, minutes: f64) -> Voyage {
    Voyage::with_step(boat, &trip(plan), Time::minutes(minutes)).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// Readings to be filled in, by day, time, store and sort.
fn to_read(readings: &[(u32, &str, &str, &str)]) -> String {
    readings
        .iter()
        .map(|(day, at, store, sort)| match *sort {
            "engine" => format!("[[readings]]\nday = {day}\nat = \"{at}\"\nengine = \"1 h\"\n"),
            "voltage" => {
                format!("[[readings]]\nday = {day}\nat = \"{at}\"\nstore = \"{store}\"\nvoltage = \"12 V\"\n")
            }
            _ => format!("[[readings]]\nday = {day}\nat = \"{at}\"\nstore = \"{store}\"\nlevel = \"50 %\"\n"),
        })
        .collect()
}

/// What gauges without error would show on a trip with this luck.
fn shown(voyage: &Voyage, luck: &Luck) -> Vec<f64> {
    let mut marker = Marker::new(voyage);
    Runner::new(voyage).run(luck, &mut marker);
    marker.into_marks().at_readings
}

/// Writes what was read into a voyage.
fn read(voyage: &mut Voyage, seen: &[f64]) {
    for (reading, seen) in voyage.readings.iter_mut().zip(seen) {
        reading.sight = match reading.sight {
            Sight::Voltage(_) => Sight::Voltage(Voltage::volts(*seen)),
            Sight::Level(_) => Sight::Level(Ratio::plain(*seen)),
            Sight::EngineHours(_) => Sight::EngineHours(Time::hours(*seen)),
        };
    }
}

struct Chance(Pcg64Mcg);

impl Chance {
    fn new(seed: u64) -> Self {
        Self(Pcg64Mcg::seed_from_u64(seed))
    }

    fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }

    fn uniform(&mut self) -> f64 {
        rand_distr::StandardUniform.sample(&mut self.0)
    }
}

/// Readings with the errors that the check states: of volts 0.05 V always and 0.08 V anew; of a level half of what its
/// gauge may be off, each.
fn with_errors(voyage: &Voyage, shown: &[f64], chance: &mut Chance) -> Vec<f64> {
    let mut lasting: Vec<((Option<Gauge>, bool), f64)> = Vec::new();
    voyage
        .readings
        .iter()
        .zip(shown)
        .map(|(reading, shown)| {
            let volts = matches!(reading.sight, Sight::Voltage(_));
            let (own, shared) = match reading.of {
                _ if volts => (0.08, 0.05),
                Some(Gauge::Bank(at)) => halves(voyage.banks[at].gauge_error),
                Some(Gauge::Ledger(at)) => halves(voyage.ledgers[at].gauge_error),
                None => (0.1, 0.0),
            };
            let gauge = (reading.of, volts);
            let known = lasting.iter().find(|one| one.0 == gauge).map(|one| one.1);
            let score = known.unwrap_or_else(|| {
                let score = chance.normal();
                lasting.push((gauge, score));
                score
            });
            shown + shared * score + own * chance.normal()
        })
        .collect()
}

fn halves(error: f64) -> (f64, f64) {
    (error / 2.0, error / 2.0)
}
