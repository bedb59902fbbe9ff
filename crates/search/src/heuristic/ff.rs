//! A relaxed plan (Hoffmann & Nebel 2001), with supporters by added-up cost (Bonet & Geffner 2001): not admissible,
//! but a good guide. Its operators show where to go first.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::Relaxation;
use super::relax::number;
use crate::planner::Planner;

const FAR: u32 = u32::MAX;
const NONE: u32 = u32::MAX;

/// Finds relaxed plans.
#[derive(Debug)]
pub(crate) struct RelaxedPlan<'a> {
    planner: &'a Planner,
    relaxation: &'a Relaxation,
    atom: Vec<u32>,
    achiever: Vec<u32>,
    missing: Vec<u32>,
    sum: Vec<u32>,
    queue: BinaryHeap<Reverse<(u32, u32)>>,
    done: Vec<bool>,
    stack: Vec<u32>,
    /// Costs paid by the last relaxed plan, ascending; see [`Relaxation::purse_of`].
    purses: Vec<u32>,
}

impl<'a> RelaxedPlan<'a> {
    pub(crate) fn new(planner: &'a Planner, relaxation: &'a Relaxation) -> Self {
        RelaxedPlan {
            planner,
            relaxation,
            atom: vec![FAR; relaxation.atoms],
            achiever: vec![NONE; relaxation.atoms],
            missing: vec![0; relaxation.actions()],
            sum: vec![0; relaxation.actions()],
            queue: BinaryHeap::new(),
            done: vec![false; relaxation.atoms],
            stack: Vec::new(),
            purses: Vec::new(),
        }
    }

    /// Number of operators in a relaxed plan from a state; `None` if there is surely no plan.
    pub(crate) fn judge(&mut self, words: &[u64]) -> Option<u32> {
        self.explore(words);
        let relaxation = self.relaxation;
        if self.atom[relaxation.goal as usize] == FAR {
            return None;
        }
        self.purses.clear();
        self.done.fill(false);
        self.stack.push(relaxation.goal);
        while let Some(atom) = self.stack.pop() {
            let achiever = self.achiever[atom as usize];
            if achiever == NONE || std::mem::replace(&mut self.done[atom as usize], true) {
                continue;
            }
            self.purses.push(relaxation.purse[achiever as usize]);
            self.stack.extend_from_slice(relaxation.needs.of(achiever));
        }
        self.purses.sort_unstable();
        self.purses.dedup();
        self.purses.retain(|&purse| purse != 0);
        Some(number(self.purses.len()))
    }

    /// Whether the last relaxed plan has the operator that pays this (zero: none does).
    pub(crate) fn pays(&self, purse: u32) -> bool {
        self.purses.binary_search(&purse).is_ok()
    }

    fn explore(&mut self, words: &[u64]) {
        let relaxation = self.relaxation;
        self.atom.fill(FAR);
        self.achiever.fill(NONE);
        self.sum.fill(0);
        for (index, missing) in self.missing.iter_mut().enumerate() {
            *missing = number(relaxation.needs.of(number(index)).len());
        }
        let (atoms, queue) = (&mut self.atom, &mut self.queue);
        relaxation.given(self.planner, words, |given| {
            atoms[given as usize] = 0;
            queue.push(Reverse((0, given)));
        });
        while let Some(Reverse((cost, reached))) = self.queue.pop() {
            if cost != self.atom[reached as usize] {
                continue;
            }
            for &action in relaxation.needed_by.of(reached) {
                let index = action as usize;
                self.missing[index] -= 1;
                self.sum[index] = self.sum[index].saturating_add(cost).min(FAR / 2);
                if self.missing[index] > 0 {
                    continue;
                }
                let cost = self.sum[index] + u32::from(relaxation.purse[index] != 0);
                for &added in relaxation.adds.of(action) {
                    if cost < self.atom[added as usize] {
                        self.atom[added as usize] = cost;
                        self.achiever[added as usize] = action;
                        self.queue.push(Reverse((cost, added)));
                    }
                }
            }
        }
    }
}
