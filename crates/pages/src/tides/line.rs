//! The tide of the day in a line, for who plans a turnaround.

use almanac::Position;
use almanac::tide::{self, Period};
use jiff::Timestamp;
use maud::{Markup, html};

use super::clock::Clock;
use super::{ask, metres, miles, water};
use crate::frame::Site;
use crate::links::{self, Room};
use crate::vessel::Vessel;

/// High and low water of today at the station nearest to the base, if it is near enough; else that it is not.
pub(crate) fn today<'b>(site: &Site, mut boats: impl Iterator<Item = &'b boat::model::Boat>) -> Markup {
    let place: Option<Position> = boats.find_map(ask::base_of);
    let Some((station, away)) = place.and_then(|place| tide::nearest(place).first().copied()) else {
        return Markup::default();
    };
    let more = html! { a href=(links::TIDES) { "Tides" } };
    if away > ask::NEAR {
        return html! {
            p.soft #tide-line {
                "Tide: the nearest station listed here is " (station.name) ", " (miles(away))
                " nautical miles away, which is too far to tell it for the base. " (more)
            }
        };
    }
    let clock = Clock::of(station, &site.zone);
    let now = Timestamp::from_millisecond(site.now.milliseconds()).unwrap_or(Timestamp::UNIX_EPOCH);
    let day = clock.day(now);
    let period = day
        .tomorrow()
        .ok()
        .and_then(|next| clock.begins(day).zip(clock.begins(next)))
        .and_then(|(from, until)| Period::new(from, until).ok());
    let turns = period.map_or_else(Vec::new, |period| tide::extremes(station, period));
    html! {
        p #tide-line {
            "Tide at " (station.name) ", " (miles(away)) " nautical miles away: "
            @for (at, turn) in turns.iter().enumerate() {
                @if at > 0 { "; " }
                (if at == 0 { water(turn.water) } else { turn.water.words().to_owned() }) " " strong { (clock.time(turn.at)) } ", " (metres(turn.height))
            }
            ". " span.soft { "Above " (station.datum.name) ", without weather; not for navigation." } " " (more)
        }
    }
}

/// The address that asks what the tide does in the next day for a boat at anchor.
pub(crate) fn stay(site: &Site, vessel: &Vessel) -> String {
    let home = links::room(&vessel.slug, Room::Tides);
    let place = ask::base_of(&vessel.boat);
    let station = place.and_then(|place| tide::nearest(place).first().map(|(station, _)| *station));
    let Some(station) = station.or_else(|| tide::stations().first()) else { return home };
    let now = Timestamp::from_millisecond(site.now.milliseconds()).unwrap_or(Timestamp::UNIX_EPOCH);
    let then = now.saturating_add(jiff::SignedDuration::from_hours(24)).unwrap_or(now);
    let until = Clock::of(station, &site.zone).nearest(then).strftime("%Y-%m-%dT%H:%M").to_string();
    links::query(links::TIDES, &[("boat", &vessel.slug), ("until", &until)])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn boat(at: &str) -> boat::model::Boat {
        let text = format!(
            "becket = 1\n[boat]\nname = \"Sora\"\nmodel = \"9 m sloop\"\nhull = \"monohull\"\nrig = \"sloop\"\nlength = \"9 m\"\n\
             beam = \"3 m\"\ndraught = \"1.5 m\"\nberths = 4\n{at}"
        );
        boat::compile("sora.toml", &text).boat.expect("it compiles")
    }

    /// The line of 11 July 2026 at a base of one boat.
    fn line(at: &str) -> String {
        let now = records::Moment::from_milliseconds(1_783_778_400_000);
        let site = Site { now, ..Site::new("Base", false) };
        today(&site, [&boat(at)].into_iter()).into_string()
    }

    #[test]
    fn the_day_s_tide_is_told_where_the_station_is_near_and_not_where_it_is_far() {
        let near = line("latitude = \"48.55°\"\nlongitude = \"-123.05°\"\n");
        assert!(
            near.contains("Tide at Friday Harbor, 1.5 nautical miles away")
                && near.contains("not for navigation"),
            "{near}"
        );
        // By the clocks there the day is 11 July 2026, with its four turns.
        let from = "2026-07-11T07:00:00Z".parse().expect("a moment");
        let until = "2026-07-12T07:00:00Z".parse().expect("a moment");
        let station = tide::station("Friday Harbor").expect("it is compiled in");
        let turns = tide::extremes(station, Period::new(from, until).expect("a day"));
        assert!(turns.len() >= 3);
        let clock = Clock::of(station, &jiff::tz::TimeZone::UTC);
        for turn in &turns {
            assert!(near.contains(&format!("<strong>{}</strong>", clock.time(turn.at))), "{near}");
        }
        let far = line("latitude = \"43.9°\"\nlongitude = \"-69.6°\"\n");
        assert!(far.contains("too far to tell it for the base") && !far.contains("<strong>"), "{far}");
        assert_eq!(line(""), "", "of a base whose place nobody says there is nothing to tell");
    }
}
