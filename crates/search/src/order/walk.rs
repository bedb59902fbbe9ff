//! Local search: an order is bettered by exchanging neighbouring stretches, jolted, and bettered again.
//!
//! # Source
//! The exchange of two stretches that keeps both directions is that of Gambardella & Dorigo, “An ant colony system
//! hybridized with a new local search for the sequential ordering problem”, INFORMS Journal on Computing 12 (2000)
//! 237–255. Looking only where each part of the exchange still gains is from Lin & Kernighan, Operations Research 21
//! (1973) 498–516; jolts and lists of places worth looking at are from Johnson & McGeoch's chapter in “Local search
//! in combinatorial optimization” (Wiley 1997).

use super::chance::Chance;
use super::stops::Stops;

/// The nearest stops that are tried behind each.
const NEAREST: usize = 24;
/// The longest stretch that a jolt moves.
const LONGEST_JOLT: usize = 12;
/// How much dearer an order may be to go on from, at first, in mean legs.
const SLACK: f64 = 0.3;
/// The longest stretch that is tried backwards.
const LONGEST_TURN: usize = 60;

/// An order that is being bettered.
pub(crate) struct Walk<'a> {
    stops: &'a Stops,
    /// Behind each stop, and from outside: those that may follow with what it costs, cheapest first.
    near: &'a Near,
    /// The stops in their order between two marks of the world outside.
    at: Vec<usize>,
    /// Where each stop is in it; the world outside counts as its end.
    place: Vec<usize>,
    /// What the order costs.
    cost: i64,
    /// Stops behind which something may be gained.
    open: Vec<usize>,
    /// Whether a stop is among them.
    is_open: Vec<bool>,
    /// Exchanges looked at.
    looked: u64,
}

/// Behind each stop, and from outside: those that may follow with what it costs, cheapest first.
pub(crate) struct Near(Vec<Vec<(i32, usize)>>);

impl Near {
    pub(crate) fn new(stops: &Stops) -> Near {
        let behind = |from: usize| {
            let follow = (0..=stops.count()).filter(|&to| stops.may_follow(from, to));
            let mut behind: Vec<(i32, usize)> = follow.map(|to| (stops.leg(from, to), to)).collect();
            behind.sort_unstable();
            behind.truncate(NEAREST);
            behind
        };
        Near((0..=stops.count()).map(behind).collect())
    }
}

/// A change of the order; the numbers are positions in it.
#[derive(Debug, Clone, Copy)]
enum Change {
    /// The stretches after `before` up to `middle` and from there up to `last` are exchanged.
    Swap { before: usize, middle: usize, last: usize },
    /// The stretch after `before` up to `last` is walked backwards.
    Turn { before: usize, last: usize },
}

impl<'a> Walk<'a> {
    /// Takes in an order that keeps to the rules.
    pub(crate) fn new(stops: &'a Stops, near: &'a Near, order: &[usize]) -> Walk<'a> {
        let outside = stops.count();
        let mut walk = Walk {
            stops,
            near,
            at: Vec::with_capacity(outside + 2),
            place: vec![outside + 1; outside + 1],
            cost: 0,
            open: (0..=outside).rev().collect(),
            is_open: vec![true; outside + 1],
            looked: 0,
        };
        walk.at.push(outside);
        walk.at.extend_from_slice(order);
        walk.at.push(outside);
        walk.note_places(1, outside);
        walk.cost = walk.at.windows(2).map(|pair| i64::from(stops.leg(pair[0], pair[1]))).sum();
        walk
    }

    /// The order as it stands.
    pub(crate) fn order(&self) -> &[usize] {
        &self.at[1..self.at.len() - 1]
    }

    pub(crate) fn cost(&self) -> i64 {
        self.cost
    }

    pub(crate) fn looked(&self) -> u64 {
        self.looked
    }

    /// Betters the order until no exchange gains.
    pub(crate) fn settle(&mut self) {
        while let Some(stop) = self.open.pop() {
            self.is_open[stop] = false;
            while let Some((gain, change)) = self.best_change(stop) {
                self.make(change);
                self.cost -= i64::from(gain);
            }
        }
    }

    /// Jolts and settles until so many exchanges have been looked at in all, or `patience` jolts in a row brought
    /// nothing; ends with the best order found. `floor` is a cost that none can be under.
    pub(crate) fn wander(&mut self, until: u64, patience: u64, floor: i64, chance: &mut Chance) {
        self.settle();
        let from = self.looked;
        let (mut best, mut home) = (self.at.clone(), self.at.clone());
        let (mut best_cost, mut home_cost) = (self.cost, self.cost);
        let mut idle = 0;
        while self.looked < until && idle < patience && best_cost > floor {
            self.looked += 1 + home.len() as u64 / 16;
            self.jolt(chance);
            self.settle();
            idle += 1;
            if self.cost < best_cost {
                (best_cost, idle) = (self.cost, 0);
                best.copy_from_slice(&self.at);
            }
            if self.cost <= home_cost + self.slack(best_cost, from, until, chance) {
                home_cost = self.cost;
                home.copy_from_slice(&self.at);
            } else {
                self.put(&home, home_cost);
            }
        }
        self.put(&best, best_cost);
    }

    /// How much dearer an order may be to go on from: the less, the later.
    fn slack(&self, best: i64, from: u64, until: u64, chance: &mut Chance) -> i64 {
        let left = until.saturating_sub(self.looked) as f64 / (until - from).max(1) as f64;
        let most = best as f64 / self.at.len() as f64 * SLACK * left;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "it is small and not negative"
        )]
        let most = most as usize;
        i64::try_from(chance.below(most + 1)).unwrap_or(0)
    }

    fn put(&mut self, at: &[usize], cost: i64) {
        self.at.copy_from_slice(at);
        self.cost = cost;
        self.note_places(1, at.len() - 2);
    }

    /// Exchanges two short stretches somewhere, whatever it costs.
    fn jolt(&mut self, chance: &mut Chance) {
        let count = self.stops.count();
        if count < 2 {
            return;
        }
        for _ in 0..30 {
            let before = chance.below(count - 1);
            let middle = before + 1 + chance.below(LONGEST_JOLT.min(count - 1 - before));
            let last = middle + 1 + chance.below(LONGEST_JOLT.min(count - middle));
            if self.may_swap(before, middle, last) {
                let (one, two, three) = (self.leg_at(before), self.leg_at(middle), self.leg_at(last));
                let (t, x, s) = (self.at[before], self.at[middle + 1], self.at[last]);
                let new = i64::from(self.stops.leg(t, x))
                    + i64::from(self.stops.leg(s, self.at[before + 1]))
                    + i64::from(self.stops.leg(self.at[middle], self.at[last + 1]));
                self.make(Change::Swap { before, middle, last });
                self.cost += new - i64::from(one) - i64::from(two) - i64::from(three);
                return;
            }
        }
    }

    /// What it costs to go on from a position.
    fn leg_at(&self, position: usize) -> i32 {
        self.stops.leg(self.at[position], self.at[position + 1])
    }

    /// The change that gains most among those that put something nearer behind this stop.
    fn best_change(&mut self, stop: usize) -> Option<(i32, Change)> {
        let (stops, near) = (self.stops, self.near);
        let outside = stops.count();
        let here = if stop == outside { 0 } else { self.place[stop] };
        let follower = self.at[here + 1];
        let now = stops.leg(stop, follower);
        let mut best = (0, None);
        for &(cost, nearer) in &near.0[stop] {
            self.looked += 1;
            if cost >= now {
                break;
            }
            let there = self.place[nearer];
            // The leg into `nearer` goes as well; the one before it gets something else behind it.
            let loose = self.at[there - 1];
            let gain = now - cost + stops.leg(loose, nearer);
            for &(cost, behind) in &near.0[loose] {
                self.looked += 1;
                if cost >= gain {
                    break;
                }
                let third = self.place[behind];
                let ending = self.at[third - 1];
                let total = gain - cost + stops.leg(ending, behind) - stops.leg(ending, follower);
                if total <= best.0 {
                    continue;
                }
                let (before, middle, last) = if there <= here {
                    // nearer … behind … stop: the two stretches up to the stop.
                    if third <= there || third > here {
                        continue;
                    }
                    (there - 1, third - 1, here)
                } else if third > there {
                    (here, there - 1, third - 1)
                } else if third <= here {
                    (third - 1, here, there - 1)
                } else {
                    continue;
                };
                if self.may_swap(before, middle, last) {
                    best = (total, Some(Change::Swap { before, middle, last }));
                }
            }
            if there > here && nearer != outside && there - here <= LONGEST_TURN {
                let total = self.gain_of_turn(here, there);
                if total > i64::from(best.0) && self.may_turn(here, there) {
                    let total = i32::try_from(total).unwrap_or(i32::MAX);
                    best = (total, Some(Change::Turn { before: here, last: there }));
                }
            }
        }
        best.1.map(|change| (best.0, change))
    }

    /// What walking the stretch after `before` up to `last` backwards gains.
    fn gain_of_turn(&mut self, before: usize, last: usize) -> i64 {
        let stops = self.stops;
        self.looked += (last - before) as u64 / 2;
        let legs = |from: usize, to: usize| i64::from(stops.leg(from, to));
        let inside = self.at[before + 1..=last].windows(2);
        let inside: i64 = inside.map(|pair| legs(pair[0], pair[1]) - legs(pair[1], pair[0])).sum();
        let (first, end) = (self.at[before + 1], self.at[last]);
        let (into, out) = (self.at[before], self.at[last + 1]);
        inside + legs(into, first) - legs(into, end) + legs(end, out) - legs(first, out)
    }

    /// Whether nothing in the first stretch must come before something in the second. It is enough to look at pairs
    /// with nothing between: of stops that must follow one another, the first one in the second stretch has one
    /// directly before it in the first.
    fn may_swap(&mut self, before: usize, middle: usize, last: usize) -> bool {
        let (one, other) = (middle - before, last - middle);
        self.looked += one.min(other) as u64 / 2;
        if one <= other {
            let second = middle + 1..=last;
            let blocks =
                |&stop: &usize| self.stops.next(stop).iter().any(|&next| second.contains(&self.place[next]));
            !self.at[before + 1..=middle].iter().any(blocks)
        } else {
            let first = before + 1..=middle;
            let blocks =
                |&stop: &usize| self.stops.previous(stop).iter().any(|&one| first.contains(&self.place[one]));
            !self.at[middle + 1..=last].iter().any(blocks)
        }
    }

    /// Whether nothing in the stretch must come before something else in it.
    fn may_turn(&self, before: usize, last: usize) -> bool {
        let follows = |&stop: &usize| self.stops.next(stop).iter().any(|&next| self.place[next] <= last);
        !self.at[before + 1..=last].iter().any(follows)
    }

    fn make(&mut self, change: Change) {
        let (before, last) = match change {
            Change::Swap { before, middle, last } => {
                self.open_at(middle);
                self.open_at(middle + 1);
                self.at[before + 1..=last].rotate_left(middle - before);
                (before, last)
            }
            Change::Turn { before, last } => {
                self.at[before + 1..=last].reverse();
                (before, last)
            }
        };
        self.looked += (last - before) as u64 / 4;
        self.note_places(before + 1, last);
        for position in [before, before + 1, last, last + 1] {
            self.open_at(position);
        }
    }

    /// There may be something to gain behind the stop at a position.
    fn open_at(&mut self, position: usize) {
        let stop = self.at[position];
        if !std::mem::replace(&mut self.is_open[stop], true) {
            self.open.push(stop);
        }
    }

    fn note_places(&mut self, from: usize, to: usize) {
        for position in from..=to {
            self.place[self.at[position]] = position;
        }
    }
}
