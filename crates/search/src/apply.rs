//! Doing an operator: its effects, the events that follow, and whether the result may be entered.

use crate::astar::EventLoop;
use crate::planner::{Compiled, Planner};
use crate::scope::Scope;
use crate::state::State;
use crate::{EventId, OpId};

/// Why an operator cannot be done in a state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refusal {
    /// Its precondition does not hold.
    NotEnabled,
    /// The state it leads to is forbidden.
    Forbidden(State),
    /// The events after it go round in a circle: these fire again and again.
    EventLoop(Vec<EventId>),
}

/// What doing an operator came to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Done {
    /// The state afterwards, all events over.
    pub state: State,
    /// The events that fired, in order.
    pub events: Vec<EventId>,
    /// Whether the operator's precondition held.
    pub enabled: bool,
    /// Whether the state afterwards is a forbidden one.
    pub forbidden: bool,
}

/// Rounds of events after which they count as endless even if no state has come twice.
const MOST_ROUNDS: usize = 1000;

impl Planner {
    /// Whether the operator's precondition holds.
    ///
    /// # Panics
    /// If the task has no such operator.
    pub fn enabled(&self, operator: OpId, state: &State) -> bool {
        self.operators[operator.index()].test.holds(&self.worked_out(&self.full, &state.0))
    }

    /// The operators whose preconditions hold, ascending; what they lead to may still be forbidden.
    pub fn all_enabled(&self, state: &State) -> Vec<OpId> {
        let words = self.worked_out(&self.full, &state.0);
        let enabled = |id: &OpId| self.operators[id.index()].test.holds(&words);
        self.full.operators.iter().copied().filter(enabled).collect()
    }

    /// Does an operator as a plan may: enabled, and not into a forbidden state.
    ///
    /// # Panics
    /// If the task has no such operator.
    pub fn apply(&self, operator: OpId, state: &State) -> Result<State, Refusal> {
        let words = self.worked_out(&self.full, &state.0);
        if !self.operators[operator.index()].test.holds(&words) {
            return Err(Refusal::NotEnabled);
        }
        let mut next = words.clone();
        self.step(&self.full, operator, &words, &mut next, None).map_err(Refusal::EventLoop)?;
        let forbidden = self.full.forbidden.holds(&next);
        let state = State(next[..state.0.len()].into());
        if forbidden { Err(Refusal::Forbidden(state)) } else { Ok(state) }
    }

    /// Does an operator whether or not it is enabled and wherever it leads, and tells what happened.
    ///
    /// # Errors
    /// The events that go round in a circle.
    ///
    /// # Panics
    /// If the task has no such operator.
    pub fn force(&self, operator: OpId, state: &State) -> Result<Done, Vec<EventId>> {
        let words = self.worked_out(&self.full, &state.0);
        let enabled = self.operators[operator.index()].test.holds(&words);
        let (mut next, mut fired) = (words.clone(), Vec::new());
        self.step(&self.full, operator, &words, &mut next, Some(&mut fired))?;
        let forbidden = self.full.forbidden.holds(&next);
        Ok(Done { state: State(next[..state.0.len()].into()), events: fired, enabled, forbidden })
    }

    /// Lets the events that are due in a state happen.
    ///
    /// # Errors
    /// The events that go round in a circle.
    pub fn settle(&self, state: &State) -> Result<(State, Vec<EventId>), Vec<EventId>> {
        let mut words = self.worked_out(&self.full, &state.0);
        let mut fired = Vec::new();
        self.happen(&self.full, &mut words, Some(&mut fired))?;
        Ok((State(words[..state.0.len()].into()), fired))
    }

    /// The states one operator away, by ascending operator; refused operators are left out.
    ///
    /// # Errors
    /// If the events after some operator never come to rest.
    pub fn successors(&self, state: &State) -> Result<Vec<(OpId, State)>, EventLoop> {
        let words = self.worked_out(&self.full, &state.0);
        let (mut next, mut found) = (words.clone(), Vec::new());
        for &id in &self.full.operators {
            if self.operators[id.index()].test.holds(&words) {
                self.step(&self.full, id, &words, &mut next, None).map_err(|events| EventLoop {
                    state: state.clone(),
                    operator: id,
                    events,
                })?;
                if !self.full.forbidden.holds(&next) {
                    found.push((id, State(next[..state.0.len()].into())));
                }
            }
        }
        Ok(found)
    }

    /// Effects of an operator on `words` and the events that follow, into `next`. The facts behind `next` are worked
    /// out only if the scope needs them there.
    pub(crate) fn step(
        &self,
        scope: &Scope,
        operator: OpId,
        words: &[u64],
        next: &mut [u64],
        fired: Option<&mut Vec<EventId>>,
    ) -> Result<(), Vec<EventId>> {
        let width = self.layout.state_words();
        next[..width].copy_from_slice(&words[..width]);
        change(&self.operators[operator.index()], &scope.keep, words, next);
        if scope.facts_after {
            self.work_out(scope, next);
            self.happen(scope, next, fired)?;
        }
        Ok(())
    }

    /// Lets events happen until none is due.
    pub(crate) fn happen(
        &self,
        scope: &Scope,
        words: &mut [u64],
        mut fired: Option<&mut Vec<EventId>>,
    ) -> Result<(), Vec<EventId>> {
        let width = self.layout.state_words();
        let mut seen: Vec<Vec<u64>> = Vec::new();
        let mut scratch: Vec<u64> = Vec::new();
        loop {
            let mut round = Vec::new();
            for &index in &scope.events {
                let event = &self.events[index];
                if !event.test.holds(words) {
                    continue;
                }
                scratch.clear();
                scratch.extend_from_slice(&words[..width]);
                change(event, &scope.keep, words, &mut scratch);
                if scratch[..] != words[..width] {
                    words[..width].copy_from_slice(&scratch);
                    self.work_out(scope, words);
                    round.push(EventId::new(index));
                }
            }
            if round.is_empty() {
                return Ok(());
            }
            if seen.len() > MOST_ROUNDS || seen.iter().any(|old| old[..] == words[..width]) {
                return Err(round);
            }
            seen.push(words[..width].to_vec());
            if let Some(fired) = &mut fired {
                fired.extend_from_slice(&round);
            }
        }
    }
}

/// Writes the effects that apply in `words` and matter into `next`.
fn change(doing: &Compiled, keep: &[u64], words: &[u64], next: &mut [u64]) {
    for effect in &doing.effects {
        let mask = effect.mask & keep[effect.word];
        if mask != 0 && (effect.test.always() || effect.test.holds(words)) {
            next[effect.word] = next[effect.word] & !mask | effect.bits & mask;
        }
    }
}
