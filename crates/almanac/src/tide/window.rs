//! When the water is high enough, or low enough: for a bar, a berth, a bridge.

use jiff::Timestamp;
use quantity::Length;

use super::{Period, Range, Station, extremes, moment, range, root, seconds, state};

/// A bound for the height of the water above the datum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Level {
    /// At this height or higher.
    AtLeast(Length),
    /// At this height or lower.
    AtMost(Length),
}

/// A time in which the water keeps within a bound.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Window {
    /// When it begins; the start of the period if it already was so then.
    pub from: Timestamp,
    /// When it ends; the end of the period if it still is so then.
    pub until: Timestamp,
    /// Whether it already was so when the period began.
    pub began_before: bool,
    /// Whether it still is so when the period ends.
    pub goes_on: bool,
}

/// The times of a period in which the water keeps within a bound, in order and apart.
///
/// Leave a margin for weather in the bound: these times are to the second, the sea is not.
pub fn windows(station: &Station, period: Period, level: Level) -> Vec<Window> {
    let spare = |at: f64| match level {
        Level::AtLeast(least) => state(station, at).height - least.as_metres(),
        Level::AtMost(most) => most.as_metres() - state(station, at).height,
    };
    // Between two turns the water only rises or only falls, so that it passes the bound at most once.
    let turns = extremes(station, period).into_iter().map(|turn| seconds(turn.at));
    let knots: Vec<f64> =
        [seconds(period.from())].into_iter().chain(turns).chain([seconds(period.until())]).collect();
    let mut found = Vec::new();
    let mut open = (spare(knots[0]) >= 0.0).then_some((period.from(), true));
    for pair in knots.windows(2) {
        let within = spare(pair[1]) >= 0.0;
        if within == open.is_some() {
            continue;
        }
        let at = moment(root(pair[0], pair[1], spare)).max(period.from()).min(period.until());
        match open.take() {
            Some((from, began_before)) => {
                found.push(Window { from, until: at, began_before, goes_on: false });
            }
            None => open = Some((at, false)),
        }
    }
    if let Some((from, began_before)) = open {
        found.push(Window { from, until: period.until(), began_before, goes_on: true });
    }
    found.retain(|window| window.from < window.until);
    found
}

/// The times in which a boat floats over a charted depth with room below her keel.
///
/// `charted` is negative for what dries. Choose `clearance` for swell, weather and the doubt of the chart.
pub fn enough_water(
    station: &Station,
    period: Period,
    charted: Length,
    draught: Length,
    clearance: Length,
) -> Vec<Window> {
    windows(station, period, Level::AtLeast(draught + clearance - charted))
}

/// The times in which a boat's masthead passes below a bridge or a cable with room above it.
///
/// `above_datum` is the bridge's height above the station's datum. Charts give it above another level, mean high water
/// or highest astronomical tide: add that level's own height above the datum first. `air_draught` is her height above
/// the water. Keep well below electric cables whatever the figures say.
pub fn enough_room(
    station: &Station,
    period: Period,
    above_datum: Length,
    air_draught: Length,
    clearance: Length,
) -> Vec<Window> {
    windows(station, period, Level::AtMost(above_datum - air_draught - clearance))
}

/// The least and the greatest depth of a period where a chart shows a depth: the least for the keel, the greatest for
/// the length of chain.
pub fn depths(station: &Station, period: Period, charted: Length) -> Range {
    let water = range(station, period);
    Range { lowest: charted + water.lowest, highest: charted + water.highest, ..water }
}
