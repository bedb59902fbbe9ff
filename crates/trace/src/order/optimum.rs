//! What the best possible policy costs, and what a given one does: both exactly, for problems small enough.

use std::collections::BTreeMap;

use super::{Action, Belief, Problem};

/// The best policy of a problem, by dynamic programming over which causes were checked and what each test said.
///
/// The number of its states is two to the causes times three to the tests; it is for judging policies.
#[derive(Debug, Clone)]
pub struct Optimum<'p> {
    problem: &'p Problem,
    known: BTreeMap<Vec<u8>, (Action, f64)>,
}

impl<'p> Optimum<'p> {
    /// Of this problem; nothing is worked out yet.
    pub fn of(problem: &'p Problem) -> Self {
        Self { problem, known: BTreeMap::new() }
    }

    /// The expected cost of the best policy, and what it does first.
    pub fn solve(&mut self) -> (Action, f64) {
        let belief = Belief::before(self.problem);
        let mut done = vec![0; self.problem.likely.len() + self.problem.tests.len()];
        let (action, cost) = self.best(&belief, &mut done);
        (action, cost / belief.weight())
    }

    /// The best action and its cost times the belief's weight. `done` has a mark for each cause that was checked, and
    /// for each test what it said.
    fn best(&mut self, belief: &Belief, done: &mut Vec<u8>) -> (Action, f64) {
        let weight = belief.weight();
        if weight <= 0.0 {
            return (Action::Call, 0.0);
        }
        if let Some(known) = self.known.get(done) {
            return *known;
        }
        let problem = self.problem;
        let causes = problem.likely.len();
        let mut best = (Action::Call, problem.call * weight);
        for cause in (0..causes).filter(|cause| belief.weights[*cause] > 0.0) {
            done[cause] = 1;
            let cost = problem.check[cause] * weight + self.best(&belief.without(cause), done).1;
            done[cause] = 0;
            if cost < best.1 {
                best = (Action::Check(cause), cost);
            }
        }
        for test in (0..problem.tests.len()).filter(|test| !belief.tested[*test]) {
            let mut cost = problem.tests[test].cost * weight;
            for yes in [true, false] {
                done[causes + test] = 1 + u8::from(yes);
                cost += self.best(&belief.told(problem, test, yes), done).1;
            }
            done[causes + test] = 0;
            if cost < best.1 {
                best = (Action::Test(test), cost);
            }
        }
        self.known.insert(done.clone(), best);
        best
    }
}

/// What a policy is expected to cost: every answer is followed to its end, the policy being asked anew each time.
///
/// The policy must come to an end: it checks no cause of weight zero and makes no test twice.
pub fn cost_of(problem: &Problem, policy: &impl Fn(&Belief) -> Action) -> f64 {
    let belief = Belief::before(problem);
    follow(problem, &belief, policy) / belief.weight()
}

fn follow(problem: &Problem, belief: &Belief, policy: &impl Fn(&Belief) -> Action) -> f64 {
    let weight = belief.weight();
    if weight <= 0.0 {
        return 0.0;
    }
    match policy(belief) {
        Action::Call => problem.call * weight,
        Action::Check(cause) => {
            problem.check[cause] * weight + follow(problem, &belief.without(cause), policy)
        }
        Action::Test(test) => {
            let answers = [true, false].map(|yes| belief.told(problem, test, yes));
            let then: f64 = answers.iter().map(|answer| follow(problem, answer, policy)).sum();
            problem.tests[test].cost * weight + then
        }
    }
}
