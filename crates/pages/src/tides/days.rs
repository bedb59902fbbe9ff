//! The table of days: high and low water, and the sun.

use almanac::sun::{self, Daylight, Twilight};
use almanac::tide;
use jiff::civil::{Date, time};
use maud::{Markup, html};

use super::ask::TidesAsk;
use super::{clock, metres, water};

/// The sun of one day at the station.
pub(super) struct Sun {
    pub(super) day: Daylight,
    pub(super) civil: Daylight,
}

/// For what people call that day by the station's clocks.
pub(super) fn sun(ask: &TidesAsk, day: Date) -> Sun {
    let place = ask.station.place;
    let noon = ask.clock.moment(day.to_datetime(time(12, 0, 0, 0)));
    let date = noon.map_or(day, |noon| sun::solar_date(place, noon));
    Sun { day: sun::day(place, date), civil: sun::twilight(place, date, Twilight::Civil) }
}

pub(super) fn section(ask: &TidesAsk) -> Markup {
    html! {
        section.block aria-labelledby="days-head" {
            h2 #days-head { "Day by day" }
            table.list.tide-days {
                thead { tr {
                    th scope="col" { "Day" }
                    th scope="col" { "High and low water" }
                    th scope="col" { "Sun" }
                    th scope="col" { "Light enough to work on deck" }
                } }
                tbody { @for day in ask.all_days() { (row(ask, day)) } }
            }
            p.small.soft { "Heights above " (ask.station.datum.name) "; times by " (ask.clock.whose) ", to the minute. Sun over a level horizon: hills and trees take light away. Light enough: civil twilight, in fair weather." }
        }
    }
}

fn row(ask: &TidesAsk, day: Date) -> Markup {
    let turns = ask.day(day).map_or_else(Vec::new, |period| tide::extremes(ask.station, period));
    let sun = sun(ask, day);
    html! {
        tr {
            th scope="row" { (clock::day(day)) }
            td data-name="Water" {
                @if turns.is_empty() { "The water does not turn on this day." }
                @else { ul.turns { @for turn in turns {
                    li { strong { (ask.clock.time(turn.at)) } " " (water(turn.water).replace(" water", "")) " " span.turn-height { (metres(turn.height)) } }
                } } }
            }
            td data-name="Sun" { (light(ask, sun.day)) }
            td data-name="Light" { (light(ask, sun.civil)) }
        }
    }
}

fn light(ask: &TidesAsk, light: Daylight) -> String {
    let at = |moment: Option<jiff::Timestamp>| moment.map(|at| ask.clock.time(at));
    match (at(light.rise()), at(light.set()), light) {
        (_, _, Daylight::AlwaysUp) => "all day and night".to_owned(),
        (_, _, Daylight::NeverUp) => "not at all".to_owned(),
        (Some(rise), Some(set), _) => format!("{rise} to {set}"),
        (Some(rise), None, _) => format!("from {rise}"),
        (None, Some(set), _) => format!("until {set}"),
        (None, None, _) => "not known".to_owned(),
    }
}
