//! `tide`: high and low water at a station, the height at a moment, and when there is water enough.

use std::fmt::Write as _;

use clap::Args;
use jiff::civil::{Date, DateTime};
use jiff::tz::TimeZone;
use pages::{Shore, TidesAsk, tides_data};
use quantity::Length;
use serde_json::Value;

use crate::layout::{self, Side};
use crate::load::{self, Failure};
use crate::output::Printed;

#[derive(Args)]
pub(crate) struct TideArgs {
    /// A boat file or the name of a demo boat: her draught is taken, and the station nearest to her base.
    #[arg(required_unless_present_any = ["station", "near"])]
    boat: Option<String>,
    /// The station, by its name or number, such as "Boston".
    #[arg(long)]
    station: Option<String>,
    /// A position, such as "48.5 N 123 W": the nearest station is taken.
    #[arg(long)]
    near: Option<String>,
    /// The first day, such as 2027-07-10.
    #[arg(long, value_parser = super::plan::day)]
    day: Date,
    /// How many days, up to 31.
    #[arg(long, default_value_t = 1)]
    days: u32,
    /// The moment whose height is asked for, by the station's clocks, such as 2027-07-10T14:00; the day's beginning if absent.
    #[arg(long)]
    at: Option<DateTime>,
    /// Until when she stays from that moment on: what the tide still rises and falls.
    #[arg(long)]
    until: Option<DateTime>,
    /// The depth that the chart shows where she is to float, such as "1.5 m"; negative for what dries.
    #[arg(long, allow_hyphen_values = true, requires = "clearance")]
    depth: Option<Length>,
    /// Her draught; the boat file's if absent.
    #[arg(long)]
    draught: Option<Length>,
    /// Water to keep below the keel, for swell, weather and the doubt of the chart.
    #[arg(long)]
    clearance: Option<Length>,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

impl TideArgs {
    pub(crate) fn execute(&self) -> Result<Printed, Failure> {
        let boat = self.boat.as_deref().map(load::boat).transpose()?;
        // The moment is always said here, so that no clock is asked.
        let (now, zone) = (jiff::Timestamp::UNIX_EPOCH, TimeZone::UTC);
        let shore = Shore { boat: boat.as_ref(), base: None, now, zone };
        let ask = TidesAsk::read(&shore, &self.pairs());
        let Some(data) = tides_data(&ask) else { return Err(Failure(ask.flaws().unwrap_or_default())) };
        if self.json {
            return Ok(Printed::json(&data, false));
        }
        Ok(Printed::well(text(&data)))
    }

    fn pairs(&self) -> Vec<(String, String)> {
        let metres = |length: Length| format!("{} m", length.as_metres());
        let at = self.at.unwrap_or_else(|| self.day.to_datetime(jiff::civil::Time::midnight()));
        let all = [
            ("station", self.station.clone()),
            ("near", self.near.clone()),
            ("from", Some(self.day.to_string())),
            ("days", Some(self.days.to_string())),
            ("at", Some(at.to_string())),
            ("until", self.until.map(|until| until.to_string())),
            ("depth", self.depth.map(metres)),
            ("draught", self.draught.map(metres)),
            ("clearance", self.clearance.map(metres)),
        ];
        all.into_iter().filter_map(|(key, value)| value.map(|value| (key.to_owned(), value))).collect()
    }
}

/// The same as programs get, in words.
fn text(data: &Value) -> String {
    let station = &data["station"];
    let mut out = format!("Tide at {}", word(&station["name"]));
    if let Some(away) = station["away_nmi"].as_f64() {
        let _ = write!(out, ", {away:.0} nautical miles away");
    }
    out.push('\n');
    let sentences =
        |out: &mut String, all: &[String]| out.extend(all.iter().map(|line| layout::wrap(line, "")));
    let zone = data["zone"].as_str().map_or("UTC".to_owned(), |zone| format!("the clocks there ({zone})"));
    let basis = format!("Heights in metres above {}; times by {zone}.", word(&station["datum"]));
    sentences(&mut out, &[basis]);
    if let Some(far) = data["too_far"].as_str() {
        sentences(&mut out, &[far.to_owned()]);
    }
    let at = &data["at"];
    out.push('\n');
    let rise = at["rise_an_hour_m"].as_f64().unwrap_or_default();
    let goes = if rise < 0.0 { "falls" } else { "rises" };
    let now = format!(
        "{}: {} m, and {goes} by {:.2} m an hour.",
        clock(&at["clock"]),
        height(&at["height_m"]),
        rise.abs()
    );
    sentences(&mut out, &[now]);
    out.push_str(&days(data));
    out.push_str(&enough(&data["water_enough"]));
    let stay = &data["stay"];
    if stay.is_object() {
        let words = format!(
            "While she stays the tide will still rise by {} m and fall by {} m against the height at the beginning.",
            height(&stay["rise_m"]),
            height(&stay["fall_m"])
        );
        out.push('\n');
        sentences(&mut out, &[words]);
    }
    out.push('\n');
    let source = format!("Source: {}.", word(&station["source"]));
    let cautions: Vec<String> = list(&data["cautions"]).iter().map(word).chain([source]).collect();
    sentences(&mut out, &cautions);
    out
}

fn days(data: &Value) -> String {
    let mut rows = vec![["Day", "Time", "Water", "Height", "Sun"].map(str::to_owned)];
    for day in list(&data["days"]) {
        let sun = &day["sun"];
        let light = format!("{} to {}", time(&sun["rise"]), time(&sun["set"]));
        let (mut name, mut light) = (word(&day["day"]), light);
        for turn in list(&day["turns"]) {
            let metres = format!("{} m", height(&turn["height_m"]));
            rows.push([
                std::mem::take(&mut name),
                time(&turn["clock"]),
                word(&turn["water"]),
                metres,
                std::mem::take(&mut light),
            ]);
        }
        if !name.is_empty() {
            rows.push([name, "-".to_owned(), "does not turn".to_owned(), "-".to_owned(), light]);
        }
    }
    let sides = [Side::Left, Side::Right, Side::Left, Side::Right, Side::Left];
    format!("\n{}", layout::columns("", sides, &rows))
}

fn enough(data: &Value) -> String {
    if !data.is_object() {
        return String::new();
    }
    let mut out = format!("\nWater enough, that is {} m or more\n", height(&data["needed_m"]));
    let windows = list(&data["windows"]);
    if windows.is_empty() {
        out.push_str("  never in these days\n");
    }
    let row = |window: &Value| {
        let from = if window["began_before"] == true { "before " } else { "from " };
        let until = if window["goes_on"] == true { "after " } else { "until " };
        [
            format!("{from}{}", clock(&window["from_clock"])),
            format!("{until}{}", clock(&window["until_clock"])),
        ]
    };
    let rows: Vec<[String; 2]> = windows.iter().map(row).collect();
    out.push_str(&layout::columns("  ", [Side::Left, Side::Left], &rows));
    out
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

fn word(value: &Value) -> String {
    value.as_str().unwrap_or("-").to_owned()
}

/// The day and the time that a clock shows.
fn clock(value: &Value) -> String {
    value.as_str().and_then(|text| text.get(..16)).unwrap_or("-").replace('T', " ")
}

fn time(value: &Value) -> String {
    value.as_str().and_then(|text| text.get(11..16)).unwrap_or("-").to_owned()
}

fn height(value: &Value) -> String {
    value.as_f64().map_or_else(|| "-".to_owned(), |metres| format!("{metres:.2}"))
}
