//! How likely each thing is not as it should be, before anything is seen: the few figures that are not in the boat
//! file stand here, each with where it comes from.

use std::collections::BTreeMap;

use boat::model::{Boat, FaultId, Id};

/// Weeks in a charter year. Common practice on a cold coast: late May to the middle of October.
pub const WEEKS_A_YEAR: f64 = 20.0;

/// A control that a step list had to set stands wrong: a step was left out or done wrong by a crew that has been aboard
/// for a day or two. Judgement: ten times the 0.003 that the Handbook of Human Reliability Analysis (NUREG/CR-1278)
/// gives for trained people with a written list.
pub const SET_WRONG: f64 = 0.03;

/// A control that stands as she is left was moved by somebody. Judgement: a third of the above.
pub const MOVED: f64 = 0.01;

/// A lasting state is otherwise than it should be, where no fault of the boat file says how often. Judgement.
pub const STATE_OTHERWISE: f64 = 0.005;

/// Failures a year of an item that must be sound and of which the boat file lists no fault. Judgement.
pub const UNLISTED_ITEM: f64 = 0.03;

/// Failures a year, for each symptom, by something that the boat file does not know. Judgement.
pub const UNKNOWN_CAUSE: f64 = 0.02;

/// How often each fault comes, in failures a charter year.
#[derive(Debug, Clone, PartialEq)]
pub struct Rates {
    per_year: Vec<f64>,
}

impl Rates {
    /// As the boat file has them.
    pub fn of(boat: &Boat) -> Self {
        Self { per_year: boat.faults.iter().map(|fault| fault.per_year).collect() }
    }

    /// As the boat file has them, but for those that records taught otherwise, by the fault's id.
    pub fn learned(boat: &Boat, taught: &BTreeMap<String, f64>) -> Self {
        let rate = |fault: &boat::model::Fault| taught.get(&fault.id).copied().unwrap_or(fault.per_year);
        Self { per_year: boat.faults.iter().map(rate).collect() }
    }

    /// Failures a charter year.
    pub fn per_year(&self, fault: FaultId) -> f64 {
        self.per_year[fault.index()]
    }

    /// The chance that the fault has come about within a week's charter.
    pub fn chance(&self, fault: FaultId) -> f64 {
        within_a_week(self.per_year(fault))
    }
}

/// The chance that what comes so often a charter year comes within one of its weeks.
pub fn within_a_week(per_year: f64) -> f64 {
    -libm::expm1(-per_year / WEEKS_A_YEAR)
}
