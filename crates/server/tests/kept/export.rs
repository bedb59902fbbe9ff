//! Files to take away: whole, well formed, harmless in table programs, read back by `records`, for managers only.

use axum::http::{StatusCode, header};
use quantity::{Money, Time};
use records::{
    Event, Held, PersonId, Pieces, Priced, Reading, Records, Role, Severity, Signature, Stroke, Strokes,
    Taken, Walk, What,
};

use crate::base::Browser;
use crate::past::{Told, page};

const NEW_YORK: &str = "America/New_York";
const NOW: &str = "2026-07-20T14:00:00Z";

/// The tables, with their headings and how many rows they have at the base of these tests.
const TABLES: [(&str, &str, usize); 8] = [
    ("charters.csv", "charter,boat,from,until,people,stands,checked out,handed back", 2),
    ("events.csv", "event,when,boat,charter,by,answers,says", 12),
    ("defects.csv", "defect,boat,item,what,severity,found,times,open,closed,cause", 3),
    ("upkeep.csv", "boat,line,done,engine hours,minutes,work,parts,parts cost,other cost", 1),
    ("stock.csv", "part,where,count,last counted,price of one", 1),
    ("parts.csv", "part,where,when,by,what,count,cost", 2),
    ("costs.csv", "boat,month,upkeep,mending,filling,work,parts,other,without a price", 1),
    ("readings.csv", "boat,charter,when,occasion,meter,showed", 1),
];

/// What would be a formula in a table program, and what only looks odd.
const WORDS: [&str; 3] =
    ["=HYPERLINK(\"http://evil.example\";\"Click\")", "+1 handle,\nloose \"again\"", "Hose; \u{e6}rfugl"];

/// Whimbrel with a charter that is signed, defects with odd words, upkeep and parts; Dunlin with a charter.
fn told() -> Told {
    let mut told = Told::by(NEW_YORK);
    let who = Some("c-one");
    told.plan_for("Wren Halloran", "whimbrel", "c-one", "2026-06-27T12:00", "2026-07-04T10:00");
    told.plan("dunlin", "c-two", "2026-06-27T12:00", "2026-07-04T10:00");
    told.tell("2026-06-27T09:00", "whimbrel", who, What::Readied);
    let strokes = Strokes::Points(vec![Stroke(vec![(4321, 1234), (977, 5)])]);
    let person = PersonId::new("p-c-one");
    let signature = Signature { walk: Walk::CheckOut, role: Role::Skipper, person, strokes };
    told.tell("2026-06-27T12:00", "whimbrel", who, What::Signed(signature));
    told.tell("2026-06-27T12:05", "whimbrel", who, What::CheckedOut);
    told.tell("2026-06-27T12:10", "whimbrel", who, What::Noted { words: "-2+3, she said".to_owned() });
    for words in WORDS {
        told.find("2026-06-28T10:00", "whimbrel", words, Severity::Hinders);
    }
    let hours = Time::hours(1230.5);
    let reading = Reading::EngineHours { engine: "thruster".to_owned(), hours };
    told.tell("2026-06-29T10:00", "whimbrel", None, What::Read { walk: Walk::Between, reading });
    let pieces = |count| Pieces { part: "@Hose".to_owned(), count, held: Held::Aboard };
    let cost = Some(Money::parse("25.00 USD").expect("an amount"));
    told.tell("2026-06-29T10:05", "whimbrel", None, What::StockReceived(Priced { pieces: pieces(2), cost }));
    let upkeep = What::UpkeepDone {
        line: "stove_hose".to_owned(),
        hours: None,
        parts: vec![pieces(1).into()],
        took: Some(Time::minutes(30.0)),
        work: cost,
        cost: None,
    };
    told.tell("2026-06-29T11:00", "whimbrel", None, upkeep);
    told
}

/// A file that a manager takes out.
async fn taken_out(app: &axum::Router, name: &str) -> String {
    let got = Browser::new(app).get(&format!("/export/{name}")).await;
    assert_eq!(got.status, StatusCode::OK, "{name}");
    let file = name.split('?').next().unwrap_or_default();
    let saved = format!("attachment; filename=\"{file}\"");
    assert_eq!(got.headers[header::CONTENT_DISPOSITION], saved.as_str());
    assert_eq!(got.headers[header::CACHE_CONTROL], "private, no-store");
    let media = if file == "everything.json" { "application/json" } else { "text/csv; charset=utf-8" };
    assert_eq!(got.headers[header::CONTENT_TYPE], media);
    got.text()
}

/// A table as other programs read it, its heading first. The reader refuses rows of unequal length.
async fn table(app: &axum::Router, name: &str) -> Vec<Vec<String>> {
    let text = taken_out(app, name).await;
    assert!(text.ends_with("\r\n"), "{name}");
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    let rows = reader.records().map(|row| row.expect("RFC 4180").iter().map(str::to_owned).collect());
    rows.collect()
}

fn column(table: &[Vec<String>], name: &str) -> Vec<String> {
    let at = table[0].iter().position(|cell| cell == name).expect("a column of that name");
    table[1..].iter().map(|row| row[at].clone()).collect()
}

/// What comes of events that were told.
fn fold(events: impl IntoIterator<Item = Event>) -> records::Standing {
    let records: Records = events.into_iter().map(|event| Taken { event, received: None }).collect();
    records.standing()
}

async fn everything(app: &axum::Router, asked: &str) -> (serde_json::Value, Vec<Event>) {
    let text = taken_out(app, &format!("everything.json{asked}")).await;
    let all: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let events = serde_json::from_value(all["events"].clone()).expect("events");
    (all, events)
}

#[tokio::test]
async fn every_table_has_its_heading_and_whole_rows() {
    let app = told().open(NOW).await;
    let listed = page(&app, "/export").await;
    for (name, heading, rows) in TABLES {
        let table = table(&app, name).await;
        assert_eq!(table[0].join(","), heading, "{name}");
        assert_eq!(table.len() - 1, rows, "{name}: {table:?}");
        assert!(listed.contains(&format!("href=\"/export/{name}\"")), "{name} is on the page");
    }
    let none = Told::by(NEW_YORK).open(NOW).await;
    for (name, heading, _) in TABLES {
        assert_eq!(taken_out(&none, name).await, format!("{heading}\r\n"), "{name} of a new base");
    }
}

#[tokio::test]
async fn what_was_typed_comes_out_as_it_was_and_is_no_formula() {
    let app = told().open(NOW).await;
    let what = column(&table(&app, "defects.csv").await, "what");
    let harmless = [format!("'{}", WORDS[0]), format!("'{}", WORDS[1]), WORDS[2].to_owned()];
    assert_eq!(what, harmless);
    assert_eq!(column(&table(&app, "stock.csv").await, "part"), ["'@Hose"]);
    for (name, ..) in TABLES {
        let table = table(&app, name).await;
        let cells = table.iter().flatten();
        let formulas: Vec<&String> =
            cells.filter(|cell| cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n'])).collect();
        assert!(formulas.is_empty(), "{name}: {formulas:?}");
    }
}

#[tokio::test]
async fn the_cells_say_what_was_told() {
    let app = told().open(NOW).await;
    let charters = table(&app, "charters.csv").await;
    let of = |charter: &str| charters.iter().find(|row| row[0] == charter).map(|row| row.join("|"));
    assert_eq!(
        of("c-one").as_deref(),
        Some(
            "c-one|whimbrel|2026-06-27T12:00:00-04:00|2026-07-04T10:00:00-04:00|4|checked out|2026-06-27T16:05:00Z|"
        )
    );
    assert_eq!(
        of("c-two").as_deref(),
        Some("c-two|dunlin|2026-06-27T12:00:00-04:00|2026-07-04T10:00:00-04:00|4|planned||")
    );
    let upkeep = table(&app, "upkeep.csv").await;
    assert_eq!(upkeep[1].join("|"), "whimbrel|stove_hose|2026-06-29T15:00:00Z||30|25.00 USD|1 x @Hose||");
    // Two came, one was used.
    assert_eq!(column(&table(&app, "stock.csv").await, "count"), ["1"]);
    assert_eq!(column(&table(&app, "parts.csv").await, "what"), ["came", "used"]);
}

#[tokio::test]
async fn every_event_is_in_and_is_read_back() {
    let told = told();
    let app = told.open(NOW).await;
    let mut names = column(&table(&app, "events.csv").await, "event");
    let mut all: Vec<String> = told.events.iter().map(|event| event.id.to_string()).collect();
    names.sort();
    all.sort();
    assert_eq!(names, all);
    let (json, back) = everything(&app, "?persons=yes").await;
    let mut kept = told.events.clone();
    kept.sort_by_key(|event| event.id);
    let mut read = back.clone();
    read.sort_by_key(|event| event.id);
    assert_eq!(read, kept);
    assert_eq!(fold(back), fold(told.events.clone()));
    assert_eq!(json["base"], "Juniper Ledge");
    let boats: Vec<&str> =
        json["boats"].as_array().expect("boats").iter().filter_map(|one| one["boat"].as_str()).collect();
    assert_eq!(boats.len(), 3);
    for boat in json["boats"].as_array().expect("boats") {
        let text = boat["file"].as_str().expect("a text");
        assert!(boat::edit::Deck::read(text).is_ok(), "her file is whole: {boat}");
    }
}

/// After some years most events are no longer at hand; they are taken out all the same.
#[tokio::test]
async fn what_is_long_over_is_in_too() {
    let mut told = Told::by(NEW_YORK);
    for week in 0..40 {
        let charter = format!("c-{week}");
        let day = |days: i64| {
            let first: jiff::civil::Date = "2024-01-06".parse().expect("a day");
            format!("{}T12:00", first + jiff::Span::new().days(week * 7 + days))
        };
        let (from, until) = (day(0), day(6));
        let (begins, ends) = (told.local(&from), told.local(&until));
        let plan = records::Plan { from: begins, until: ends, crew: Some(4), booked: None };
        let who = Some(charter.as_str());
        told.tell(&from, "whimbrel", who, What::Planned(plan));
        told.tell(&from, "whimbrel", who, What::Readied);
        for line in 0..10 {
            let line = format!("line_{line}");
            let what = What::Counted { walk: Walk::CheckOut, line, count: 2, note: None };
            told.tell(&from, "whimbrel", who, what);
        }
        let reading = Reading::EngineHours { engine: "thruster".to_owned(), hours: Time::hours(week as f64) };
        told.tell(&from, "whimbrel", who, What::Read { walk: Walk::CheckOut, reading });
        for what in [What::CheckedOut, What::HandedBack, What::Settled] {
            told.tell(if what == What::CheckedOut { &from } else { &until }, "whimbrel", who, what);
        }
    }
    let app = told.open(NOW).await;
    assert_eq!(column(&table(&app, "events.csv").await, "event").len(), told.events.len());
    assert_eq!(column(&table(&app, "readings.csv").await, "showed").len(), 40);
    let charters = table(&app, "charters.csv").await;
    assert_eq!(column(&charters, "stands"), ["settled"; 40]);
    assert!(column(&charters, "checked out").iter().all(|when| !when.is_empty()));
    let (_, back) = everything(&app, "").await;
    assert_eq!(fold(back), fold(told.events.clone()));
}

#[tokio::test]
async fn people_are_in_it_only_if_they_are_asked_for() {
    let app = told().open(NOW).await;
    let mut texts = vec![taken_out(&app, "everything.json").await];
    for (name, ..) in TABLES {
        texts.push(taken_out(&app, name).await);
    }
    for text in &texts {
        for personal in ["Wren", "Halloran", "555", "4321"] {
            assert!(!text.contains(personal), "{personal}: {text}");
        }
    }
    let (all, events) = everything(&app, "?persons=yes").await;
    assert_eq!(all["persons"][0]["fields"]["name"], "Wren Halloran");
    assert_eq!(all["persons"][0]["charter"], "c-one");
    assert!(serde_json::to_string(&events).expect("JSON").contains("4321"), "what was drawn is in this one");
}

#[tokio::test]
async fn only_the_manager_takes_them_out() {
    let app = told().open(NOW).await;
    let mut browser = Browser::new(&app);
    for (who, status) in [
        ("demo-hand", StatusCode::FORBIDDEN),
        ("demo-skipper", StatusCode::FORBIDDEN),
        ("demo-manager", StatusCode::OK),
    ] {
        browser.become_one(who).await;
        let names = TABLES.map(|(name, ..)| name);
        for name in names.into_iter().chain(["everything.json", "everything.json?persons=yes", ""]) {
            let address = format!("/export/{name}");
            let got = browser.get(address.trim_end_matches('/')).await;
            assert_eq!(got.status, status, "{address} by {who}");
            assert!(status == StatusCode::OK || !got.text().contains("whimbrel"), "{address} by {who}");
        }
    }
    let none = browser.get("/export/secrets.csv").await;
    assert_eq!(none.status, StatusCode::NOT_FOUND);
    assert!(none.text().contains("There is no such file to take out."));
}

cases![
    every_table_has_its_heading_and_whole_rows,
    what_was_typed_comes_out_as_it_was_and_is_no_formula,
    the_cells_say_what_was_told,
    every_event_is_in_and_is_read_back,
    what_is_long_over_is_in_too,
    people_are_in_it_only_if_they_are_asked_for,
    only_the_manager_takes_them_out,
];
