//! A* search: the cheapest plan, or the proof that there is none.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use crate::budget::Budget;
use crate::heuristic::{Blind, HMax, Heuristic, LmCut, Relaxation};
use crate::planner::{Goal, Planner};
use crate::scope::Scope;
use crate::state::State;
use crate::stubborn::Stubborn;
use crate::table::Table;
use crate::{EventId, OpId, Refusal};

/// How a search estimates what is still to be done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Method {
    /// Not at all, beyond the cheapest operator.
    Blind,
    /// By the dearest thing still needed.
    HMax,
    /// By landmarks: LM-cut. Nearly always the best choice, and the default of [`Planner::plan`].
    LmCut,
}

/// A plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Plan {
    /// The operators in their order.
    pub steps: Vec<OpId>,
    /// Sum of their costs.
    pub cost: u32,
}

/// What a search came to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    /// A plan. From [`Planner::plan`] it is one of least cost.
    Plan(Plan),
    /// There is no plan; this is proved.
    NoPlan,
    /// The budget ran out first.
    CutOff {
        /// No plan costs less than this.
        lower_bound: u32,
    },
}

/// An outcome with the work it took.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// What the search came to.
    pub outcome: Outcome,
    /// The work it took.
    pub statistics: Statistics,
}

/// Counts of the work of a search.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Statistics {
    /// States whose successors were made (again, if a cheaper way to them was found).
    pub expanded: u64,
    /// Successors made.
    pub generated: u64,
    /// States whose distance to the goal was estimated.
    pub evaluated: u64,
}

/// Events that never come to rest, found while searching: a fault of the task.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EventLoop {
    /// The state in which the operator was done.
    pub state: State,
    /// The operator after which the events went round.
    pub operator: OpId,
    /// The events that fire again and again.
    pub events: Vec<EventId>,
}

struct Node {
    cost: u32,
    /// No plan from here costs less; [`DEAD`] if there is none.
    bound: u32,
    parent: u32,
    operator: OpId,
    judged: bool,
    closed: bool,
    /// Bounds of the landmarks found when the state was judged but could not be expanded at once.
    later: Option<Box<Landmarks>>,
}

/// The estimate of a state, and for each operator that takes part in it how much of it the operator may pay off.
struct Landmarks {
    estimate: u32,
    credits: Vec<(OpId, u32)>,
}

type Open = BinaryHeap<Reverse<(u32, u32, u64, u32)>>;

/// Expansions after which it is judged whether choosing operators pays.
const TRIAL: u64 = 100;

const NO_PARENT: u32 = u32::MAX;
const DEAD: u32 = u32::MAX;

impl Planner {
    /// The cheapest plan from `start` to `goal`. Events that are due in the start state happen after the first
    /// operator, not before; see [`settle`](Planner::settle). Of several cheapest plans always the same one is given.
    ///
    /// # Errors
    /// If the events after some operator never come to rest.
    pub fn plan(&self, start: &State, goal: &Goal, budget: &mut Budget<'_>) -> Result<Answer, EventLoop> {
        self.plan_by(Method::LmCut, start, goal, budget)
    }

    /// As [`plan`](Planner::plan), with a method of the caller's choice; the cost does not depend on it.
    ///
    /// # Errors
    /// If the events after some operator never come to rest.
    pub fn plan_by(
        &self,
        method: Method,
        start: &State,
        goal: &Goal,
        budget: &mut Budget<'_>,
    ) -> Result<Answer, EventLoop> {
        if !self.may_narrow(start, goal) {
            let relaxation = Relaxation::new(self, &self.full, &goal.tree);
            return self.plan_in(&self.full, &relaxation, method, start, goal, budget);
        }
        let answer = self.plan_in(&goal.relevant.scope, &goal.relaxation, method, start, goal, budget)?;
        if let Outcome::Plan(plan) = &answer.outcome {
            self.check_rest(start, plan)?;
        }
        Ok(answer)
    }

    /// As [`plan_by`](Planner::plan_by), without leaving out what cannot matter: slower, the same cost. For checking.
    ///
    /// # Errors
    /// If the events after some operator never come to rest.
    pub fn plan_whole(
        &self,
        method: Method,
        start: &State,
        goal: &Goal,
        budget: &mut Budget<'_>,
    ) -> Result<Answer, EventLoop> {
        let relaxation = Relaxation::new(self, &self.full, &goal.tree);
        self.plan_in(&self.full, &relaxation, method, start, goal, budget)
    }

    /// A lower bound on the cost of reaching the goal from a state; `None` if there is surely no plan.
    pub fn estimate(&self, method: Method, state: &State, goal: &Goal) -> Option<u32> {
        let relaxation = Relaxation::new(self, &self.full, &goal.tree);
        match method {
            Method::Blind => Some(0),
            Method::HMax => HMax::new(self, &relaxation).judge(&state.0),
            Method::LmCut => LmCut::new(self, &relaxation).judge(&state.0),
        }
    }

    fn plan_in(
        &self,
        scope: &Scope,
        relaxation: &Relaxation,
        method: Method,
        start: &State,
        goal: &Goal,
        budget: &mut Budget<'_>,
    ) -> Result<Answer, EventLoop> {
        let narrow = std::ptr::eq(scope, &raw const goal.relevant.scope);
        let stubborn = narrow.then(|| Stubborn::new(self, scope, &goal.interference, &goal.tree));
        match method {
            Method::Blind => {
                let least = scope.operators.iter().map(|id| self.operators[id.index()].cost).min();
                let blind = Blind { least: least.unwrap_or(0) };
                Search::new(self, scope, stubborn, blind).run(start, goal, budget)
            }
            Method::HMax => {
                Search::new(self, scope, stubborn, HMax::new(self, relaxation)).run(start, goal, budget)
            }
            Method::LmCut => {
                Search::new(self, scope, stubborn, LmCut::new(self, relaxation)).run(start, goal, budget)
            }
        }
    }

    /// Finds endless events that are of no account for the goal but would still happen on the way.
    pub(crate) fn check_rest(&self, start: &State, plan: &Plan) -> Result<(), EventLoop> {
        self.follow(start, &plan.steps).map(|_| ())
    }

    /// The state behind operators that a search has found to be allowed.
    pub(crate) fn follow(&self, start: &State, steps: &[OpId]) -> Result<State, EventLoop> {
        let mut state = start.clone();
        for &operator in steps {
            match self.apply(operator, &state) {
                Ok(next) => state = next,
                Err(Refusal::EventLoop(events)) => return Err(EventLoop { state, operator, events }),
                Err(refusal) => unreachable!("what the relevant part allows the task allows: {refusal:?}"),
            }
        }
        Ok(state)
    }
}

struct Search<'a, H> {
    planner: &'a Planner,
    scope: &'a Scope,
    /// Chooses the operators worth trying; only where no event is due.
    stubborn: Option<Stubborn<'a>>,
    passed_over: u64,
    heuristic: H,
    table: Table,
    nodes: Vec<Node>,
    open: Open,
    pushed: u64,
    statistics: Statistics,
}

impl<'a, H: Heuristic> Search<'a, H> {
    fn new(planner: &'a Planner, scope: &'a Scope, stubborn: Option<Stubborn<'a>>, heuristic: H) -> Self {
        Search {
            planner,
            scope,
            stubborn,
            passed_over: 0,
            heuristic,
            table: Table::new(planner.layout.state_words()),
            nodes: Vec::new(),
            open: Open::new(),
            pushed: 0,
            statistics: Statistics::default(),
        }
    }

    fn run(mut self, start: &State, goal: &Goal, budget: &mut Budget<'_>) -> Result<Answer, EventLoop> {
        let mut words = self.planner.worked_out(self.scope, &start.0);
        let mut next = words.clone();
        let width = start.0.len();
        self.reach(&start.0, 0, 0, NO_PARENT, OpId::new(0));
        while let Some(Reverse((f, _, _, index))) = self.open.pop() {
            let node = &self.nodes[index as usize];
            if node.closed || f > node.cost.saturating_add(node.bound) {
                continue;
            }
            words[..width].copy_from_slice(self.table.get(index as usize));
            self.planner.work_out(self.scope, &mut words);
            if goal.test.holds(&words) && !(index == 0 && self.scope.forbidden.holds(&words)) {
                let outcome = Outcome::Plan(self.trace(index));
                return Ok(Answer { outcome, statistics: self.statistics });
            }
            let Some(landmarks) = self.judge(index, f, &words) else { continue };
            if !budget.take() {
                let outcome = Outcome::CutOff { lower_bound: f };
                return Ok(Answer { outcome, statistics: self.statistics });
            }
            self.expand(index, landmarks.as_deref(), &words, &mut next)?;
        }
        Ok(Answer { outcome: Outcome::NoPlan, statistics: self.statistics })
    }

    /// Estimates a state when its turn has come, not when it is made. `None` if it must wait for a higher bound;
    /// else the landmarks kept from an earlier estimate, if there was one and the heuristic has gone on since.
    #[expect(clippy::option_option, reason = "whether to go on, and what is remembered, are two questions")]
    fn judge(&mut self, index: u32, f: u32, words: &[u64]) -> Option<Option<Box<Landmarks>>> {
        let node = &mut self.nodes[index as usize];
        if node.judged {
            return Some(node.later.take());
        }
        node.judged = true;
        self.statistics.evaluated += 1;
        let Some(estimate) = self.heuristic.judge(words) else {
            node.bound = DEAD;
            node.closed = true;
            return None;
        };
        node.bound = node.bound.max(estimate);
        let sum = node.cost.saturating_add(node.bound);
        let credits = |id: &OpId| (*id, self.heuristic.credit(*id));
        let paying = |credit: &(OpId, u32)| credit.1 > 0;
        let credits = self.scope.operators.iter().map(credits).filter(paying).collect();
        let landmarks = Box::new(Landmarks { estimate, credits });
        if sum > f {
            node.later = Some(landmarks);
            self.open.push(Reverse((sum, node.bound, self.pushed, index)));
            self.pushed += 1;
            return None;
        }
        Some(Some(landmarks))
    }

    fn expand(
        &mut self,
        index: u32,
        landmarks: Option<&Landmarks>,
        words: &[u64],
        next: &mut [u64],
    ) -> Result<(), EventLoop> {
        let width = self.planner.layout.state_words();
        let node = &mut self.nodes[index as usize];
        node.closed = true;
        let (cost, bound) = (node.cost, node.bound);
        let mut credits = landmarks.map_or(&[][..], |landmarks| &landmarks.credits);
        self.statistics.expanded += 1;
        let chosen = self.stubborn.as_mut().and_then(|stubborn| stubborn.positions(words).cloned());
        for (position, &id) in self.scope.operators.iter().enumerate() {
            let mut credit = 0;
            if let [(first, paid), rest @ ..] = credits {
                if *first == id {
                    credit = *paid;
                    credits = rest;
                }
            }
            let operator = &self.planner.operators[id.index()];
            if !operator.test.holds(words) {
                continue;
            }
            if chosen.as_ref().is_some_and(|chosen| !chosen.has(position)) {
                self.passed_over += 1;
                continue;
            }
            let looped = |events| EventLoop { state: State(words[..width].into()), operator: id, events };
            self.planner.step(self.scope, id, words, next, None).map_err(looped)?;
            self.statistics.generated += 1;
            if !self.scope.forbidden.holds(next) {
                let by_landmarks = landmarks.map_or(0, |landmarks| landmarks.estimate.saturating_sub(credit));
                let least = by_landmarks.max(bound.saturating_sub(operator.cost));
                self.reach(&next[..width], cost.saturating_add(operator.cost), least, index, id);
            }
        }
        // Choosing costs as much as making some successors; where nearly none can be passed over, it is not worth it.
        let made = self.statistics.generated;
        if self.statistics.expanded == TRIAL && self.passed_over < made / 4 {
            self.stubborn = None;
        }
        Ok(())
    }

    /// Notes a way to a state; one no cheaper than known is dropped.
    fn reach(&mut self, state: &[u64], cost: u32, bound: u32, parent: u32, operator: OpId) {
        let (index, new) = self.table.insert(state);
        if new {
            let later = None;
            self.nodes.push(Node { cost, bound, parent, operator, judged: false, closed: false, later });
        } else {
            let node = &mut self.nodes[index];
            if node.bound == DEAD {
                return;
            }
            node.bound = node.bound.max(bound);
            if cost >= node.cost {
                return;
            }
            node.cost = cost;
            node.parent = parent;
            node.operator = operator;
            node.closed = false;
        }
        let node = &self.nodes[index];
        let index = u32::try_from(index).expect("a table holds fewer than four billion states");
        self.open.push(Reverse((node.cost.saturating_add(node.bound), node.bound, self.pushed, index)));
        self.pushed += 1;
    }

    fn trace(&self, mut index: u32) -> Plan {
        let cost = self.nodes[index as usize].cost;
        let mut steps = Vec::new();
        while self.nodes[index as usize].parent != NO_PARENT {
            steps.push(self.nodes[index as usize].operator);
            index = self.nodes[index as usize].parent;
        }
        steps.reverse();
        Plan { steps, cost }
    }
}
