//! The cost of the dearest thing needed (h-max, Bonet & Geffner 2001): cheap, admissible, weak.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::{Heuristic, Relaxation};
use crate::OpId;
use crate::planner::Planner;

/// Cost of an atom that has not been reached.
pub(super) const FAR: u32 = u32::MAX;
/// No atom supports an action.
pub(super) const NONE: u32 = u32::MAX;

/// The h-max costs of all atoms, with the dearest precondition (supporter) of every action.
#[derive(Debug, Clone)]
pub(super) struct Costs {
    pub(super) atom: Vec<u32>,
    pub(super) supporter: Vec<u32>,
    pub(super) supporter_cost: Vec<u32>,
    missing: Vec<u32>,
    /// Atoms at the distance being worked on; others wait in the heap.
    now: Vec<u32>,
    later: BinaryHeap<Reverse<(u32, u32)>>,
}

impl Costs {
    pub(super) fn new(relaxation: &Relaxation) -> Costs {
        Costs {
            atom: vec![FAR; relaxation.atoms],
            supporter: vec![NONE; relaxation.actions()],
            supporter_cost: vec![0; relaxation.actions()],
            missing: vec![0; relaxation.actions()],
            now: Vec::new(),
            later: BinaryHeap::new(),
        }
    }

    /// Works out everything from a state.
    pub(super) fn explore(
        &mut self,
        planner: &Planner,
        relaxation: &Relaxation,
        costs: &[u32],
        words: &[u64],
    ) {
        self.atom.fill(FAR);
        self.supporter.fill(NONE);
        for (index, missing) in self.missing.iter_mut().enumerate() {
            *missing = super::relax::number(relaxation.needs.of(super::relax::number(index)).len());
        }
        let atom = &mut self.atom;
        let now = &mut self.now;
        relaxation.given(planner, words, |given| {
            atom[given as usize] = 0;
            now.push(given);
        });
        let mut distance = 0;
        while let Some(reached) = self.next(&mut distance) {
            for &action in relaxation.needed_by.of(reached) {
                let index = action as usize;
                self.missing[index] -= 1;
                if self.missing[index] == 0 {
                    // Atoms come in ascending order of cost, so the last one needed is a dearest one.
                    self.supporter[index] = reached;
                    self.supporter_cost[index] = distance;
                    let cost = distance.saturating_add(costs[relaxation.purse[index] as usize]);
                    self.lower(relaxation, action, cost, distance);
                }
            }
        }
    }

    /// Repairs the costs after some actions became cheaper.
    pub(super) fn repair(&mut self, relaxation: &Relaxation, costs: &[u32], cheaper: &[u32]) {
        for &action in cheaper {
            let index = action as usize;
            if self.supporter[index] != NONE {
                let cost = self.supporter_cost[index].saturating_add(costs[relaxation.purse[index] as usize]);
                for &added in relaxation.adds.of(action) {
                    if cost < self.atom[added as usize] {
                        self.atom[added as usize] = cost;
                        self.later.push(Reverse((cost, added)));
                    }
                }
            }
        }
        let mut distance = 0;
        while let Some(reached) = self.next(&mut distance) {
            for &action in relaxation.needed_by.of(reached) {
                let index = action as usize;
                if self.supporter[index] != reached || self.supporter_cost[index] <= distance {
                    continue;
                }
                let (mut dearest, mut dearest_cost) = (reached, distance);
                for &need in relaxation.needs.of(action) {
                    if self.atom[need as usize] > dearest_cost {
                        dearest = need;
                        dearest_cost = self.atom[need as usize];
                    }
                }
                self.supporter[index] = dearest;
                if dearest_cost < self.supporter_cost[index] {
                    self.supporter_cost[index] = dearest_cost;
                    let cost = dearest_cost.saturating_add(costs[relaxation.purse[index] as usize]);
                    self.lower(relaxation, action, cost, distance);
                }
            }
        }
    }

    fn lower(&mut self, relaxation: &Relaxation, action: u32, cost: u32, distance: u32) {
        for &added in relaxation.adds.of(action) {
            if cost < self.atom[added as usize] {
                self.atom[added as usize] = cost;
                if cost == distance { self.now.push(added) } else { self.later.push(Reverse((cost, added))) }
            }
        }
    }

    /// The next atom in ascending order of cost, each once a cost.
    fn next(&mut self, distance: &mut u32) -> Option<u32> {
        loop {
            if let Some(atom) = self.now.pop() {
                return Some(atom);
            }
            let Reverse((cost, atom)) = self.later.pop()?;
            if cost == self.atom[atom as usize] {
                *distance = cost;
                return Some(atom);
            }
        }
    }
}

/// The h-max bound.
pub(crate) struct HMax<'a> {
    planner: &'a Planner,
    relaxation: &'a Relaxation,
    costs: Costs,
}

impl<'a> HMax<'a> {
    pub(crate) fn new(planner: &'a Planner, relaxation: &'a Relaxation) -> Self {
        HMax { planner, relaxation, costs: Costs::new(relaxation) }
    }
}

impl Heuristic for HMax<'_> {
    fn judge(&mut self, words: &[u64]) -> Option<u32> {
        self.costs.explore(self.planner, self.relaxation, &self.relaxation.costs, words);
        let cost = self.costs.atom[self.relaxation.goal as usize];
        (cost != FAR).then_some(cost)
    }

    fn credit(&self, operator: OpId) -> u32 {
        self.planner.operators[operator.index()].cost
    }
}
