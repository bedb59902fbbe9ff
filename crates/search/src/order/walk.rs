//! Local search: an order is bettered by exchanging neighbouring stretches, jolted, and bettered again.
//!
//! # Source
//! The exchange of two stretches that keeps both directions is that of Gambardella & Dorigo, “An ant colony system
//! hybridized with a new local search for the sequential ordering problem”, INFORMS Journal on Computing 12 (2000)
//! 237–255. Looking only where each part of the exchange still gains is from Lin & Kernighan, Operations Research 21
//! (1973) 498–516, as are the chains of exchanges in `chain`; jolts and lists of places worth looking at are from Johnson & McGeoch's chapter in “Local search
//! in combinatorial optimization” (Wiley 1997).

use super::chance::Chance;
use super::stops::Stops;

/// The nearest stops that are tried behind each.
pub(super) const NEAREST: usize = 18;
/// The longest stretch that a jolt moves.
const LONGEST_JOLT: usize = 12;
/// How much dearer an order may be to go on from, at first, in mean legs.
const SLACK: f64 = 5.0;
/// From so many looks for each stop on, an order may be that much dearer; with fewer there is no time to cool down.
const FULL_WARMTH: f64 = 500_000.0;
/// Of that at least this part, however few the looks are.
const LEAST_WARMTH: f64 = 0.06;
/// How often a jolt looks for stretches that may be exchanged, by either way of choosing them.
const JOLT_TRIES: usize = 30;
/// The longest stretch that is tried backwards.
const LONGEST_TURN: usize = 60;

/// An order that is being bettered.
pub(crate) struct Walk<'a> {
    pub(super) stops: &'a Stops,
    /// Behind each stop, and from outside: those that may follow with what it costs, cheapest first.
    pub(super) near: &'a Near,
    /// The stops in their order between two marks of the world outside.
    pub(super) at: Vec<usize>,
    /// Where each stop is in it; the world outside counts as its end.
    pub(super) place: Vec<usize>,
    /// What the order costs.
    pub(super) cost: i64,
    /// Stops behind which something may be gained.
    open: Vec<usize>,
    /// Whether a stop is among them.
    is_open: Vec<bool>,
    /// Exchanges looked at.
    pub(super) looked: u64,
}

/// Behind each stop, and from outside: those that may follow with what it costs, cheapest first.
pub(crate) struct Near(pub(super) Vec<Vec<(i32, usize)>>);

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

/// Two neighbouring stretches of the order, by positions: after `before` up to `middle`, and from there up to `last`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Swap {
    pub(super) before: usize,
    pub(super) middle: usize,
    pub(super) last: usize,
}

impl Swap {
    /// The exchange that gives `stop` (at `here`) the stop at `there` as its follower, and the one before that the
    /// stop at `third`; none if these three cuts are no exchange of neighbours.
    pub(super) fn at_cuts(here: usize, there: usize, third: usize) -> Option<Swap> {
        if there <= here {
            // The two stretches up to the stop.
            let between = third > there && third <= here;
            between.then(|| Swap { before: there - 1, middle: third - 1, last: here })
        } else if third > there {
            Some(Swap { before: here, middle: there - 1, last: third - 1 })
        } else {
            (third <= here).then(|| Swap { before: third - 1, middle: here, last: there - 1 })
        }
    }

    /// The exchange that undoes this one.
    pub(super) fn back(self) -> Swap {
        Swap { middle: self.before + self.last - self.middle, ..self }
    }
}

/// A change of the order; the numbers are positions in it.
#[derive(Debug, Clone, Copy)]
enum Change {
    /// Two stretches are exchanged.
    Swap(Swap),
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
            loop {
                if let Some((gain, change)) = self.best_change(stop) {
                    self.make(change);
                    self.cost -= i64::from(gain);
                } else if !self.better_by_chain(stop) {
                    break;
                }
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
            self.looked += 20 + home.len() as u64 / 2;
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

    /// How much dearer an order may be to go on from: the less, the later, and the less, the shorter the way.
    fn slack(&self, best: i64, from: u64, until: u64, chance: &mut Chance) -> i64 {
        let (way, count) = ((until - from) as f64, self.at.len() as f64);
        let left = until.saturating_sub(self.looked) as f64 / way.max(1.0);
        let warm = (way / count / FULL_WARMTH).clamp(LEAST_WARMTH, 1.0);
        let most = best as f64 / count * SLACK * warm * left;
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

    /// Exchanges two stretches, whatever it costs: as often as not two short ones anywhere, else such that two stops
    /// get a near one behind them.
    fn jolt(&mut self, chance: &mut Chance) {
        if self.stops.count() < 2 {
            return;
        }
        let nearby = chance.below(2) == 0;
        for tries in 0..2 * JOLT_TRIES {
            let swap = if nearby && tries < JOLT_TRIES {
                self.near_stretches(chance)
            } else {
                Some(self.short_stretches(chance))
            };
            self.looked += 6;
            if let Some(swap) = swap.filter(|&swap| self.may_swap(swap)) {
                let Swap { before, middle, last } = swap;
                let old = self.leg_at(before) + self.leg_at(middle) + self.leg_at(last);
                self.make(Change::Swap(swap));
                let new = self.leg_at(before) + self.leg_at(swap.back().middle) + self.leg_at(last);
                self.cost += new - old;
                return;
            }
        }
    }

    fn short_stretches(&self, chance: &mut Chance) -> Swap {
        let count = self.stops.count();
        let before = chance.below(count - 1);
        let middle = before + 1 + chance.below(LONGEST_JOLT.min(count - 1 - before));
        let last = middle + 1 + chance.below(LONGEST_JOLT.min(count - middle));
        Swap { before, middle, last }
    }

    fn near_stretches(&self, chance: &mut Chance) -> Option<Swap> {
        let stop = chance.below(self.stops.count() + 1);
        let mut near = |from: usize| {
            let behind = &self.near.0[from];
            (!behind.is_empty()).then(|| self.place[behind[chance.below(behind.len())].1])
        };
        let here = self.place_before(stop);
        let there = near(stop).filter(|&there| there != here + 1)?;
        let third = near(self.at[there - 1])?;
        Swap::at_cuts(here, there, third)
    }

    /// Where a stop is, if something is to come behind it: the world outside counts as the beginning.
    pub(super) fn place_before(&self, stop: usize) -> usize {
        if stop == self.stops.count() { 0 } else { self.place[stop] }
    }

    /// What it costs to go on from a position.
    fn leg_at(&self, position: usize) -> i64 {
        i64::from(self.stops.leg(self.at[position], self.at[position + 1]))
    }

    /// The change that gains most among those that put something nearer behind this stop.
    fn best_change(&mut self, stop: usize) -> Option<(i32, Change)> {
        let (stops, near) = (self.stops, self.near);
        let outside = stops.count();
        let here = self.place_before(stop);
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
                if let Some(swap) = Swap::at_cuts(here, there, third) {
                    if self.may_swap(swap) {
                        best = (total, Some(Change::Swap(swap)));
                    }
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
    pub(super) fn may_swap(&mut self, swap: Swap) -> bool {
        let Swap { before, middle, last } = swap;
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
        match change {
            Change::Swap(swap) => {
                self.exchange(swap);
                self.open_around(swap);
            }
            Change::Turn { before, last } => {
                self.at[before + 1..=last].reverse();
                self.looked += (last - before) as u64 / 4;
                self.note_places(before + 1, last);
                for position in [before, before + 1, last, last + 1] {
                    self.open_at(position);
                }
            }
        }
    }

    /// Exchanges two stretches; the cost is left as it was.
    pub(super) fn exchange(&mut self, Swap { before, middle, last }: Swap) {
        self.at[before + 1..=last].rotate_left(middle - before);
        self.looked += (last - before) as u64 / 4;
        self.note_places(before + 1, last);
    }

    /// There may be something to gain where an exchange has made new neighbours.
    pub(super) fn open_around(&mut self, swap: Swap) {
        let middle = swap.back().middle;
        for position in [middle, middle + 1, swap.before, swap.before + 1, swap.last, swap.last + 1] {
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
