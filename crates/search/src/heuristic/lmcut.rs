//! LM-cut (Helmert & Domshlak, "Landmarks, critical paths and abstractions: what's the difference anyway?",
//! ICAPS 2009): a sum of disjoint landmarks found by cuts in the justification graph.
//!
//! Conditional effects of one operator are separate actions that pay from one purse. A cut is a set of purses one of
//! which every relaxed plan must pay; when its least cost has been counted it is taken off the whole purse. The sum
//! is therefore a cost partition over landmarks of whole operators and stays admissible (the plain variant in Röger,
//! Pommerening & Helmert, "Optimal planning in the presence of conditional effects", ECAI 2014).

use super::hmax::{Costs, FAR, NONE};
use super::{Heuristic, Relaxation};
use crate::OpId;
use crate::planner::Planner;

/// Where an atom lies in the justification graph of the current round.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Zone {
    Unseen,
    Start,
    Goal,
}

/// The LM-cut bound.
pub(crate) struct LmCut<'a> {
    planner: &'a Planner,
    relaxation: &'a Relaxation,
    costs: Costs,
    left: Vec<u32>,
    zones: Vec<Zone>,
    stack: Vec<u32>,
    cut: Vec<u32>,
    cheaper: Vec<u32>,
}

impl<'a> LmCut<'a> {
    pub(crate) fn new(planner: &'a Planner, relaxation: &'a Relaxation) -> Self {
        LmCut {
            planner,
            relaxation,
            costs: Costs::new(relaxation),
            left: relaxation.costs.clone(),
            zones: vec![Zone::Unseen; relaxation.atoms],
            stack: Vec::new(),
            cut: Vec::new(),
            cheaper: Vec::new(),
        }
    }

    /// Marks the atoms from which the goal costs nothing more.
    fn mark_goal_zone(&mut self) {
        let relaxation = self.relaxation;
        self.zones[relaxation.goal as usize] = Zone::Goal;
        self.stack.push(relaxation.goal);
        while let Some(atom) = self.stack.pop() {
            for &action in relaxation.added_by.of(atom) {
                let supporter = self.costs.supporter[action as usize];
                if supporter != NONE
                    && self.left[relaxation.purse[action as usize] as usize] == 0
                    && self.zones[supporter as usize] != Zone::Goal
                {
                    self.zones[supporter as usize] = Zone::Goal;
                    self.stack.push(supporter);
                }
            }
        }
    }

    /// Walks from what is given and collects the purses of the actions that lead into the goal zone.
    fn find_cut(&mut self, words: &[u64]) {
        let relaxation = self.relaxation;
        let (zones, stack) = (&mut self.zones, &mut self.stack);
        relaxation.given(self.planner, words, |atom| {
            zones[atom as usize] = Zone::Start;
            stack.push(atom);
        });
        self.cut.clear();
        while let Some(atom) = self.stack.pop() {
            for &action in relaxation.needed_by.of(atom) {
                if self.costs.supporter[action as usize] != atom {
                    continue;
                }
                let adds = relaxation.adds.of(action);
                if adds.iter().any(|&added| self.zones[added as usize] == Zone::Goal) {
                    self.cut.push(relaxation.purse[action as usize]);
                }
                for &added in adds {
                    if self.zones[added as usize] == Zone::Unseen {
                        self.zones[added as usize] = Zone::Start;
                        self.stack.push(added);
                    }
                }
            }
        }
        self.cut.sort_unstable();
        self.cut.dedup();
    }
}

impl Heuristic for LmCut<'_> {
    fn judge(&mut self, words: &[u64]) -> Option<u32> {
        let relaxation = self.relaxation;
        self.left.copy_from_slice(&relaxation.costs);
        self.costs.explore(self.planner, relaxation, &self.left, words);
        let mut sum: u32 = 0;
        loop {
            match self.costs.atom[relaxation.goal as usize] {
                FAR => return None,
                0 => return Some(sum),
                _ => {}
            }
            self.zones.fill(Zone::Unseen);
            self.mark_goal_zone();
            self.find_cut(words);
            let least = self.cut.iter().map(|&purse| self.left[purse as usize]).min();
            let least = least.expect("a goal that costs something has a cut before it");
            sum = sum.saturating_add(least);
            self.cheaper.clear();
            for &purse in &self.cut {
                self.left[purse as usize] -= least;
                self.cheaper.extend_from_slice(relaxation.payers.of(purse));
            }
            self.costs.repair(relaxation, &self.left, &self.cheaper);
        }
    }

    fn credit(&self, operator: OpId) -> u32 {
        // Landmarks that do not contain the operator stay landmarks behind it (Pommerening & Helmert, "Incremental
        // LM-cut", ICAPS 2013), so only what was counted against its own purse can be lost.
        let purse = self.relaxation.purse_of(operator) as usize;
        self.relaxation.costs[purse] - self.left[purse]
    }
}
