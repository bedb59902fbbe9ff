//! The examples of RFC 5545, section 3.8.5.3, with the occurrences it prints (reference/calendar/rfc5545_rules.txt).

use calendar::read_icalendar;

const EXAMPLES: &str = include_str!("../../../../reference/calendar/rfc5545_rules.txt");

/// `2,9` or `2-30/2` as days.
fn days(text: &str) -> Vec<i8> {
    let Some((first, rest)) = text.split_once('-') else {
        return text.split(',').map(|day| day.parse().unwrap()).collect();
    };
    let (last, step) = rest.split_once('/').unwrap_or((rest, "1"));
    (first.parse().unwrap()..=last.parse().unwrap()).step_by(step.parse().unwrap()).collect()
}

fn wanted(start: &str, text: &str) -> Vec<String> {
    if let Some(times) = text.strip_prefix('@') {
        return times.split(',').map(|time| format!("{}T{time}00", &start[..8])).collect();
    }
    let month = |part: &str| {
        let (month, list) = part.split_once(':').unwrap();
        let (year, month) = month.split_once('-').unwrap();
        let month: i8 = month.parse().unwrap();
        days(list).iter().map(|day| format!("{year}{month:02}{day:02}T090000")).collect::<Vec<_>>()
    };
    text.split(' ').flat_map(month).collect()
}

#[test]
fn the_examples_come_to_what_the_memo_prints() {
    let examples: Vec<&str> = EXAMPLES.lines().filter(|line| !line.starts_with('#')).collect();
    assert_eq!(examples.len(), 42);
    for example in examples {
        let [start, rule, extent, list] = example.split('|').collect::<Vec<_>>()[..] else {
            panic!("{example}")
        };
        let (start, except) = start.split_once('!').unwrap_or((start, ""));
        let except = format!("EXDATE;TZID=America/New_York:{except}");
        let event =
            format!("UID:a\nDTSTART;TZID=America/New_York:{start}\nDURATION:PT1M\nRRULE:{rule}\n{except}");
        let window = crate::window("1996-01-01T00:00:00Z", "2010-01-01T00:00:00Z");
        let read = read_icalendar(crate::calendar_of(&[&event]).as_bytes(), &crate::zone(), window);
        let local =
            |b: &calendar::Booking| b.start.to_zoned(crate::zone()).strftime("%Y%m%dT%H%M%S").to_string();
        let mut got: Vec<String> = read.bookings.iter().map(local).collect();
        let wanted = wanted(start, list);
        if extent == "first" {
            assert!(got.len() > wanted.len(), "{example}");
            got.truncate(wanted.len());
        }
        assert_eq!(got, wanted, "{example}\n{:?}", read.remarks);
    }
}
