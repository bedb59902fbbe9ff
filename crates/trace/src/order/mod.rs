//! In which order to check and mend: probability over cost, and when a test or a call is worth its price.
//!
//! One thing is wrong. Checking a cause costs something; the check finds it if it is there, and it is put right. What
//! no hand here can mend, or is not worth looking for, is left to a call at a fixed price.
//!
//! # Source
//! J. B. Kadane, H. A. Simon, "Optimal strategies for a class of constrained sequential problems", Annals of Statistics
//! 5 (1977) 237; D. Heckerman, J. Breese, K. Rommelse, "Decision-theoretic troubleshooting", Communications of the ACM
//! 38 (1995) 49.

mod adaptive;
mod optimum;

pub use adaptive::{Action, Belief, Problem, Test};
pub use optimum::{Optimum, cost_of};

/// A cause, by its place.
pub type CauseAt = usize;

/// What may be wrong and what going after it costs, all in one unit of cost (minutes, or money).
#[derive(Debug, Clone, Copy)]
pub struct Causes<'a> {
    /// How likely each cause is. These may be weights: only their proportions count.
    pub likely: &'a [f64],
    /// The weight of all that only the call mends.
    pub rest: f64,
    /// What checking each costs, at least zero, whether it is found there or not.
    pub check: &'a [f64],
    /// What putting each right costs on top, if it was the cause; empty if nothing.
    pub fix: &'a [f64],
    /// What a call costs, which mends anything; infinite if there is nobody to call.
    pub call: f64,
}

/// What going on comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outlook {
    /// The expected cost until all is well.
    pub expected: f64,
    /// After how many checks in vain it is cheapest to call, zero being at once.
    pub stop_after: usize,
}

/// An order of checks; its room is used again from one question to the next.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Sequence {
    order: Vec<CauseAt>,
}

impl Sequence {
    /// The order that was worked out last; those after [`Outlook::stop_after`] are left to the call.
    pub fn order(&self) -> &[CauseAt] {
        &self.order
    }

    /// Puts the causes in the order of probability over cost of checking, and finds where best to stop.
    ///
    /// Without costs of fixing this is the cheapest of all orders and all places to stop, causes left out among them:
    /// of two neighbours the one with the larger ratio goes first, and whoever checks one cause gains by checking
    /// first any that has a larger ratio. Costs of fixing don't change the best order of given causes, but one that is
    /// dearer to fix than the call may be better left out, and is not.
    ///
    /// # Panics
    /// If the lists are not of one length.
    pub fn weigh(&mut self, causes: &Causes<'_>) -> Outlook {
        assert_eq!(causes.likely.len(), causes.check.len(), "a cost for each cause");
        by_ratio_into(&mut self.order, causes.likely, causes.check);
        let fix = |at: usize| causes.fix.get(at).copied().unwrap_or(0.0);
        let whole: f64 = causes.rest + self.order.iter().map(|at| causes.likely[*at]).sum::<f64>();
        if whole <= 0.0 {
            return Outlook { expected: 0.0, stop_after: 0 };
        }
        let mut left = whole;
        let mut spent = 0.0;
        let mut best = Outlook { expected: causes.call, stop_after: 0 };
        for (done, at) in self.order.iter().enumerate() {
            let likely = causes.likely[*at];
            if likely <= 0.0 || left <= 0.0 {
                break;
            }
            spent += causes.check[*at] * left + fix(*at) * likely;
            left = remainder(left - likely, whole);
            let then = if left > 0.0 { causes.call * left } else { 0.0 };
            if (spent + then) / whole < best.expected {
                best = Outlook { expected: (spent + then) / whole, stop_after: done + 1 };
            }
        }
        best
    }
}

/// Smallest part of a weight that is taken to be there: sums of all the others leave less than this by rounding.
const ROUNDING: f64 = 1e-13;

fn remainder(left: f64, whole: f64) -> f64 {
    if left > ROUNDING * whole { left } else { 0.0 }
}

/// The causes by probability over cost of checking, largest first; equal ones as they stand.
///
/// What costs nothing to check comes first, what can't be checked (an infinite cost) and what is not likely at all last.
pub fn by_ratio(likely: &[f64], check: &[f64]) -> Vec<CauseAt> {
    let mut order = Vec::with_capacity(likely.len());
    by_ratio_into(&mut order, likely, check);
    order
}

fn by_ratio_into(order: &mut Vec<CauseAt>, likely: &[f64], check: &[f64]) {
    let ratio = |at: &usize| {
        if likely[*at] <= 0.0 {
            return 0.0;
        }
        likely[*at] / check[*at].max(0.0)
    };
    order.clear();
    order.extend(0..likely.len());
    order.sort_unstable_by(|a, b| ratio(b).total_cmp(&ratio(a)).then(a.cmp(b)));
}

/// What checking the causes in this order is expected to cost: each check as far as it is come to, each fixing as often
/// as its cause is the one, and the call if all were in vain.
///
/// Source: Heckerman et al. 1995, the sum of `(1 - p before) * check + p * fix`.
pub fn expected_cost(order: &[CauseAt], causes: &Causes<'_>) -> f64 {
    let whole: f64 = causes.rest + causes.likely.iter().sum::<f64>();
    let (mut left, mut spent) = (whole, 0.0);
    for at in order {
        let likely = causes.likely[*at];
        if left <= 0.0 {
            break;
        }
        spent += causes.check[*at] * left + causes.fix.get(*at).copied().unwrap_or(0.0) * likely;
        left = remainder(left - likely, whole);
    }
    let then = if left > 0.0 { causes.call * left } else { 0.0 };
    if whole > 0.0 { (spent + then) / whole } else { 0.0 }
}

/// The expected cost of going on by probability over cost, with a call where that is cheaper: the short form of
/// [`Sequence::weigh`] if one of these causes must be it and fixing costs nothing more.
pub fn cost_to_go(likely: &[f64], check: &[f64], call: f64) -> (Outlook, Vec<CauseAt>) {
    let mut sequence = Sequence::default();
    let outlook = sequence.weigh(&Causes { likely, rest: 0.0, check, fix: &[], call });
    (outlook, sequence.order)
}
