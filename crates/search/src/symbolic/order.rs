//! The order of the variables in the diagrams: what speaks of each other should lie close together.
//!
//! # Source
//! F. A. Aloul, I. L. Markov, K. A. Sakallah: FORCE: A Fast and Easy-To-Implement Variable-Ordering Heuristic,
//! Great Lakes Symposium on VLSI, 2003: each thing moves to the middle of the groups it is in, again and again.

use crate::formula::{Literal, Tree};
use crate::planner::{Compiled, Planner};

/// Rounds of moving; the spans stop shrinking well before.
const ROUNDS: usize = 60;

/// The variables in the order in which the diagrams should test them.
pub(super) fn order(planner: &Planner) -> Vec<usize> {
    let variables = planner.sizes.len();
    let groups = groups(planner);
    let things = variables + planner.bodies.len();
    let mut place: Vec<f64> = (0..things).map(|thing| thing as f64).collect();
    let mut best = (f64::INFINITY, ranked(&place, variables));
    for _ in 0..ROUNDS {
        let middle: Vec<f64> = groups
            .iter()
            .map(|group| group.iter().map(|&thing| place[thing]).sum::<f64>() / group.len() as f64)
            .collect();
        let mut sums = vec![(0.0, 0_u32); things];
        for (group, middle) in groups.iter().zip(&middle) {
            for &thing in group {
                sums[thing].0 += middle;
                sums[thing].1 += 1;
            }
        }
        for (place, (sum, count)) in place.iter_mut().zip(&sums) {
            if *count > 0 {
                *place = sum / f64::from(*count);
            }
        }
        for (rank, thing) in ranked(&place, things).into_iter().enumerate() {
            place[thing] = rank as f64;
        }
        let spread = spread(&groups, &place);
        if spread < best.0 {
            best = (spread, ranked(&place, variables));
        }
    }
    best.1
}

/// The first `count` things by their place; equal places keep the order of the task.
fn ranked(place: &[f64], count: usize) -> Vec<usize> {
    let mut things: Vec<usize> = (0..count).collect();
    things.sort_by(|&a, &b| place[a].total_cmp(&place[b]).then(a.cmp(&b)));
    things
}

/// How far the groups reach, all together.
fn spread(groups: &[Vec<usize>], place: &[f64]) -> f64 {
    groups
        .iter()
        .map(|group| {
            let places = group.iter().map(|&thing| place[thing]);
            let (least, most) = places
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), at| (least.min(at), most.max(at)));
            most - least
        })
        .sum()
}

/// Things that speak of each other: the variables and facts of each operator, event, fact and forbidden part.
fn groups(planner: &Planner) -> Vec<Vec<usize>> {
    let facts = planner.sizes.len();
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for (fact, body) in planner.bodies.iter().enumerate() {
        let mut group = vec![facts + fact];
        leaves(body, facts, &mut group);
        groups.push(group);
    }
    for done in planner.operators.iter().chain(&planner.events) {
        groups.push(of_change(done, facts));
    }
    match &planner.forbidden {
        Tree::Any(parts) => groups.extend(parts.iter().map(|part| {
            let mut group = Vec::new();
            leaves(part, facts, &mut group);
            group
        })),
        other => {
            let mut group = Vec::new();
            leaves(other, facts, &mut group);
            groups.push(group);
        }
    }
    for group in &mut groups {
        group.sort_unstable();
        group.dedup();
    }
    groups.retain(|group| group.len() > 1);
    groups
}

fn of_change(done: &Compiled, facts: usize) -> Vec<usize> {
    let mut group = Vec::new();
    leaves(&done.condition, facts, &mut group);
    for effect in &done.effects {
        leaves(&effect.condition, facts, &mut group);
        group.push(effect.variable.index());
    }
    group
}

fn leaves(tree: &Tree, facts: usize, group: &mut Vec<usize>) {
    tree.literals(&mut |literal| {
        group.push(match literal {
            Literal::Is(variable, _) | Literal::IsNot(variable, _) => variable.index(),
            Literal::Fact(fact) | Literal::NoFact(fact) => facts + fact.index(),
        });
    });
}
