//! A charter's page: where it stands, what is missing, changing its plan, cancelling it, and two at one time.

use axum::http::StatusCode;
use records::{Severity, What};

use crate::base::{Browser, not_taken, taken};
use crate::past::{Told, page, section, words};

const NEW_YORK: &str = "America/New_York";
const NOW: &str = "2026-06-20T14:00:00Z";
const HERS: &str = "/charter/c-hers";
const CHANGE: &str = "/charter/c-hers/change";

/// Whimbrel's charter of the last week of June, booked by Wren Halloran.
fn told() -> Told {
    let mut told = Told::by(NEW_YORK);
    told.plan_for("Wren Halloran", "whimbrel", "c-hers", "2026-06-27T12:00", "2026-07-04T10:00");
    told
}

/// The fields of a plan: the days and times of both ends, and how many sail.
fn plan<'a>(from: (&'a str, &'a str), until: (&'a str, &'a str), crew: &'a str) -> [(&'a str, &'a str); 5] {
    [
        ("from_day", from.0),
        ("from_time", from.1),
        ("until_day", until.0),
        ("until_time", until.1),
        ("crew", crew),
    ]
}

/// The stages of the page, each with when it came, and the one where the charter stands.
fn stages(page: &str) -> (Vec<String>, String) {
    let list = page.split_once("<ol class=\"life\"").expect("the stages").1;
    let list = list.split_once("</ol>").expect("they end").0;
    let rows: Vec<&str> = list.split("<li").skip(1).collect();
    let here: Vec<&&str> = rows.iter().filter(|row| row.contains("aria-current=\"step\"")).collect();
    let text = |row: &str| words(&format!("<li{row}"));
    let name = here.first().and_then(|row| row.split_once("<strong>")?.1.split_once("</strong>"));
    assert!(here.len() <= 1, "it stands in one place");
    (rows.iter().map(|row| text(row)).collect(), name.map(|(name, _)| name.to_owned()).unwrap_or_default())
}

#[tokio::test]
async fn each_stage_is_shown_with_when_it_came() {
    let mut told = told();
    told.tell("2026-06-27T09:15", "whimbrel", Some("c-hers"), What::Readied);
    told.tell("2026-06-27T12:40", "whimbrel", Some("c-hers"), What::CheckedOut);
    let shown = page(&told.open("2026-06-28T14:00:00Z").await, HERS).await;
    let (rows, here) = stages(&shown);
    let expected = [
        "Planned Sat 10 January, 09:00",
        "Ready Sat 27 June, 09:15",
        "Checked out Sat 27 June, 12:40",
        "Out not yet",
        "Back, not settled not yet",
        "Settled not yet",
    ];
    assert_eq!(rows, expected);
    assert_eq!(here, "Checked out");
    let text = words(&shown);
    assert!(text.contains("Booked by Wren Halloran") && text.contains("Next: back, not settled"), "{text}");
}

#[tokio::test]
async fn what_is_missing_is_counted_and_a_hand_is_told_who_goes_on() {
    let mut told = told();
    let next = |app: axum::Router| async move { section(&page(&app, HERS).await, "next").expect("a next") };
    let planned = next(told.open(NOW).await).await;
    assert_eq!(planned, "Next: ready Make her ready");
    told.find("2026-06-19T10:00", "whimbrel", "The left burner does not light", Severity::Hinders);
    let defect = next(told.open(NOW).await).await;
    assert_eq!(
        defect,
        "Next: ready 1 thing is missing; the page behind the button says which. Make her ready"
    );
    told.tell("2026-06-19T11:00", "whimbrel", Some("c-hers"), What::Readied);
    let app = told.open(NOW).await;
    assert!(section(&page(&app, HERS).await, "next").is_some_and(|next| next.contains("things are missing")));
    let mut hand = Browser::new(&app);
    hand.become_one("demo-hand").await;
    let seen = section(&hand.get(HERS).await.text(), "next").expect("a next");
    assert!(seen.ends_with("Check out: a handover skipper does that."), "{seen}");
}

#[tokio::test]
async fn a_plan_is_changed_by_the_clocks_of_the_base_and_keeps_who_booked() {
    let app = told().open(NOW).await;
    let mut browser = Browser::new(&app);
    let form = browser.get(CHANGE).await;
    let fields = ["from_day", "from_time", "until_day", "until_time", "crew"];
    let value = |name: &str| {
        let text = form.text();
        let tag = text.split('<').find(|tag| tag.contains(&format!("name=\"{name}\""))).expect(name);
        tag.split_once("value=\"").expect("filled in").1.split('"').next().map(str::to_owned)
    };
    let filled: Vec<String> = fields.iter().filter_map(|name| value(name)).collect();
    assert_eq!(filled, ["2026-06-27", "12:00", "2026-07-04", "10:00", "4"]);
    let fields = plan(("2026-06-28", "13:30"), ("2026-11-01", "18:00"), "6");
    taken(&browser.send_page(CHANGE, &fields).await);
    let plan = section(&page(&app, HERS).await, "plan").expect("a plan");
    let all = "From Sun 28 June, 13:30 Until Sun 1 November, 18:00 Crew 6 people Booked by Wren Halloran";
    assert!(plan.contains(all), "{plan}");
    let events = browser.get("/export/charters.csv").await.text();
    // Before the clocks go back, and after.
    assert!(events.contains("2026-06-28T13:30:00-04:00,2026-11-01T18:00:00-05:00,6"), "{events}");
}

#[tokio::test]
async fn a_plan_that_can_not_be_is_refused_with_what_was_typed() {
    let app = told().open(NOW).await;
    let mut browser = Browser::new(&app);
    let (from, until) = (("2026-06-28", "13:30"), ("2026-07-04", "10:00"));
    for (fields, said) in [
        (plan(until, from, "4"), "The end is not after the beginning."),
        (plan(from, from, "4"), "The end is not after the beginning."),
        (plan(from, until, "0"), "from 1 to 99"),
        (plan(from, until, "100"), "from 1 to 99"),
        (plan(("2026-02-30", "13:30"), until, "4"), "Choose the day."),
        (plan(from, ("2026-07-04", "noon"), "4"), "Write the time of day"),
    ] {
        let got = browser.send_page(CHANGE, &fields).await;
        not_taken(&got, said);
        let typed = got.text().contains(&format!("value=\"{}\"", fields[0].1));
        assert!(typed, "what was typed stays: {fields:?}");
    }
    let plan = section(&page(&app, HERS).await, "plan").expect("a plan");
    assert!(plan.contains("From Sat 27 June, 12:00 Until Sat 4 July, 10:00 Crew 4 people"), "{plan}");
    assert_eq!(browser.get("/charter/c-none/change").await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_cancelled_charter_says_why_and_does_not_go_on() {
    let app = told().open(NOW).await;
    let cancel = "/charter/c-hers/cancel";
    let mut browser = Browser::new(&app);
    not_taken(&browser.fill(HERS, cancel, &[("reason", "")]).await, "Say why it will not take place");
    let long = "x".repeat(501);
    not_taken(&browser.fill(HERS, cancel, &[("reason", &long)]).await, "up to 500 letters");
    browser.become_one("demo-hand").await;
    assert!(!browser.get(HERS).await.text().contains("id=\"cancel\""));
    let refused = browser.fill(HERS, cancel, &[("reason", "Fog")]).await;
    assert_eq!(refused.status, StatusCode::FORBIDDEN);
    browser.become_one("demo-skipper").await;
    taken(&browser.fill(HERS, cancel, &[("reason", "Fog <all> week")]).await);
    let after = page(&app, HERS).await;
    assert!(after.contains("Fog &lt;all&gt; week"), "{}", words(&after));
    assert!(words(&after).contains("Cancelled. Fog") && words(&after).contains("Sam, Sat 20 June, 10:00."));
    assert!(!after.contains("id=\"cancel\"") && !after.contains("id=\"next\""));
    assert!(!after.contains(&format!("href=\"{CHANGE}\"")));
    assert_eq!(stages(&after).1, "", "it stands nowhere");
    assert!(!page(&app, "/").await.contains(HERS));
}

/// Somebody has the page open from before she left.
#[tokio::test]
async fn a_charter_whose_crew_has_her_is_not_cancelled() {
    let mut told = told();
    told.tell("2026-06-19T10:00", "whimbrel", Some("c-hers"), What::Readied);
    told.tell("2026-06-19T11:00", "whimbrel", Some("c-hers"), What::CheckedOut);
    let app = told.open(NOW).await;
    let mut browser = Browser::new(&app);
    assert!(!browser.get(HERS).await.text().contains("id=\"cancel\""));
    let got = browser.fill(HERS, "/charter/c-hers/cancel", &[("reason", "Fog")]).await;
    assert_eq!(got.status, StatusCode::CONFLICT);
    assert!(words(&got.text()).contains("can't be cancelled any more"), "{}", words(&got.text()));
    let after = page(&app, HERS).await;
    assert_eq!(stages(&after).1, "Checked out");
    assert!(!words(&after).contains("Fog"), "nothing was told");
}

/// The same with one that somebody else has cancelled meanwhile.
#[tokio::test]
async fn the_plan_of_a_cancelled_charter_is_not_changed() {
    let mut told = told();
    let reason = "Fog.".to_owned();
    told.tell("2026-06-19T10:00", "whimbrel", Some("c-hers"), What::Cancelled { reason });
    let app = told.open(NOW).await;
    let mut browser = Browser::new(&app);
    let fields = plan(("2026-06-28", "13:30"), ("2026-07-04", "10:00"), "6");
    let got = browser.fill(HERS, CHANGE, &fields).await;
    assert_eq!(got.status, StatusCode::CONFLICT);
    assert!(words(&got.text()).contains("was cancelled meanwhile"), "{}", words(&got.text()));
    assert!(section(&page(&app, HERS).await, "plan").is_some_and(|plan| plan.contains("Crew 4 people")));
}

#[tokio::test]
async fn two_charters_of_a_boat_at_one_time_are_asked_about() {
    let mut told = told();
    told.plan("whimbrel", "c-after", "2026-07-04T10:00", "2026-07-11T10:00");
    told.plan("dunlin", "c-other", "2026-06-27T12:00", "2026-07-04T10:00");
    let app = told.open(NOW).await;
    let mut browser = Browser::new(&app);
    // A minute into the next.
    let over = plan(("2026-06-27", "12:00"), ("2026-07-04", "10:01"), "4");
    let asked = browser.send_page(CHANGE, &over).await;
    not_taken(&asked, "Whimbrel is on another charter then: Sat 4 July, 10:00 to Sat 11 July, 10:00.");
    assert!(asked.text().contains("name=\"overlap\""), "it can be meant");
    // One that ends as the next begins is none, nor is that of another boat.
    let beside = plan(("2026-06-27", "12:00"), ("2026-07-04", "10:00"), "5");
    taken(&browser.send_page(CHANGE, &beside).await);
    let meant = [&over[..], &[("overlap", "yes")]].concat();
    taken(&browser.send_page(CHANGE, &meant).await);
    let fresh = |boat: &'static str| [&over[..], &[("boat", boat), ("name", "Ada Fenn")]].concat();
    not_taken(
        &browser.send_page("/charters/new", &fresh("whimbrel")).await,
        "Whimbrel is on another charter",
    );
    not_taken(&browser.send_page("/charters/new", &fresh("dunlin")).await, "Dunlin is on another charter");
    let got = browser.send_page("/charters/new", &fresh("turnstone")).await;
    taken(&got);
    assert!(words(&page(&app, got.to()).await).contains("Booked by Ada Fenn"));
}

/// Of a charter that is over the boat is free again.
#[tokio::test]
async fn a_charter_that_is_cancelled_or_back_is_in_nobodys_way() {
    let mut told = told();
    let reason = "Fog.".to_owned();
    told.tell("2026-06-19T10:00", "whimbrel", Some("c-hers"), What::Cancelled { reason });
    told.plan("dunlin", "c-back", "2026-06-13T12:00", "2026-06-30T10:00");
    for (when, what) in [("09", What::Readied), ("10", What::CheckedOut), ("11", What::HandedBack)]
        .map(|(hour, what)| (format!("2026-06-19T{hour}:00"), what))
    {
        told.tell(&when, "dunlin", Some("c-back"), what);
    }
    let app = told.open(NOW).await;
    let mut browser = Browser::new(&app);
    let days = plan(("2026-06-28", "12:00"), ("2026-07-04", "10:00"), "4");
    for boat in ["whimbrel", "dunlin"] {
        let fields = [&days[..], &[("boat", boat), ("name", "Ada Fenn")]].concat();
        taken(&browser.send_page("/charters/new", &fields).await);
    }
}

#[tokio::test]
async fn a_note_is_on_the_page_and_an_empty_one_is_not() {
    let app = told().open(NOW).await;
    let mut browser = Browser::new(&app);
    let to = "/charter/c-hers/note";
    not_taken(&browser.fill(HERS, to, &[("words", "")]).await, "Write the note");
    taken(&browser.fill(HERS, to, &[("words", "They bring a <dog>")]).await);
    let notes = page(&app, HERS).await;
    assert!(notes.contains("They bring a &lt;dog&gt;."));
    assert!(section(&notes, "notes").is_some_and(|notes| notes.contains("Robin, Sat 20 June, 10:00.")));
}
