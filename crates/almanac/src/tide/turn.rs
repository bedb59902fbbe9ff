//! When the tide turns, and how far it goes.

use jiff::Timestamp;
use quantity::Length;

use super::{Period, Station, moment, root, seconds, state};

/// Seconds between the moments at which the curve is looked at: the fastest constituent takes three hours.
const STEP: f64 = 300.0;

/// High or low water.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Water {
    /// The water stops rising and begins to fall.
    High,
    /// The water stops falling and begins to rise.
    Low,
}

impl Water {
    /// The words for it: `high water`.
    pub const fn words(self) -> &'static str {
        match self {
            Self::High => "high water",
            Self::Low => "low water",
        }
    }
}

/// High or low water at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extreme {
    /// When, to the second; a minute is all that it is worth.
    pub at: Timestamp,
    /// How high above the datum.
    pub height: Length,
    /// Which.
    pub water: Water,
}

/// The lowest and the highest that the water comes to in a period, its ends included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// The lowest height above the datum.
    pub lowest: Length,
    /// When it first stands so low.
    pub lowest_at: Timestamp,
    /// The greatest height above the datum.
    pub highest: Length,
    /// When it first stands so high.
    pub highest_at: Timestamp,
}

impl Range {
    /// From the lowest to the highest.
    pub fn span(&self) -> Length {
        self.highest - self.lowest
    }
}

/// All high and low waters of a period in order, always one kind after the other.
///
/// What is asked for in two halves is the same as what is asked for at once. Where two tides nearly cancel, the water
/// hangs for hours: then high and low are close together, and their times say little.
pub fn extremes(station: &Station, period: Period) -> Vec<Extreme> {
    let slope = |at: f64| state(station, at).slope;
    let (from, until) = (seconds(period.from()), seconds(period.until()));
    // The steps are those of the clock, so that the same turns are found whatever period is asked for.
    let mut before = (from / STEP).floor() * STEP - STEP;
    let mut rising = slope(before) > 0.0;
    let mut found = Vec::new();
    while before <= until {
        let after = before + STEP;
        let rises = slope(after) > 0.0;
        if rises != rising {
            let at = moment(root(before, after, slope));
            let water = if rising { Water::High } else { Water::Low };
            found.push(Extreme { at, height: super::height(station, at), water });
        }
        (before, rising) = (after, rises);
    }
    found.retain(|turn| period.from() <= turn.at && turn.at < period.until());
    found
}

/// The lowest and the highest of a period.
pub fn range(station: &Station, period: Period) -> Range {
    let at_end = |at| (at, super::height(station, at));
    let (first, height) = at_end(period.from());
    let start = Range { lowest: height, lowest_at: first, highest: height, highest_at: first };
    let turns = extremes(station, period).into_iter().map(|turn| (turn.at, turn.height));
    turns.chain([at_end(period.until())]).fold(start, |mut range, (at, height)| {
        if height < range.lowest {
            (range.lowest, range.lowest_at) = (height, at);
        }
        if height > range.highest {
            (range.highest, range.highest_at) = (height, at);
        }
        range
    })
}
