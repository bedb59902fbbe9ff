//! A trip plan printed as text; it reads back as the same plan.

use std::fmt::Write as _;

use super::read::EDITION;
use super::{Day, Saving, Sight, Trip, Weather};
use crate::model::Activity;

/// Prints a trip plan. Reading it gives the same plan.
pub fn write(trip: &Trip) -> String {
    let mut out = format!("trip = {EDITION}\n\n[plan]\n");
    if let Some(boat) = &trip.boat {
        line(&mut out, "boat", &quoted(boat));
    }
    line(&mut out, "crew", &trip.crew.to_string());
    line(&mut out, "starts", &trip.starts);
    line(&mut out, "from", &quoted(&trip.from));
    line(&mut out, "until", &quoted(&trip.until));
    if let Some(ends) = &trip.ends {
        line(&mut out, "ends", ends);
    }
    line(&mut out, "quiet_from", &quoted(&trip.quiet_from));
    line(&mut out, "quiet_until", &quoted(&trip.quiet_until));
    weather(&mut out, &trip.weather);
    maybe(&mut out, "water_each", trip.habits.water_each.as_ref());
    line(&mut out, "flushes_each", &number(trip.habits.flushes_each));
    line(&mut out, "meals", &number(trip.habits.meals));
    maybe(&mut out, "utc_offset", trip.utc_offset.as_ref());
    maybe(&mut out, "latitude", trip.latitude.as_ref());
    maybe(&mut out, "longitude", trip.longitude.as_ref());
    let levels: Vec<String> = trip
        .levels
        .iter()
        .map(|level| format!("{{ store = {}, level = {} }}", quoted(&level.store), quoted(&level.level)))
        .collect();
    list(&mut out, "levels", &levels);
    savings(&mut out, "off_at_night", &trip.off_at_night);
    savings(&mut out, "off", &trip.off);
    for day in &trip.days {
        out.push_str("\n[[days]]\n");
        day_keys(&mut out, day);
    }
    readings(&mut out, trip);
    out
}

fn day_keys(out: &mut String, day: &Day) {
    let rpm = |rpm: Option<quantity::RotationalSpeed>| {
        rpm.map(|rpm| format!(", rpm = {}", quoted(&rpm))).unwrap_or_default()
    };
    let legs: Vec<String> = day
        .legs
        .iter()
        .map(|leg| {
            let by = if leg.activity == Activity::Motoring { "motor" } else { "sail" };
            let (from, lasts) = (quoted(&leg.from), quoted(&leg.lasts));
            format!("{{ by = \"{by}\", from = {from}, for = {lasts}{} }}", rpm(leg.rpm))
        })
        .collect();
    list(out, "legs", &legs);
    let runs: Vec<String> = day
        .engine
        .iter()
        .map(|run| {
            format!("{{ from = {}, for = {}{} }}", quoted(&run.from), quoted(&run.lasts), rpm(run.rpm))
        })
        .collect();
    list(out, "engine", &runs);
    line(out, "night", &quoted(&day.night.word()));
    if day.dock.no_pedestal {
        line(out, "pedestal", "\"none\"");
    }
    maybe(out, "pedestal", day.dock.pedestal.as_ref());
    let dock = &day.dock;
    for (key, yes) in
        [("water", dock.water), ("pump_out", dock.pump_out), ("fuel", dock.fuel), ("gas", dock.gas)]
    {
        if yes {
            line(out, key, "true");
        }
    }
    maybe(out, "chain", day.chain.as_ref());
    if let Some(own) = &day.weather {
        weather(out, own);
    }
}

fn readings(out: &mut String, trip: &Trip) {
    for reading in &trip.readings {
        out.push_str("\n[[readings]]\n");
        line(out, "day", &reading.day.to_string());
        line(out, "at", &quoted(&reading.at));
        if let Some(store) = &reading.store {
            line(out, "store", &quoted(store));
        }
        match reading.sight {
            Sight::Voltage(voltage) => line(out, "voltage", &quoted(&voltage)),
            Sight::Level(level) => line(out, "level", &quoted(&level)),
            Sight::EngineHours(hours) => line(out, "engine", &quoted(&hours)),
        }
    }
}

fn weather(out: &mut String, weather: &Weather) {
    line(out, "low", &quoted(&weather.low));
    line(out, "high", &quoted(&weather.high));
    line(out, "cloud", &quoted(&weather.cloud));
}

fn savings(out: &mut String, key: &str, savings: &[Saving]) {
    let ids: Vec<String> = savings.iter().map(|saving| quoted(&saving.load)).collect();
    list(out, key, &ids);
}

fn list(out: &mut String, key: &str, parts: &[String]) {
    if !parts.is_empty() {
        line(out, key, &format!("[{}]", parts.join(", ")));
    }
}

fn maybe<T: ToString>(out: &mut String, key: &str, value: Option<&T>) {
    if let Some(value) = value {
        line(out, key, &quoted(value));
    }
}

fn line(out: &mut String, key: &str, value: &str) {
    // Writing to a String can't fail.
    let _ = writeln!(out, "{key} = {value}");
}

fn quoted<T: ToString + ?Sized>(value: &T) -> String {
    toml_edit::Value::from(value.to_string()).to_string()
}

fn number(number: f64) -> String {
    toml_edit::Value::from(number).to_string()
}
