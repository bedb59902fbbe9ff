//! Calendars with something amiss: told by line, and nothing lost silently.

use calendar::Weight;

use crate::{calendar_of, read};

const GOOD: &str = "UID:good\nSUMMARY:Whimbrel\nDTSTART;VALUE=DATE:20260704\nDTEND;VALUE=DATE:20260711";

/// Reads a bad event between two good ones; the line of the only error.
fn error_of(bad: &str) -> usize {
    let read = read(&calendar_of(&[GOOD, bad, &GOOD.replace("good", "other")]));
    assert_eq!((read.found, read.unread, read.bookings.len()), (3, 1, 2), "{:?}", read.remarks);
    let errors: Vec<_> = read.remarks.iter().filter(|remark| remark.weight == Weight::Error).collect();
    assert_eq!(errors.len(), 1, "{errors:?}");
    assert!(errors[0].wrong.ends_with('.') && errors[0].mend.ends_with('.'));
    errors[0].line
}

#[test]
fn each_wrong_line_is_named() {
    // The bad event begins on line 9.
    assert_eq!(error_of("UID:a"), 9);
    assert_eq!(error_of("UID:a\nDTSTART:20260230T100000"), 11);
    assert_eq!(error_of("UID:a\nDTSTART;TZID=Harbour:20260704T100000"), 11);
    assert_eq!(error_of("UID:a\nDTSTART:20260704T100000\nDTEND:20260703T100000"), 12);
    assert_eq!(error_of("UID:a\nDTSTART:20260704T100000\nDTEND;VALUE=DATE:20260705"), 12);
    assert_eq!(error_of("UID:a\nDTSTART;VALUE=DATE:20260704\nDURATION:PT3H"), 12);
    assert_eq!(error_of("UID:a\nDTSTART;VALUE=DATE:20260704\nRRULE:FREQ=OFTEN"), 12);
    assert_eq!(error_of("UID:a\nDTSTART;VALUE=DATE:20260704\nRRULE:FREQ=DAILY;SKIP=OMIT"), 12);
    assert_eq!(error_of("UID:a\nDTSTART;VALUE=DATE:20260704\nEXRULE:FREQ=DAILY"), 12);
}

#[test]
fn a_calendar_cut_off_is_told() {
    let whole = calendar_of(&[GOOD, GOOD]);
    let read = read(&whole[..whole.len() - 40]);
    assert_eq!((read.found, read.unread, read.bookings.len()), (2, 1, 1), "{:?}", read.remarks);
    assert!(read.remarks.iter().any(|remark| remark.line == 9 && remark.wrong.contains("END:VEVENT")));
}

#[test]
fn an_event_left_open_does_not_swallow_the_next() {
    let text = calendar_of(&[GOOD, &GOOD.replace("good", "b")]).replacen("END:VEVENT\n", "", 1);
    let read = read(&text);
    assert_eq!((read.found, read.unread, read.bookings.len()), (2, 1, 1), "{:?}", read.remarks);
    assert_eq!(read.bookings[0].uid, "b");
}

#[test]
fn a_line_broken_without_a_fold_is_told() {
    let read = read(&calendar_of(&[&format!("{GOOD}\nDESCRIPTION:late\nand later")]));
    assert_eq!((read.bookings.len(), read.bookings[0].note.as_str()), (1, "late"));
    assert_eq!(read.remarks[0].line, 9);
    assert!(read.remarks[0].mend.contains("put a space before it"));
}

#[test]
fn a_text_that_is_no_calendar_is_told() {
    assert!(read("<html>").remarks.iter().any(|remark| remark.wrong.contains("not a calendar")));
    assert!(read("").remarks.iter().any(|remark| remark.wrong.contains("not a calendar")));
}

#[test]
fn bytes_that_are_not_utf8_are_told() {
    let text = calendar_of(&[&format!("{GOOD}\nDESCRIPTION:caf~")]);
    let bytes: Vec<u8> = text.bytes().map(|byte| if byte == b'~' { 0xe9 } else { byte }).collect();
    let window = crate::window("2026-01-01T00:00:00Z", "2027-01-01T00:00:00Z");
    let read = calendar::read_icalendar(&bytes, &crate::zone(), window);
    assert_eq!((read.remarks[0].line, read.remarks[0].weight), (8, Weight::Warning));
    assert_eq!(read.bookings[0].note, "caf\u{fffd}");
}

#[test]
fn a_letter_folded_in_its_middle_is_whole_again() {
    let mut bytes = calendar_of(&[&format!("{GOOD}\nDESCRIPTION:caf\u{e9}!")]).into_bytes();
    let at = bytes.iter().position(|byte| *byte == 0xc3).unwrap();
    bytes.splice(at + 1..=at, *b"\r\n ");
    let window = crate::window("2026-01-01T00:00:00Z", "2027-01-01T00:00:00Z");
    let read = calendar::read_icalendar(&bytes, &crate::zone(), window);
    assert_eq!(read.bookings[0].note, "caf\u{e9}!");
    assert!(read.remarks.is_empty());
}

#[test]
fn a_rule_without_end_is_stopped_and_told() {
    let read = read(&calendar_of(&["UID:a\nDTSTART:19700101T000000Z\nDURATION:PT1S\nRRULE:FREQ=SECONDLY"]));
    assert!(read.remarks.iter().any(|r| r.line == 7 && r.weight == Weight::Error), "{:?}", read.remarks);
}

#[test]
fn the_later_version_counts() {
    let newer = GOOD.replace("20260711", "20260712") + "\nSEQUENCE:2";
    for events in [[GOOD, &newer], [&newer, GOOD]] {
        let read = read(&calendar_of(&events));
        assert_eq!((read.found, read.superseded, read.bookings.len()), (2, 1, 1));
        assert_eq!(read.bookings[0].sequence, 2);
        assert_eq!(read.bookings[0].end.to_string(), "2026-07-12T04:00:00Z");
    }
}

#[test]
fn methods() {
    let with = |method: &str| read(&calendar_of(&[GOOD]).replace("VERSION:2.0", &format!("METHOD:{method}")));
    assert!(!with("PUBLISH").bookings[0].cancelled);
    assert!(with("CANCEL").bookings[0].cancelled);
    let reply = with("REPLY");
    assert_eq!((reply.found, reply.unread, reply.bookings.len()), (1, 1, 0));
}

#[test]
fn a_change_from_here_on() {
    let series = "UID:a\nDTSTART:20260601T120000Z\nDURATION:PT1H\nRRULE:FREQ=WEEKLY;COUNT=4";
    let change =
        "UID:a\nRECURRENCE-ID;RANGE=THISANDFUTURE:20260615T120000Z\nDTSTART:20260615T140000Z\nDURATION:PT2H";
    let read = read(&calendar_of(&[series, change]));
    let got: Vec<(String, String)> =
        read.bookings.iter().map(|b| (b.start.to_string(), b.end.to_string())).collect();
    let pair = |start: &str, end: &str| (format!("2026-06-{start}:00:00Z"), format!("2026-06-{end}:00:00Z"));
    let wanted =
        [pair("01T12", "01T13"), pair("08T12", "08T13"), pair("15T14", "15T16"), pair("22T14", "22T16")];
    assert_eq!(got, wanted);
}

#[test]
fn several_calendars_and_a_mark_of_byte_order() {
    let text = format!("\u{feff}{}{}", calendar_of(&[GOOD]), calendar_of(&[&GOOD.replace("good", "b")]));
    let read = read(&text.replace('\n', "\r\n"));
    assert_eq!((read.found, read.bookings.len(), read.remarks.len()), (2, 2, 0));
    assert_eq!(read.bookings[0].source_line, 3);
}

#[test]
fn a_calendar_that_would_never_end_is_bounded() {
    let endless: Vec<String> = (0..60)
        .map(|uid| format!("UID:{uid}\nDTSTART:20260101T000000Z\nDURATION:PT1S\nRRULE:FREQ=SECONDLY"))
        .collect();
    let read = read(&calendar_of(&endless.iter().map(String::as_str).collect::<Vec<_>>()));
    assert_eq!(read.found, 60);
    assert!(read.bookings.len() <= 60_000, "{}", read.bookings.len());
    let errors = read.remarks.iter().filter(|remark| remark.weight == Weight::Error).count();
    assert_eq!(errors, 60);
}

#[test]
fn parts_left_open_do_not_swallow_events() {
    let two = calendar_of(&[GOOD]) + &calendar_of(&[&GOOD.replace("good", "b")]);
    let open_calendar = read(&two.replacen("END:VCALENDAR\n", "", 1));
    assert_eq!((open_calendar.found, open_calendar.bookings.len()), (2, 2));
    let open_zone = read(&two.replacen("BEGIN:VEVENT", "BEGIN:VTIMEZONE\nTZID:a\nBEGIN:VEVENT", 1));
    assert_eq!((open_zone.found, open_zone.bookings.len()), (2, 2));
}
