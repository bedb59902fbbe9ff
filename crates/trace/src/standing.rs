//! What a case says by now: suspects, what is the matter together, what is left out.

use boat::model::{FaultId, ProcedureId};

use crate::case::Case;
use crate::layout::Cause;
use crate::system::{FactAt, System};

/// One thing that may be the matter, and how surely.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspect {
    /// What.
    pub cause: Cause,
    /// The probability that it is so, alone or with others.
    pub chance: f64,
}

/// Things that are the matter together.
#[derive(Debug, Clone, PartialEq)]
pub struct Together {
    /// What is the matter; none if nothing is.
    pub causes: Vec<Cause>,
    /// The probability of just this.
    pub chance: f64,
}

impl Case<'_> {
    /// What may be the matter, likeliest first: the exact posterior over at most [`Terms::most`] things at once.
    pub fn suspects(&self) -> Vec<Suspect> {
        let mut found: Vec<Suspect> = self
            .worlds
            .deviations
            .iter()
            .enumerate()
            .filter_map(|(at, d)| {
                let cause = self.layout.cause(d.unknown, d.value)?;
                Some(Suspect { cause, chance: self.worlds.with(at).weigh(&self.weights) })
            })
            .collect();
        found.sort_by(|a, b| b.chance.total_cmp(&a.chance).then(a.cause.cmp(&b.cause)));
        found
    }

    /// The likeliest sets of things that are the matter together, at most `count`.
    pub fn together(&self, count: usize) -> Vec<Together> {
        let mut order: Vec<usize> =
            (0..self.worlds.len()).filter(|world| self.weights[*world] > 0.0).collect();
        order.sort_by(|a, b| self.weights[*b].total_cmp(&self.weights[*a]).then(a.cmp(b)));
        order
            .into_iter()
            .take(count)
            .map(|world| Together { causes: self.causes_in(world), chance: self.weights[world] })
            .collect()
    }

    pub(crate) fn causes_in(&self, world: usize) -> Vec<Cause> {
        self.worlds
            .set(world)
            .iter()
            .filter_map(|at| {
                let d = self.worlds.deviations[usize::from(*at)];
                self.layout.cause(d.unknown, d.value)
            })
            .collect()
    }

    /// The probability that none, one, two ... things are otherwise than they should be, whether they bear on the
    /// symptom or not.
    pub fn how_many(&self) -> Vec<f64> {
        let mut shares = vec![0.0; self.terms.most + 1];
        for (world, weight) in self.weights.iter().enumerate() {
            shares[self.worlds.set(world).len()] += weight;
        }
        shares
    }

    /// What was left out: the probability, before any check, that more than [`Terms::most`] things are the matter at
    /// once, given the symptom. By inference over the whole network, without a bound on their number.
    pub fn left_out(&self) -> f64 {
        let (network, facts) = self.layout.system.network();
        let all = network.posterior(&[(facts[self.layout.subject], 0)]).map_or(0.0, |all| all.evidence);
        let fact = self.worlds.fact(self.layout.subject).clone().not();
        let bounded = fact.weigh(&self.worlds.prior);
        if all > 0.0 { (1.0 - bounded / all).max(0.0) } else { 0.0 }
    }

    /// What may be the matter given the symptom alone, without a bound on how many things are: inference over the whole
    /// network of the boat. Beside [`Case::suspects`] of a case in which nothing was asked yet it shows what the bound
    /// leaves out.
    pub fn unbounded(&self) -> Vec<Suspect> {
        let (network, facts) = self.layout.system.network();
        let Ok(all) = network.posterior(&[(facts[self.layout.subject], 0)]) else { return Vec::new() };
        let mut found: Vec<Suspect> = self
            .worlds
            .deviations
            .iter()
            .filter_map(|d| {
                let cause = self.layout.cause(d.unknown, d.value)?;
                Some(Suspect { cause, chance: all.of[d.unknown][d.value] })
            })
            .collect();
        found.sort_by(|a, b| b.chance.total_cmp(&a.chance).then(a.cause.cmp(&b.cause)));
        found
    }

    /// The unknowns and facts that the symptom rests on.
    pub fn system(&self) -> &System {
        &self.layout.system
    }

    /// The fact of that system that does not hold.
    pub fn subject(&self) -> FactAt {
        self.layout.subject
    }

    /// The emergency list of a thing that is suspected at least so surely, if one has one.
    pub fn watch_for(&self, at_least: f64) -> Option<(FaultId, ProcedureId)> {
        self.suspects().into_iter().take_while(|suspect| suspect.chance >= at_least).find_map(|suspect| {
            let fault = self.fault_of(suspect.cause)?;
            Some((fault, self.boat.faults[fault].emergency?))
        })
    }
}
