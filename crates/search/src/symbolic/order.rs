//! The order of the variables in the diagrams: what speaks of each other should lie close together.
//!
//! # Source
//! F. A. Aloul, I. L. Markov, K. A. Sakallah: FORCE: A Fast and Easy-To-Implement Variable-Ordering Heuristic,
//! Great Lakes Symposium on VLSI, 2003: each thing moves to the middle of the groups it is in, again and again.

use crate::formula::{Literal, Tree};
use crate::planner::{Compiled, Planner};

/// Rounds of moving; the spans stop shrinking well before.
const ROUNDS: usize = 60;

/// Orders to begin from, beside that of the task: moving ends in the nearest good order, which need not be the best.
const SHUFFLES: u64 = 40;

/// The variables in the order in which the diagrams should test them.
pub(super) fn order(planner: &Planner) -> Vec<usize> {
    let variables = planner.sizes.len();
    let groups = groups(planner);
    let things = variables + planner.bodies.len();
    let mut best = (f64::INFINITY, (0..variables).collect());
    for shuffle in 0..=SHUFFLES {
        let mut place: Vec<f64> = (0..things).map(|thing| thing as f64).collect();
        shake(&mut place, shuffle);
        for _ in 0..ROUNDS {
            draw_together(&groups, &mut place);
            let spread = spread(&groups, &place);
            if spread < best.0 {
                best = (spread, ranked(&place, variables));
            }
        }
    }
    best.1
}

/// Swaps places by the numbers of a linear congruential generator (Knuth, MMIX); not at all for the number 0.
fn shake(place: &mut [f64], shuffle: u64) {
    let mut number = shuffle;
    for last in (1..place.len()).rev().filter(|_| shuffle > 0) {
        number = number.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let other = usize::try_from((number >> 33) % (last as u64 + 1)).expect("an index of this slice");
        place.swap(last, other);
    }
}

/// Moves every thing to the middle of its groups, then spaces them evenly.
fn draw_together(groups: &[Vec<usize>], place: &mut [f64]) {
    let mut sums = vec![(0.0, 0_u32); place.len()];
    for group in groups {
        let middle = group.iter().map(|&thing| place[thing]).sum::<f64>() / group.len() as f64;
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
    for (rank, thing) in ranked(place, place.len()).into_iter().enumerate() {
        place[thing] = rank as f64;
    }
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
