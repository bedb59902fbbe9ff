//! Records of failures: a CSV file, line by line, each line that can't be read told with its place.

use boat::diagnostic::{Diagnostic, Severity, nearest};
use boat::model::FaultId;
use boat::source::{Source, SourceId, Sources, Span};

use serde_json::Value;
use trace::fleet::Seen;

use crate::fleet::Given;
use crate::load::Failure;
use crate::output::colour;
use crate::{layout, render};

/// The columns, by the names in the first line.
const COLUMNS: [&str; 4] = ["boat", "fault", "failures", "years"];

/// More charter years than any boat is in use; who writes more has written which year it was.
const MOST_YEARS: f64 = 100.0;

/// More failures of one fault than one line of a boat's records can mean.
const MOST_FAILURES: u32 = 10_000;

/// All lines of a file.
#[derive(Debug)]
pub(crate) struct Records {
    pub(crate) lines: Vec<Seen>,
    /// What can't be read, and what was left aside.
    pub(crate) told: Vec<Diagnostic>,
    pub(crate) sources: Sources,
}

impl Records {
    /// Reads a file. Lines that can't be read are told, and all others are taken.
    pub(crate) fn read(file: &str, boats: &[Given]) -> Result<Self, Failure> {
        let bytes = std::fs::read(file).map_err(|error| {
            Failure(format!(
                "{file} can't be read: {error}. Give a CSV file with the columns {}.",
                COLUMNS.join(", ")
            ))
        })?;
        let text = String::from_utf8(bytes).map_err(|error| {
            let at = error.utf8_error().valid_up_to() + 1;
            Failure(format!("{file} is not text in UTF-8: byte {at} can't be read. Save it as CSV in UTF-8."))
        })?;
        Self::of(file, &text, boats)
    }

    /// Reads a text that came from a file of this name.
    pub(crate) fn of(file: &str, text: &str, boats: &[Given]) -> Result<Self, Failure> {
        let mut sources = Sources::default();
        let source = sources.add(Source::new(file, text));
        let mut rows = rows(text, source);
        let named = if rows.is_empty() {
            let missing =
                Diagnostic::error("no-header", Span::new(source, 0, 0), "The file has no line at all.");
            Err(Box::new(missing.mend(format!("Write a first line \"{}\".", COLUMNS.join(",")))))
        } else {
            header(&rows.remove(0))
        };
        let header = named.map_err(|fault| {
            Failure::diagnosed(&[*fault], &sources, Some(&format!("{file} must be mended first.")))
        })?;
        let mut records = Self { lines: Vec::new(), told: Vec::new(), sources };
        for row in &rows {
            match line(row, &header, boats) {
                Ok(line) => records.lines.push(line),
                Err(told) => records.told.push(*told),
            }
        }
        Ok(records)
    }

    /// Whether a line could not be read.
    pub(crate) fn failed(&self) -> bool {
        self.told.iter().any(|told| told.severity == Severity::Error)
    }
}

/// One line's fields with where they stand.
struct Row {
    whole: Span,
    fields: Vec<(String, Span)>,
    /// A quotation mark that is not closed: the fields mean nothing.
    open: bool,
}

/// The lines that say something. Each is read on its own, so that a stray quotation mark spoils no other line.
fn rows(text: &str, source: SourceId) -> Vec<Row> {
    let mut separator = None;
    let mut at = 0;
    let mut rows = Vec::new();
    for whole in text.split_inclusive('\n') {
        let start = at;
        at += whole.len();
        let line = whole.trim_end_matches(['\n', '\r']);
        let begins = line.len() - line.trim_start_matches('\u{feff}').len();
        let (line, start) = (&line[begins..], start + begins);
        if line.trim().is_empty() || line.trim_start().starts_with('#') {
            continue;
        }
        // Spreadsheets of many countries part columns by semicolons.
        let by =
            *separator.get_or_insert(if line.contains(';') && !line.contains(',') { b';' } else { b',' });
        rows.push(row(line, start, by, source));
    }
    rows
}

fn row(line: &str, start: usize, by: u8, source: SourceId) -> Row {
    let whole = Span::new(source, start, start + line.len());
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(by)
        .from_reader(line.as_bytes());
    let mut record = csv::StringRecord::new();
    let read = reader.read_record(&mut record).unwrap_or(false);
    let plain = !line.contains('"');
    let mut at = start;
    let fields = record
        .iter()
        .map(|field| {
            let begins = at + field.len() - field.trim_start().len();
            at += field.len() + 1;
            let word = field.trim();
            (word.to_owned(), if plain { Span::new(source, begins, begins + word.len()) } else { whole })
        })
        .collect();
    Row { whole, fields, open: !read || line.matches('"').count() % 2 == 1 }
}

/// What the first line says.
struct Header {
    /// The place of each of [`COLUMNS`].
    places: [usize; COLUMNS.len()],
    /// How many fields a line has.
    fields: usize,
}

fn header(row: &Row) -> Result<Header, Box<Diagnostic>> {
    let mut places = [0; COLUMNS.len()];
    for (place, column) in places.iter_mut().zip(COLUMNS) {
        let found = row.fields.iter().position(|(name, _)| name.eq_ignore_ascii_case(column));
        *place = found.ok_or_else(|| {
            let names = row.fields.iter().map(|(name, _)| name.as_str());
            let told = Diagnostic::error(
                "no-column",
                row.whole,
                format!("The first line names no column \"{column}\"."),
            )
            .expected(COLUMNS.join(","));
            Box::new(match nearest(column, names) {
                Some(near) => told.mend(format!("Write \"{column}\" instead of \"{near}\".")),
                None => told.mend("Name the columns in the first line; further columns may follow."),
            })
        })?;
    }
    Ok(Header { places, fields: row.fields.len() })
}

fn line(row: &Row, header: &Header, boats: &[Given]) -> Result<Seen, Box<Diagnostic>> {
    let refused = |code, headline: &str, mend: &str| {
        Err(Box::new(Diagnostic::error(code, row.whole, headline).expected(COLUMNS.join(",")).mend(mend)))
    };
    if row.open {
        return refused(
            "open-quote",
            "A quotation mark is not closed on this line.",
            "Close it or take it out; each boat's fault stands on one line.",
        );
    }
    if row.fields.len() != header.fields {
        return refused(
            "other-length",
            &format!("The line has {} fields and the first line has {}.", row.fields.len(), header.fields),
            "Write a field for each column; no failures are written as 0, and half a year as 0.5 with a point.",
        );
    }
    let [boat, fault, failures, years] = header.places.map(|place| &row.fields[place]);
    let boat = the_boat(boat, boats)?;
    let fault = the_fault(fault, &boats[boat])?;
    let (failures, counted) = (count(failures)?, failures.1);
    let years = the_years(years)?;
    if failures > 0 && boats[boat].boat.faults[fault].per_year <= 0.0 {
        let headline = "The boat file says that this never comes, and here it was seen.";
        let told = Diagnostic::error("never", counted, headline);
        let mend = "Give the fault a per_year above 0 in the boat file, then read the records again.";
        return Err(Box::new(told.mend(mend)));
    }
    Ok(Seen { boat, fault, failures, years })
}

fn the_boat((name, span): &(String, Span), boats: &[Given]) -> Result<usize, Box<Diagnostic>> {
    if let Some(at) = boats.iter().position(|boat| boat.is_called(name)) {
        return Ok(at);
    }
    let names = || boats.iter().flat_map(|boat| [boat.boat.particulars.name.as_str(), boat.stem.as_str()]);
    let given: Vec<&str> = boats.iter().map(|boat| boat.boat.particulars.name.as_str()).collect();
    let near = nearest(name, names());
    if near.is_some() || name.is_empty() {
        let headline = format!("None of the boats given is called \"{name}\".");
        let told = Diagnostic::error("unknown-boat", *span, headline).expected(given.join(", ")).near(near);
        return Err(Box::new(
            told.mend("Write the boat's name, or the name of her file without its ending."),
        ));
    }
    let headline = format!("\"{name}\" is not among the boats given, so this line was left aside.");
    let told = Diagnostic::warning("other-boat", *span, headline).expected(given.join(", "));
    Err(Box::new(told.mend("Give her boat file as well, if her records are to count.")))
}

fn the_fault((id, span): &(String, Span), boat: &Given) -> Result<FaultId, Box<Diagnostic>> {
    let row = &boat.boat;
    row.fault(id).ok_or_else(|| {
        let name = &row.particulars.name;
        let near = nearest(id, row.faults.iter().map(|fault| fault.id.as_str()));
        let told =
            Diagnostic::error("unknown-fault", *span, format!("{name} has no fault \"{id}\".")).near(near);
        Box::new(told.mend(format!("Write the fault's id; `becket rates {}` lists them all.", boat.argument)))
    })
}

fn count((text, span): &(String, Span)) -> Result<u32, Box<Diagnostic>> {
    let refused = |headline: String| {
        let told =
            Diagnostic::error("not-a-count", *span, headline).expected("a whole number, such as 0 or 3");
        Box::new(told.mend("Write how often the fault was seen."))
    };
    match text.parse::<u32>() {
        Ok(count) if count <= MOST_FAILURES => Ok(count),
        Ok(count) => Err(refused(format!("{count} failures are more than a line can mean."))),
        Err(_) => Err(refused(format!("\"{text}\" is not how often something was seen."))),
    }
}

fn the_years((text, span): &(String, Span)) -> Result<f64, Box<Diagnostic>> {
    let refused = |headline: String, mend: &str| {
        let told =
            Diagnostic::error("not-years", *span, headline).expected("charter years, such as 3 or 2.5");
        Box::new(told.mend(mend))
    };
    match text.parse::<f64>() {
        Ok(years) if years > 0.0 && years <= MOST_YEARS => Ok(years),
        Ok(years) if years > MOST_YEARS && years.is_finite() => Err(refused(
            format!("{text} charter years are more than a boat is in use."),
            "Write for how many charter years it was watched, not which year it was.",
        )),
        Ok(_) => Err(refused(
            format!("In \"{text}\" charter years nothing can be seen."),
            "Write for how many charter years it was watched: more than 0.",
        )),
        Err(_) => Err(refused(
            format!("\"{text}\" is no number of charter years."),
            "Write a number with a point, such as 2.5, and no unit.",
        )),
    }
}

impl Records {
    /// What could not be read and what was left aside, for a terminal; nothing if all went in.
    pub(crate) fn text(&self) -> String {
        let mut out = String::new();
        for told in self.told.iter().filter(|told| told.severity == Severity::Error) {
            out.push_str(&render::terminal(told, &self.sources, colour()));
            out.push_str("\n\n");
        }
        let mut others: Vec<(&str, usize)> = Vec::new();
        for told in self.told.iter().filter(|told| told.severity != Severity::Error) {
            let name = self.sources.words(told.primary.span).trim_matches('"');
            match others.iter_mut().find(|(other, _)| *other == name) {
                Some((_, lines)) => *lines += 1,
                None => others.push((name, 1)),
            }
        }
        for (name, lines) in others {
            let lines = if lines == 1 { "1 line".to_owned() } else { format!("{lines} lines") };
            let words = format!("Left aside: {lines} of {name}, who is not among the boats given.");
            out.push_str(&layout::wrap(&words, ""));
        }
        if !out.is_empty() && !out.ends_with("\n\n") {
            out.push('\n');
        }
        out
    }

    /// The same for programs.
    pub(crate) fn json(&self) -> Vec<Value> {
        self.told.iter().map(|told| render::json(told, &self.sources)).collect()
    }
}
