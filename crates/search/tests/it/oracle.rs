//! A second program for the same tasks, written for plainness: values in a vector, formulas walked as they stand,
//! distances by relaxation of all edges until nothing changes. It shares no code with the crate but the task types.

use std::collections::BTreeMap;

use search::{Effect, Formula, OpId, Task};

pub(crate) struct Oracle<'a> {
    pub(crate) task: &'a Task,
    /// The stratum of each derived fact.
    pub(crate) strata: Vec<usize>,
}

/// Every state that can be come to from a start, with its edges.
pub(crate) struct Graph {
    pub(crate) states: Vec<Vec<u8>>,
    /// Operator, cost, and number of the state it leads to.
    pub(crate) edges: Vec<Vec<(OpId, u32, usize)>>,
    /// Cost of the cheapest way from each state to a goal.
    pub(crate) distance: Vec<Option<u32>>,
}

impl Oracle<'_> {
    pub(crate) fn facts(&self, values: &[u8]) -> Vec<bool> {
        let mut facts = vec![false; self.task.derived.len()];
        for stratum in 0..=self.strata.iter().copied().max().unwrap_or(0) {
            loop {
                let before = facts.clone();
                for (index, fact) in self.task.derived.iter().enumerate() {
                    if self.strata[index] == stratum && holds(&fact.body, values, &before) {
                        facts[index] = true;
                    }
                }
                if facts == before {
                    break;
                }
            }
        }
        facts
    }

    pub(crate) fn holds(&self, formula: &Formula, values: &[u8]) -> bool {
        holds(formula, values, &self.facts(values))
    }

    fn changed(&self, effects: &[Effect], values: &[u8]) -> Vec<u8> {
        let mut next = values.to_vec();
        for effect in effects.iter().filter(|effect| self.holds(&effect.condition, values)) {
            next[effect.variable.index()] = effect.value;
        }
        next
    }

    /// The state when no event is due any more; `None` if that never comes.
    pub(crate) fn settled(&self, values: &[u8]) -> Option<Vec<u8>> {
        let (mut values, mut seen) = (values.to_vec(), vec![values.to_vec()]);
        loop {
            let before = values.clone();
            let mut fired = false;
            for event in &self.task.events {
                if self.holds(&event.condition, &values) {
                    let next = self.changed(&event.effects, &values);
                    fired |= next != values;
                    values = next;
                }
            }
            if !fired {
                return Some(before);
            }
            if seen.contains(&values) {
                return None;
            }
            seen.push(values.clone());
        }
    }

    /// `Ok(None)` if refused, `Err` if the events never rest.
    pub(crate) fn done(&self, operator: OpId, values: &[u8]) -> Result<Option<Vec<u8>>, ()> {
        let operator = &self.task.operators[operator.index()];
        if !self.holds(&operator.precondition, values) {
            return Ok(None);
        }
        let next = self.settled(&self.changed(&operator.effects, values)).ok_or(())?;
        Ok(if self.holds(&self.task.forbidden, &next) { None } else { Some(next) })
    }

    /// `None` if some events never rest.
    pub(crate) fn graph(&self, start: &[u8]) -> Option<Graph> {
        let mut numbers = BTreeMap::from([(start.to_vec(), 0)]);
        let (mut states, mut edges) = (vec![start.to_vec()], Vec::new());
        while edges.len() < states.len() {
            let state = states[edges.len()].clone();
            let mut here = Vec::new();
            for index in 0..self.task.operators.len() {
                let id = OpId::new(index);
                if let Some(next) = self.done(id, &state).ok()? {
                    let number = *numbers.entry(next.clone()).or_insert(states.len());
                    if number == states.len() {
                        states.push(next);
                    }
                    here.push((id, self.task.operators[index].cost, number));
                }
            }
            edges.push(here);
        }
        let good =
            |state: &Vec<u8>| self.holds(&self.task.goal, state) && !self.holds(&self.task.forbidden, state);
        let mut distance: Vec<Option<u32>> = states.iter().map(|state| good(state).then_some(0)).collect();
        loop {
            let before = distance.clone();
            for (from, edges) in edges.iter().enumerate() {
                for &(_, cost, to) in edges {
                    if let Some(rest) = distance[to] {
                        if distance[from].is_none_or(|known| known > cost + rest) {
                            distance[from] = Some(cost + rest);
                        }
                    }
                }
            }
            if distance == before {
                return Some(Graph { states, edges, distance });
            }
        }
    }

    /// The cost of a plan if it is one.
    pub(crate) fn cost(&self, start: &[u8], steps: &[OpId]) -> Option<u32> {
        let (mut state, mut cost) = (start.to_vec(), 0);
        for &step in steps {
            state = self.done(step, &state).ok()??;
            cost += self.task.operators[step.index()].cost;
        }
        (self.holds(&self.task.goal, &state) && !self.holds(&self.task.forbidden, &state)).then_some(cost)
    }
}

fn holds(formula: &Formula, values: &[u8], facts: &[bool]) -> bool {
    match formula {
        Formula::True => true,
        Formula::False => false,
        Formula::Is(variable, value) => values[variable.index()] == *value,
        Formula::Fact(fact) => facts[fact.index()],
        Formula::Not(inner) => !holds(inner, values, facts),
        Formula::All(parts) => parts.iter().all(|part| holds(part, values, facts)),
        Formula::Any(parts) => parts.iter().any(|part| holds(part, values, facts)),
    }
}
