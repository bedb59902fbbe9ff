//! Whether and how a goal can be reached from each of many states, sharing what is learnt.

use std::cmp::Reverse;
use std::collections::{BinaryHeap, VecDeque};

use crate::OpId;
use crate::astar::{EventLoop, Plan};
use crate::budget::Budget;
use crate::heuristic::{Relaxation, RelaxedPlan};
use crate::planner::{Goal, Planner};
use crate::scope::Scope;
use crate::state::State;
use crate::table::Table;

/// What is known of the way from a state to the goal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Way {
    /// A way; not always the cheapest.
    Plan(Plan),
    /// There is none; this is proved.
    None,
    /// The budget ran out first.
    CutOff,
}

/// Answers "is there a way, and which?" for many start states and one goal. States on ways found before, and states
/// proved to be hopeless, are remembered. The answers "there is a way" and "there is none" do not depend on the order
/// of the questions; the way that is given may.
pub struct Reach<'a> {
    planner: &'a Planner,
    goal: &'a Goal,
    narrow: Memory,
    whole: Memory,
    whole_relaxation: Option<Relaxation>,
}

/// What is known of each state met so far.
struct Memory {
    table: Table,
    verdicts: Vec<Verdict>,
    /// Ways found last, oldest first: often one of them, less the steps that are not allowed now, leads there again.
    recent: VecDeque<Vec<OpId>>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Verdict {
    Goal,
    /// The operator to do, and the number of the state behind it.
    Step(OpId, u32),
    Hopeless,
}

/// A state met in the search that is going on.
#[derive(Debug, Clone, Copy)]
struct Node {
    parent: u32,
    operator: OpId,
}

/// How many ways are tried again before a new one is looked for.
const RECENT: usize = 8;

const NO_PARENT: u32 = u32::MAX;

/// Guess at the state before, whether the operator is not a hinted one, order of arrival, state before, operator.
type Open = BinaryHeap<Reverse<(u32, bool, u64, u32, OpId)>>;

impl<'a> Reach<'a> {
    /// Nothing is known yet.
    pub fn new(planner: &'a Planner, goal: &'a Goal) -> Self {
        let width = planner.layout.state_words();
        let memory = || Memory { table: Table::new(width), verdicts: Vec::new(), recent: VecDeque::new() };
        Reach { planner, goal, narrow: memory(), whole: memory(), whole_relaxation: None }
    }

    pub(crate) fn planner(&self) -> &'a Planner {
        self.planner
    }

    /// A way from the state to the goal, if there is one. Events due in the state happen after the first operator.
    ///
    /// # Errors
    /// If the events after some operator never come to rest.
    pub fn way(&mut self, state: &State, budget: &mut Budget<'_>) -> Result<Way, EventLoop> {
        let planner = self.planner;
        if planner.may_narrow(state, self.goal) {
            // What does not matter is set to zero, so that states which differ only there are one.
            let scope = &self.goal.relevant.scope;
            let start: Vec<u64> = state.0.iter().zip(&scope.keep).map(|(word, keep)| word & keep).collect();
            let relaxation = &self.goal.relaxation;
            let way = self.narrow.way(planner, self.goal, (scope, relaxation), &start, budget)?;
            if let Way::Plan(plan) = &way {
                planner.check_rest(state, plan)?;
            }
            Ok(way)
        } else {
            let relaxation = self
                .whole_relaxation
                .get_or_insert_with(|| Relaxation::new(planner, &planner.full, &self.goal.tree));
            self.whole.way(planner, self.goal, (&planner.full, relaxation), &state.0, budget)
        }
    }
}

impl Memory {
    fn way(
        &mut self,
        planner: &Planner,
        goal: &Goal,
        within: (&Scope, &Relaxation),
        start: &[u64],
        budget: &mut Budget<'_>,
    ) -> Result<Way, EventLoop> {
        if let Some(known) = self.table.find(start) {
            return Ok(self.tell(planner, known));
        }
        if let Some(first) = self.way_as_before(planner, goal, within.0, start, budget)? {
            return Ok(self.tell(planner, first));
        }
        let mut hunt = Hunt::new(planner, goal, within);
        match hunt.run(self, start, budget)? {
            Found::Way(last) => {
                let first = self.learn_way(&hunt, last);
                let way = self.tell(planner, first);
                if let Way::Plan(plan) = &way {
                    self.recent.push_back(plan.steps.clone());
                    if self.recent.len() > RECENT {
                        self.recent.pop_front();
                    }
                }
                Ok(way)
            }
            Found::Nothing => {
                for index in 0..hunt.table.len() {
                    self.learn(hunt.table.get(index), Verdict::Hopeless);
                }
                Ok(Way::None)
            }
            Found::CutOff => Ok(Way::CutOff),
        }
    }

    /// Tries the last ways again, leaving out steps that are not allowed; the number of the start if one does.
    fn way_as_before(
        &mut self,
        planner: &Planner,
        goal: &Goal,
        scope: &Scope,
        start: &[u64],
        budget: &mut Budget<'_>,
    ) -> Result<Option<usize>, EventLoop> {
        let width = start.len();
        let begin = planner.worked_out(scope, start);
        let (mut words, mut next) = (begin.clone(), begin.clone());
        for attempt in (0..self.recent.len()).rev() {
            let mut way = Vec::new();
            words.copy_from_slice(&begin);
            for step in 0..self.recent[attempt].len() {
                let operator = self.recent[attempt][step];
                if !planner.operators[operator.index()].test.holds(&words) {
                    continue;
                }
                if !budget.take() {
                    return Ok(None);
                }
                let looped = |events| EventLoop { state: State(words[..width].into()), operator, events };
                planner.step(scope, operator, &words, &mut next, None).map_err(looped)?;
                if scope.forbidden.holds(&next) {
                    continue;
                }
                if !scope.facts_after {
                    planner.work_out(scope, &mut next);
                }
                way.push((words[..width].to_vec(), operator));
                std::mem::swap(&mut words, &mut next);
                let known = self.table.find(&words[..width]);
                if known.is_some_and(|known| self.verdicts[known] == Verdict::Hopeless) {
                    break;
                }
                if known.is_some() || goal.test.holds(&words) {
                    return Ok(Some(self.learn_steps(&words[..width], way)));
                }
            }
        }
        Ok(None)
    }

    /// Remembers a way given by its states and operators and its last state; gives the number of its first state.
    fn learn_steps(&mut self, last: &[u64], way: Vec<(Vec<u64>, OpId)>) -> usize {
        let mut later = self.learn(last, Verdict::Goal);
        for (state, operator) in way.into_iter().rev() {
            later = self.learn(&state, Verdict::Step(operator, later));
        }
        later as usize
    }

    fn learn(&mut self, state: &[u64], verdict: Verdict) -> u32 {
        let (index, new) = self.table.insert(state);
        if new {
            self.verdicts.push(verdict);
        }
        u32::try_from(index).expect("a table holds fewer than four billion states")
    }

    /// Remembers the states on the way that ends in the hunt's node `last`, from the end on; gives the first.
    fn learn_way(&mut self, hunt: &Hunt<'_>, last: usize) -> usize {
        let mut later = self.learn(hunt.table.get(last), Verdict::Goal);
        let mut node = hunt.nodes[last];
        while node.parent != NO_PARENT {
            let parent = node.parent as usize;
            later = self.learn(hunt.table.get(parent), Verdict::Step(node.operator, later));
            node = hunt.nodes[parent];
        }
        later as usize
    }

    fn tell(&self, planner: &Planner, mut index: usize) -> Way {
        let mut plan = Plan { steps: Vec::new(), cost: 0 };
        loop {
            match self.verdicts[index] {
                Verdict::Goal => return Way::Plan(plan),
                Verdict::Hopeless => return Way::None,
                Verdict::Step(operator, next) => {
                    plan.steps.push(operator);
                    plan.cost = plan.cost.saturating_add(planner.operators[operator.index()].cost);
                    index = next as usize;
                }
            }
        }
    }
}

enum Found {
    /// The number of a node that is a goal, or from which a way is known.
    Way(usize),
    Nothing,
    CutOff,
}

/// One greedy search: complete, as every enabled operator is tried in the end.
struct Hunt<'a> {
    planner: &'a Planner,
    goal: &'a Goal,
    scope: &'a Scope,
    relaxation: &'a Relaxation,
    guide: RelaxedPlan<'a>,
    table: Table,
    nodes: Vec<Node>,
    open: Open,
    pushed: u64,
}

impl<'a> Hunt<'a> {
    fn new(planner: &'a Planner, goal: &'a Goal, within: (&'a Scope, &'a Relaxation)) -> Self {
        let (scope, relaxation) = within;
        Hunt {
            planner,
            goal,
            scope,
            relaxation,
            guide: RelaxedPlan::new(planner, relaxation),
            table: Table::new(planner.layout.state_words()),
            nodes: Vec::new(),
            open: Open::new(),
            pushed: 0,
        }
    }

    fn run(&mut self, memory: &Memory, start: &[u64], budget: &mut Budget<'_>) -> Result<Found, EventLoop> {
        let width = start.len();
        let mut words = self.planner.worked_out(self.scope, start);
        let mut next = words.clone();
        let start_counts = !self.scope.forbidden.holds(&words);
        if let Some(found) = self.meet(memory, &words, NO_PARENT, OpId::new(0), start_counts) {
            return Ok(Found::Way(found));
        }
        let mut loaded = 0;
        if !budget.take() {
            return Ok(Found::CutOff);
        }
        while let Some(Reverse((_, _, _, parent, operator))) = self.open.pop() {
            if loaded != parent {
                words[..width].copy_from_slice(self.table.get(parent as usize));
                self.planner.work_out(self.scope, &mut words);
                loaded = parent;
            }
            let looped = |events| EventLoop { state: State(words[..width].into()), operator, events };
            self.planner.step(self.scope, operator, &words, &mut next, None).map_err(looped)?;
            if self.scope.forbidden.holds(&next) || self.table.find(&next[..width]).is_some() {
                continue;
            }
            if let Some(known) = memory.table.find(&next[..width]) {
                if memory.verdicts[known] == Verdict::Hopeless {
                    continue;
                }
            }
            if !budget.take() {
                return Ok(Found::CutOff);
            }
            if !self.scope.facts_after {
                self.planner.work_out(self.scope, &mut next);
            }
            if let Some(found) = self.meet(memory, &next, parent, operator, true) {
                return Ok(Found::Way(found));
            }
        }
        Ok(Found::Nothing)
    }

    /// Notes a new state and the operators that may follow; its number if a way from it is known.
    fn meet(
        &mut self,
        memory: &Memory,
        words: &[u64],
        parent: u32,
        operator: OpId,
        may_end: bool,
    ) -> Option<usize> {
        let width = self.planner.layout.state_words();
        let (index, _) = self.table.insert(&words[..width]);
        self.nodes.push(Node { parent, operator });
        if memory.table.find(&words[..width]).is_some() || (may_end && self.goal.test.holds(words)) {
            return Some(index);
        }
        let guess = self.guide.judge(words)?;
        let number = u32::try_from(index).expect("a table holds fewer than four billion states");
        for &id in &self.scope.operators {
            if self.planner.operators[id.index()].test.holds(words) {
                let hinted = self.guide.pays(self.relaxation.purse_of(id));
                self.open.push(Reverse((guess, !hinted, self.pushed, number, id)));
                self.pushed += 1;
            }
        }
        None
    }
}
