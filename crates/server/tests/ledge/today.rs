//! Today: who leaves, who comes back, who is late, what is not ready, by the clocks of the base.

use records::{Severity, What};

use crate::base::{Browser, taken};
use crate::past::{Told, page, section, words};

const NEW_YORK: &str = "America/New_York";

/// Half past eleven in the evening of 26 June, by the clocks of the base; in UTC it is the 27th.
const EVENING: &str = "2026-06-27T03:30:00Z";

fn part(page: &str, id: &str) -> String {
    section(page, id).unwrap_or_else(|| panic!("there is no {id}: {}", words(page)))
}

fn told() -> Told {
    Told::by(NEW_YORK)
}

/// A charter that has come as far as these stages.
fn gone(told: &mut Told, boat: &str, charter: &str, days: (&str, &str), stages: &[What]) {
    told.plan(boat, charter, days.0, days.1);
    for (at, what) in stages.iter().enumerate() {
        told.tell(&format!("2026-06-0{}T10:00", at + 1), boat, Some(charter), what.clone());
    }
}

#[tokio::test]
async fn days_are_those_of_the_base_also_just_before_midnight() {
    let mut told = told();
    told.plan("whimbrel", "c-tomorrow", "2026-06-27T23:50", "2026-07-04T10:00");
    told.plan("dunlin", "c-after", "2026-06-28T00:10", "2026-07-04T10:00");
    told.plan("turnstone", "c-tonight", "2026-06-26T23:45", "2026-07-04T10:00");
    told.plan("turnstone", "c-week", "2026-07-03T23:50", "2026-07-08T10:00");
    told.plan("dunlin", "c-later", "2026-07-04T00:10", "2026-07-09T10:00");
    let page = page(&told.open(EVENING).await, "/").await;
    assert!(words(&page).contains("Fri 26 June at Juniper Ledge"), "{}", words(&page));
    let leaving = part(&page, "leaving");
    let rows = ["Turnstone today, 23:45 4 people", "Whimbrel tomorrow, 23:50 4 people"];
    let places: Vec<Option<usize>> = rows.iter().map(|row| leaving.find(row)).collect();
    assert!(places[0].is_some() && places[0] < places[1], "{leaving}");
    assert!(!leaving.contains("Dunlin"), "{leaving}");
    let next = part(&page, "next");
    assert!(next.contains("Dunlin Sun 28 June, 00:10") && next.contains("Turnstone Fri 3 July, 23:50"));
    assert!(!page.contains("/charter/c-later"), "it is more than a week away");
    assert_eq!(section(&page, "late"), None, "a quarter of an hour is left");
}

#[tokio::test]
async fn who_is_late_is_said_first_with_what_was_due() {
    let out = [What::Readied, What::CheckedOut];
    let mut told = told();
    told.plan("whimbrel", "c-stays", "2026-06-26T23:29", "2026-07-04T10:00");
    gone(&mut told, "dunlin", "c-away", ("2026-06-19T12:00", "2026-06-26T23:29"), &out);
    gone(&mut told, "turnstone", "c-due", ("2026-06-19T12:00", "2026-06-26T23:31"), &out);
    let page = page(&told.open(EVENING).await, "/").await;
    assert_eq!(
        part(&page, "late"),
        "Late Dunlin is not back. She was due today, 23:29. \
         Whimbrel has not been checked out. She was to leave today, 23:29."
    );
    let back = part(&page, "coming-back");
    assert!(back.contains("Dunlin today, 23:29 Late") && !back.contains("23:31 Late"), "{back}");
    assert!(part(&page, "leaving").contains("Whimbrel today, 23:29 Late"));
}

#[tokio::test]
async fn a_charter_stands_where_its_stage_puts_it_and_is_gone_when_it_is_over() {
    let stages = [What::Readied, What::CheckedOut, What::HandedBack, What::Settled];
    let mut told = told();
    gone(&mut told, "whimbrel", "c-out", ("2026-06-20T12:00", "2026-06-28T10:00"), &stages[..2]);
    gone(&mut told, "dunlin", "c-owed", ("2026-06-19T12:00", "2026-06-26T10:00"), &stages[..3]);
    gone(&mut told, "turnstone", "c-settled", ("2026-06-19T12:00", "2026-06-26T10:00"), &stages);
    told.plan("turnstone", "c-cancelled", "2026-06-27T12:00", "2026-07-04T10:00");
    let reason = "Fog.".to_owned();
    told.tell("2026-06-20T10:00", "turnstone", Some("c-cancelled"), What::Cancelled { reason });
    let page = page(&told.open(EVENING).await, "/").await;
    assert!(
        part(&page, "out").contains("Whimbrel Sun 28 June, 10:00 4 people Checked out"),
        "{}",
        part(&page, "out")
    );
    assert!(part(&page, "owed").contains("Dunlin today, 10:00 4 people Back, not settled Settle"));
    for over in ["c-settled", "c-cancelled"] {
        assert!(!page.contains(over), "{over} is over");
    }
    assert!(part(&page, "leaving").contains("Nobody leaves today or tomorrow."));
    assert!(part(&page, "coming-back").contains("Nobody comes back today or tomorrow."));
    assert!(part(&page, "next").contains("Nobody leaves in the week after."));
    assert_eq!(section(&page, "safety"), None);
}

#[tokio::test]
async fn what_is_not_ready_is_said_before_she_goes_and_not_while_she_is_out() {
    let mut told = told();
    let days = ("2026-06-27T12:00", "2026-07-04T10:00");
    gone(&mut told, "whimbrel", "c-planned", days, &[]);
    gone(&mut told, "dunlin", "c-ready", days, &[What::Readied]);
    let since = ("2026-06-19T12:00", "2026-06-27T10:00");
    gone(&mut told, "turnstone", "c-out", since, &[What::Readied, What::CheckedOut]);
    told.find("2026-06-25T10:00", "whimbrel", "The left burner does not light", Severity::Hinders);
    let app = told.open(EVENING).await;
    let home = page(&app, "/").await;
    let row = |charter: &str| {
        let start = home.find(&format!("id=\"row-{charter}\"")).expect("a row");
        words(&home[start..start + home[start..].find("</tr>").expect("it ends")])
    };
    let planned = row("c-planned");
    assert!(planned.contains("Planned") && planned.contains("Ready her"), "{planned}");
    assert!(planned.contains("Open defect (hinders): Stove. The left burner does not light."), "{planned}");
    let ready = row("c-ready");
    assert!(ready.contains("Signature of the crew's skipper is missing."), "{ready}");
    assert!(ready.contains("Check out") && !ready.contains("The left burner"), "{ready}");
    let out = row("c-out");
    assert!(out.contains("Take back") && !out.contains("missing") && !out.contains("to count"), "{out}");
    // A hand can't check out; the page says who does.
    let mut hand = Browser::new(&app);
    hand.become_one("demo-hand").await;
    let seen = words(&hand.get("/").await.text());
    assert!(seen.contains("Next: check out, by a handover skipper.") && !seen.contains("Plan a charter"));
}

#[tokio::test]
async fn an_open_safety_defect_is_on_top_until_it_is_closed() {
    let mut told = told();
    let grave = told.find("2026-06-25T10:00", "whimbrel", "Gas smells in the locker", Severity::Safety);
    told.find("2026-06-25T11:00", "dunlin", "A handle is loose", Severity::Cosmetic);
    let app = told.open(EVENING).await;
    let home = page(&app, "/").await;
    assert_eq!(
        part(&home, "safety"),
        "Open safety defects Whimbrel, Stove: Gas smells in the locker. Robin, Thu 25 June, 10:00. All defects"
    );
    assert!(home.find("id=\"safety\"") < home.find("id=\"leaving\""));
    let mut manager = Browser::new(&app);
    let close = [("do", "close"), ("close-words", "The hose is new")];
    taken(&manager.send_page(&format!("/defect/{grave}"), &close).await);
    assert_eq!(section(&page(&app, "/").await, "safety"), None);
}

/// On 1 November 2026 the clocks of New York go back at two, so that the hour from one comes twice and the day has 25.
#[tokio::test]
async fn when_clocks_go_back_the_day_keeps_its_charters() {
    let out = [What::Readied, What::CheckedOut];
    let mut told = told();
    told.plan("whimbrel", "c-first", "2026-11-01T01:30:00-04:00", "2026-11-07T10:00");
    told.plan("dunlin", "c-second", "2026-11-01T01:30:00-05:00", "2026-11-07T10:00");
    // Half past midnight of the 3rd, if nobody had set the clock back.
    told.plan("turnstone", "c-monday", "2026-11-02T23:30", "2026-11-07T10:00");
    gone(&mut told, "turnstone", "c-back", ("2026-10-24T12:00", "2026-11-02T23:59"), &out);
    gone(&mut told, "dunlin", "c-out", ("2026-10-24T12:00", "2026-11-03T00:01"), &out);
    // Ten past one by the first of both hours.
    let page = page(&told.open("2026-11-01T05:40:00Z").await, "/").await;
    assert_eq!(part(&page, "late"), "Late Whimbrel has not been checked out. She was to leave today, 01:30.");
    let leaving = part(&page, "leaving");
    for row in ["Whimbrel today, 01:30 Late", "Dunlin today, 01:30 4", "Turnstone tomorrow, 23:30"] {
        assert!(leaving.contains(row), "{row}: {leaving}");
    }
    assert!(part(&page, "coming-back").contains("Turnstone tomorrow, 23:59"));
    assert!(part(&page, "out").contains("Dunlin Tue 3 November, 00:01"));
}

/// On 8 March 2026 they go forward at two, so that the day has 23 hours.
#[tokio::test]
async fn when_clocks_go_forward_no_charter_slips_a_day() {
    let mut told = told();
    told.plan("whimbrel", "c-early", "2026-03-08T03:30", "2026-03-14T10:00");
    told.plan("dunlin", "c-night", "2026-03-09T23:40", "2026-03-14T10:00");
    told.plan("turnstone", "c-next", "2026-03-10T00:20", "2026-03-14T10:00");
    // Ten to two: half past three is forty minutes away.
    let page = page(&told.open("2026-03-08T06:50:00Z").await, "/").await;
    assert_eq!(section(&page, "late"), None);
    let leaving = part(&page, "leaving");
    assert!(leaving.contains("Whimbrel today, 03:30") && leaving.contains("Dunlin tomorrow, 23:40"));
    assert!(part(&page, "next").contains("Turnstone Tue 10 March, 00:20"), "{}", part(&page, "next"));
}
