//! The lifted model written out for its objects: what can be reached becomes variables, facts and operators.

use std::collections::{BTreeMap, BTreeSet};

use super::reach::{GroundAtom, Reached, bind, ground, object, reach};
use super::read::{Action, Expression, Model};
use crate::{DerivedId, Effect, Formula, Task, VarId};

/// What a ground atom is in the task.
#[derive(Debug, Clone, Copy)]
enum Meaning {
    Always,
    Variable(VarId),
    Derived(DerivedId),
}

struct Grounder<'a> {
    model: &'a Model,
    reached: Reached,
    /// Atoms not in here never hold.
    meaning: BTreeMap<GroundAtom, Meaning>,
}

pub(super) fn task(model: &Model) -> Task {
    let mut task = Task::new();
    let mut grounder = Grounder { model, reached: reach(model), meaning: BTreeMap::new() };
    grounder.name_atoms(&mut task);
    for rule in &model.rules {
        let mut alternatives = Vec::new();
        bind(&rule.parameters, &mut Vec::new(), &mut |slots, depth| {
            if depth == rule.parameters.len() {
                let head = (rule.predicate, slots.clone());
                if let Some(Meaning::Derived(fact)) = grounder.meaning.get(&head) {
                    alternatives.push((*fact, grounder.formula(&rule.body, slots, true)));
                }
            }
            true
        });
        for (fact, body) in alternatives {
            let before = std::mem::replace(&mut task.derived[fact.index()].body, Formula::False);
            task.define(fact, any(vec![before, body]));
        }
    }
    for (index, slots) in &grounder.reached.actions {
        grounder.add_operator(&mut task, &model.actions[*index], slots);
    }
    task.goal = grounder.formula(&model.goal, &mut Vec::new(), true);
    task
}

impl Grounder<'_> {
    fn name_atoms(&mut self, task: &mut Task) {
        let mut derived = vec![false; self.model.predicates.len()];
        for rule in &self.model.rules {
            derived[rule.predicate] = true;
        }
        let lost = self.may_be_lost();
        for atom in &self.reached.atoms {
            let meaning = if derived[atom.0] {
                // An atom given at the start holds for good, whatever its rules say.
                let body = if self.reached.initial.contains(atom) { Formula::True } else { Formula::False };
                Meaning::Derived(task.fact(self.name(atom), body))
            } else if self.reached.initial.contains(atom) && !lost.contains(atom) {
                Meaning::Always
            } else {
                let initial = u8::from(self.reached.initial.contains(atom));
                Meaning::Variable(task.variable(self.name(atom), 2, initial))
            };
            self.meaning.insert(atom.clone(), meaning);
        }
    }

    /// Atoms that some reachable action makes false.
    fn may_be_lost(&self) -> BTreeSet<GroundAtom> {
        let mut lost = BTreeSet::new();
        for (index, slots) in &self.reached.actions {
            for effect in self.model.actions[*index].effects.iter().filter(|effect| !effect.becomes) {
                let whole = slots.len() + effect.parameters.len();
                bind(&effect.parameters, &mut slots.clone(), &mut |slots, depth| {
                    if depth == whole {
                        lost.insert(ground(&effect.atom, slots));
                    }
                    true
                });
            }
        }
        lost
    }

    fn name(&self, atom: &GroundAtom) -> String {
        let objects = atom.1.iter().map(|&object| self.model.objects[object].as_str());
        format!("p{} {}", atom.0, objects.collect::<Vec<_>>().join(" "))
    }

    fn add_operator(&self, task: &mut Task, action: &Action, slots: &[usize]) {
        let mut effects = Vec::new();
        // An atom that is both made false and made true is true afterwards: what is made true comes last.
        for becomes in [false, true] {
            for change in action.effects.iter().filter(|change| change.becomes == becomes) {
                let whole = slots.len() + change.parameters.len();
                bind(&change.parameters, &mut slots.to_vec(), &mut |slots, depth| {
                    if depth < whole {
                        return true;
                    }
                    if let Some(Meaning::Variable(variable)) = self.meaning.get(&ground(&change.atom, slots))
                    {
                        let condition = self.formula(&change.condition, slots, true);
                        if condition != Formula::False {
                            effects.push(Effect::when(condition, *variable, u8::from(becomes)));
                        }
                    }
                    true
                });
            }
        }
        let words: Vec<&str> = std::iter::once(action.name.as_str())
            .chain(slots.iter().map(|&object| self.model.objects[object].as_str()))
            .collect();
        let cost = if self.model.costs { action.cost } else { 1 };
        let precondition = self.formula(&action.precondition, &mut slots.to_vec(), true);
        task.operator(format!("({})", words.join(" ")), cost, precondition, effects);
    }

    /// The expression, or its opposite, over variables and facts; constants are folded away.
    fn formula(&self, expression: &Expression, slots: &mut Vec<usize>, wanted: bool) -> Formula {
        match expression {
            Expression::Atom(atom) => {
                let formula = match self.meaning.get(&ground(atom, slots)) {
                    None => Formula::False,
                    Some(Meaning::Always) => Formula::True,
                    Some(Meaning::Variable(variable)) => Formula::Is(*variable, 1),
                    Some(Meaning::Derived(fact)) => Formula::Fact(*fact),
                };
                if wanted { formula } else { formula.negated() }
            }
            Expression::Equal(a, b) => {
                if (object(*a, slots) == object(*b, slots)) == wanted {
                    Formula::True
                } else {
                    Formula::False
                }
            }
            Expression::Not(inner) => self.formula(inner, slots, !wanted),
            Expression::And(parts) | Expression::Or(parts) => {
                let parts = parts.iter().map(|part| self.formula(part, slots, wanted)).collect();
                if matches!(expression, Expression::And(_)) == wanted { all(parts) } else { any(parts) }
            }
            Expression::Exists(variables, body) | Expression::Forall(variables, body) => {
                let whole = slots.len() + variables.len();
                let mut parts = Vec::new();
                bind(variables, slots, &mut |slots, depth| {
                    if depth == whole {
                        parts.push(self.formula(body, slots, wanted));
                    }
                    true
                });
                if matches!(expression, Expression::Forall(..)) == wanted { all(parts) } else { any(parts) }
            }
        }
    }
}

fn all(mut parts: Vec<Formula>) -> Formula {
    parts.retain(|part| *part != Formula::True);
    if parts.contains(&Formula::False) {
        return Formula::False;
    }
    if parts.is_empty() { Formula::True } else { Formula::All(parts) }
}

fn any(mut parts: Vec<Formula>) -> Formula {
    parts.retain(|part| *part != Formula::False);
    if parts.contains(&Formula::True) {
        return Formula::True;
    }
    if parts.is_empty() { Formula::False } else { Formula::Any(parts) }
}
