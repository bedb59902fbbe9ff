//! What is read: bookings of boats, and remarks on what could not be read.

use jiff::Timestamp;

/// A stay of a party on a boat, as a calendar or a table tells it. Nothing in it has been guessed from prose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Booking {
    /// The calendar's own name of the event (UID), or a table's reference; empty if a table gives none.
    pub uid: String,
    /// Which version of the event (SEQUENCE); 0 from a table.
    pub sequence: u32,
    /// Of a repeating event: when this one was to start by the rule, which tells it from the others of the same UID.
    pub occurrence: Option<Timestamp>,
    /// Texts that may name the boat: SUMMARY, LOCATION and CATEGORIES of an event, the boat's column of a table.
    pub boat_words: Vec<String>,
    /// The party, so far as it is told by number. A calendar does not tell it.
    pub party: Party,
    /// The heading of the event (SUMMARY); empty from a table.
    pub words: String,
    /// The note (DESCRIPTION of an event, the note's column of a table).
    pub note: String,
    /// The table's reference; empty from a calendar.
    pub reference: String,
    /// The start.
    pub start: Timestamp,
    /// The end, not itself in the stay. Of an all-day stay: the midnight after its last day, in the base's zone.
    pub end: Timestamp,
    /// Whether it was given in days without times.
    pub all_day: bool,
    /// Whether it was called off.
    pub cancelled: bool,
    /// The line of the text that it begins on, from 1.
    pub source_line: usize,
}

/// How many are aboard, so far as told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Party {
    /// All heads, children among them.
    pub heads: Option<u32>,
    /// Adults.
    pub adults: Option<u32>,
    /// Children.
    pub children: Option<u32>,
}

/// How much a remark matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// Worth knowing; nothing is amiss.
    Note,
    /// Read, but somebody should look.
    Warning,
    /// Something was not read.
    Error,
}

/// What is wrong on a line, and how to mend it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remark {
    /// The line, from 1.
    pub line: usize,
    /// The column of a table (the n-th field), from 1, where it is about one field.
    pub column: Option<usize>,
    /// How much it matters.
    pub weight: Weight,
    /// What is wrong, as full sentences.
    pub wrong: String,
    /// How to mend it, as full sentences.
    pub mend: String,
}

impl Remark {
    pub(crate) fn new(
        weight: Weight,
        line: usize,
        wrong: impl Into<String>,
        mend: impl Into<String>,
    ) -> Self {
        Self { line, column: None, weight, wrong: wrong.into(), mend: mend.into() }
    }

    pub(crate) fn error(line: usize, wrong: impl Into<String>, mend: impl Into<String>) -> Self {
        Self::new(Weight::Error, line, wrong, mend)
    }

    pub(crate) fn warning(line: usize, wrong: impl Into<String>, mend: impl Into<String>) -> Self {
        Self::new(Weight::Warning, line, wrong, mend)
    }

    pub(crate) fn at(mut self, column: usize) -> Self {
        self.column = Some(column);
        self
    }
}

/// What a text held. Each event found is read, unread or superseded: `found` is at least `unread + superseded`.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Read {
    /// The bookings, by start, then by line.
    pub bookings: Vec<Booking>,
    /// The remarks, by line.
    pub remarks: Vec<Remark>,
    /// How many events (or rows of a table) the text holds.
    pub found: usize,
    /// How many of them could not be read; each has a remark of weight `Error`.
    pub unread: usize,
    /// How many of them are older versions of another event in the text.
    pub superseded: usize,
}

impl Read {
    pub(crate) fn in_order(mut self) -> Self {
        self.bookings.sort_by_key(|booking| (booking.start, booking.source_line));
        self.remarks.sort_by_key(|remark| (remark.line, remark.column));
        self
    }
}

/// The span of time for which repeating events are told. Events that do not repeat are always told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Window {
    /// From when.
    pub from: Timestamp,
    /// Until when, not itself in the window.
    pub until: Timestamp,
}

impl Window {
    /// Whether a stay touches the window. One without length counts where it starts.
    pub fn touches(&self, start: Timestamp, end: Timestamp) -> bool {
        start < self.until && (end > self.from || start >= self.from)
    }
}

/// In which order a table writes dates that are not ISO 8601.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DateOrder {
    /// 31/12/2026.
    DayMonthYear,
    /// 12/31/2026.
    MonthDayYear,
}

/// How to read a table where it does not tell by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Reading {
    /// The order of dates such as 03/04/2026; they are refused without it.
    pub date_order: Option<DateOrder>,
}
