//! Charters in the office: read in from tables and calendars, listed, and given out again.

#[path = "dock/base.rs"]
mod base;
mod place;

use axum::http::StatusCode;
use base::{Browser, CHARTER, Got, base, not_taken, taken};

const IMPORT: &str = "/charters/import";

/// Sends a text to be laid beside what is known, or taken.
async fn send(browser: &mut Browser, text: &str, what: &str) -> Got {
    let (seal, once) = browser.sealed(IMPORT).await;
    let fields = [("seal", seal.as_str()), ("once", once.as_str()), ("text", text), ("do", what)];
    browser.post_parts(IMPORT, &fields, &[]).await
}

/// How many charters the list of that month shows for a text.
async fn listed(browser: &mut Browser) -> usize {
    let list = browser.get("/charters").await;
    assert_eq!(list.status, StatusCode::OK);
    list.text().matches("href=\"/charter/i-").count()
}

fn table(rows: &[&str]) -> String {
    format!("boat,from,until,reference,party\n{}\n", rows.join("\n"))
}

#[tokio::test]
async fn a_charter_that_stands_twice_in_a_table_is_refused_with_both_lines() {
    let mut browser = Browser::new(&base(Vec::new(), &[]).await);
    let text = table(&[
        "Wader,2031-05-03 12:00,2031-05-10 10:00,R-7,4",
        "Wader,2031-05-10 12:00,2031-05-17 10:00,R-7,5",
        "Wader,2031-05-17 12:00,2031-05-24 10:00,R-8,2",
    ]);
    let shown = send(&mut browser, &text, "look").await.text();
    assert!(shown.contains("Line 3 has the same reference."), "{shown}");
    assert!(shown.contains("Line 2 has the same reference."));
    let got = send(&mut browser, &text, "take").await;
    taken(&got);
    assert!(got.to().ends_with("taken=1"), "only the third is taken: {}", got.to());
}

#[tokio::test]
async fn the_same_row_twice_without_a_reference_is_refused() {
    let mut browser = Browser::new(&base(Vec::new(), &[]).await);
    let row = "Wader,2031-05-03 12:00,2031-05-10 10:00,,4";
    let shown = send(&mut browser, &table(&[row, row]), "look").await;
    assert_eq!(shown.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(shown.text().contains("Line 2 has the same boat and the same beginning."));
    assert_eq!(listed(&mut browser).await, 0);
}

#[tokio::test]
async fn how_many_sail_is_said_to_be_untold() {
    let mut browser = Browser::new(&base(Vec::new(), &[]).await);
    let told = table(&["Wader,2031-05-03 12:00,2031-05-10 10:00,R-1,4"]);
    let untold = table(&["Wader,2031-05-03 12:00,2031-05-10 10:00,R-1,"]);
    let words = "How many sail is not told";
    assert!(!send(&mut browser, &told, "look").await.text().contains(words));
    assert!(send(&mut browser, &untold, "look").await.text().contains(words));
    // It is not made up: the list says so, and so does a charter that is planned by hand.
    taken(&send(&mut browser, &untold, "take").await);
    assert!(browser.get("/charters").await.text().contains("how many is not told"));
    let plan = [
        ("boat", "wader"),
        ("from_day", "2031-06-03"),
        ("from_time", "12:00"),
        ("until_day", "2031-06-10"),
        ("until_time", "10:00"),
        ("name", "Wren"),
    ];
    for wrong in ["0", "100", "four"] {
        let refused = browser.send_page("/charters/new", &[&plan[..], &[("crew", wrong)]].concat()).await;
        not_taken(&refused, "from 1 to 99, or leave it empty");
    }
    let got = browser.send_page("/charters/new", &[&plan[..], &[("crew", "")]].concat()).await;
    taken(&got);
    let page = browser.get(got.to()).await.text();
    assert!(page.contains("how many is not told"), "{page}");
    // The law is then asked for as many as she has berths.
    let (_, address) = page.split_once("href=\"/boat/wader/equipment").expect("a way to the equipment");
    assert!(!address.split('"').next().expect("it ends").contains("adults"), "{address}");
}

/// The later version of an event counts: RFC 5546, section 2.1.5, by SEQUENCE.
#[tokio::test]
async fn of_two_versions_of_an_event_the_later_is_taken() {
    let mut browser = Browser::new(&base(Vec::new(), &[]).await);
    let event = |sequence: u32, day: u32| {
        format!(
            "BEGIN:VEVENT\r\nUID:seven\r\nDTSTAMP:20260101T000000Z\r\nSEQUENCE:{sequence}\r\nSUMMARY:Wader\r\n\
             DTSTART:202705{day:02}T120000Z\r\nDTEND:202705{:02}T100000Z\r\nEND:VEVENT\r\n",
            day + 7
        )
    };
    let text = format!(
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//test//EN\r\n{}{}END:VCALENDAR\r\n",
        event(2, 10),
        event(1, 3)
    );
    let shown = send(&mut browser, &text, "look").await.text();
    assert!(shown.contains("10 May 2027") && !shown.contains("3 May 2027"), "{shown}");
    let got = send(&mut browser, &text, "take").await;
    assert!(got.to().ends_with("taken=1"), "{}", got.to());
    let again = send(&mut browser, &text, "take").await;
    assert!(again.to().ends_with("taken=0"), "what is known changes nothing: {}", again.to());
}

#[tokio::test]
async fn the_charter_of_the_base_is_on_its_pages() {
    let mut browser = Browser::new(&base(Vec::new(), &[]).await);
    for page in ["/", "/charters"] {
        let text = browser.get(page).await.text();
        assert!(text.contains(&format!("/charter/{CHARTER}")), "{page} leads to the charter");
    }
    assert_eq!(browser.get(&format!("/charter/{CHARTER}")).await.status, StatusCode::OK);
    assert_eq!(browser.get("/charter/no-such").await.status, StatusCode::NOT_FOUND);
}
