//! What is to be put in order: the stops, what it costs to go from one to the next, and which come before which.

use std::fmt;

/// The most stops that can be put in order.
pub const MOST_STOPS: usize = 1000;

/// The most that going from one stop to the next may cost.
pub const MOST_COST: u32 = 500_000_000;

/// Stops with the costs between them and the pairs whose order is given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stops {
    count: usize,
    /// Row by row, with one more row and column of zeros for the world outside: before the first and after the last.
    costs: Vec<i32>,
    /// Words of a set of stops.
    width: usize,
    /// The stops that come somewhere before each, as sets.
    before: Vec<u64>,
    /// The stops that come somewhere after each, as sets.
    after: Vec<u64>,
    /// The stops after each with nothing that must come between.
    next: Vec<Vec<usize>>,
    /// The stops before each with nothing that must come between.
    previous: Vec<Vec<usize>>,
}

/// Why stops cannot be put in order, or an order is none.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OrderError {
    /// More than [`MOST_STOPS`] stops.
    TooManyStops(usize),
    /// The table of costs has not one cell for each pair of stops.
    WrongTable {
        /// The number of cells given.
        given: usize,
        /// The number of cells wanted: stops times stops.
        wanted: usize,
    },
    /// Going from one stop to another costs more than [`MOST_COST`].
    CostTooHigh {
        /// Where it begins.
        from: usize,
        /// Where it ends.
        to: usize,
        /// What it would cost.
        cost: u32,
    },
    /// A pair names a stop that there is not.
    UnknownStop {
        /// The stop named.
        stop: usize,
        /// The number of stops.
        count: usize,
    },
    /// Each of these stops must come before the next, and the last before the first.
    Circle(Vec<usize>),
    /// A list of stops does not hold each of them once.
    NotEachOnce {
        /// The first stop that is left out or comes again, by number.
        stop: usize,
    },
    /// A list of stops has two of them the wrong way round.
    WrongWayRound {
        /// The stop that must come first.
        first: usize,
        /// The stop that must come after it.
        then: usize,
    },
}

impl fmt::Display for OrderError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooManyStops(count) => {
                write!(f, "There are {count} stops; at most {MOST_STOPS} can be put in order.")
            }
            Self::WrongTable { given, wanted } => {
                write!(
                    f,
                    "The table of costs has {given} cells; it needs {wanted}, one for each pair of stops."
                )
            }
            Self::CostTooHigh { from, to, cost } => write!(
                f,
                "Going from stop {from} to stop {to} costs {cost}; at most {MOST_COST} can be counted. Count costs \
                 in a larger unit."
            ),
            Self::UnknownStop { stop, count } => {
                write!(f, "There is no stop {stop}; the {count} stops are counted from 0.")
            }
            Self::Circle(stops) => {
                write!(f, "Each of these stops must come before the next, which goes round in a circle: ")?;
                for stop in stops {
                    write!(f, "{stop}, ")?;
                }
                write!(f, "{}. Take one of these rules away.", stops.first().unwrap_or(&0))
            }
            Self::NotEachOnce { stop } => {
                write!(
                    f,
                    "The order must hold each stop once; see stop {stop}, which is left out or comes again."
                )
            }
            Self::WrongWayRound { first, then } => {
                write!(f, "Stop {first} must come before stop {then}, and the order has it after.")
            }
        }
    }
}

impl std::error::Error for OrderError {}

impl Stops {
    /// The stops `0..count`. `costs` has `count` rows of `count` cells: what it costs to go from the stop of the row
    /// to the stop of the column, in any unit; the two directions may differ and the diagonal is not looked at.
    /// Of each pair in `before` the one must come somewhere before the other. The first stop is fixed by pairs that
    /// put it before all others, the last one alike; without such pairs an order may begin and end anywhere.
    ///
    /// # Errors
    /// Too many stops, a table of another size, a cost or a stop out of range, pairs that go round in a circle.
    pub fn new(count: usize, costs: &[u32], before: &[(usize, usize)]) -> Result<Stops, OrderError> {
        if count > MOST_STOPS {
            return Err(OrderError::TooManyStops(count));
        }
        if costs.len() != count * count {
            return Err(OrderError::WrongTable { given: costs.len(), wanted: count * count });
        }
        let mut padded = vec![0; (count + 1) * (count + 1)];
        for from in 0..count {
            for to in (0..count).filter(|&to| to != from) {
                let cost = costs[from * count + to];
                let small = i32::try_from(cost).ok().filter(|_| cost <= MOST_COST);
                padded[from * (count + 1) + to] = small.ok_or(OrderError::CostTooHigh { from, to, cost })?;
            }
        }
        let width = count.div_ceil(64);
        let mut stops = Stops {
            count,
            costs: padded,
            width,
            before: vec![0; count * width],
            after: vec![0; count * width],
            next: vec![Vec::new(); count],
            previous: vec![Vec::new(); count],
        };
        stops.join(before)?;
        Ok(stops)
    }

    /// The number of stops.
    pub fn count(&self) -> usize {
        self.count
    }

    /// Whether the one stop must come somewhere before the other, by a pair given or by several in a row.
    ///
    /// # Panics
    /// If there is no such stop.
    pub fn must_precede(&self, one: usize, other: usize) -> bool {
        has(self.after(one), other)
    }

    /// What an order costs: the sum of going from each stop to the next.
    ///
    /// # Errors
    /// If it does not hold each stop once, or has two the wrong way round.
    pub fn cost(&self, order: &[usize]) -> Result<u64, OrderError> {
        let mut seen = vec![false; self.count];
        for &stop in order {
            if stop >= self.count {
                return Err(OrderError::UnknownStop { stop, count: self.count });
            }
            if std::mem::replace(&mut seen[stop], true) {
                return Err(OrderError::NotEachOnce { stop });
            }
            if let Some(first) = self.previous[stop].iter().copied().find(|&first| !seen[first]) {
                return Err(OrderError::WrongWayRound { first, then: stop });
            }
        }
        if let Some(stop) = seen.iter().position(|seen| !seen) {
            return Err(OrderError::NotEachOnce { stop });
        }
        Ok(order.windows(2).map(|pair| u64::from(self.leg(pair[0], pair[1]).unsigned_abs())).sum())
    }

    /// What it costs to go from one stop to another; `count` stands for outside, whither and whence it costs nothing.
    #[inline]
    pub(crate) fn leg(&self, from: usize, to: usize) -> i32 {
        self.costs[from * (self.count + 1) + to]
    }

    /// Whether some order has the one stop directly before the other; `count` stands for outside.
    pub(crate) fn may_follow(&self, from: usize, to: usize) -> bool {
        let outside = self.count;
        match (from == outside, to == outside) {
            (true, true) => self.count == 0,
            (true, false) => self.previous[to].is_empty(),
            (false, true) => self.next[from].is_empty(),
            (false, false) => {
                let between =
                    self.after(from).iter().zip(self.before(to)).any(|(one, other)| one & other != 0);
                from != to && !has(self.before(from), to) && !between
            }
        }
    }

    pub(crate) fn width(&self) -> usize {
        self.width
    }

    pub(crate) fn before(&self, stop: usize) -> &[u64] {
        &self.before[stop * self.width..(stop + 1) * self.width]
    }

    pub(crate) fn after(&self, stop: usize) -> &[u64] {
        &self.after[stop * self.width..(stop + 1) * self.width]
    }

    pub(crate) fn next(&self, stop: usize) -> &[usize] {
        &self.next[stop]
    }

    pub(crate) fn previous(&self, stop: usize) -> &[usize] {
        &self.previous[stop]
    }

    /// Takes in the pairs: all that follows from them, and those that say all.
    fn join(&mut self, pairs: &[(usize, usize)]) -> Result<(), OrderError> {
        let count = self.count;
        let mut direct = vec![Vec::new(); count];
        for &(one, other) in pairs {
            for stop in [one, other] {
                if stop >= count {
                    return Err(OrderError::UnknownStop { stop, count });
                }
            }
            direct[one].push(other);
        }
        for one in line_up(&direct).map_err(OrderError::Circle)?.into_iter().rev() {
            for &other in &direct[one] {
                for word in 0..self.width {
                    self.after[one * self.width + word] |= self.after[other * self.width + word];
                }
                add(&mut self.after[one * self.width..(one + 1) * self.width], other);
            }
        }
        for one in 0..count {
            for other in 0..count {
                if has(self.after(one), other) {
                    add(&mut self.before[other * self.width..(other + 1) * self.width], one);
                }
            }
        }
        for one in 0..count {
            for other in 0..count {
                let between =
                    self.after(one).iter().zip(self.before(other)).any(|(one, other)| one & other != 0);
                if has(self.after(one), other) && !between {
                    self.next[one].push(other);
                    self.previous[other].push(one);
                }
            }
        }
        Ok(())
    }
}

/// Whether a set of stops holds one.
#[inline]
pub(crate) fn has(set: &[u64], stop: usize) -> bool {
    set[stop / 64] >> (stop % 64) & 1 == 1
}

/// Puts a stop into a set.
#[inline]
pub(crate) fn add(set: &mut [u64], stop: usize) {
    set[stop / 64] |= 1 << (stop % 64);
}

/// Any order that keeps to the pairs, or stops that go round in a circle.
fn line_up(direct: &[Vec<usize>]) -> Result<Vec<usize>, Vec<usize>> {
    let mut waiting = vec![0_usize; direct.len()];
    for &other in direct.iter().flatten() {
        waiting[other] += 1;
    }
    let mut order: Vec<usize> = (0..direct.len()).filter(|&stop| waiting[stop] == 0).collect();
    let mut done = 0;
    while done < order.len() {
        for &other in &direct[order[done]] {
            waiting[other] -= 1;
            if waiting[other] == 0 {
                order.push(other);
            }
        }
        done += 1;
    }
    if order.len() == direct.len() { Ok(order) } else { Err(circle(direct, &waiting)) }
}

/// A circle among the stops that still wait for another: each has one before it that waits too.
fn circle(direct: &[Vec<usize>], waiting: &[usize]) -> Vec<usize> {
    let waits = |stop: usize| waiting[stop] > 0;
    let mut seen = Vec::new();
    let mut stop = (0..direct.len()).find(|&stop| waits(stop)).unwrap_or(0);
    loop {
        if let Some(from) = seen.iter().position(|&one| one == stop) {
            let mut circle = seen.split_off(from);
            circle.reverse();
            let least = circle.iter().enumerate().min_by_key(|&(_, &stop)| stop).map_or(0, |(at, _)| at);
            circle.rotate_left(least);
            return circle;
        }
        seen.push(stop);
        let before = (0..direct.len()).find(|&one| waits(one) && direct[one].contains(&stop));
        stop = before.unwrap_or(stop);
    }
}
