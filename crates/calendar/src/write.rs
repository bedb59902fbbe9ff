//! A feed of turnarounds, as iCalendar (RFC 5545) and as CSV. It names boats and references, never people.

use jiff::{Timestamp, civil::Date};

use crate::line::{escape, fold};

/// When an entry is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Span {
    /// Whole days: the first and the last, both in.
    Days(Date, Date),
    /// From a moment to another, told in UTC.
    Times(Timestamp, Timestamp),
}

/// An entry of the feed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FeedEntry {
    /// The entry's own name, which stays for as long as the entry is the same: `turnaround-1042@juniper-ledge`.
    pub uid: String,
    /// Its version, which grows with each change.
    pub sequence: u32,
    /// The boat's name.
    pub boat: String,
    /// The charter's reference. No names of people belong here: the feed is open to whoever has its address.
    pub reference: String,
    /// What is done: "Turnaround", "Hand-over".
    pub doing: String,
    /// When.
    pub span: Span,
    /// Whether it was called off.
    pub cancelled: bool,
}

/// The feed as iCalendar: lines folded at 75 octets and ended by CRLF. `made` is when, `name` the feed's name.
pub fn write_icalendar(entries: &[FeedEntry], made: Timestamp, name: &str) -> String {
    let mut lines = vec![
        "BEGIN:VCALENDAR".to_owned(),
        "VERSION:2.0".to_owned(),
        "PRODID:-//Becket//Turnarounds//EN".to_owned(),
        "CALSCALE:GREGORIAN".to_owned(),
        "METHOD:PUBLISH".to_owned(),
        format!("NAME:{}", escape(name)),
        format!("X-WR-CALNAME:{}", escape(name)),
    ];
    for entry in entries {
        event(entry, made, &mut lines);
    }
    lines.push("END:VCALENDAR".to_owned());
    lines.iter().map(|line| fold(line)).collect()
}

fn event(entry: &FeedEntry, made: Timestamp, lines: &mut Vec<String>) {
    lines.push("BEGIN:VEVENT".to_owned());
    lines.push(format!("UID:{}", escape(&entry.uid)));
    lines.push(format!("DTSTAMP:{}", basic(made)));
    lines.push(format!("SEQUENCE:{}", entry.sequence));
    match entry.span {
        Span::Days(first, last) => {
            let after = last.max(first).tomorrow().unwrap_or(Date::MAX);
            lines.push(format!("DTSTART;VALUE=DATE:{}", first.strftime("%Y%m%d")));
            lines.push(format!("DTEND;VALUE=DATE:{}", after.strftime("%Y%m%d")));
        }
        Span::Times(start, end) => {
            lines.push(format!("DTSTART:{}", basic(start)));
            // The end has to be later than the start; an entry without length has none (section 3.8.2.2).
            if whole(end) > whole(start) {
                lines.push(format!("DTEND:{}", basic(end)));
            }
        }
    }
    lines.push(format!("SUMMARY:{}", escape(&heading(entry))));
    lines.push(format!("CATEGORIES:{}", escape(&entry.boat)));
    lines.push(format!("STATUS:{}", if entry.cancelled { "CANCELLED" } else { "CONFIRMED" }));
    lines.push("TRANSP:OPAQUE".to_owned());
    lines.push("END:VEVENT".to_owned());
}

fn heading(entry: &FeedEntry) -> String {
    let parts = [entry.boat.as_str(), &entry.doing, &entry.reference];
    parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" – ")
}

fn whole(moment: Timestamp) -> i64 {
    moment.as_second()
}

fn basic(moment: Timestamp) -> String {
    moment.strftime("%Y%m%dT%H%M%SZ").to_string()
}

/// The feed as a table: `boat,from,until,doing,reference,cancelled,uid,sequence`. Times are in UTC with a Z; the last
/// day of whole days is in. Text that a table program would take for a formula gets an apostrophe before it.
pub fn write_csv(entries: &[FeedEntry]) -> String {
    let mut table = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    let heading = ["boat", "from", "until", "doing", "reference", "cancelled", "uid", "sequence"];
    let mut written = table.write_record(heading);
    for entry in entries {
        let (from, until) = match entry.span {
            Span::Days(first, last) => (first.to_string(), last.max(first).to_string()),
            Span::Times(start, end) => (extended(start), extended(end)),
        };
        written = written.and_then(|()| {
            table.write_record([
                &harmless(&entry.boat),
                &from,
                &until,
                &harmless(&entry.doing),
                &harmless(&entry.reference),
                &(if entry.cancelled { "yes" } else { "no" }).to_owned(),
                &harmless(&entry.uid),
                &entry.sequence.to_string(),
            ])
        });
    }
    // Writing to memory does not fail.
    debug_assert!(written.is_ok());
    table.into_inner().map(|bytes| String::from_utf8_lossy(&bytes).into_owned()).unwrap_or_default()
}

fn extended(moment: Timestamp) -> String {
    moment.strftime("%Y-%m-%dT%H:%M:%SZ").to_string()
}

fn harmless(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r']) { format!("'{text}") } else { text.to_owned() }
}
