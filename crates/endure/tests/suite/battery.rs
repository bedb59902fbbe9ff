//! Batteries against outside models, a bench test, trade figures, and laws that must hold.

mod bench_test;
mod kinetics;
mod laws;
mod lead;
mod lithium;
mod peukert;
mod specs;

use endure::battery::{Bank, BankSpec, Chemistry};
use quantity::{Charge, Current, Temperature, Time, Voltage};

/// No set point: the bank's own voltage holds.
const NO_LIMIT: Voltage = Voltage::ZERO;

fn spec(chemistry: Chemistry, amp_hours: f64) -> BankSpec {
    BankSpec::new(chemistry, Charge::amp_hours(amp_hours))
}

/// Makes a bank for steps of a minute at the rated temperature.
fn by_minutes(spec: &BankSpec, minutes: f64) -> Bank {
    spec.at(Temperature::celsius(25.0), Time::minutes(minutes)).expect("the spec is sound")
}

fn amps(amps: f64) -> Current {
    Current::amps(amps)
}

/// The largest of a row of differences, with the place where it was found.
#[derive(Default)]
struct Largest {
    size: f64,
    at: String,
    count: usize,
}

impl Largest {
    fn see(&mut self, difference: f64, at: impl FnOnce() -> String) {
        assert!(difference.is_finite(), "no number at {}", at());
        self.count += 1;
        if difference.abs() >= self.size {
            (self.size, self.at) = (difference.abs(), at());
        }
    }

    /// Holds the largest difference against what is allowed, over as many as there must be.
    fn at_most(self, allowed: f64, count: usize, what: &str) {
        tell(&format!(
            "{what}: at most {:.3e} of {allowed:e} ({} compared), at {}",
            self.size, self.count, self.at
        ));
        assert_eq!(self.count, count, "{what}: another number of comparisons");
        assert!(self.size <= allowed, "{what}: off by {} at {}", self.size, self.at);
    }
}

/// Shows a measured figure with --no-capture.
#[allow(clippy::print_stdout, reason = "the measured figures are shown with --no-capture")]
fn tell(figure: &str) {
    println!("{figure}");
}

/// Holds a figure against what was measured for it, so that a change of the model shows.
fn assert_measured(found: f64, measured: f64, within: f64, what: &str) {
    tell(&format!("{what}: {found:.4}"));
    assert!((found - measured).abs() <= within, "{what}: found {found}, was {measured} within {within}");
}
