//! When there is water enough, and what the tide still does while she stays.

use almanac::tide::{self, Level, Period, Window};
use maud::{Markup, html};
use quantity::{Length, System};

use super::ask::TidesAsk;
use super::metres;
use crate::links::{self, Room};
use crate::vessel::Vessel;
use crate::words;

/// The times in which she floats over the depth that was asked for.
pub(super) fn windows(ask: &TidesAsk, period: Period) -> Markup {
    let Some(shoal) = ask.shoal else { return Markup::default() };
    let found = tide::windows(ask.station, period, Level::AtLeast(shoal.level()));
    let length = |length: Length| words::metres(length).replace('-', "\u{2212}");
    html! {
        section.block #enough aria-labelledby="enough-head" {
            h2 #enough-head { "Water enough" }
            p {
                "A draught of " (length(shoal.draught)) " and " (length(shoal.clearance)) " below the keel, where the chart shows "
                (length(shoal.charted)) ": the water must stand at " strong { (metres(shoal.level())) } " or higher."
            }
            @if shoal.clearance <= Length::ZERO { p { strong { "Nothing is kept below the keel." } " Say how much, for swell, weather and the doubt of the chart." } }
            @match found.as_slice() {
                [] => p role="status" { strong { "Never in these days." } },
                [one] if one.began_before && one.goes_on => p role="status" { strong { "All the time in these days." } },
                all => ul.tide-windows { @for window in all { (row(ask, window)) } },
            }
            p.small.soft { "The moments are those of the regular tide. Leave at the beginning of a window, not at its end." }
        }
    }
}

fn row(ask: &TidesAsk, window: &Window) -> Markup {
    let minutes = (window.until.as_second() - window.from.as_second() + 30) / 60;
    let same_day = ask.clock.nearest(window.from).date() == ask.clock.nearest(window.until).date();
    let until = if same_day { ask.clock.time(window.until) } else { ask.clock.short(window.until) };
    html! {
        li {
            strong { @if window.began_before { "before " } (ask.clock.short(window.from)) }
            " until " @if window.goes_on { "after " } strong { (until) }
            span.soft { ", " @if window.began_before || window.goes_on { "at least " } (minutes / 60) " h " (format!("{:02}", minutes % 60)) " min" }
        }
    }
}

/// What the tide still rises and falls while she stays, with the way to the anchor page.
pub(super) fn stay(vessel: Option<&Vessel>, ask: &TidesAsk) -> Markup {
    let Some(period) = ask.stay() else { return Markup::default() };
    let (rise, fall) = still(ask, period);
    let short = |length: Length| length.display(System::Metric);
    html! {
        section.block #stay aria-labelledby="stay-head" {
            h2 #stay-head { "While she stays" }
            p {
                "From " (ask.clock.short(period.from())) " until " (ask.clock.short(period.until())) " the tide will still rise by "
                strong { (metres(rise)) } " and fall by " strong { (metres(fall)) } " against the height at the beginning."
            }
            @if let Some(vessel) = vessel {
                p { a.button.no-print href=(links::query(&links::room(&vessel.slug, Room::Anchor), &[("rise", &short(rise)), ("fall", &short(fall))])) { "Take them to the anchor page" } }
            }
        }
    }
}

/// What the tide still rises and falls in a stretch of time, rounded up to the centimetre.
pub(super) fn still(ask: &TidesAsk, period: Period) -> (Length, Length) {
    let now = tide::height(ask.station, period.from());
    let range = tide::range(ask.station, period);
    let up = |length: Length| Length::centimetres((length.as_centimetres() - 1e-6).ceil().max(0.0));
    (up(range.highest - now), up(now - range.lowest))
}
