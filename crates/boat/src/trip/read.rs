//! From text to a trip plan.

use quantity::{Dimension as D, Ratio, Temperature, Time, Voltage, Volume};

use super::day::{angle, days, weather, within};
use super::keys::{PLAN, READING};
use super::{Clock, CompiledTrip, Habits, Level, Saving, Sight, Sighting, Trip, Weather};
use crate::diagnostic::{Diagnostic, Severity, nearest};
use crate::document::{self, Node, Table, Value};
use crate::names::Symbols;
use crate::read::{Fields, Reader};
use crate::source::{Source, SourceId, Sources, Span};

/// The edition of the trip plan that this program reads.
pub(super) const EDITION: i64 = 1;

/// The years for which the sun is reckoned.
const YEARS: std::ops::RangeInclusive<u32> = 1900..=2199;
/// More than a person uses on a day aboard.
const MOST_WATER: Volume = Volume::litres(500.0);

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

const SECTIONS: [&str; 4] = ["trip", "plan", "days", "readings"];

fn trip<'a>(reader: &mut Reader<'a>, file: &'a Table) -> Option<Trip> {
    if let Some(entry) = file.entry("becket") {
        reader.report(
            Diagnostic::error("edition", entry.key_span, "This is a boat file, not a trip plan.")
                .expected(format!("a text that begins with trip = {EDITION}"))
                .mend("Give the trip plan in this place."),
        );
        return None;
    }
    edition(reader, file);
    for entry in file.entries.iter().filter(|entry| !SECTIONS.contains(&entry.key.as_str())) {
        reader.report(
            Diagnostic::error(
                "unknown-section",
                entry.key_span,
                format!("A trip plan has no \"{}\".", entry.key),
            )
            .expected("[plan], [[days]] and [[readings]]")
            .near(nearest(&entry.key, SECTIONS))
            .mend("Mend the name, or remove it."),
        );
    }
    let Some(Node { value: Value::Table(plan), span }) = file.get("plan") else {
        let (code, span, headline) = match file.entry("plan") {
            Some(entry) => ("wrong-kind", entry.key_span, "`plan` is not a table of keys."),
            None => ("missing-section", Span::new(SourceId::BOAT, 0, 0), "The trip plan has no [plan]."),
        };
        reader.report(
            Diagnostic::error(code, span, headline)
                .expected("[plan] with crew and starts")
                .mend("Add [plan] with the number of people and the first day below it."),
        );
        return None;
    };
    let span = file.entry("plan").map_or(*span, |entry| entry.key_span);
    let fields = reader.fields(plan, PLAN, span, "the plan");
    let usual = weather(reader, fields, USUAL);
    let days = days(reader, file, span, usual);
    let readings = tables(reader, file, "readings")
        .into_iter()
        .filter_map(|(table, span)| sighting(reader, table, span))
        .collect();
    Some(Trip {
        boat: reader.text(fields, "boat"),
        crew: reader.integer(fields, "crew").unwrap_or(1),
        starts: date(reader, fields, "starts").unwrap_or_else(|| "2000-01-01".into()),
        from: clock(reader, fields, "from").unwrap_or(Clock::at(16, 0)),
        until: clock(reader, fields, "until").unwrap_or(Clock::at(9, 0)),
        ends: date(reader, fields, "ends"),
        quiet_from: clock(reader, fields, "quiet_from").unwrap_or(Clock::at(21, 0)),
        quiet_until: clock(reader, fields, "quiet_until").unwrap_or(Clock::at(8, 0)),
        weather: usual,
        habits: Habits {
            water_each: within(
                reader,
                fields,
                "water_each",
                D::Volume,
                Volume::ZERO,
                MOST_WATER,
                "a volume up to 500 L",
            ),
            flushes_each: reader.number(fields, "flushes_each").unwrap_or(5.0),
            meals: reader.number(fields, "meals").unwrap_or(2.0),
        },
        utc_offset: within(
            reader,
            fields,
            "utc_offset",
            D::Time,
            Time::hours(-14.0),
            Time::hours(14.0),
            "a time from -14 h to 14 h",
        ),
        latitude: angle(reader, fields, "latitude", 90.0),
        longitude: angle(reader, fields, "longitude", 180.0),
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
pub(super) fn tables<'a>(reader: &mut Reader<'a>, file: &'a Table, name: &str) -> Vec<(&'a Table, Span)> {
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

fn levels<'a>(reader: &mut Reader<'a>, fields: Fields<'a>) -> Vec<Level> {
    let rows = reader.rows(fields, "levels", "the level");
    let mut levels: Vec<Level> = Vec::new();
    for row in rows {
        let (Some(store), level) = (reader.text(row, "store"), part(reader, row, "level")) else { continue };
        if let Some(first) = levels.iter().find(|other| other.store == store) {
            let first = first.span;
            reader.report(
                Diagnostic::error("set-twice", row.span, format!("The level of \"{store}\" is said twice."))
                    .also(first, "said here first")
                    .expected("each store once")
                    .mend("Remove one of the two."),
            );
            continue;
        }
        levels.extend(level.map(|level| Level { store, level, span: row.span }));
    }
    levels
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
    let mut savings: Vec<Saving> = Vec::new();
    for node in list {
        let Some(load) = reader.text_node(node, key, crate::format::Kind::Texts) else { continue };
        if let Some(first) = savings.iter().find(|other| other.load == load) {
            let first = first.span;
            // It changes nothing, so the plan can be used.
            reader.report(
                Diagnostic::warning("set-twice", node.span, format!("\"{load}\" stands twice in `{key}`."))
                    .also(first, "named here first")
                    .expected("each load once")
                    .mend("Remove one of the two."),
            );
            continue;
        }
        savings.push(Saving { load, span: node.span });
    }
    savings
}

fn sighting<'a>(reader: &mut Reader<'a>, table: &'a Table, span: Span) -> Option<Sighting> {
    let fields = reader.fields(table, READING, span, "the reading");
    let store = reader.text(fields, "store");
    let volts = "a voltage up to 100 V";
    let most = Voltage::volts(100.0);
    let voltage =
        within(reader, fields, "voltage", D::Voltage, Voltage::ZERO, most, volts).map(Sight::Voltage);
    let level =
        if fields.get("level").is_some() { part(reader, fields, "level").map(Sight::Level) } else { None };
    let engine = reader.quantity(fields, "engine", D::Time).map(Sight::EngineHours);
    let written = ["voltage", "level", "engine"].iter().filter(|key| fields.get(key).is_some()).count();
    let given = [voltage, level, engine].into_iter().flatten().next();
    let of_store = !matches!(given, Some(Sight::EngineHours(_)));
    if written != 1 {
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
    }
    let sight = given?;
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
pub(super) fn clock<'a>(reader: &mut Reader<'a>, fields: Fields<'a>, key: &str) -> Option<Clock> {
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

/// A day of years for which the sun is known.
fn date<'a>(reader: &mut Reader<'a>, fields: Fields<'a>, key: &str) -> Option<String> {
    let text = reader.date(fields, key)?;
    if text.get(..4).and_then(|year| year.parse().ok()).is_some_and(|year| YEARS.contains(&year)) {
        return Some(text);
    }
    let span = fields.get(key).map_or(fields.span, |node| node.span);
    let expected = format!("a day of the years {} to {}", YEARS.start(), YEARS.end());
    reader.report(
        Diagnostic::error("out-of-range", span, format!("{text} is not a day for a trip."))
            .expected(&expected)
            .mend(format!("Write {expected}.")),
    );
    None
}
