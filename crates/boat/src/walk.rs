//! How long it takes to go from one place of a boat to another.
//!
//! Positions are those of the places' middles; people go at an easy pace, with others behind them. The boat file does
//! not say where steps and doors are, so a way round a bulkhead or up the only companionway is not longer here than
//! straight through. All figures are judgements, to put stops in order: they are not meant to be waited for.

use quantity::{Length, Time};

use crate::model::{Boat, Level, PlaceId, Reach};

/// An easy pace aboard, metres a second. Judgement.
const PACE: f64 = 0.5;
/// Gathering everybody at another place, however near it is. Judgement.
const GATHERING: Time = Time::seconds(5.0);
/// Going from one level to the next. Judgement.
const A_LEVEL: Time = Time::seconds(15.0);

/// How long it takes to go from one place to another, and what it takes to reach it there; nothing if one is there.
///
/// Never longer by way of a third place: going straight is the shortest.
pub fn walk(boat: &Boat, from: PlaceId, to: PlaceId) -> Time {
    if from == to {
        return Time::ZERO;
    }
    let (one, other) = (&boat.places[from], &boat.places[to]);
    let metres = |a: Length, b: Length| (a - b).as_metres();
    let (along, across) = (metres(one.aft, other.aft), metres(one.starboard, other.starboard));
    let levels = height(one.level).abs_diff(height(other.level));
    GATHERING
        + Time::seconds((along * along + across * across).sqrt() / PACE)
        + A_LEVEL * f64::from(levels)
        + reach(other.reach)
}

/// What it takes to reach a place when one stands by it.
pub fn reach(reach: Reach) -> Time {
    Time::seconds(match reach {
        Reach::AtHand => 0.0,
        Reach::Lid => 10.0,
        Reach::Boards | Reach::Climb => 30.0,
        Reach::Crawl => 40.0,
        Reach::Tools => 90.0,
    })
}

/// Levels in the order in which one steps from one to the next. Nobody steps into the bilge: one looks into it from
/// the cabin, and what it takes to open it is counted by [`reach`]. Nor does anybody go aloft to be shown the mast.
fn height(level: Level) -> u32 {
    match level {
        Level::Bilge | Level::Below => 0,
        Level::Deck | Level::Aloft => 1,
        Level::Dock => 2,
    }
}
