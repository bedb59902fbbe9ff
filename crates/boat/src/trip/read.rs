//! From text to a trip plan.

use quantity::{Current, Dimension as D, Length, Ratio, Temperature, Time};

use super::keys::{DAY, PLAN, READING};
use super::{
    Clock, CompiledTrip, Day, Dock, EngineRun, Habits, Leg, Level, Saving, Sight, Sighting, Trip, Weather,
};
use crate::diagnostic::{Diagnostic, Severity};
use crate::document::{self, Node, Table, Value};
use crate::model::Activity;
use crate::names::Symbols;
use crate::read::{Fields, Reader};
use crate::source::{Source, SourceId, Sources, Span};

/// The edition of the trip plan that this program reads.
pub(super) const EDITION: i64 = 1;

/// A longer plan is a slip of the pen.
const MOST_DAYS: usize = 60;

/// Reads a trip plan: `name` is how people know the text.
///
/// ```
/// let text = "trip = 1\n[plan]\ncrew = 4\nstarts = 2027-07-10\n[[days]]\nnight = \"anchored\"\n[[days]]\n";
/// let read = boat::trip::compile("plan.toml", text);
/// assert_eq!(read.trip.unwrap().days.len(), 2);
/// ```
pub fn compile(name: &str, text: &str) -> CompiledTrip {
    let mut sources = Sources::default();
    sources.add(Source::new(name, text));
    let mut diagnostics = Vec::new();
    let file = document::parse(text, SourceId::BOAT, &mut diagnostics);
    let symbols = Symbols::default();
    let mut reader =
        Reader { sources: &sources, symbols: &symbols, diagnostics, words: Vec::new(), from: None };
    let trip = trip(&mut reader, &file);
    let mut diagnostics = reader.diagnostics;
    diagnostics.sort_by_key(|diagnostic| diagnostic.primary.span.start);
    diagnostics.dedup();
    let errors = diagnostics.iter().any(|diagnostic| diagnostic.severity == Severity::Error);
    CompiledTrip { trip: trip.filter(|_| !errors), diagnostics, sources }
}

fn trip<'a>(reader: &mut Reader<'a>, file: &'a Table) -> Option<Trip> {
    edition(reader, file);
    for entry in file
        .entries
        .iter()
        .filter(|entry| !["trip", "plan", "days", "readings"].contains(&entry.key.as_str()))
    {
        reader.report(
            Diagnostic::error(
                "unknown-section",
                entry.key_span,
                format!("A trip plan has no \"{}\".", entry.key),
            )
            .expected("[plan], [[days]] and [[readings]]")
            .mend("Mend the name, or remove it."),
        );
    }
    let Some(Node { value: Value::Table(plan), span }) = file.get("plan") else {
        reader.report(
            Diagnostic::error(
                "missing-section",
                Span::new(SourceId::BOAT, 0, 0),
                "The trip plan has no [plan].",
            )
            .expected("[plan] with crew and starts")
            .mend("Add [plan] with the number of people and the first day below it."),
        );
        return None;
    };
    let span = file.entry("plan").map_or(*span, |entry| entry.key_span);
    let fields = reader.fields(plan, PLAN, span, "the plan", false);
    let days = days(reader, file, span);
    let readings = tables(reader, file, "readings")
        .into_iter()
        .filter_map(|(table, span)| sighting(reader, table, span))
        .collect();
    Some(Trip {
        boat: reader.text(fields, "boat"),
        crew: reader.integer(fields, "crew").unwrap_or(1),
        starts: reader.date(fields, "starts").unwrap_or_else(|| "2000-01-01".into()),
        from: clock(reader, fields, "from").unwrap_or(Clock::at(16, 0)),
        until: clock(reader, fields, "until").unwrap_or(Clock::at(9, 0)),
        ends: reader.date(fields, "ends"),
        quiet_from: clock(reader, fields, "quiet_from").unwrap_or(Clock::at(21, 0)),
        quiet_until: clock(reader, fields, "quiet_until").unwrap_or(Clock::at(8, 0)),
        weather: weather(reader, fields, USUAL),
        habits: Habits {
            water_each: reader.quantity(fields, "water_each", D::Volume),
            flushes_each: reader.number(fields, "flushes_each").unwrap_or(5.0),
            meals: reader.number(fields, "meals").unwrap_or(2.0),
        },
        utc_offset: signed(reader, fields, "utc_offset", D::Time),
        latitude: signed(reader, fields, "latitude", D::Angle),
        longitude: signed(reader, fields, "longitude", D::Angle),
        levels: levels(reader, fields),
        off_at_night: savings(reader, fields, "off_at_night"),
        off: savings(reader, fields, "off"),
        days,
        readings,
        span,
    })
}

/// Weather for a plan that says nothing of it: a temperate summer (common practice).
const USUAL: Weather =
    Weather { low: Temperature::celsius(15.0), high: Temperature::celsius(24.0), cloud: Ratio::plain(0.5) };

fn edition(reader: &mut Reader<'_>, file: &Table) {
    if !matches!(file.get("trip"), Some(Node { value: Value::Integer(EDITION), .. })) {
        let span = file.get("trip").map_or(Span::new(SourceId::BOAT, 0, 0), |node| node.span);
        reader.report(
            Diagnostic::error(
                "edition",
                span,
                "The text does not say that it is a trip plan of this edition.",
            )
            .expected(format!("trip = {EDITION}"))
            .mend(format!("Write `trip = {EDITION}` as the first line.")),
        );
    }
}

/// The tables of `[[name]]`.
fn tables<'a>(reader: &mut Reader<'a>, file: &'a Table, name: &str) -> Vec<(&'a Table, Span)> {
    let Some(entry) = file.entry(name) else { return Vec::new() };
    let wrong = |reader: &mut Reader<'a>, span| {
        reader.report(
            Diagnostic::error("wrong-kind", span, format!("`{name}` is a list of tables."))
                .expected(format!("a heading [[{name}]] for each"))
                .mend(format!("Write [[{name}]] with two brackets on each side.")),
        );
    };
    let Value::List(list) = &entry.node.value else {
        wrong(reader, entry.key_span);
        return Vec::new();
    };
    let mut found = Vec::new();
    for node in list {
        match &node.value {
            Value::Table(table) => found.push((table, node.span)),
            _ => wrong(reader, node.span),
        }
    }
    found
}

fn days<'a>(reader: &mut Reader<'a>, file: &'a Table, plan: Span) -> Vec<Day> {
    let tables = tables(reader, file, "days");
    if tables.is_empty() && file.get("days").is_none() {
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
    tables.into_iter().take(MOST_DAYS).map(|(table, span)| day(reader, table, span)).collect()
}

fn day<'a>(reader: &mut Reader<'a>, table: &'a Table, span: Span) -> Day {
    let fields = reader.fields(table, DAY, span, "the day", false);
    let night = match reader.choice(fields, "night") {
        Some(1) => Activity::Moored,
        Some(2) => Activity::Alongside,
        _ => Activity::Anchored,
    };
    let own = ["low", "high", "cloud"].iter().any(|key| fields.get(key).is_some());
    let weather = weather(reader, fields, USUAL);
    Day {
        legs: legs(reader, fields),
        engine: runs(reader, fields),
        night,
        dock: dock(reader, fields),
        chain: reader.quantity::<Length>(fields, "chain", D::Length),
        weather: own.then_some(weather),
        span,
    }
}

fn legs<'a>(reader: &mut Reader<'a>, fields: Fields<'a>) -> Vec<Leg> {
    let rows = reader.rows(fields, "legs", "the leg");
    let mut legs: Vec<Leg> = Vec::new();
    for row in rows {
        let motor = reader.choice(row, "by") == Some(1);
        let (Some(from), Some(lasts)) = (clock(reader, row, "from"), lasting(reader, row)) else { continue };
        let rpm = reader.quantity(row, "rpm", D::RotationalSpeed);
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

fn runs<'a>(reader: &mut Reader<'a>, fields: Fields<'a>) -> Vec<EngineRun> {
    let rows = reader.rows(fields, "engine", "the engine run");
    rows.into_iter()
        .filter_map(|row| {
            let (from, lasts) = (clock(reader, row, "from")?, lasting(reader, row)?);
            Some(EngineRun { from, lasts, rpm: reader.quantity(row, "rpm", D::RotationalSpeed) })
        })
        .collect()
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
            .mend(
                "Write how long it lasts on this day; a passage over night goes on in the next day's legs.",
            ),
    );
    None
}

fn dock<'a>(reader: &mut Reader<'a>, fields: Fields<'a>) -> Dock {
    let (mut pedestal, mut no_pedestal) = (None, false);
    if let Some(node) = fields.get("pedestal") {
        match &node.value {
            Value::Text(text) if text.trim() == "none" => no_pedestal = true,
            _ => {
                let found = reader.quantity_node(node, "pedestal", Some(D::Current), false);
                pedestal = found
                    .and_then(|found| Current::try_from(found).ok())
                    .filter(|amps| *amps > Current::ZERO);
                if found.is_some() && pedestal.is_none() {
                    reader.report(
                        Diagnostic::error(
                            "out-of-range",
                            node.span,
                            "A pedestal of no current gives nothing.",
                        )
                        .expected("a current such as \"30 A\", or \"none\"")
                        .mend("Write \"none\" if there is no shore power."),
                    );
                }
            }
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

fn weather<'a>(reader: &mut Reader<'a>, fields: Fields<'a>, usual: Weather) -> Weather {
    let low = reader.quantity(fields, "low", D::Temperature).unwrap_or(usual.low);
    let high = reader.quantity(fields, "high", D::Temperature).unwrap_or(usual.high);
    let cloud: Ratio = reader.quantity(fields, "cloud", D::Ratio).unwrap_or(usual.cloud);
    if low > high {
        reader.report(
            Diagnostic::error(
                "out-of-range",
                fields.span,
                format!("The low of {low} is above the high of {high}."),
            )
            .expected("`low` not above `high`")
            .mend("Change them over, or write both."),
        );
    }
    if cloud > Ratio::plain(1.0) {
        reader.report(
            Diagnostic::error("out-of-range", fields.span, "`cloud` is more than all of the sky.")
                .expected("a part from 0 % to 100 %")
                .mend("Write a part of the sky, such as \"40 %\"."),
        );
    }
    Weather { low, high, cloud }
}

fn levels<'a>(reader: &mut Reader<'a>, fields: Fields<'a>) -> Vec<Level> {
    let rows = reader.rows(fields, "levels", "the level");
    rows.into_iter()
        .filter_map(|row| {
            let store = reader.text(row, "store")?;
            let level = part(reader, row, "level")?;
            Some(Level { store, level, span: row.span })
        })
        .collect()
}

fn part<'a>(reader: &mut Reader<'a>, row: Fields<'a>, key: &str) -> Option<Ratio> {
    let level: Ratio = reader.quantity(row, key, D::Ratio)?;
    if level <= Ratio::plain(1.0) {
        return Some(level);
    }
    let span = row.get(key).map_or(row.span, |node| node.span);
    reader.report(
        Diagnostic::error("out-of-range", span, format!("A level of {level} is more than full."))
            .expected("a part from 0 % to 100 %")
            .mend("Write how full it is, such as \"75 %\"."),
    );
    None
}

fn savings<'a>(reader: &mut Reader<'a>, fields: Fields<'a>, key: &str) -> Vec<Saving> {
    let list = reader.list(fields, key, crate::format::Kind::Texts);
    list.iter()
        .filter_map(|node| {
            let load = reader.text_node(node, key, crate::format::Kind::Texts)?;
            Some(Saving { load, span: node.span })
        })
        .collect()
}

fn sighting<'a>(reader: &mut Reader<'a>, table: &'a Table, span: Span) -> Option<Sighting> {
    let fields = reader.fields(table, READING, span, "the reading", false);
    let store = reader.text(fields, "store");
    let voltage = reader.quantity(fields, "voltage", D::Voltage).map(Sight::Voltage);
    let level =
        if fields.get("level").is_some() { part(reader, fields, "level").map(Sight::Level) } else { None };
    let engine = reader.quantity(fields, "engine", D::Time).map(Sight::EngineHours);
    let given: Vec<Sight> = [voltage, level, engine].into_iter().flatten().collect();
    let of_store = !matches!(given.first(), Some(Sight::EngineHours(_)));
    let [sight] = given[..] else {
        reader.report(
            Diagnostic::error(
                "reading",
                span,
                "A reading says one thing: a voltage, a level, or engine hours.",
            )
            .expected("exactly one of `voltage`, `level` and `engine`")
            .mend("Write one [[readings]] for each thing that was read."),
        );
        return None;
    };
    if of_store != store.is_some() {
        let what = if of_store {
            "The reading does not say of which store it is."
        } else {
            "Engine hours belong to no store."
        };
        reader.report(
            Diagnostic::error("reading", span, what)
                .expected("`store` with a voltage or a level, and no `store` with engine hours")
                .mend("Add or remove the line `store = ...`."),
        );
    }
    Some(Sighting {
        day: reader.integer(fields, "day")?,
        at: clock(reader, fields, "at")?,
        store,
        sight,
        span,
    })
}

/// A time of day.
fn clock<'a>(reader: &mut Reader<'a>, fields: Fields<'a>, key: &str) -> Option<Clock> {
    let node = fields.get(key)?;
    let text = match &node.value {
        Value::Date(text) => text.strip_suffix(":00").unwrap_or(text).to_owned(),
        _ => reader.text_node(node, key, crate::format::Kind::Clock)?,
    };
    let found = Clock::parse(&text);
    if found.is_none() {
        reader.report(
            Diagnostic::error("bad-clock", node.span, format!("\"{text}\" is not a time of day."))
                .expected(crate::format::Kind::Clock.expected())
                .mend("Write hours from 0 to 23, a colon and minutes, such as \"16:00\"."),
        );
    }
    found
}

fn signed<'a, T: TryFrom<quantity::Quantity>>(
    reader: &mut Reader<'a>,
    fields: Fields<'a>,
    key: &str,
    dimension: D,
) -> Option<T> {
    let node = fields.get(key)?;
    reader.quantity_node(node, key, Some(dimension), true).and_then(|found| T::try_from(found).ok())
}
