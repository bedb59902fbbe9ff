//! Traps: states that can be come to, but from which a goal can no longer be reached.

use crate::OpId;
use crate::astar::EventLoop;
use crate::budget::Budget;
use crate::planner::{Goal, Planner};
use crate::reach::{Reach, Way};
use crate::scope::Scope;
use crate::state::State;
use crate::table::Table;

/// A state without a way to the goal, entered from one that has a way or may have one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trap {
    /// Which of the start states leads here, by its index.
    pub start: usize,
    /// The operators from the start state into the trap; as few as can be. Empty if the start is a trap itself.
    pub path: Vec<OpId>,
    /// The state behind them.
    pub state: State,
}

/// What an exploration for traps found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Traps {
    /// The states at which a way into a trap ends, in the order in which they were met.
    pub entries: Vec<Trap>,
    /// How many states are trapped, those behind an entry among them. States that differ only in what cannot matter
    /// for the goal count as one.
    pub trapped: u64,
    /// How many states were looked at.
    pub covered: u64,
    /// Whether every state that can be come to was looked at. If not, each entry is still a trap for certain, but
    /// there may be more.
    pub complete: bool,
}

#[derive(Debug, Clone, Copy)]
struct Node {
    parent: u32,
    operator: OpId,
    start: u32,
}

const NO_PARENT: u32 = u32::MAX;

impl Planner {
    /// Finds the states that can be come to from the start states and have no way to the goal, by looking at every
    /// state that can be come to; for spaces of up to some millions of states. Takes one unit of the budget a state.
    ///
    /// # Errors
    /// If the events after some operator never come to rest.
    pub fn traps(&self, starts: &[State], goal: &Goal, budget: &mut Budget<'_>) -> Result<Traps, EventLoop> {
        let narrow = starts.iter().all(|start| self.may_narrow(start, goal));
        let scope = if narrow { &goal.relevant.scope } else { &self.full };
        let mut survey = Survey {
            planner: self,
            scope,
            table: Table::new(self.layout.state_words()),
            nodes: Vec::new(),
            edges: Vec::new(),
            good: Vec::new(),
        };
        let complete = survey.forward(starts, goal, budget)?;
        let hopeful = survey.backward();
        survey.report(starts, &hopeful, complete)
    }
}

impl Reach<'_> {
    /// Finds the traps that can be come to within so many operators from the start states, in spaces too large to look
    /// at whole: from each state a way is sought that may lead through any other state. Goes on from states that have
    /// a way only, so what is found are the entries of traps; `trapped` is their number.
    ///
    /// If `complete`, every state within so many operators was looked at and decided, and there is no other entry.
    ///
    /// # Errors
    /// If the events after some operator never come to rest.
    pub fn traps_within(
        &mut self,
        operators: usize,
        starts: &[State],
        budget: &mut Budget<'_>,
    ) -> Result<Traps, EventLoop> {
        let planner = self.planner();
        let mut table = Table::new(planner.layout.state_words());
        let mut layer: Vec<(usize, Vec<OpId>, State)> =
            starts.iter().enumerate().map(|(start, state)| (start, Vec::new(), state.clone())).collect();
        layer.retain(|(_, _, state)| table.insert(&state.0).1);
        let mut traps = Traps { entries: Vec::new(), trapped: 0, covered: 0, complete: true };
        for depth in 0..=operators {
            let mut next = Vec::new();
            for (start, path, state) in layer {
                match self.way(&state, budget)? {
                    Way::Plan(_) => {}
                    Way::None => {
                        traps.covered += 1;
                        traps.trapped += 1;
                        traps.entries.push(Trap { start, path, state });
                        continue;
                    }
                    Way::CutOff => {
                        traps.complete = false;
                        return Ok(traps);
                    }
                }
                traps.covered += 1;
                if depth == operators {
                    continue;
                }
                for (operator, after) in planner.successors(&state)? {
                    if table.insert(&after.0).1 {
                        let path = path.iter().copied().chain([operator]).collect();
                        next.push((start, path, after));
                    }
                }
            }
            layer = next;
        }
        Ok(traps)
    }
}

struct Survey<'a> {
    planner: &'a Planner,
    scope: &'a Scope,
    table: Table,
    nodes: Vec<Node>,
    /// From, to.
    edges: Vec<(u32, u32)>,
    /// Goal states, and states not looked at.
    good: Vec<u32>,
}

impl Survey<'_> {
    /// Meets states in order of distance; whether all were looked at. Goal states are gone on from as well.
    fn forward(&mut self, starts: &[State], goal: &Goal, budget: &mut Budget<'_>) -> Result<bool, EventLoop> {
        for (start, state) in (0..).zip(starts) {
            let kept: Vec<u64> =
                state.0.iter().zip(&self.scope.keep).map(|(word, keep)| word & keep).collect();
            self.meet(&kept, Node { parent: NO_PARENT, operator: OpId::new(0), start });
        }
        let roots = self.nodes.len();
        let width = self.planner.layout.state_words();
        let mut words = vec![0; self.planner.layout.all_words()];
        let mut next = words.clone();
        let mut at = 0;
        while at < self.table.len() && budget.take() {
            words[..width].copy_from_slice(self.table.get(at));
            self.planner.work_out(self.scope, &mut words);
            let number = u32::try_from(at).expect("a table holds fewer than four billion states");
            if goal.test.holds(&words) && !(at < roots && self.scope.forbidden.holds(&words)) {
                self.good.push(number);
            }
            for &operator in &self.scope.operators {
                if !self.planner.operators[operator.index()].test.holds(&words) {
                    continue;
                }
                let looped = |events| EventLoop { state: State(words[..width].into()), operator, events };
                self.planner.step(self.scope, operator, &words, &mut next, None).map_err(looped)?;
                if !self.scope.forbidden.holds(&next) {
                    let start = self.nodes[at].start;
                    let to = self.meet(&next[..width], Node { parent: number, operator, start });
                    self.edges.push((number, to));
                }
            }
            at += 1;
        }
        let complete = at == self.table.len();
        self.good.extend((at..self.table.len()).map(|index| u32::try_from(index).expect("as above")));
        Ok(complete)
    }

    fn meet(&mut self, state: &[u64], node: Node) -> u32 {
        let (index, new) = self.table.insert(state);
        if new {
            self.nodes.push(node);
        }
        u32::try_from(index).expect("a table holds fewer than four billion states")
    }

    /// Which states have a way to a goal state or to one that was not looked at.
    fn backward(&mut self) -> Vec<bool> {
        self.edges.sort_unstable_by_key(|&(from, to)| (to, from));
        let mut hopeful = vec![false; self.table.len()];
        let mut to_do = std::mem::take(&mut self.good);
        for &state in &to_do {
            hopeful[state as usize] = true;
        }
        while let Some(state) = to_do.pop() {
            let first = self.edges.partition_point(|&(_, to)| to < state);
            for &(from, _) in self.edges[first..].iter().take_while(|&&(_, to)| to == state) {
                if !std::mem::replace(&mut hopeful[from as usize], true) {
                    to_do.push(from);
                }
            }
        }
        hopeful
    }

    fn report(&self, starts: &[State], hopeful: &[bool], complete: bool) -> Result<Traps, EventLoop> {
        let mut entries = Vec::new();
        let mut trapped = 0;
        for (node, _) in self.nodes.iter().zip(hopeful).filter(|(_, hopeful)| !**hopeful) {
            trapped += 1;
            if node.parent != NO_PARENT && !hopeful[node.parent as usize] {
                continue;
            }
            let start = node.start as usize;
            let path = self.path(*node);
            // What was set aside as of no account is filled in again by going the way once more.
            let state = self.planner.follow(&starts[start], &path)?;
            entries.push(Trap { start, path, state });
        }
        Ok(Traps { entries, trapped, covered: self.table.len() as u64, complete })
    }

    fn path(&self, mut node: Node) -> Vec<OpId> {
        let mut path = Vec::new();
        while node.parent != NO_PARENT {
            path.push(node.operator);
            node = self.nodes[node.parent as usize];
        }
        path.reverse();
        path
    }
}
