//! What can be reached at all if nothing is ever lost: the ground atoms and actions worth writing down.

use std::collections::BTreeSet;

use super::read::{Action, Atom, Expression, Model, Term};

/// A predicate with its objects.
pub(super) type GroundAtom = (usize, Vec<usize>);

/// Reachable atoms and actions.
#[derive(Debug)]
pub(super) struct Reached {
    /// Predicates that no effect and no rule changes.
    pub(super) fixed: Vec<bool>,
    pub(super) initial: BTreeSet<GroundAtom>,
    /// Atoms that may become true, initial ones among them.
    pub(super) atoms: BTreeSet<GroundAtom>,
    /// Indices of actions with their arguments.
    pub(super) actions: BTreeSet<(usize, Vec<usize>)>,
}

pub(super) fn reach(model: &Model) -> Reached {
    let mut fixed = vec![true; model.predicates.len()];
    for action in &model.actions {
        for effect in &action.effects {
            fixed[effect.atom.predicate] = false;
        }
    }
    for rule in &model.rules {
        fixed[rule.predicate] = false;
    }
    let initial: BTreeSet<GroundAtom> = model.initial.iter().cloned().collect();
    let mut reached = Reached { fixed, atoms: initial.clone(), initial, actions: BTreeSet::new() };
    loop {
        let before = (reached.atoms.len(), reached.actions.len());
        let mut more = Vec::new();
        for (index, action) in model.actions.iter().enumerate() {
            let conjuncts = conjuncts(&action.precondition);
            bind(&action.parameters, &mut Vec::new(), &mut |slots, depth| {
                let whole = action.parameters.len();
                let ready = |part: &&&Expression| parameters_needed(part, whole) == depth;
                if !conjuncts.iter().filter(ready).all(|part| reached.may_hold(part, slots, true)) {
                    return false;
                }
                if depth == whole {
                    more.push((index, slots.clone()));
                }
                true
            });
        }
        for (index, slots) in more {
            reached.take(&model.actions[index], &slots);
            reached.actions.insert((index, slots));
        }
        for rule in &model.rules {
            let mut more = Vec::new();
            bind(&rule.parameters, &mut Vec::new(), &mut |slots, depth| {
                if depth == rule.parameters.len() && reached.may_hold(&rule.body, slots, true) {
                    more.push((rule.predicate, slots.clone()));
                }
                true
            });
            reached.atoms.extend(more);
        }
        if before == (reached.atoms.len(), reached.actions.len()) {
            return reached;
        }
    }
}

impl Reached {
    /// Adds what an action may make true.
    fn take(&mut self, action: &Action, slots: &[usize]) {
        for effect in action.effects.iter().filter(|effect| effect.becomes) {
            let mut more = Vec::new();
            let whole = slots.len() + effect.parameters.len();
            bind(&effect.parameters, &mut slots.to_vec(), &mut |slots, depth| {
                if depth == whole && self.may_hold(&effect.condition, slots, true) {
                    more.push(ground(&effect.atom, slots));
                }
                true
            });
            self.atoms.extend(more);
        }
    }

    /// Whether an expression may come to be `wanted`. What can change may always be false.
    pub(super) fn may_hold(&self, expression: &Expression, slots: &mut Vec<usize>, wanted: bool) -> bool {
        match expression {
            Expression::Atom(atom) => {
                let known = self.atoms.contains(&ground(atom, slots));
                if wanted { known } else { !known || !self.fixed[atom.predicate] }
            }
            Expression::Equal(a, b) => (object(*a, slots) == object(*b, slots)) == wanted,
            Expression::Not(inner) => self.may_hold(inner, slots, !wanted),
            Expression::And(parts) if wanted => parts.iter().all(|part| self.may_hold(part, slots, wanted)),
            Expression::Or(parts) if !wanted => parts.iter().all(|part| self.may_hold(part, slots, wanted)),
            Expression::And(parts) | Expression::Or(parts) => {
                parts.iter().any(|part| self.may_hold(part, slots, wanted))
            }
            Expression::Exists(variables, body) | Expression::Forall(variables, body) => {
                let any = matches!(expression, Expression::Exists(..)) == wanted;
                let whole = slots.len() + variables.len();
                let mut result = !any;
                bind(variables, slots, &mut |slots, depth| {
                    if depth == whole && self.may_hold(body, slots, wanted) == any {
                        result = any;
                    }
                    result != any
                });
                result
            }
        }
    }
}

/// Runs through all bindings of the variables, behind the slots there are. `visit` is called with each partial
/// binding and its length, and says whether to go on with it.
pub(super) fn bind(
    variables: &[Vec<usize>],
    slots: &mut Vec<usize>,
    visit: &mut impl FnMut(&mut Vec<usize>, usize) -> bool,
) {
    let depth = slots.len();
    if !visit(slots, depth) {
        return;
    }
    if let [first, rest @ ..] = variables {
        for &value in first {
            slots.push(value);
            bind(rest, slots, visit);
            slots.pop();
        }
    }
}

pub(super) fn ground(atom: &Atom, slots: &[usize]) -> GroundAtom {
    (atom.predicate, atom.terms.iter().map(|term| object(*term, slots)).collect())
}

pub(super) fn object(term: Term, slots: &[usize]) -> usize {
    match term {
        Term::Object(object) => object,
        Term::Slot(slot) => slots[slot],
    }
}

fn conjuncts(expression: &Expression) -> Vec<&Expression> {
    match expression {
        Expression::And(parts) => parts.iter().flat_map(conjuncts).collect(),
        other => vec![other],
    }
}

/// How many of the parameters must be bound before the expression can be judged. Quantified variables are numbered
/// behind all parameters, so a quantified expression waits for all of them.
fn parameters_needed(expression: &Expression, parameters: usize) -> usize {
    let needed = |term: &Term| match term {
        Term::Object(_) => 0,
        Term::Slot(slot) => slot + 1,
    };
    match expression {
        Expression::Atom(atom) => atom.terms.iter().map(needed).max().unwrap_or(0),
        Expression::Equal(a, b) => needed(a).max(needed(b)),
        Expression::Not(inner) => parameters_needed(inner, parameters),
        Expression::And(parts) | Expression::Or(parts) => {
            parts.iter().map(|part| parameters_needed(part, parameters)).max().unwrap_or(0)
        }
        Expression::Exists(..) | Expression::Forall(..) => parameters,
    }
}
