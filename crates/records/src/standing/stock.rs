//! What there is of a part, and how that is known.

use std::collections::BTreeMap;

use quantity::Money;

use super::{Mark, Standing};

/// What happens to the count of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turnover {
    /// So many were there.
    Counted,
    /// So many came.
    Received,
    /// So many went.
    Used,
}

/// A part was counted, came, or was used.
#[derive(Debug, Clone, PartialEq)]
pub struct Move {
    /// Who did it, and when.
    pub mark: Mark,
    /// What happened.
    pub turnover: Turnover,
    /// How many.
    pub count: u32,
    /// What they cost together.
    pub cost: Option<Money>,
}

/// What there is of a part.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Stock {
    /// How many by the last count and what came and went since; from nothing, if it was never counted.
    pub count: i64,
    /// The last count.
    pub counted: Option<Mark>,
    /// All that was told of it, the earliest first.
    pub moves: Vec<Move>,
}

impl Stock {
    pub(crate) fn add(&mut self, one: Move) {
        let count = i64::from(one.count);
        match one.turnover {
            Turnover::Counted => {
                self.count = count;
                self.counted = Some(one.mark.clone());
            }
            Turnover::Received => self.count += count,
            Turnover::Used => self.count -= count,
        }
        self.moves.push(one);
    }

    /// How many came and how many were used since the last count; since ever, if it was never counted.
    pub fn since_counted(&self) -> (u64, u64) {
        let last = self.moves.iter().rposition(|one| one.turnover == Turnover::Counted);
        let since = &self.moves[last.map_or(0, |at| at + 1)..];
        let sum = |turnover| {
            since.iter().filter(|one| one.turnover == turnover).map(|one| u64::from(one.count)).sum()
        };
        (sum(Turnover::Received), sum(Turnover::Used))
    }

    /// When parts last came of which it was said what they cost: how many, and what they cost together.
    pub fn last_price(&self) -> Option<(u32, Money)> {
        let mut bought =
            self.moves.iter().rev().filter(|one| one.turnover == Turnover::Received && one.count > 0);
        bought.find_map(|one| Some((one.count, one.cost?)))
    }

    /// What so many of them cost by the last price, to the nearest minor unit, halves up; nothing if it was never said
    /// what they cost, or it can't be written.
    pub fn price_of(&self, count: u32) -> Option<Money> {
        let (bought, cost) = self.last_price()?;
        let (bought, minor) = (i128::from(bought), i128::from(cost.minor_units()));
        let twice = 2 * minor * i128::from(count) + bought;
        let rounded = i64::try_from(twice.div_euclid(2 * bought)).ok()?;
        Money::from_minor(rounded, cost.currency())
    }
}

/// Parts in the base's store by what is told in several sets of events, such as those of each boat: any boat's may tell
/// that a part was taken. What was told is put in the order of time before it is counted up.
pub fn ashore<'a>(standings: impl IntoIterator<Item = &'a Standing>) -> BTreeMap<String, Stock> {
    let mut moves: BTreeMap<&str, Vec<&Move>> = BTreeMap::new();
    for standing in standings {
        for (part, stock) in &standing.ashore {
            moves.entry(part).or_default().extend(&stock.moves);
        }
    }
    let added = |(part, mut moves): (&str, Vec<&Move>)| {
        moves.sort_by_key(|one| (one.mark.when, one.mark.event, one.mark.content));
        let mut stock = Stock::default();
        for one in moves {
            stock.add(one.clone());
        }
        (part.to_owned(), stock)
    };
    moves.into_iter().map(added).collect()
}
