//! Stops in the cheapest order, some of which must come before others: the sequential ordering problem.
//!
//! [`Stops`] are built once, and [`order`] answers with an order, what it costs, and a cost that none can be under.
//! Small sets, and those with many rules, are solved to the end; else an order is bettered as long as the effort lasts.
//! What is asked is counted in work, never in time, so that the same question has the same answer everywhere.

mod bound;
mod chain;
mod chance;
mod exact;
mod stops;
pub mod tsplib;
mod walk;

use chance::Chance;
pub use stops::{MOST_COST, MOST_STOPS, OrderError, Stops};
use walk::{Near, Walk};

/// How much work an answer may take.
///
/// It is used up only if the best order cannot be proved before; of a dozen stops, a hundredth is enough.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Effort(u64);

impl Effort {
    /// So many exchanges of stretches may be looked at, or as much other work.
    pub fn looks(looks: u64) -> Effort {
        Effort(looks)
    }
}

/// An order of stops.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Order {
    /// The stops, each once; none comes before one that must precede it.
    pub stops: Vec<usize>,
    /// What going from each to the next costs in all.
    pub cost: u64,
    /// A proved bound: no order costs less. At most `cost`.
    pub bound: u64,
    /// Whether no order is cheaper: `bound` equals `cost`.
    pub proved: bool,
}

/// The cheapest order that the effort finds.
///
/// The answer depends on nothing but stops, effort and seed.
pub fn order(stops: &Stops, effort: Effort, seed: u64) -> Order {
    run(stops, &nearest_next(stops), effort, seed)
}

/// The cheapest order that the effort finds by bettering a known one; it costs no more than that.
///
/// # Errors
/// If `known` does not hold each stop once, or has two the wrong way round.
pub fn order_from(stops: &Stops, known: &[usize], effort: Effort, seed: u64) -> Result<Order, OrderError> {
    stops.cost(known)?;
    Ok(run(stops, known, effort, seed))
}

fn run(stops: &Stops, known: &[usize], effort: Effort, seed: u64) -> Order {
    let mut chance = Chance::new(seed);
    let near = Near::new(stops);
    let mut walk = Walk::new(stops, &near, known);
    let patience = 20 * stops.count() as u64;
    walk.wander(effort.0 / 4, patience, 0, &mut chance);
    let bound = bound::bound(stops, walk.cost(), effort.0 / 8);
    let mut least = bound.cost().clamp(0, walk.cost());
    let mut other = bound.work;
    if least < walk.cost() {
        let left = effort.0.saturating_sub(walk.looked() + other);
        let exact = exact::exact(stops, &bound, walk.cost(), left / 2);
        other += exact.work;
        least = least.max(exact.bound);
        if let Some(best) = exact.order {
            walk = Walk::new(stops, &near, &best);
        }
    }
    if least < walk.cost() {
        walk.wander(effort.0.saturating_sub(other), u64::MAX, least, &mut chance);
    }
    let cost = walk.cost().unsigned_abs();
    let least = least.unsigned_abs();
    Order { stops: walk.order().to_vec(), cost, bound: least, proved: least == cost }
}

/// An order by always going to the cheapest stop that may be next.
fn nearest_next(stops: &Stops) -> Vec<usize> {
    let count = stops.count();
    let mut waits: Vec<usize> = (0..count).map(|stop| stops.previous(stop).len()).collect();
    let mut ready: Vec<usize> = (0..count).filter(|&stop| waits[stop] == 0).collect();
    let mut order = Vec::with_capacity(count);
    let mut at = count;
    while let Some(index) = (0..ready.len()).min_by_key(|&index| (stops.leg(at, ready[index]), ready[index]))
    {
        at = ready.swap_remove(index);
        order.push(at);
        for &next in stops.next(at) {
            waits[next] -= 1;
            if waits[next] == 0 {
                ready.push(next);
            }
        }
    }
    order
}
