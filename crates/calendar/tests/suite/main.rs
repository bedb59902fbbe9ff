//! The tests, one module a subject.
#![allow(clippy::unwrap_used, reason = "a test may stop at what it did not expect")]

mod feed;
mod foreign;
mod matching;
mod never;
mod rfc;
mod table;
mod wrong;
mod zones;

use calendar::{Read, Window, read_icalendar};
use jiff::tz::TimeZone;

fn zone() -> TimeZone {
    TimeZone::get("America/New_York").unwrap()
}

fn window(from: &str, until: &str) -> Window {
    Window { from: from.parse().unwrap(), until: until.parse().unwrap() }
}

/// Reads a calendar in the base's zone, its repeats within the year 2026.
fn read(text: &str) -> Read {
    read_icalendar(text.as_bytes(), &zone(), window("2026-01-01T00:00:00Z", "2027-01-01T00:00:00Z"))
}

/// Lines of an event in a calendar.
fn calendar_of(events: &[&str]) -> String {
    let events: Vec<String> =
        events.iter().map(|lines| format!("BEGIN:VEVENT\n{lines}\nEND:VEVENT\n")).collect();
    format!("BEGIN:VCALENDAR\nVERSION:2.0\n{}END:VCALENDAR\n", events.concat())
}
