//! Calendars that other libraries wrote, with the occurrences that libraries expand them to (reference/calendar).

use std::{fs, path::PathBuf};

use calendar::{Read, Weight, Window, read_icalendar};
use jiff::tz::TimeZone;
use serde_json::Value;

fn at(name: &str) -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../../reference/calendar")).join(name)
}

#[allow(clippy::disallowed_methods, reason = "a test reads its files")]
fn bytes(name: &str) -> Vec<u8> {
    fs::read(at(name)).unwrap()
}

fn json(name: &str) -> Value {
    serde_json::from_slice(&bytes(name)).unwrap()
}

fn rows(read: &Read) -> Vec<Value> {
    let mut rows: Vec<Value> = read
        .bookings
        .iter()
        .map(|b| {
            serde_json::json!([
                b.uid,
                b.start.to_string(),
                b.end.to_string(),
                b.words,
                b.all_day,
                b.cancelled
            ])
        })
        .collect();
    rows.sort_by_key(ToString::to_string);
    rows
}

fn agrees(name: &str) {
    let expected = json(&format!("expected/{name}.json"));
    let text = |key: &str| expected[key].as_str().unwrap().to_owned();
    let window = Window { from: text("from").parse().unwrap(), until: text("until").parse().unwrap() };
    let zone = TimeZone::get(&text("zone")).unwrap();
    let read = read_icalendar(&bytes(&format!("files/{name}.ics")), &zone, window);
    let mut wanted = expected["bookings"].as_array().unwrap().clone();
    wanted.sort_by_key(ToString::to_string);
    assert_eq!(read.unread, 0, "{:?}", read.remarks);
    assert!(read.remarks.iter().all(|remark| remark.weight < Weight::Error), "{:?}", read.remarks);
    for (got, wanted) in rows(&read).iter().zip(&wanted) {
        assert_eq!(got, wanted, "{name}");
    }
    assert_eq!(read.bookings.len(), wanted.len());
}

#[test]
fn icalendar_of_python() {
    agrees("py_icalendar");
}

#[test]
fn zones_that_the_calendar_defines() {
    agrees("py_own_zones");
}

#[test]
fn vobject_of_python() {
    agrees("py_vobject");
}

#[test]
fn ics_of_python() {
    agrees("py_ics");
}

#[test]
fn generator_of_javascript() {
    agrees("js_generator");
}

#[test]
fn rules_drawn_by_lot_as_dateutil_expands_them() {
    let all = json("expected/dateutil_rules.json");
    let window = crate::window("2019-01-01T00:00:00Z", "2101-01-01T00:00:00Z");
    let rules = all["rules"].as_array().unwrap();
    assert_eq!(rules.len(), 400);
    for rule in rules {
        let (start, text) = (rule[0].as_str().unwrap(), rule[1].as_str().unwrap());
        let event = format!("UID:a\nDTSTART:{start}\nDURATION:PT1H\nRRULE:{text}");
        let read = read_icalendar(crate::calendar_of(&[&event]).as_bytes(), &TimeZone::UTC, window);
        let got: Vec<String> =
            read.bookings.iter().map(|b| b.start.strftime("%Y%m%dT%H%M%S").to_string()).collect();
        let wanted: Vec<&str> = rule[2].as_array().unwrap().iter().map(|v| v.as_str().unwrap()).collect();
        assert_eq!(got, wanted, "{start} {text} {:?}", read.remarks);
    }
}
