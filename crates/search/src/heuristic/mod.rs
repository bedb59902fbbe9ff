//! Lower bounds on the cost that is still to be paid.

mod ff;
mod hmax;
mod lmcut;
mod relax;

pub(crate) use ff::RelaxedPlan;
pub(crate) use hmax::HMax;
pub(crate) use lmcut::LmCut;
pub(crate) use relax::Relaxation;

use crate::OpId;

/// A lower bound on the cost of any plan from a state.
pub(crate) trait Heuristic {
    /// The bound for a state (its words, with or without facts behind them); `None` if there is surely no plan.
    fn judge(&mut self, words: &[u64]) -> Option<u32>;

    /// How much of the last bound may be lost by doing this operator: the bound less this much is a lower bound
    /// behind it. The operator's whole cost is always a right answer.
    fn credit(&self, operator: OpId) -> u32;
}

/// The bound that knows nothing: the cheapest operator, as the state is not a goal.
pub(crate) struct Blind {
    pub(crate) least: u32,
}

impl Heuristic for Blind {
    fn judge(&mut self, _words: &[u64]) -> Option<u32> {
        Some(self.least)
    }

    fn credit(&self, _operator: OpId) -> u32 {
        self.least
    }
}
