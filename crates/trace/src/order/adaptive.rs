//! Tests that may mislead, between checks that don't: the next action by looking a few actions ahead.

use super::{CauseAt, Causes, Sequence};

/// A test that says yes or no, rightly or wrongly.
#[derive(Debug, Clone, PartialEq)]
pub struct Test {
    /// What it costs.
    pub cost: f64,
    /// How likely it says yes, by which cause is the one.
    pub yes: Vec<f64>,
}

/// One thing is wrong; each check and each test may be made once.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// How likely each cause is; weights, of which only the proportions count.
    pub likely: Vec<f64>,
    /// What checking each cause costs, and putting it right if it is the one.
    pub check: Vec<f64>,
    /// The tests.
    pub tests: Vec<Test>,
    /// What a call costs, which mends anything; infinite if there is nobody to call.
    pub call: f64,
}

/// What can be done next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Action {
    /// Check a cause and put it right.
    Check(CauseAt),
    /// Make a test.
    Test(usize),
    /// Call.
    Call,
}

/// What is still thought likely, and what was not yet done.
#[derive(Debug, Clone, PartialEq)]
pub struct Belief {
    /// The weight of each cause: its probability beforehand, times that of all answers if it is the one. Zero once it
    /// was checked in vain.
    pub weights: Vec<f64>,
    /// Which tests were made.
    pub tested: Vec<bool>,
}

impl Belief {
    /// As it is before anything is done.
    pub fn before(problem: &Problem) -> Self {
        Self { weights: problem.likely.clone(), tested: vec![false; problem.tests.len()] }
    }

    /// How likely all of it is together; what costs are multiplied by here, so that nothing has to be divided.
    pub fn weight(&self) -> f64 {
        self.weights.iter().sum()
    }

    /// After this cause was checked and was not the one.
    #[must_use]
    pub fn without(&self, cause: CauseAt) -> Self {
        let mut next = self.clone();
        next.weights[cause] = 0.0;
        next
    }

    /// After this test said yes or no.
    #[must_use]
    pub fn told(&self, problem: &Problem, test: usize, yes: bool) -> Self {
        let mut next = self.clone();
        next.tested[test] = true;
        for (weight, chance) in next.weights.iter_mut().zip(&problem.tests[test].yes) {
            *weight *= if yes { *chance } else { 1.0 - chance };
        }
        next
    }
}

impl Problem {
    /// The action that looks cheapest if `depth` actions are thought through, and after them checks are made by
    /// probability over cost. With depth one this is the rule of Heckerman et al.: a test is made if it and the best
    /// order of checks after either answer are expected to cost less than the best order without it. Depth zero makes
    /// no tests.
    ///
    /// Gives the action and its expected cost, if one kept to what was thought through.
    ///
    /// # Panics
    /// If a list has not a number for each cause.
    pub fn next(&self, belief: &Belief, depth: usize) -> (Action, f64) {
        let mut sequence = Sequence::default();
        let (action, cost) = self.look(belief, depth, &mut sequence);
        let weight = belief.weight();
        (action, if weight > 0.0 { cost / weight } else { 0.0 })
    }

    /// The best action, and its cost times the belief's weight.
    fn look(&self, belief: &Belief, depth: usize, sequence: &mut Sequence) -> (Action, f64) {
        let weight = belief.weight();
        let mut best = self.checks_only(belief, sequence);
        if depth == 0 || weight <= 0.0 {
            return best;
        }
        for at in (0..self.tests.len()).filter(|at| !belief.tested[*at]) {
            let answers = [true, false].map(|yes| belief.told(self, at, yes));
            let then: f64 = answers.iter().map(|answer| self.look(answer, depth - 1, sequence).1).sum();
            let cost = self.tests[at].cost * weight + then;
            if cost < best.1 {
                best = (Action::Test(at), cost);
            }
        }
        // Checking first can only gain by a test thought of after it.
        if depth > 1 {
            for at in (0..belief.weights.len()).filter(|at| belief.weights[*at] > 0.0) {
                let cost = self.check[at] * weight + self.look(&belief.without(at), depth - 1, sequence).1;
                if cost < best.1 {
                    best = (Action::Check(at), cost);
                }
            }
        }
        best
    }

    /// The first of the checks by probability over cost, or the call, and the cost times the belief's weight.
    fn checks_only(&self, belief: &Belief, sequence: &mut Sequence) -> (Action, f64) {
        let (likely, check) = (&belief.weights, &self.check);
        let outlook = sequence.weigh(&Causes { likely, rest: 0.0, check, fix: &[], call: self.call });
        let first = sequence.order().first().filter(|_| outlook.stop_after > 0);
        let weight = belief.weight();
        let cost = if weight > 0.0 { outlook.expected * weight } else { 0.0 };
        (first.map_or(Action::Call, |cause| Action::Check(*cause)), cost)
    }
}
