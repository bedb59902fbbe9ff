//! Variables that hands can set to any value at any time and that set nothing off by themselves: they need not be in
//! the diagrams at all.
//!
//! A variable counts as free if no event, no condition of an effect and nothing forbidden looks at it, no event sets
//! it, and each of its values has operators that set it and nothing else and can be done whatever the other variables
//! are, but for variables that were found free before: those can be put to what such an operator needs. Free
//! variables can so be brought to any values together, first found last set. What an operator needs of them can be
//! brought about just before it, and what the goal asks of them at the end; so an operator's condition may be read as
//! "for some values of the free variables", and what sets them may be left out.

use super::Sets;
use super::bdd::{EVERYWHERE, NOWHERE, Node};
use crate::formula::{Literal, Tree};
use crate::planner::Planner;

/// Whether each variable sets nothing off: whether it may be free at all.
pub(super) fn harmless(planner: &Planner) -> Vec<bool> {
    let looks = Looks::new(planner);
    let mut harmless = vec![true; planner.sizes.len()];
    let mut bind = |tree: &Tree| {
        for (harmless, looked) in harmless.iter_mut().zip(looks.at(tree)) {
            *harmless &= !looked;
        }
    };
    bind(&planner.forbidden);
    for event in &planner.events {
        bind(&event.condition);
    }
    for effect in planner.operators.iter().chain(&planner.events).flat_map(|change| &change.effects) {
        bind(&effect.condition);
    }
    for effect in planner.events.iter().flat_map(|event| &event.effects) {
        harmless[effect.variable.index()] = false;
    }
    harmless
}

impl Sets<'_> {
    /// Finds the free variables, round after round until none is added.
    pub(super) fn find_free(&mut self) {
        let harmless = harmless(self.planner);
        let valid = (0..self.planner.sizes.len()).fold(EVERYWHERE, |valid, variable| {
            let any = self.any_value(variable);
            self.store.and(valid, any)
        });
        loop {
            let open = (0..harmless.len()).filter(|variable| harmless[*variable] && !self.freely[*variable]);
            let found: Vec<usize> = open
                .collect::<Vec<_>>()
                .into_iter()
                .filter(|variable| self.settable(*variable, valid))
                .collect();
            if found.is_empty() || self.store.full {
                return;
            }
            for variable in found {
                self.freely[variable] = true;
            }
        }
    }

    /// Whether every value of a variable can be set in every state, if the free variables are put to what that needs.
    fn settable(&mut self, variable: usize, valid: Node) -> bool {
        let planner = self.planner;
        (0..planner.sizes[variable]).all(|value| {
            let mut can = self.is(variable, value);
            for operator in &planner.operators {
                let [effect] = operator.effects.as_slice() else { continue };
                let sets = effect.variable.index() == variable
                    && effect.value == value
                    && effect.condition == Tree::True;
                if sets {
                    let condition = self.tree_freely(&operator.condition);
                    can = self.store.or(can, condition);
                }
            }
            self.store.without(valid, can) == NOWHERE
        })
    }
}

/// What facts look at, through other facts too.
struct Looks {
    variables: usize,
    facts: Vec<Vec<bool>>,
}

impl Looks {
    fn new(planner: &Planner) -> Self {
        let variables = planner.sizes.len();
        let mut looks = Self { variables, facts: vec![vec![false; variables]; planner.bodies.len()] };
        loop {
            let next: Vec<Vec<bool>> = planner.bodies.iter().map(|body| looks.at(body)).collect();
            if next == looks.facts {
                return looks;
            }
            looks.facts = next;
        }
    }

    fn at(&self, tree: &Tree) -> Vec<bool> {
        let mut found = vec![false; self.variables];
        tree.literals(&mut |literal| match literal {
            Literal::Is(variable, _) | Literal::IsNot(variable, _) => found[variable.index()] = true,
            Literal::Fact(fact) | Literal::NoFact(fact) => {
                for (found, looked) in found.iter_mut().zip(&self.facts[fact.index()]) {
                    *found |= looked;
                }
            }
        });
        found
    }
}
