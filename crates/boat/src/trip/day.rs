//! The days of a trip plan: legs, engine runs, the night, the dock, the weather.

use quantity::{Angle, Current, Dimension as D, Length, Ratio, RotationalSpeed, Temperature, Time};

use super::keys::DAY;
use super::read::{clock, tables};
use super::{Clock, Day, Dock, EngineRun, Leg, Weather};
use crate::diagnostic::Diagnostic;
use crate::document::{Node, Table, Value};
use crate::model::Activity;
use crate::read::{Fields, Reader};
use crate::source::Span;

/// A longer plan is a slip of the pen.
const MOST_DAYS: usize = 60;
/// More chain than a small boat carries.
const MOST_CHAIN: Length = Length::metres(500.0);
/// No marine diesel of a small boat turns faster (common practice).
const MOST_RPM: RotationalSpeed = RotationalSpeed::rpm(6000.0);
/// More than the largest pedestal of a yacht harbour gives (common practice).
const MOST_PEDESTAL: Current = Current::amps(400.0);
/// Colder and warmer than any day afloat.
const COLDEST: Temperature = Temperature::celsius(-40.0);
const WARMEST: Temperature = Temperature::celsius(60.0);
const DAY_MINUTES: f64 = 1440.0;

/// All days; what a day does not say of its weather is the plan's.
pub(super) fn days<'a>(reader: &mut Reader<'a>, file: &'a Table, plan: Span, usual: Weather) -> Vec<Day> {
    let tables = tables(reader, file, "days");
    let none = match file.get("days") {
        None => true,
        Some(node) => matches!(&node.value, Value::List(list) if list.is_empty()),
    };
    if none {
        reader.report(
            Diagnostic::error("missing-section", plan, "The plan has no days.")
                .expected("a heading [[days]] for each day, the day of hand-back included")
                .mend("Add [[days]] for each day."),
        );
    }
    if let Some((_, span)) = tables.get(MOST_DAYS) {
        reader.report(
            Diagnostic::error("out-of-range", *span, format!("The plan has more than {MOST_DAYS} days."))
                .expected(format!("at most {MOST_DAYS} days"))
                .mend("Plan one charter at a time."),
        );
    }
    tables.into_iter().take(MOST_DAYS).map(|(table, span)| day(reader, table, span, usual)).collect()
}

fn day<'a>(reader: &mut Reader<'a>, table: &'a Table, span: Span, usual: Weather) -> Day {
    let fields = reader.fields(table, DAY, span, "the day");
    let night = match reader.choice(fields, "night") {
        Some(1) => Activity::Moored,
        Some(2) => Activity::Alongside,
        _ => Activity::Anchored,
    };
    let own = ["low", "high", "cloud"].iter().any(|key| fields.get(key).is_some());
    let weather = own.then(|| weather(reader, fields, usual));
    let legs = legs(reader, fields);
    let engine = runs(reader, fields, &legs);
    Day {
        legs,
        engine,
        night,
        dock: dock(reader, fields),
        chain: within(
            reader,
            fields,
            "chain",
            D::Length,
            Length::metres(0.0),
            MOST_CHAIN,
            "a length up to 500 m",
        ),
        weather,
        span,
    }
}

fn legs<'a>(reader: &mut Reader<'a>, fields: Fields<'a>) -> Vec<Leg> {
    let rows = reader.rows(fields, "legs", "the leg");
    let mut legs: Vec<Leg> = Vec::new();
    for row in rows {
        let motor = reader.choice(row, "by") == Some(1);
        let rpm = rpm(reader, row);
        let (Some(from), lasts) = (clock(reader, row, "from"), lasting(reader, row)) else { continue };
        let Some(lasts) = lasts.filter(|lasts| ends_within_the_day(reader, row, from, *lasts)) else {
            continue;
        };
        let activity = if motor { Activity::Motoring } else { Activity::Sailing };
        if let Some(last) =
            legs.last().filter(|last| end_of(last.from, last.lasts) > f64::from(from.minutes()))
        {
            reader.report(
                Diagnostic::error(
                    "overlap",
                    row.span,
                    format!("This leg begins before the one from {} is over.", last.from),
                )
                .expected("legs in the order of the day, one after the other")
                .mend("Change `from` or `for` of one of them."),
            );
        }
        legs.push(Leg { activity, from, lasts, rpm });
    }
    legs
}

fn runs<'a>(reader: &mut Reader<'a>, fields: Fields<'a>, legs: &[Leg]) -> Vec<EngineRun> {
    let rows = reader.rows(fields, "engine", "the engine run");
    let mut runs: Vec<EngineRun> = Vec::new();
    for row in rows {
        let rpm = rpm(reader, row);
        let (Some(from), lasts) = (clock(reader, row, "from"), lasting(reader, row)) else { continue };
        let Some(lasts) = lasts.filter(|lasts| ends_within_the_day(reader, row, from, *lasts)) else {
            continue;
        };
        let both = |other: Clock, lasting: Time| {
            end_of(from, lasts) > f64::from(other.minutes())
                && end_of(other, lasting) > f64::from(from.minutes())
        };
        if let Some(leg) = legs.iter().find(|leg| both(leg.from, leg.lasts)) {
            reader.report(
                Diagnostic::error(
                    "overlap",
                    row.span,
                    format!(
                        "The engine runs for the batteries while the leg from {} is under way.",
                        leg.from
                    ),
                )
                .expected("runs while she lies still")
                .mend("Move the run, or write a leg by motor."),
            );
        }
        if let Some(other) = runs.iter().find(|run| both(run.from, run.lasts)) {
            reader.report(
                Diagnostic::error(
                    "overlap",
                    row.span,
                    format!("The engine runs already: there is a run from {}.", other.from),
                )
                .expected("runs that do not overlap")
                .mend("Make one run of the two, or move one."),
            );
        }
        runs.push(EngineRun { from, lasts, rpm });
    }
    runs
}

fn end_of(from: Clock, lasts: Time) -> f64 {
    f64::from(from.minutes()) + lasts.as_minutes()
}

/// How long something lasts: more than nothing, within one day.
fn lasting<'a>(reader: &mut Reader<'a>, row: Fields<'a>) -> Option<Time> {
    let lasts: Time = reader.quantity(row, "for", D::Time)?;
    if lasts > Time::ZERO && lasts <= Time::hours(24.0) {
        return Some(lasts);
    }
    let span = row.get("for").map_or(row.span, |node| node.span);
    reader.report(
        Diagnostic::error("out-of-range", span, format!("{lasts} is not a stretch of a day."))
            .expected("more than nothing, at most 24 h")
            .mend(OVER_NIGHT),
    );
    None
}

const OVER_NIGHT: &str =
    "Write how long it lasts on this day; a passage over night goes on in the next day's legs from 00:00.";

fn ends_within_the_day<'a>(reader: &mut Reader<'a>, row: Fields<'a>, from: Clock, lasts: Time) -> bool {
    if end_of(from, lasts) <= DAY_MINUTES {
        return true;
    }
    let span = row.get("for").map_or(row.span, |node| node.span);
    reader.report(
        Diagnostic::error("out-of-range", span, format!("{lasts} from {from} goes on past midnight."))
            .expected("an end at midnight or before")
            .mend(OVER_NIGHT),
    );
    false
}

fn rpm<'a>(reader: &mut Reader<'a>, row: Fields<'a>) -> Option<RotationalSpeed> {
    let least = RotationalSpeed::rpm(1.0);
    within(reader, row, "rpm", D::RotationalSpeed, least, MOST_RPM, "an engine's speed up to 6000 rpm")
}

/// A quantity between two bounds.
pub(super) fn within<'a, T: TryFrom<quantity::Quantity> + PartialOrd + Copy + std::fmt::Display>(
    reader: &mut Reader<'a>,
    fields: Fields<'a>,
    key: &str,
    dimension: D,
    least: T,
    most: T,
    expected: &str,
) -> Option<T> {
    let node = fields.get(key)?;
    let signed = matches!(dimension, D::Angle | D::Temperature) || key == "utc_offset";
    let found = T::try_from(reader.quantity_node(node, key, Some(dimension), signed)?).ok()?;
    if found >= least && found <= most {
        return Some(found);
    }
    reader.report(
        Diagnostic::error("out-of-range", node.span, format!("`{key}` can't be {found}."))
            .expected(expected)
            .mend(format!("Write {expected}.")),
    );
    None
}

/// A latitude or a longitude.
pub(super) fn angle<'a>(reader: &mut Reader<'a>, fields: Fields<'a>, key: &str, most: f64) -> Option<Angle> {
    let expected = format!("an angle from -{most}° to {most}°");
    within(reader, fields, key, D::Angle, Angle::degrees(-most), Angle::degrees(most), &expected)
}

fn dock<'a>(reader: &mut Reader<'a>, fields: Fields<'a>) -> Dock {
    let (mut pedestal, mut no_pedestal) = (None, false);
    match fields.get("pedestal") {
        Some(Node { value: Value::Text(text), .. }) if text.trim() == "none" => no_pedestal = true,
        _ => {
            let least = Current::amps(1.0);
            let expected = "a current such as \"30 A\", or \"none\"";
            pedestal = within(reader, fields, "pedestal", D::Current, least, MOST_PEDESTAL, expected);
        }
    }
    Dock {
        pedestal,
        no_pedestal,
        water: reader.bool(fields, "water"),
        pump_out: reader.bool(fields, "pump_out"),
        fuel: reader.bool(fields, "fuel"),
        gas: reader.bool(fields, "gas"),
    }
}

/// The weather; what is not said is as `usual`.
pub(super) fn weather<'a>(reader: &mut Reader<'a>, fields: Fields<'a>, usual: Weather) -> Weather {
    let air = "a temperature from -40 °C to 60 °C";
    let degrees =
        |reader: &mut Reader<'a>, key| within(reader, fields, key, D::Temperature, COLDEST, WARMEST, air);
    let low = degrees(reader, "low");
    let high = degrees(reader, "high");
    // A single bound beyond the usual other one moves that along.
    let (low, high) = match (low, high) {
        (Some(low), Some(high)) => (low, high),
        (Some(low), None) => (low, if low > usual.high { low } else { usual.high }),
        (None, Some(high)) => (if high < usual.low { high } else { usual.low }, high),
        (None, None) => (usual.low, usual.high),
    };
    if low > high {
        let span = fields.get("low").map_or(fields.span, |node| node.span);
        reader.report(
            Diagnostic::error("out-of-range", span, format!("The low of {low} is above the high of {high}."))
                .expected("`low` not above `high`")
                .mend("Change them over."),
        );
    }
    let all = Ratio::plain(1.0);
    let part = "a part of the sky from 0 % to 100 %";
    let cloud = within(reader, fields, "cloud", D::Ratio, Ratio::ZERO, all, part).unwrap_or(usual.cloud);
    Weather { low, high, cloud }
}
