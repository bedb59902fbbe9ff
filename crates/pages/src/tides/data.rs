//! The tide for programs.

use almanac::sun::Daylight;
use almanac::tide::{self, Level};
use jiff::Timestamp;
use quantity::Length;
use serde_json::{Value, json};

use super::ask::TidesAsk;
use super::{NOT_FOR_NAVIGATION, days, far, shoal};

/// What is known of the tide that was asked for; nothing if the question was not understood.
pub fn tides_data(ask: &TidesAsk) -> Option<Value> {
    let period = ask.period.filter(|_| ask.is_sound())?;
    let station = ask.station;
    let turn = |turn: &tide::Extreme| {
        json!({
            "at": turn.at.to_string(),
            "clock": shown(ask, turn.at),
            "water": if turn.water == tide::Water::High { "high" } else { "low" },
            "height_m": centimetres(turn.height),
        })
    };
    let all_days: Vec<Value> = ask
        .all_days()
        .map(|day| {
            let turns = ask.day(day).map_or_else(Vec::new, |period| tide::extremes(station, period));
            let sun = days::sun(ask, day);
            json!({
                "day": day.to_string(),
                "turns": turns.iter().map(turn).collect::<Vec<_>>(),
                "sun": light(ask, sun.day),
                "civil_twilight": light(ask, sun.civil),
            })
        })
        .collect();
    let windows = ask.shoal.map(|shoal| {
        let found = tide::windows(station, period, Level::AtLeast(shoal.level()));
        json!({
            "charted_m": shoal.charted.as_metres(),
            "draught_m": shoal.draught.as_metres(),
            "clearance_m": shoal.clearance.as_metres(),
            "needed_m": centimetres(shoal.level()),
            "windows": found.iter().map(|window| json!({
                "from": window.from.to_string(),
                "from_clock": shown(ask, window.from),
                "until": window.until.to_string(),
                "until_clock": shown(ask, window.until),
                "began_before": window.began_before,
                "goes_on": window.goes_on,
            })).collect::<Vec<_>>(),
        })
    });
    let stay = ask.stay().map(|stay| {
        let (rise, fall) = shoal::still(ask, stay);
        json!({ "from": stay.from().to_string(), "until": stay.until().to_string(), "rise_m": rise.as_metres(), "fall_m": fall.as_metres() })
    });
    Some(json!({
        "station": {
            "name": station.name,
            "id": station.id,
            "place": station.place.to_string(),
            "datum": station.datum.name,
            "mean_m": station.datum.mean.as_metres(),
            "lowest_m": station.datum.lowest.map(Length::as_metres),
            "highest_m": station.datum.highest.map(Length::as_metres),
            "source": station.source,
            "away_nmi": ask.away().map(|away| (away.as_nautical_miles() * 10.0).round() / 10.0),
        },
        "zone": ask.clock.name,
        "too_far": far(ask),
        "at": {
            "moment": ask.at.to_string(),
            "clock": shown(ask, ask.at),
            "height_m": centimetres(tide::height(station, ask.at)),
            "rise_an_hour_m": centimetres(tide::rise_an_hour(station, ask.at)),
        },
        "days": all_days,
        "water_enough": windows,
        "stay": stay,
        "give_or_take_m": tide::GIVE_OR_TAKE.as_metres(),
        "cautions": [NOT_FOR_NAVIGATION, tide::CAUTION],
    }))
}

/// What the station's clocks show, to the minute.
fn shown(ask: &TidesAsk, at: Timestamp) -> String {
    ask.clock.nearest(at).strftime("%Y-%m-%dT%H:%M%:z").to_string()
}

fn centimetres(length: Length) -> f64 {
    // Adding nothing turns minus nothing into nothing.
    length.as_centimetres().round() / 100.0 + 0.0
}

fn light(ask: &TidesAsk, light: Daylight) -> Value {
    let at = |moment: Option<Timestamp>| moment.map(|at| shown(ask, at));
    json!({
        "rise": at(light.rise()),
        "set": at(light.set()),
        "always": matches!(light, Daylight::AlwaysUp),
        "never": matches!(light, Daylight::NeverUp),
    })
}
