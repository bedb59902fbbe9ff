//! The tide: high and low water at a station, the height at a moment, and when there is water enough.

mod ask;
mod clock;
mod curve;
mod data;
mod days;
mod form;
mod line;
mod shoal;

pub use ask::{Shore, TidesAsk, base_of};
pub use clock::CLOCKS;
pub use data::tides_data;
pub(crate) use line::{stay, today};

use almanac::tide::{self, Extreme, Period, Water};
use boat::model::{Hazard, SignalWord};
use jiff::{SignedDuration, Timestamp};
use maud::{Markup, html};
use quantity::Length;

use crate::caution::titled_panel;
use crate::frame::{Aboard, Desk, Role, Site, desk_page, page};
use crate::given;
use crate::links::Room;
use crate::vessel::Vessel;
use crate::words;

/// What cannot be left out beside a height.
const NOT_FOR_NAVIGATION: &str = "Not for navigation. The official tide tables and the chart decide; these times and heights are for planning at a desk.";

/// The page: the form, the height at the moment, the curve and the table of days, and when there is water enough.
pub fn tides_page(site: &Site, vessel: Option<&Vessel>, ask: &TidesAsk) -> String {
    let body = html! {
        div.title {
            h1 { "Tides" }
            p.lead { "High and low water from the regular tide of a station." }
        }
        (given::trouble(&ask.given, "Nothing can be worked out yet"))
        (given::folded(&ask.given, &form::form(vessel, ask)))
        @if let Some(period) = ask.period.filter(|_| ask.is_sound()) { (answer(vessel, ask, period)) }
    };
    match vessel {
        Some(vessel) => {
            let aboard =
                Aboard { slug: &vessel.slug, name: &vessel.boat.particulars.name, room: Room::Tides };
            page(site, "Tides", Some(aboard), &body)
        }
        None if site.may(Role::Hand) => desk_page(site, "Tides", Desk::Today, &body),
        None => page(site, "Tides", None, &body),
    }
}

fn answer(vessel: Option<&Vessel>, ask: &TidesAsk, period: Period) -> Markup {
    html! {
        section #tide aria-labelledby="tide-head" {
            div.verdict {
                h2 #tide-head { (ask.station.name) }
                p.big role="status" { (at_moment(ask)) }
                (next_turns(ask))
            }
            div.law-cautions {
                @if let Some(words) = far(ask) { (titled_panel(SignalWord::Warning, Hazard::Gear, "another tide than yours", &[words])) }
                (titled_panel(SignalWord::Caution, Hazard::Gear, "weather is not in it", &[NOT_FOR_NAVIGATION, tide::CAUTION]))
            }
            (shoal::stay(vessel, ask))
            (shoal::windows(ask, period))
            (curve::section(ask))
            (days::section(ask))
            (station(ask))
        }
    }
}

/// The height at the moment, and whether it rises.
fn at_moment(ask: &TidesAsk) -> String {
    let height = tide::height(ask.station, ask.at);
    let rate = tide::rise_an_hour(ask.station, ask.at);
    let goes = match rate.as_metres() {
        rate if rate > 0.05 => format!(
            "rises by {} in the next hour if it goes on so",
            words::metres(round(Length::metres(rate)))
        ),
        rate if rate < -0.05 => format!(
            "falls by {} in the next hour if it goes on so",
            words::metres(round(Length::metres(-rate)))
        ),
        _ => "hardly moves".to_owned(),
    };
    format!("{}: the water stands at {} and {goes}.", ask.clock.day_and_time(ask.at), metres(height))
}

/// The two turns after the moment.
fn next_turns(ask: &TidesAsk) -> Markup {
    let turns = turns_after(ask, ask.at, 2);
    html! {
        @if !turns.is_empty() {
            p {
                @for (at, turn) in turns.iter().enumerate() {
                    @if at > 0 { "; then " }
                    @if at == 0 { "Next " } (turn.water.words()) " " strong { (ask.clock.short(turn.at)) } ", " (metres(turn.height))
                }
                "."
            }
        }
        p.soft { "Above " (ask.station.datum.name) ", by " (ask.clock.whose) "." }
    }
}

/// So many turns after a moment.
pub(super) fn turns_after(ask: &TidesAsk, at: Timestamp, count: usize) -> Vec<Extreme> {
    // A daily tide turns every twelve hours, and where two tides cancel it may hang for a day or two.
    let until = at.saturating_add(SignedDuration::from_hours(72)).unwrap_or(at);
    let Ok(period) = Period::new(at, until) else { return Vec::new() };
    tide::extremes(ask.station, period).into_iter().take(count).collect()
}

/// That the station is too far away, if it is.
pub(super) fn far(ask: &TidesAsk) -> Option<String> {
    let away = ask.away()?;
    let (_, whence) = ask.place.as_ref()?;
    (away > ask::NEAR).then(|| {
        format!(
            "{} is {} nautical miles from {whence}. High and low water there may be hours earlier or later and of quite another \
             height. No nearer station is listed here: use the official tables of the place itself.",
            ask.station.name,
            miles(away)
        )
    })
}

/// What the figures rest on.
fn station(ask: &TidesAsk) -> Markup {
    let station = ask.station;
    let datum = &station.datum;
    html! {
        section.block aria-labelledby="station-facts" {
            h2 #station-facts { "What this rests on" }
            dl.facts {
                div { dt { "Station" } dd { (station.name) @if let Some(id) = &station.id { ", number " (id) } } }
                div { dt { "Where" } dd { (station.place) } }
                @if let (Some(away), Some((_, whence))) = (ask.away(), &ask.place) { div { dt { "How far from " (whence) } dd { (miles(away)) " nautical miles" } } }
                div { dt { "Heights are above" } dd { (datum.name) } }
                div { dt { "Mean level of the sea" } dd { (metres(datum.mean)) } }
                @if let Some(lowest) = datum.lowest { div { dt { "Lowest astronomical tide" } dd { (metres(lowest)) } } }
                @if let Some(highest) = datum.highest { div { dt { "Highest astronomical tide" } dd { (metres(highest)) } } }
                div { dt { "Times" } dd { "By " (ask.clock.whose) @if let Some(name) = ask.clock.name { " (" (name) ")" } } }
            }
            ul.plainly {
                li { "From " (station.constituents.len()) " regular swings that were measured there. Source: " (station.source) "." }
                li { "Without weather these heights lie within about " (words::metres(tide::GIVE_OR_TAKE)) " of the authority's own tables." }
                li { "A depth may only be added to them if the chart counts from the same datum." }
            }
        }
    }
}

/// A height above the datum: metres to the centimetre, feet to the tenth.
pub(crate) fn metres(height: Length) -> String {
    let signed = |number: f64, digits: usize| {
        let text = format!("{:.digits$}", number.abs());
        let nothing = text.bytes().all(|byte| matches!(byte, b'0' | b'.'));
        if number < 0.0 && !nothing { format!("\u{2212}{text}") } else { text }
    };
    format!("{}\u{a0}m ({}\u{a0}ft)", signed(height.as_metres(), 2), signed(height.as_feet(), 1))
}

/// To the centimetre.
fn round(length: Length) -> Length {
    Length::centimetres(length.as_centimetres().round())
}

/// Nautical miles, as few digits as make sense.
pub(crate) fn miles(length: Length) -> String {
    let miles = length.as_nautical_miles();
    if miles < 10.0 { format!("{miles:.1}") } else { format!("{miles:.0}") }
}

/// “High water” or “Low water”.
pub(super) fn water(water: Water) -> String {
    words::capital(water.words())
}
