//! Tables of charters (CSV): a heading row, then a charter a row.

use csv::{ReaderBuilder, StringRecord, Trim};
use jiff::{Timestamp, tz::TimeZone};

use crate::{
    booking::{Booking, Party, Read, Reading, Remark},
    line::shown,
    table_day::{Cell, NoTime, cell},
};

/// The columns a table may have, by their headings.
const COLUMNS: [&str; 9] =
    ["boat", "from", "until", "party", "adults", "children", "note", "reference", "cancelled"];

/// Reads a table with the headings boat, from, until (these have to be there), party, adults, children, note,
/// reference and cancelled (yes or no), in any order, parted by commas, semicolons or tabs. Times without an offset, and whole days, are in the
/// base's zone; the last day of whole days is in.
pub fn read_csv(text: &[u8], base_zone: &TimeZone) -> Read {
    read_csv_with(text, base_zone, Reading::default())
}

/// As [`read_csv`], told how to read what the table leaves open.
pub fn read_csv_with(text: &[u8], base_zone: &TimeZone, reading: Reading) -> Read {
    let mut read = Read::default();
    let decoded = String::from_utf8_lossy(text.strip_prefix(b"\xef\xbb\xbf").unwrap_or(text));
    if let Some(at) = text.utf8_chunks().next().filter(|chunk| !chunk.invalid().is_empty()) {
        read.remarks.push(Remark::warning(
            1 + at.valid().matches('\n').count(),
            "The table holds bytes that are not UTF-8, from this line on. They are shown as \u{fffd}.",
            "Save the table as UTF-8 and hand it in again.",
        ));
    }
    let mut table = ReaderBuilder::new()
        .delimiter(separator(&decoded))
        .flexible(true)
        .has_headers(false)
        .trim(Trim::All)
        .from_reader(decoded.as_bytes());
    let mut rows = table.records().filter_map(Result::ok);
    let Some(heading) = rows.next() else {
        read.remarks.push(Remark::error(
            1,
            "The table is empty.",
            "Give it a heading row and a charter a row.",
        ));
        return read;
    };
    let starts = Starts::of(&decoded);
    let line_of = |row: &StringRecord| starts.line(row.position().map_or(0, csv::Position::byte));
    let columns = columns(&heading, line_of(&heading), &mut read.remarks);
    let rows: Vec<StringRecord> = rows.filter(|row| row.iter().any(|field| !field.is_empty())).collect();
    let open_quote = decoded.matches('"').count() % 2 == 1;
    for (index, row) in rows.iter().enumerate() {
        read.found += 1;
        if open_quote && index + 1 == rows.len() {
            read.unread += 1;
            read.remarks.push(quote_left_open(line_of(row)));
            break;
        }
        let place = Place { columns: &columns, row, line: line_of(row), zone: base_zone, reading };
        match columns_missing(&columns).is_empty().then(|| place.booking()).transpose() {
            Ok(Some(booking)) => read.bookings.push(booking),
            Ok(None) => read.unread += 1,
            Err(remark) => {
                read.unread += 1;
                read.remarks.push(remark);
            }
        }
        if row.len() > heading.len() {
            read.remarks.push(
                Remark::warning(
                    line_of(row),
                    "The row has more fields than the heading; the last were left out.",
                    "Put a text with separators in it between double quotes.",
                )
                .at(heading.len() + 1),
            );
        }
    }
    read.in_order()
}

fn quote_left_open(line: usize) -> Remark {
    Remark::error(
        line,
        "A double quote is opened and not closed. Nothing from this row on was read.",
        "Close the quote; within a quoted text write a quote twice.",
    )
}

/// Where lines start, to number them from where a row starts.
struct Starts<'a>(&'a [u8], Vec<usize>);

impl<'a> Starts<'a> {
    fn of(text: &'a str) -> Self {
        let ends = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(at, _)| at);
        Self(text.as_bytes(), ends.collect())
    }

    /// The line of a row that starts at or behind the ends of lines at a place.
    fn line(&self, byte: u64) -> usize {
        let mut at = usize::try_from(byte).unwrap_or(usize::MAX).min(self.0.len());
        while matches!(self.0.get(at), Some(b'\r' | b'\n')) {
            at += 1;
        }
        self.1.partition_point(|end| *end < at) + 1
    }
}

/// The mark that most often parts the fields of the first line, outside quotes.
fn separator(text: &str) -> u8 {
    let first = text.trim_start().lines().next().unwrap_or("");
    let (mut quoted, mut counts) = (false, [(b',', 0), (b';', 0), (b'\t', 0)]);
    for byte in first.bytes() {
        quoted ^= byte == b'"';
        counts.iter_mut().filter(|(mark, _)| *mark == byte && !quoted).for_each(|(_, count)| *count += 1);
    }
    counts.into_iter().rev().max_by_key(|(_, count)| *count).map_or(b',', |(mark, _)| mark)
}

/// Where each of `COLUMNS` stands.
type Columns = [Option<usize>; COLUMNS.len()];

fn columns(heading: &StringRecord, line: usize, remarks: &mut Vec<Remark>) -> Columns {
    let mut columns = [None; COLUMNS.len()];
    for (at, name) in heading.iter().enumerate() {
        let Some(known) = COLUMNS.iter().position(|column| name.eq_ignore_ascii_case(column)) else {
            remarks.push(
                Remark::warning(
                    line,
                    format!("The column \"{}\" is not known. It was left out.", shown(name)),
                    format!("Known headings are {}.", COLUMNS.join(", ")),
                )
                .at(at + 1),
            );
            continue;
        };
        if columns[known].is_some() {
            remarks.push(
                Remark::warning(
                    line,
                    format!("The column \"{name}\" is there twice. The first was read."),
                    "Take one of them out.",
                )
                .at(at + 1),
            );
        }
        columns[known] = columns[known].or(Some(at));
    }
    for missing in columns_missing(&columns) {
        remarks.push(Remark::error(
            line,
            format!("The table has no column \"{missing}\". None of its rows was read."),
            "Name the columns in the first row: boat, from, until, and where there are: party, adults, children, note, \
             reference, cancelled.",
        ));
    }
    columns
}

fn columns_missing(columns: &Columns) -> Vec<&'static str> {
    COLUMNS[..3].iter().zip(columns).filter(|(_, at)| at.is_none()).map(|(name, _)| *name).collect()
}

/// A row with what is needed to read it.
struct Place<'a> {
    columns: &'a Columns,
    row: &'a StringRecord,
    line: usize,
    zone: &'a TimeZone,
    reading: Reading,
}

impl Place<'_> {
    fn column(&self, name: &str) -> Option<usize> {
        self.columns[COLUMNS.iter().position(|column| *column == name)?]
    }

    fn text(&self, name: &str) -> &str {
        self.column(name).and_then(|at| self.row.get(at)).unwrap_or("")
    }

    fn error(&self, name: &str, wrong: &str, mend: &str) -> Remark {
        let remark = Remark::error(self.line, format!("{wrong} The row was not read."), mend);
        match self.column(name) {
            Some(at) => remark.at(at + 1),
            None => remark,
        }
    }

    fn booking(&self) -> Result<Booking, Remark> {
        if self.text("boat").is_empty() {
            return Err(self.error("boat", "The row names no boat.", "Give the boat's name."));
        }
        let (from, until) = (self.cell("from")?, self.cell("until")?);
        let all_day = matches!(from, Cell::Day(_));
        if all_day != matches!(until, Cell::Day(_)) {
            return Err(self.error(
                "until",
                "One end of the stay is a day and the other a time.",
                "Give both as days, or both with times.",
            ));
        }
        let (start, end) = (self.moment("from", from, false)?, self.moment("until", until, true)?);
        if end <= start {
            return Err(self.error("until", "The stay does not end after it starts.", "Mend from or until."));
        }
        Ok(Booking {
            uid: self.text("reference").to_owned(),
            sequence: 0,
            occurrence: None,
            boat_words: vec![self.text("boat").to_owned()],
            party: self.party()?,
            words: String::new(),
            note: self.text("note").to_owned(),
            reference: self.text("reference").to_owned(),
            start,
            end,
            all_day,
            cancelled: self.cancelled()?,
            source_line: self.line,
        })
    }

    fn cell(&self, name: &str) -> Result<Cell, Remark> {
        let text = self.text(name);
        cell(text, self.reading.date_order).map_err(|why| match why {
            NoTime::Ambiguous => self.error(
                name,
                &format!("\"{}\" may be read as two different days.", shown(text)),
                "Write the year first, as 2026-04-03, or say in which order the table's dates are.",
            ),
            NoTime::Unknown => self.error(
                name,
                &format!("\"{}\" is not a day or a time that the calendar has.", shown(text)),
                "Write a day as 2026-04-03, a time as 2026-04-03 15:00.",
            ),
        })
    }

    fn moment(&self, name: &str, cell: Cell, last: bool) -> Result<Timestamp, Remark> {
        let moment = match cell {
            Cell::Day(day) => {
                let day = if last { day.tomorrow().ok() } else { Some(day) };
                day.and_then(|day| {
                    self.zone.to_timestamp(day.to_datetime(jiff::civil::Time::midnight())).ok()
                })
            }
            Cell::Local(local) => self.zone.to_timestamp(local).ok(),
            Cell::Moment(moment) => Some(moment),
        };
        moment.ok_or_else(|| {
            self.error(name, "The day is beyond the years that can be reckoned.", "Mend the year.")
        })
    }

    fn party(&self) -> Result<Party, Remark> {
        let party = Party {
            heads: self.count("party")?,
            adults: self.count("adults")?,
            children: self.count("children")?,
        };
        if let Party { heads: Some(heads), adults: Some(adults), children: Some(children) } = party
            && adults.checked_add(children) != Some(heads)
        {
            return Err(self.error(
                "party",
                &format!("A party of {heads} can't be {adults} adults and {children} children."),
                "Mend the counts, or leave the column party empty.",
            ));
        }
        Ok(party)
    }

    fn cancelled(&self) -> Result<bool, Remark> {
        match self.text("cancelled").to_ascii_lowercase().as_str() {
            "yes" => Ok(true),
            "" | "no" => Ok(false),
            other => {
                let wrong = format!("\"{}\" does not say whether the stay is called off.", shown(other));
                Err(self.error("cancelled", &wrong, "Write yes or no."))
            }
        }
    }

    fn count(&self, name: &str) -> Result<Option<u32>, Remark> {
        let text = self.text(name);
        if text.is_empty() {
            return Ok(None);
        }
        text.parse().ok().filter(|count| *count <= 1000).map(Some).ok_or_else(|| {
            self.error(
                name,
                &format!("\"{}\" is not a count of people.", shown(text)),
                "Give a number, such as 4.",
            )
        })
    }
}
