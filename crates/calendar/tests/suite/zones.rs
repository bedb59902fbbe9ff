//! Local times around changes of the clocks, by the calendar's own zones and by named ones.

use std::fmt::Write as _;

use jiff::{ToSpan, civil::datetime, tz::TimeZone};

use crate::{calendar_of, read};

/// Zones as timezones-ical-library (npm) defines them, under names of their own.
const OWN: &str = include_str!("../../../../reference/calendar/files/zones.ics");

/// The zones, and an event for each half hour of a week around a time.
fn events_around(zone: &str, from: jiff::civil::DateTime) -> (String, Vec<jiff::civil::DateTime>) {
    let locals: Vec<_> = from.series(30.minutes()).take(48 * 7).collect();
    let mut events = String::new();
    for (index, local) in locals.iter().enumerate() {
        let start = local.strftime("%Y%m%dT%H%M%S");
        write!(
            events,
            "BEGIN:VEVENT\r\nUID:{index}\r\nDTSTART;TZID={zone}:{start}\r\nDURATION:PT1M\r\nEND:VEVENT\r\n"
        )
        .unwrap();
    }
    (format!("BEGIN:VCALENDAR\r\n{OWN}{events}END:VCALENDAR\r\n"), locals)
}

#[test]
fn own_zones_are_as_the_named_ones_when_clocks_are_set() {
    let changes = [
        ("Harbour East", "America/New_York", datetime(2026, 3, 5, 0, 0, 0, 0)),
        ("Harbour East", "America/New_York", datetime(2026, 10, 29, 0, 0, 0, 0)),
        ("Harbour East", "America/New_York", datetime(2027, 3, 11, 0, 0, 0, 0)),
        ("Harbour Far", "Europe/Paris", datetime(2026, 3, 26, 0, 0, 0, 0)),
        ("Harbour Far", "Europe/Paris", datetime(2026, 10, 22, 0, 0, 0, 0)),
    ];
    for (own, named, from) in changes {
        let zone = TimeZone::get(named).unwrap();
        let (text, locals) = events_around(own, from);
        let read = read(&text);
        assert_eq!(read.bookings.len(), locals.len(), "{:?}", read.remarks.first());
        for booking in &read.bookings {
            let local = locals[booking.uid.parse::<usize>().unwrap()];
            // The default of jiff is what RFC 5545, section 3.3.5, asks for.
            assert_eq!(booking.start, zone.to_timestamp(local).unwrap(), "{own} {local}");
        }
    }
}

#[test]
fn an_hour_that_comes_twice_and_one_that_never_comes() {
    // RFC 5545, section 3.3.5, prints both: 1:30 on 4 November 2007 is the first of the two (daylight saving time),
    // 2:30 on 11 March 2007 is 3:30, in America/New_York.
    let event = |uid: &str, at: &str| format!("UID:{uid}\nDTSTART;TZID=America/New_York:{at}\nDURATION:PT1M");
    let read = read(&calendar_of(&[&event("a", "20070311T023000"), &event("b", "20071104T013000")]));
    let starts: Vec<String> = read.bookings.iter().map(|booking| booking.start.to_string()).collect();
    assert_eq!(starts, ["2007-03-11T07:30:00Z", "2007-11-04T05:30:00Z"]);
}

#[test]
fn a_series_ends_at_the_same_hour_by_the_wall() {
    let event = "UID:a\nDTSTART;TZID=America/New_York:20260228T150000\nDTEND;TZID=America/New_York:20260301T100000\n\
                 RRULE:FREQ=WEEKLY;COUNT=2\nEXDATE;VALUE=DATE:20260228";
    let read = read(&calendar_of(&[event]));
    assert_eq!(read.bookings.len(), 1, "{:?}", read.bookings);
    // Clocks were set forward in the night: 18 hours pass.
    assert_eq!(read.bookings[0].start.to_string(), "2026-03-07T20:00:00Z");
    assert_eq!(read.bookings[0].end.to_string(), "2026-03-08T14:00:00Z");
}

#[test]
fn lengths_count_days_by_the_calendar_and_hours_by_the_clock() {
    // RFC 5545, section 3.3.6: a day may be 23 hours long, 24 hours are always as long.
    let event = |uid: &str, length: &str| {
        format!("UID:{uid}\nDTSTART;TZID=America/New_York:20260307T150000\nDURATION:{length}")
    };
    let read = read(&calendar_of(&[&event("a", "P1D"), &event("b", "PT24H")]));
    let ends: Vec<String> = read.bookings.iter().map(|booking| booking.end.to_string()).collect();
    assert_eq!(ends, ["2026-03-08T19:00:00Z", "2026-03-08T20:00:00Z"]);
}

#[test]
fn extra_days_with_their_own_length() {
    let event = "UID:a\nDTSTART:20260701T100000Z\nDURATION:PT1H\nRDATE;VALUE=PERIOD:20260705T100000Z/PT3H,\
                 20260706T100000Z/20260706T120000Z";
    let read = read(&calendar_of(&[event]));
    let hours: Vec<i64> = read.bookings.iter().map(|b| b.end.duration_since(b.start).as_hours()).collect();
    assert_eq!(hours, [1, 3, 2]);
}

#[test]
fn the_list_of_zones_counts_before_a_definition_but_not_for_names_without_a_place() {
    let wrong = "BEGIN:VTIMEZONE\nTZID:NAME\nBEGIN:STANDARD\nDTSTART:19700101T000000\nTZOFFSETFROM:+0900\n\
                 TZOFFSETTO:+0900\nEND:STANDARD\nEND:VTIMEZONE\n";
    for (name, start) in [("America/New_York", "2026-07-04T16:00:00Z"), ("EST", "2026-07-04T03:00:00Z")] {
        let event = format!("UID:a\nDTSTART;TZID={name}:20260704T120000\nDURATION:PT1H");
        let text = calendar_of(&[&event]).replacen("BEGIN:VEVENT", &format!("{wrong}BEGIN:VEVENT"), 1);
        assert_eq!(
            read(&text.replace("TZID:NAME", &format!("TZID:{name}"))).bookings[0].start.to_string(),
            start
        );
    }
}
