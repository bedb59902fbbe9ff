//! The calendar of turnarounds, read back as other programs' calendars are, and who can read it.

use std::collections::BTreeMap;

use axum::http::{StatusCode, header};
use calendar::{Booking, Window, read_icalendar};
use jiff::tz::TimeZone;
use records::What;

use crate::base::{Browser, taken};
use crate::past::{BOATS, Told, at};

const NEW_YORK: &str = "America/New_York";
const NOW: &str = "2026-06-20T14:00:00Z";
const SETTINGS: &str = "/settings/feed";

/// Makes a new address; the part of it after the base's own.
async fn address(app: &axum::Router) -> String {
    let got = Browser::new(app).send_page(SETTINGS, &[]).await;
    assert_eq!(got.status, StatusCode::OK);
    let text = got.text();
    let shown = text.split_once("<p class=\"address\">").expect("it is shown").1;
    let all = shown.split_once('<').expect("it ends").0;
    all.strip_prefix("https://ledge.example").expect("an address of the base").to_owned()
}

/// The text at an address, for whoever has it.
async fn text(app: &axum::Router, address: &str) -> String {
    let got = Browser::new(app).get(address).await;
    assert_eq!(got.status, StatusCode::OK);
    assert_eq!(got.headers[header::CONTENT_TYPE], "text/calendar; charset=utf-8");
    got.text()
}

/// What another program makes of it.
fn read(text: &str) -> Vec<Booking> {
    let window = Window { from: at("2026-01-01T00:00:00Z"), until: at("2028-01-01T00:00:00Z") };
    // The base's own clocks are not asked: all times are told in UTC.
    let zone = TimeZone::get("Pacific/Auckland").expect("a zone");
    let read = read_icalendar(text.as_bytes(), &zone, window);
    // One that has no length has no end (RFC 5545, section 3.6.1); the reader says so.
    let wrong = read.remarks.iter().find(|remark| !remark.wrong.contains("has no end"));
    assert_eq!((wrong, read.unread, read.superseded), (None, 0, 0));
    read.bookings
}

async fn fed(app: &axum::Router, address: &str) -> Vec<Booking> {
    read(&text(app, address).await)
}

/// Each entry's version by its name.
fn versions(bookings: &[Booking]) -> BTreeMap<String, u32> {
    let versions: BTreeMap<_, _> = bookings.iter().map(|one| (one.uid.clone(), one.sequence)).collect();
    assert_eq!(versions.len(), bookings.len(), "a name is given once");
    versions
}

fn heading(bookings: &[Booking], words: &str) -> Booking {
    let found: Vec<&Booking> = bookings.iter().filter(|one| one.words.starts_with(words)).collect();
    assert_eq!(found.len(), 1, "{words}: {bookings:?}");
    found[0].clone()
}

/// Whimbrel has two charters with four hours between them, across a change of clocks; Dunlin has one.
fn told() -> Told {
    let mut told = Told::by(NEW_YORK);
    told.plan_for("Wren Halloran", "whimbrel", "c-one", "2026-10-25T12:00", "2026-11-01T10:00");
    told.plan_for("Ada Fenn", "whimbrel", "c-two", "2026-11-01T14:00", "2026-11-08T10:00");
    told.plan("dunlin", "c-other", "2026-07-04T12:00", "2026-07-11T10:00");
    told
}

const CHANGE: &str = "/charter/c-two/change";

/// The second charter of Whimbrel with another end.
async fn change(app: &axum::Router, until: &str) {
    let plan = [
        ("from_day", "2026-11-01"),
        ("from_time", "15:00"),
        ("until_day", until),
        ("until_time", "10:00"),
        ("crew", "4"),
    ];
    taken(&Browser::new(app).send_page(CHANGE, &plan).await);
}

#[tokio::test]
async fn it_tells_when_boats_go_out_come_back_and_are_turned_around() {
    let app = told().open(NOW).await;
    let bookings = fed(&app, &address(&app).await).await;
    let all: Vec<String> = bookings
        .iter()
        .map(|one| format!("{} {} {}", one.start, one.end, one.words.rsplit_once(" – ").expect("three").0))
        .collect();
    assert_eq!(
        all,
        [
            "2026-07-04T16:00:00Z 2026-07-04T16:00:00Z Dunlin – Hand-over",
            "2026-07-11T14:00:00Z 2026-07-11T14:00:00Z Dunlin – Coming back",
            "2026-10-25T16:00:00Z 2026-10-25T16:00:00Z Whimbrel – Hand-over",
            // By then the clocks of the base have gone back.
            "2026-11-01T15:00:00Z 2026-11-01T19:00:00Z Whimbrel – Turnaround",
            "2026-11-08T15:00:00Z 2026-11-08T15:00:00Z Whimbrel – Coming back",
        ]
    );
    assert!(bookings.iter().all(|one| !one.all_day && !one.cancelled));
}

/// Two days between are one turnaround, a minute more is a coming back and a hand-over.
#[tokio::test]
async fn a_boat_that_lies_for_longer_is_not_turned_around() {
    for (from, kinds) in [
        ("2026-07-13T10:00", ["Hand-over", "Turnaround", "Coming back"].as_slice()),
        ("2026-07-13T10:01", ["Hand-over", "Coming back", "Hand-over", "Coming back"].as_slice()),
    ] {
        let mut told = Told::by(NEW_YORK);
        told.plan("dunlin", "c-one", "2026-07-04T12:00", "2026-07-11T10:00");
        told.plan("dunlin", "c-two", from, "2026-07-18T10:00");
        let app = told.open(NOW).await;
        let bookings = fed(&app, &address(&app).await).await;
        let told: Vec<&str> = bookings.iter().filter_map(|one| one.words.split(" – ").nth(1)).collect();
        assert_eq!(told, kinds);
    }
}

/// RFC 5545, sections 3.8.4.7 and 3.8.7.4: the name of an entry stays, and its version only grows.
#[tokio::test]
async fn an_entry_keeps_its_name_and_its_version_grows_with_each_change() {
    let app = told().open(NOW).await;
    let address = address(&app).await;
    let first = fed(&app, &address).await;
    assert_eq!(fed(&app, &address).await, first, "nothing has changed");
    change(&app, "2026-11-09").await;
    let second = fed(&app, &address).await;
    change(&app, "2026-11-10").await;
    let third = fed(&app, &address).await;
    let all = [versions(&first), versions(&second), versions(&third)];
    let names: Vec<Vec<&String>> = all.iter().map(|one| one.keys().collect()).collect();
    assert_eq!((&names[0], &names[1]), (&names[1], &names[2]));
    for booking in &first {
        let by: Vec<u32> = all.iter().map(|one| one[&booking.uid]).collect();
        let changed = booking.words.starts_with("Whimbrel – Turnaround")
            || booking.words.starts_with("Whimbrel – Coming back");
        assert_eq!(by[0] < by[1] && by[1] < by[2], changed, "{booking:?}: {by:?}");
        assert!(changed || (by[0] == by[1] && by[1] == by[2]), "{booking:?}: {by:?}");
    }
    assert_eq!(heading(&third, "Whimbrel – Coming back").start, at("2026-11-10T15:00:00Z"));
}

/// A program that has seen a later version of an entry shows nothing of an earlier one.
#[tokio::test]
async fn no_version_falls_when_another_charter_takes_the_place_of_one() {
    let app = told().open(NOW).await;
    let address = address(&app).await;
    let mut seen = versions(&fed(&app, &address).await);
    let look = |bookings: &[Booking], seen: &mut BTreeMap<String, u32>| {
        for one in bookings {
            let version = seen.entry(one.uid.clone()).or_default();
            assert!(one.sequence >= *version, "{} was {version}: {one:?}", one.uid);
            *version = one.sequence;
        }
    };
    for until in ["2026-11-09", "2026-11-10"] {
        change(&app, until).await;
        look(&fed(&app, &address).await, &mut seen);
    }
    let mut browser = Browser::new(&app);
    taken(&browser.fill("/charter/c-two", "/charter/c-two/cancel", &[("reason", "Fog")]).await);
    let alone = fed(&app, &address).await;
    assert_eq!(alone.iter().filter(|one| one.words.contains("Turnaround")).count(), 0);
    assert!(alone.iter().all(|one| !one.words.contains("c-two")), "it will not take place: {alone:?}");
    look(&alone, &mut seen);
    let plan = [
        ("boat", "whimbrel"),
        ("name", "Ash Tarn"),
        ("from_day", "2026-11-02"),
        ("from_time", "09:00"),
        ("until_day", "2026-11-08"),
        ("until_time", "10:00"),
        ("crew", "2"),
    ];
    taken(&browser.send_page("/charters/new", &plan).await);
    let other = fed(&app, &address).await;
    assert_eq!(heading(&other, "Whimbrel – Turnaround").end, at("2026-11-02T14:00:00Z"));
    look(&other, &mut seen);
}

#[tokio::test]
async fn cancelled_charters_and_those_long_over_are_not_in_it() {
    let mut told = told();
    let reason = "Fog.".to_owned();
    told.tell("2026-06-01T10:00", "dunlin", Some("c-other"), What::Cancelled { reason });
    told.plan("turnstone", "c-past", "2026-05-10T12:00", "2026-05-21T09:59");
    told.plan("turnstone", "c-lately", "2026-05-25T12:00", "2026-05-30T10:00");
    let app = told.open(NOW).await;
    let bookings = fed(&app, &address(&app).await).await;
    assert!(bookings.iter().all(|one| !one.words.contains("Dunlin") && !one.words.contains("c-past")));
    assert!(bookings.iter().any(|one| one.words.contains("Coming back – c-lately")), "{bookings:?}");
}

/// RFC 5545, section 3.1: lines end in CRLF and have at most 75 octets, of which no letter is cut in two.
#[tokio::test]
async fn long_names_are_folded_and_read_back_whole() {
    let long =
        "Whimbrel; of the long reach, \\ beyond the Ærfugl skerries – and the far shore of the Juniper Ledge";
    let app = told().open_with(&[("whimbrel", &long.replace('\\', "\\\\")), BOATS[1]], NOW).await;
    let text = text(&app, &address(&app).await).await;
    assert!(text.ends_with("END:VCALENDAR\r\n"));
    let lines: Vec<&str> = text.split("\r\n").collect();
    assert!(lines.iter().all(|line| line.len() <= 75 && !line.contains(['\r', '\n'])), "{text}");
    assert!(lines.iter().any(|line| line.starts_with(' ')), "something was folded");
    let bookings = read(&text);
    assert!(bookings.iter().any(|one| one.words == format!("{long} – Turnaround – c-one")), "{bookings:?}");
    let stamps = lines.iter().filter(|line| line.starts_with("DTSTAMP:"));
    assert_eq!(stamps.filter(|line| **line == "DTSTAMP:20260620T140000Z").count(), bookings.len());
}

#[tokio::test]
async fn nothing_of_a_person_is_in_it() {
    let app = told().open(NOW).await;
    let mut browser = Browser::new(&app);
    taken(&browser.fill("/charter/c-one", "/charter/c-one/note", &[("words", "Allergic to nuts")]).await);
    let text = text(&app, &address(&app).await).await.replace("\r\n ", "");
    for words in ["Wren", "Halloran", "Ada", "Fenn", "555", "p-c-", "nuts", "Robin"] {
        assert!(!text.contains(words), "{words} is in it: {text}");
    }
}

#[tokio::test]
async fn only_its_address_opens_it_and_a_new_one_ends_the_old() {
    let app = told().open(NOW).await;
    let mut stranger = Browser::new(&app);
    for guess in ["x", "%22%22", "null"] {
        assert_eq!(stranger.get(&format!("/calendar/{guess}")).await.status, StatusCode::NOT_FOUND);
    }
    let old = address(&app).await;
    assert!(old.len() > "/calendar/".len() + 30, "it is long enough not to be guessed: {old}");
    assert_eq!(stranger.get(&old).await.status, StatusCode::OK);
    let page = stranger.get(SETTINGS).await.text();
    assert!(!page.contains(&old), "it is shown once");
    let new = address(&app).await;
    assert_eq!(stranger.get(&old).await.status, StatusCode::NOT_FOUND);
    assert_eq!(stranger.get(&old[..old.len() - 1]).await.status, StatusCode::NOT_FOUND);
    assert_eq!(stranger.get(&new).await.status, StatusCode::OK);
    for (who, status) in [("demo-hand", StatusCode::FORBIDDEN), ("demo-skipper", StatusCode::FORBIDDEN)] {
        stranger.become_one(who).await;
        assert_eq!(stranger.get(SETTINGS).await.status, status);
    }
}
