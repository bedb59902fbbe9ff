//! A cost that no order can be under, by the cheapest tree.
//!
//! An order is a tree that reaches each stop from outside, by legs that may follow one another, in which each stop
//! has one leg out. The last rule is priced instead of kept: a leg out of a stop costs more the more often it was
//! used. Whatever the prices are, the cheapest tree less the prices is a lower bound.
//!
//! # Source
//! Held & Karp, “The traveling-salesman problem and minimum spanning trees”, Operations Research 18 (1970) 1138–1162,
//! with directed trees: Edmonds, “Optimum branchings”, J. Res. Nat. Bureau of Standards 71B (1967) 233–240. Legs
//! that no order can have are left out as in Escudero, EJOR 37 (1988) 236–249.

use super::stops::Stops;

/// Parts into which a unit of cost is divided.
pub(crate) const PARTS: i64 = 1024;
/// Stands for a leg that no order has.
pub(crate) const NEVER: i64 = i64::MAX / 4;

/// A bound, and what each leg adds to it.
#[derive(Debug, Clone)]
pub(crate) struct Bound {
    /// In parts of a unit.
    pub(crate) value: i64,
    /// What an order costs at least beyond the value, by the legs that it has; in parts, [`NEVER`] for those that it
    /// cannot have. Rows and columns as those of the costs.
    pub(crate) beyond: Vec<i64>,
    /// Work it took.
    pub(crate) work: u64,
}

/// Raises prices as long as it brings something, so much work is left and the bound is below `cost`, that of an order.
pub(crate) fn bound(stops: &Stops, cost: i64, effort: u64) -> Bound {
    let size = stops.count() + 1;
    let mut legs = vec![NEVER; size * size];
    for from in 0..size {
        for to in 0..size {
            if stops.may_follow(from, to) {
                legs[from * size + to] = i64::from(stops.leg(from, to)) * PARTS;
            }
        }
    }
    let mut prices = vec![0_i64; size];
    let mut best: Option<Bound> = None;
    let (mut work, mut step, mut idle) = (0, 32_i64, 0);
    let mut held = vec![0_i64; size];
    loop {
        let tree = Tree::cheapest(&legs, &prices, size);
        work += tree.work;
        let value = tree.value - prices.iter().sum::<i64>();
        idle += 1;
        if best.as_ref().is_none_or(|best| value > best.value) {
            if best.as_ref().is_none_or(|best| value > best.value + PARTS / 8) {
                idle = 0;
            }
            best = Some(Bound { value, beyond: tree.beyond, work: 0 });
        }
        let reached = best.as_ref().map_or(0, |best| best.value);
        if idle > 12 {
            (idle, step) = (0, step / 2);
        }
        // The way for the prices: too many legs out, more; with some of the way before.
        let mut off = 0;
        for (held, &out) in held.iter_mut().zip(&tree.out) {
            *held = (*held * 3 + (out - 1) * 160) / 10;
            off += *held * *held;
        }
        if off == 0 || step == 0 || work >= effort || reached > (cost - 1) * PARTS {
            let mut bound = best.expect("there was a first tree");
            bound.work = work;
            return bound;
        }
        let gap = (cost * PARTS - value).max(PARTS);
        for (price, &held) in prices.iter_mut().zip(&held) {
            let change = i128::from(gap) * i128::from(step * held) / i128::from(off);
            *price += i64::try_from(change).unwrap_or(0);
        }
    }
}

impl Bound {
    /// The bound as a cost: whole units, since costs are.
    pub(crate) fn cost(&self) -> i64 {
        whole(self.value)
    }
}

/// The least whole cost that is not below so many parts.
pub(crate) fn whole(parts: i64) -> i64 {
    parts.div_euclid(PARTS) + i64::from(parts.rem_euclid(PARTS) > 0)
}

/// The cheapest tree, with prices, and the leg home.
struct Tree {
    value: i64,
    beyond: Vec<i64>,
    /// How many legs go out of each stop, and in from outside.
    out: Vec<i64>,
    work: u64,
}

/// A stop, or stops that have been drawn together since their cheapest legs go round in a circle.
#[derive(Debug, Clone, Default)]
struct Knot {
    stops: Vec<usize>,
    parts: Vec<usize>,
    /// The knot it has become part of.
    within: Option<usize>,
    /// Its cheapest leg in.
    leg: (usize, usize),
}

impl Tree {
    fn cheapest(legs: &[i64], prices: &[i64], size: usize) -> Tree {
        let outside = size - 1;
        let mut beyond: Vec<i64> = legs.to_vec();
        for (row, price) in beyond.chunks_mut(size).zip(prices) {
            for leg in row.iter_mut().filter(|leg| **leg < NEVER) {
                *leg += price;
            }
        }
        let mut tree = Tree { value: 0, beyond, out: vec![0; size], work: (size * size) as u64 };
        let knots = tree.draw_together(size);
        // The leg home is a tree's as well as an order's, and no circle passes it.
        let mut home = Knot { stops: vec![outside], ..Knot::default() };
        let all = vec![usize::MAX; size];
        tree.value += tree.lower(&mut home, 0, &all, size);
        tree.out[home.leg.0] += 1;
        for (index, knot) in knots.iter().enumerate() {
            if knot.within.is_none() {
                tree.unravel(&knots, index);
            }
        }
        tree
    }

    /// Finds the cheapest leg into each knot and ties those in circles together until there are none.
    fn draw_together(&mut self, size: usize) -> Vec<Knot> {
        let outside = size - 1;
        let mut knots: Vec<Knot> =
            (0..outside).map(|stop| Knot { stops: vec![stop], ..Knot::default() }).collect();
        // The outermost knot of each stop; the world outside is in none.
        let mut knot_of: Vec<usize> = (0..outside).collect();
        knot_of.push(usize::MAX);
        let mut fresh: Vec<usize> = (0..outside).collect();
        while let Some(index) = fresh.pop() {
            let mut knot = std::mem::take(&mut knots[index]);
            self.value += self.lower(&mut knot, index, &knot_of, size);
            knots[index] = knot;
            // Back along the cheapest legs: to the outside, to a knot without one, or round.
            let mut circle = vec![index];
            let mut at = knot_of[knots[index].leg.0];
            while at != usize::MAX && at != index && !fresh.contains(&at) {
                circle.push(at);
                at = knot_of[knots[at].leg.0];
            }
            if at == index {
                let stops: Vec<usize> = circle.iter().flat_map(|&part| knots[part].stops.clone()).collect();
                let tied = knots.len();
                for &stop in &stops {
                    knot_of[stop] = tied;
                }
                for &part in &circle {
                    knots[part].within = Some(tied);
                }
                knots.push(Knot { stops, parts: circle, ..Knot::default() });
                fresh.push(tied);
            }
        }
        knots
    }

    /// Finds the cheapest leg into a knot, takes it from all legs into it, and gives back how much that was.
    fn lower(&mut self, knot: &mut Knot, index: usize, knot_of: &[usize], size: usize) -> i64 {
        let mut least = NEVER;
        self.work += (knot.stops.len() * size) as u64 / 2;
        for (from, row) in self.beyond.chunks(size).enumerate() {
            if knot_of[from] != index {
                for &to in &knot.stops {
                    if row[to] < least {
                        (least, knot.leg) = (row[to], (from, to));
                    }
                }
            }
        }
        for (from, row) in self.beyond.chunks_mut(size).enumerate() {
            if knot_of[from] != index {
                for &to in &knot.stops {
                    if row[to] < NEVER {
                        row[to] -= least;
                    }
                }
            }
        }
        least
    }

    /// Counts the legs of a knot: its own leg in, and those of its parts but the one where that arrives.
    fn unravel(&mut self, knots: &[Knot], outermost: usize) {
        let mut todo = vec![(outermost, knots[outermost].leg)];
        while let Some((index, leg)) = todo.pop() {
            let knot = &knots[index];
            if knot.parts.is_empty() {
                self.out[leg.0] += 1;
                continue;
            }
            for &part in &knot.parts {
                let arrives = knots[part].stops.contains(&leg.1);
                todo.push((part, if arrives { leg } else { knots[part].leg }));
            }
        }
    }
}
