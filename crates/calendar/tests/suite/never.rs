//! What holds for every text.

use calendar::{
    FeedEntry, Span, escape, fold, match_boat, read_csv, read_icalendar, unescape, write_csv, write_icalendar,
};
use jiff::{Timestamp, civil::Date};
use proptest::{collection::vec, prelude::*};

/// Lines such as calendars have, in any order.
fn lines() -> impl Strategy<Value = Vec<String>> {
    let names = prop::sample::select(vec![
        "BEGIN:VCALENDAR",
        "END:VCALENDAR",
        "BEGIN:VEVENT",
        "END:VEVENT",
        "BEGIN:VTIMEZONE",
        "END:VTIMEZONE",
        "BEGIN:STANDARD",
        "END:STANDARD",
        "TZID:Own",
        "TZOFFSETFROM:+2359",
        "TZOFFSETTO:-2359",
        "DTSTART:99991231T235959",
        "DTSTART;TZID=Own:00010101T000000",
        "DTSTART;VALUE=DATE:20260230",
        "DTSTART;VALUE=DATE:20260704",
        "DTEND;VALUE=DATE:99991231",
        "DURATION:P9999D",
        "DURATION:-PT1S",
        "RRULE:FREQ=SECONDLY",
        "RRULE:FREQ=YEARLY;BYWEEKNO=53;BYDAY=MO",
        "RRULE:FREQ=DAILY;BYSETPOS=-366",
        "RRULE:FREQ=MONTHLY;BYMONTHDAY=31;INTERVAL=1000000",
        "RDATE;VALUE=PERIOD:20260101T000000Z/P1D",
        "EXDATE:20260704T000000Z",
        "RECURRENCE-ID;RANGE=THISANDFUTURE:20260704T000000Z",
        "UID:a",
        "SEQUENCE:x",
    ]);
    vec(prop_oneof![8 => names.prop_map(str::to_owned), 1 => "[!-~é][ -~é\t]{0,90}"], 0..40)
}

fn read_any(bytes: &[u8]) -> calendar::Read {
    read_icalendar(bytes, &crate::zone(), crate::window("2026-01-01T00:00:00Z", "2026-03-01T00:00:00Z"))
}

fn entry() -> impl Strategy<Value = FeedEntry> {
    let day = (-9000i32..9000)
        .prop_map(|days| Date::constant(2026, 1, 1).saturating_add(jiff::Span::new().days(days)));
    let span = prop_oneof![
        (day, 0..60i32)
            .prop_map(|(first, more)| Span::Days(first, first.saturating_add(jiff::Span::new().days(more)))),
        (0..4_000_000_000i64, 1..9_000_000i64).prop_map(|(start, more)| {
            Span::Times(Timestamp::from_second(start).unwrap(), Timestamp::from_second(start + more).unwrap())
        }),
    ];
    ("[a-z0-9@-]{1,30}", 0..9u32, "\\PC{0,60}", "[A-Z0-9-]{0,8}", span, any::<bool>()).prop_map(
        |(uid, sequence, boat, reference, span, cancelled)| FeedEntry {
            uid,
            sequence,
            boat,
            reference,
            doing: "Turnaround".to_owned(),
            span,
            cancelled,
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn bytes_never_panic(bytes in vec(any::<u8>(), 0..400)) {
        let read = read_any(&bytes);
        prop_assert!(read.found >= read.unread + read.superseded);
        read_csv(&bytes, &crate::zone());
    }

    #[test]
    fn every_event_is_read_or_counted(lines in lines()) {
        let read = read_any(lines.join("\r\n").as_bytes());
        let errors = read.remarks.iter().filter(|remark| remark.weight == calendar::Weight::Error).count();
        prop_assert!(errors >= read.unread);
        let begun = lines.iter().filter(|line| *line == "BEGIN:VEVENT").count();
        prop_assert_eq!(read.found, begun);
        prop_assert!(read.found >= read.unread + read.superseded);
        prop_assert!(read.remarks.iter().all(|remark| remark.line > 0 && !remark.mend.is_empty()));
    }

    #[test]
    fn folding_is_undone(text in "\\PC{0,300}") {
        let folded = fold(&text);
        prop_assert!(folded.split("\r\n").all(|line| line.len() <= 75));
        prop_assert_eq!(folded.replace("\r\n ", ""), format!("{text}\r\n"));
    }

    #[test]
    fn escapes_are_undone(text in "[ -~é\n]{0,80}") {
        prop_assert_eq!(unescape(&escape(&text)), text);
    }

    #[test]
    fn what_is_written_is_read(entries in vec(entry(), 0..8)) {
        let mut entries = entries;
        for (index, entry) in entries.iter_mut().enumerate() {
            entry.uid = format!("{index}-{}", entry.uid);
        }
        let text = write_icalendar(&entries, Timestamp::UNIX_EPOCH, "Turnarounds");
        let read = read_any(text.as_bytes());
        prop_assert!(read.remarks.is_empty(), "{:?}", read.remarks);
        prop_assert_eq!(read.bookings.len(), entries.len());
        for entry in &entries {
            let booking = read.bookings.iter().find(|booking| booking.uid == entry.uid).unwrap();
            let (start, end) = match entry.span {
                Span::Times(start, end) => (start, end),
                Span::Days(first, last) => {
                    let at = |day: Date| day.to_zoned(crate::zone()).unwrap().timestamp();
                    (at(first), at(last.tomorrow().unwrap()))
                }
            };
            prop_assert_eq!((booking.start, booking.end), (start, end));
            prop_assert_eq!((booking.sequence, booking.cancelled), (entry.sequence, entry.cancelled));
            prop_assert!(booking.words.starts_with(&entry.boat));
        }
    }

    #[test]
    fn a_written_table_is_read(entries in vec(entry(), 0..8)) {
        let named = |entry: &FeedEntry| !entry.boat.trim().is_empty();
        let entries: Vec<FeedEntry> = entries.into_iter().filter(named).collect();
        let read = read_csv(write_csv(&entries).as_bytes(), &crate::zone());
        prop_assert_eq!((read.found, read.unread), (entries.len(), 0), "{:?}", read.remarks);
    }

    #[test]
    fn matching_never_panics(words in vec("\\PC{0,40}", 0..4), name in "\\PC{0,10}") {
        let _ = match_boat(&words, &[("whimbrel", &[name.as_str()])]);
    }
}
