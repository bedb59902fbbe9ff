//! All orders at once, stop by stop: of those that begin with the same stops and stand at the same one, only the
//! cheapest can be part of the best.
//!
//! # Source
//! Held & Karp, “A dynamic programming approach to sequencing problems”, J. SIAM 10 (1962) 196–210, with only the
//! beginnings that the rules allow, and without those that a bound shows to be too dear.

use super::bound::{Bound, NEVER, PARTS, whole};
use super::stops::{Stops, add, has};
use crate::table::Table;

/// What going through all orders came to.
pub(crate) struct Exact {
    /// An order that is cheaper than the one known, if one was found: then it is the best.
    pub(crate) order: Option<Vec<usize>>,
    /// No order costs less, nor less than the one known.
    pub(crate) bound: i64,
    /// Work it took.
    pub(crate) work: u64,
}

/// The beginnings of one length.
struct Layer {
    /// The set of stops, and the last of them.
    keys: Table,
    found: Vec<Beginning>,
}

#[derive(Debug, Clone, Copy)]
struct Beginning {
    cost: i64,
    /// What its legs add to the bound, in parts.
    beyond: i64,
    /// What no order with it can be under, in parts.
    least: i64,
    /// The beginning without the last stop, by its number.
    from: u32,
}

/// Goes through all orders cheaper than `cost`, that of a known one, unless it would take more work than `effort`.
pub(crate) fn exact(stops: &Stops, bound: &Bound, cost: i64, effort: u64) -> Exact {
    let mut search = Search {
        stops,
        bound,
        into: ranked(stops.count(), |to, from| bound.beyond[from * (stops.count() + 1) + to]),
        out_of: ranked(stops.count(), |from, to| bound.beyond[from * (stops.count() + 1) + to]),
        limit: (cost - 1) * PARTS,
        work: 0,
    };
    search.run(cost, effort)
}

/// For each: the others by rising beyond, with it; those that can never be are left out.
fn ranked(outside: usize, beyond: impl Fn(usize, usize) -> i64) -> Vec<Vec<(i64, usize)>> {
    let rank = |one: usize| {
        let mut others: Vec<(i64, usize)> = (0..=outside).map(|other| (beyond(one, other), other)).collect();
        others.retain(|&(beyond, _)| beyond < NEVER);
        others.sort_unstable();
        others
    };
    (0..=outside).map(rank).collect()
}

struct Search<'a> {
    stops: &'a Stops,
    bound: &'a Bound,
    /// For each stop and for the end: whence, by rising beyond.
    into: Vec<Vec<(i64, usize)>>,
    /// For each stop: whither, by rising beyond.
    out_of: Vec<Vec<(i64, usize)>>,
    /// Orders above so many parts are not looked for.
    limit: i64,
    work: u64,
}

impl Search<'_> {
    fn run(&mut self, cost: i64, effort: u64) -> Exact {
        let (count, width) = (self.stops.count(), self.stops.width());
        let mut trail: Vec<Vec<(u32, usize)>> = Vec::new();
        let mut layer = Layer { keys: Table::new(width + 1), found: Vec::new() };
        let mut first = vec![0; width + 1];
        first[width] = count as u64;
        layer.keys.insert(&first);
        layer.found.push(Beginning { cost: 0, beyond: 0, least: self.bound.value, from: 0 });
        for depth in 0..count {
            let mut next = Layer { keys: Table::new(width + 1), found: Vec::new() };
            for index in 0..layer.found.len() {
                if self.work >= effort || self.is_hopeless(layer.found.len(), count - depth, effort) {
                    let open = layer.found[index..].iter().chain(&next.found);
                    let least = open.map(|one| one.least).min().unwrap_or(i64::MAX);
                    let bound = whole(least.min(cost * PARTS));
                    return Exact { order: None, bound, work: self.work };
                }
                self.go_on(&layer, index, &mut next);
            }
            trail.push(
                next.found.iter().enumerate().map(|(i, one)| (one.from, last(next.keys.get(i)))).collect(),
            );
            layer = next;
        }
        let ends = layer.found.iter().enumerate().map(|(index, one)| (one.cost, index));
        let best = ends.min().filter(|&(found, _)| found < cost);
        let order = best.map(|(_, index)| trace_back(&trail, index));
        Exact { order, bound: best.map_or(cost, |(found, _)| found), work: self.work }
    }

    /// Whether the layers to come would take far more work than is left, if they are as large as this one.
    fn is_hopeless(&self, size: usize, layers: usize, effort: u64) -> bool {
        (size * layers) as u64 * 8 > effort - self.work
    }

    /// Puts every stop that may be next behind a beginning.
    fn go_on(&mut self, layer: &Layer, index: usize, next: &mut Layer) {
        let (stops, width, size) = (self.stops, self.stops.width(), self.stops.count() + 1);
        let (key, begun) = (layer.keys.get(index), layer.found[index]);
        let from = last(key);
        let mut longer = vec![0; width + 1];
        for &(beyond, to) in &self.out_of[from] {
            self.work += 1;
            let least = self.bound.value + begun.beyond + beyond;
            if least > self.limit {
                break;
            }
            let ready = to < size - 1
                && !has(&key[..width], to)
                && stops.before(to).iter().zip(key).all(|(before, been)| before & !been == 0);
            if !ready {
                continue;
            }
            longer.copy_from_slice(key);
            add(&mut longer[..width], to);
            longer[width] = to as u64;
            let cost = begun.cost + i64::from(stops.leg(from, to));
            self.work += 6;
            if let Some(known) = next.keys.find(&longer) {
                let known = &mut next.found[known];
                if known.cost <= cost {
                    continue;
                }
                let rest = known.least - known.beyond;
                let beyond = begun.beyond + beyond;
                *known = Beginning { cost, beyond, least: beyond + rest, from: number(index) };
                continue;
            }
            let Some(rest) = rest(&self.into, &self.out_of, &longer, self.limit - least, &mut self.work)
            else {
                continue;
            };
            next.keys.insert(&longer);
            let beyond = begun.beyond + beyond;
            next.found.push(Beginning { cost, beyond, least: least + rest, from: number(index) });
        }
    }
}

/// What the legs to come add at least: each stop is come to, and left, by some leg. None if more than `most`.
fn rest(
    into: &[Vec<(i64, usize)>],
    out_of: &[Vec<(i64, usize)>],
    key: &[u64],
    most: i64,
    work: &mut u64,
) -> Option<i64> {
    let (outside, at) = (into.len() - 1, last(key));
    let been = &key[..key.len() - 1];
    let to_come = |stop: usize| stop < outside && !has(been, stop);
    let mut sum_into = 0;
    for to in (0..outside).filter(|&to| !has(been, to)) {
        let leg = into[to].iter().find(|&&(_, from)| from == at || to_come(from));
        sum_into += leg.map_or(NEVER, |&(beyond, _)| beyond);
        *work += 1;
        if sum_into > most {
            return None;
        }
    }
    let mut sum_out = 0;
    for from in (0..outside).filter(|&from| from == at || !has(been, from)) {
        let leg = out_of[from].iter().find(|&&(_, to)| to == outside || to_come(to));
        sum_out += leg.map_or(NEVER, |&(beyond, _)| beyond);
        *work += 1;
        if sum_out > most {
            return None;
        }
    }
    Some(sum_into.max(sum_out))
}

/// The stop a beginning stands at.
#[expect(clippy::cast_possible_truncation, reason = "the word holds a stop's number")]
fn last(key: &[u64]) -> usize {
    key[key.len() - 1] as usize
}

fn number(index: usize) -> u32 {
    u32::try_from(index).expect("the table of a layer holds fewer than four billion")
}

fn trace_back(trail: &[Vec<(u32, usize)>], end: usize) -> Vec<usize> {
    let mut order = Vec::with_capacity(trail.len());
    let mut index = end;
    for layer in trail.iter().rev() {
        let (from, stop) = layer[index];
        order.push(stop);
        index = from as usize;
    }
    order.reverse();
    order
}
