//! The written feed, which other libraries read back (reference/calendar/read_feed.py and read_feed.mjs).

use calendar::{FeedEntry, Span, write_csv, write_icalendar};
use jiff::civil::date;

fn entries() -> Vec<FeedEntry> {
    let at = |text: &str| text.parse().unwrap();
    let entry = |number: u32, boat: &str, span| FeedEntry {
        uid: format!("turnaround-{number}@juniper-ledge"),
        sequence: number % 3,
        boat: boat.to_owned(),
        reference: format!("C-{number}"),
        doing: "Turnaround".to_owned(),
        span,
        cancelled: number == 1044,
    };
    vec![
        entry(1042, "Whimbrel", Span::Times(at("2026-07-11T13:00:00Z"), at("2026-07-11T19:00:00Z"))),
        entry(1043, "Dunlin", Span::Days(date(2026, 7, 12), date(2026, 7, 13))),
        entry(1044, "Turnstone", Span::Days(date(2026, 12, 31), date(2026, 12, 31))),
        entry(
            1045,
            "Ærfugl, the long; \\ name that needs folding — ærfugl ærfugl ærfugl ærfugl",
            Span::Times(at("2026-07-11T13:00:00Z"), at("2026-07-11T13:00:00Z")),
        ),
    ]
}

#[test]
fn the_feed_is_the_one_that_others_read_back() {
    let text =
        write_icalendar(&entries(), "2026-07-01T06:00:00Z".parse().unwrap(), "Turnarounds, Juniper Ledge");
    assert!(text.split("\r\n").all(|line| line.len() <= 75 && !line.contains(['\r', '\n'])));
    assert_eq!(text, include_str!("../../../../reference/calendar/files/feed.ics"));
}

#[test]
fn the_table_of_the_feed() {
    let mut entries = entries();
    entries.truncate(2);
    entries[1].boat = "=Dunlin".to_owned();
    assert_eq!(
        write_csv(&entries),
        "boat,from,until,doing,reference,cancelled,uid,sequence\r\n\
         Whimbrel,2026-07-11T13:00:00Z,2026-07-11T19:00:00Z,Turnaround,C-1042,no,turnaround-1042@juniper-ledge,1\r\n\
         '=Dunlin,2026-07-12,2026-07-13,Turnaround,C-1043,no,turnaround-1043@juniper-ledge,2\r\n"
    );
}
