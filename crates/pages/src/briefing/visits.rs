//! A plan as a walk: the stops at one place after another are one visit.

use std::collections::BTreeMap;

use boat::model::{Boat, PlaceId};
use brief::{Briefing, Depth, Plan, Stop};
use maud::{Markup, html};
use quantity::Time;

use crate::plan::{Call, Sheet, walked};
use crate::words;

/// Stops at one place, one after the other.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Visit<'p> {
    /// Which of the walk, from 1.
    pub(super) number: usize,
    /// Where; none on a boat without places for her topics.
    pub(super) place: Option<PlaceId>,
    /// What is gone through there.
    pub(super) stops: Vec<&'p Stop>,
}

impl Visit<'_> {
    /// When it begins.
    pub(super) fn begins(&self) -> Time {
        self.stops.first().map_or(Time::ZERO, |stop| stop.begins)
    }

    /// How long it lasts.
    pub(super) fn lasts(&self) -> Time {
        self.stops.iter().map(|stop| stop.lasts).sum()
    }
}

/// The visits of a plan, in order.
pub(super) fn visits<'p>(briefing: &Briefing<'_>, plan: &'p Plan) -> Vec<Visit<'p>> {
    let mut visits: Vec<Visit<'p>> = Vec::new();
    for stop in &plan.stops {
        let place = briefing.topics[stop.topic].place;
        match visits.last_mut() {
            Some(last) if last.place == place => last.stops.push(stop),
            _ => visits.push(Visit { number: visits.len() + 1, place, stops: vec![stop] }),
        }
    }
    visits
}

/// The walk drawn on the boat, one picture a level, with the names of the places below it.
pub(super) fn drawings(boat: &Boat, visits: &[Visit<'_>]) -> Markup {
    let mut sheets: BTreeMap<Sheet, Vec<Call>> = BTreeMap::new();
    for visit in visits {
        if let Some(place) = visit.place {
            let sheet = Sheet::of(boat.places[place].level);
            sheets.entry(sheet).or_default().push(Call { number: visit.number, place });
        }
    }
    html! {
        div.walk-sheets {
            @for (sheet, calls) in &sheets {
                figure.walk-sheet {
                    figcaption { (sheet.name()) }
                    (walked(boat, *sheet, calls))
                    p.small.soft {
                        @for (at, call) in calls.iter().enumerate() {
                            @if at > 0 { ", " } strong { (call.number) } " " (boat.places[call.place].name)
                        } "."
                    }
                }
            }
        }
    }
}

/// How deep a topic is gone into, in a word or two.
pub(super) fn depth_words(depth: Depth) -> &'static str {
    match depth {
        Depth::Reading => "To read",
        Depth::Short => "In short",
        Depth::Told => "Tell",
        Depth::Shown => "They do it",
    }
}

/// A time of a talk: “25 s”, “6 min”.
pub(super) fn short_time(time: Time) -> String {
    let seconds = time.as_seconds();
    if seconds < 59.5 {
        format!("{seconds:.0} s")
    } else if seconds >= 5970.0 {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a talk of some hours")]
        let minutes = (seconds / 60.0).round() as u64;
        format!("{} h {} min", minutes / 60, minutes % 60)
    } else {
        format!("{} min", words::trimmed((seconds / 30.0).round() / 2.0))
    }
}

/// A moment of a talk from its beginning: “12:30”.
pub(super) fn clock(time: Time) -> String {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a talk of some hours")]
    let seconds = time.as_seconds().round().max(0.0) as u64;
    format!("{}:{:02}", seconds / 60, seconds % 60)
}
