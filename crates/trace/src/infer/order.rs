//! An order of elimination that keeps tables small: next the unknown whose neighbours lack the fewest links.

use std::collections::BTreeSet;

use super::{Factor, Unknown};

/// An order of the free unknowns.
pub(super) fn least_fill(count: usize, free: &[Unknown], factors: &[Factor]) -> Vec<Unknown> {
    let mut near: Vec<BTreeSet<Unknown>> = vec![BTreeSet::new(); count];
    for factor in factors {
        for a in &factor.over {
            near[*a].extend(factor.over.iter().copied().filter(|b| b != a));
        }
    }
    let mut left: BTreeSet<Unknown> = free.iter().copied().collect();
    let mut cost: Vec<(usize, usize)> = (0..count).map(|at| cost_of(&near, at)).collect();
    let mut order = Vec::with_capacity(free.len());
    while let Some(next) = left.iter().copied().min_by_key(|at| (cost[*at], *at)) {
        left.remove(&next);
        order.push(next);
        let around: Vec<Unknown> = near[next].iter().copied().collect();
        for a in &around {
            near[*a].remove(&next);
            near[*a].extend(around.iter().copied().filter(|b| b != a));
        }
        near[next].clear();
        let mut touched: BTreeSet<Unknown> = around.iter().copied().collect();
        for a in &around {
            touched.extend(near[*a].iter().copied());
        }
        for a in touched {
            cost[a] = cost_of(&near, a);
        }
    }
    order
}

/// Links that eliminating an unknown would add, then its number of neighbours.
fn cost_of(near: &[BTreeSet<Unknown>], at: Unknown) -> (usize, usize) {
    let around: Vec<Unknown> = near[at].iter().copied().collect();
    let mut lacking = 0;
    for (i, a) in around.iter().enumerate() {
        lacking += around[i + 1..].iter().filter(|b| !near[*a].contains(b)).count();
    }
    (lacking, around.len())
}
