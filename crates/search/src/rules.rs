//! The order in which derived facts are worked out: strongly connected groups, what they depend on first.

use crate::formula::{Literal, Tree};
use crate::{DerivedId, TaskError};

/// Facts that are worked out together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Group {
    /// Indices of the facts.
    pub(crate) facts: Vec<usize>,
    /// Whether they depend on themselves, so that a least fixpoint is needed.
    pub(crate) recursive: bool,
}

/// Groups of facts in an order in which each needs only itself and earlier ones; refuses negation inside a group.
pub(crate) fn groups(bodies: &[Tree]) -> Result<Vec<Group>, TaskError> {
    let uses: Vec<Vec<(usize, bool)>> = bodies.iter().map(uses).collect();
    let mut groups = Vec::new();
    let mut home = vec![0; bodies.len()];
    for facts in components(&uses) {
        for &fact in &facts {
            home[fact] = groups.len();
        }
        let recursive = facts.len() > 1 || uses[facts[0]].iter().any(|&(used, _)| used == facts[0]);
        groups.push(Group { facts, recursive });
    }
    for group in &groups {
        let circle =
            |fact: usize| uses[fact].iter().any(|&(used, negated)| negated && home[used] == home[fact]);
        if group.facts.iter().any(|&fact| circle(fact)) {
            return Err(TaskError::NotStratified(group.facts.iter().map(|&f| DerivedId::new(f)).collect()));
        }
    }
    Ok(groups)
}

fn uses(body: &Tree) -> Vec<(usize, bool)> {
    let mut found = Vec::new();
    body.literals(&mut |literal| match literal {
        Literal::Fact(fact) => found.push((fact.index(), false)),
        Literal::NoFact(fact) => found.push((fact.index(), true)),
        Literal::Is(..) | Literal::IsNot(..) => {}
    });
    found.sort_unstable();
    found.dedup();
    found
}

/// Tarjan's strongly connected components (1972), without recursion; a component comes after those it reaches.
fn components(uses: &[Vec<(usize, bool)>]) -> Vec<Vec<usize>> {
    const NEW: usize = usize::MAX;
    let mut order = vec![NEW; uses.len()];
    let mut low = vec![0; uses.len()];
    let mut on_stack = vec![false; uses.len()];
    let (mut stack, mut found, mut next) = (Vec::new(), Vec::new(), 0);
    for root in 0..uses.len() {
        if order[root] != NEW {
            continue;
        }
        let mut walk: Vec<(usize, usize)> = vec![(root, 0)];
        while let Some((fact, edge)) = walk.pop() {
            if edge == 0 {
                order[fact] = next;
                low[fact] = next;
                next += 1;
                stack.push(fact);
                on_stack[fact] = true;
            }
            if let Some(&(used, _)) = uses[fact].get(edge) {
                walk.push((fact, edge + 1));
                if order[used] == NEW {
                    walk.push((used, 0));
                } else if on_stack[used] {
                    low[fact] = low[fact].min(order[used]);
                }
                continue;
            }
            if let Some(&(parent, _)) = walk.last() {
                low[parent] = low[parent].min(low[fact]);
            }
            if low[fact] == order[fact] {
                let start =
                    stack.iter().rposition(|&f| f == fact).expect("a fact being visited is on the stack");
                let mut component = stack.split_off(start);
                for &member in &component {
                    on_stack[member] = false;
                }
                component.sort_unstable();
                found.push(component);
            }
        }
    }
    found
}
