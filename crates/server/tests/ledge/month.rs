//! The owner's month: sums that were worked out by hand, days by the clocks of the base, months without anything.

use axum::http::StatusCode;
use quantity::{Money, Time, Volume};
use records::{Amount, EventId, Held, Pieces, Priced, Reading, Severity, Walk, What};

use crate::base::Browser;
use crate::past::{Told, page, section, words};

const NEW_YORK: &str = "America/New_York";
const NOW: &str = "2026-07-20T14:00:00Z";
const JUNE: &str = "/boat/whimbrel/month/2026-06";

fn money(text: &str) -> Money {
    Money::parse(text).expect("an amount")
}

fn pieces(part: &str, count: u32) -> Pieces {
    Pieces { part: part.to_owned(), count, held: Held::Ashore }
}

fn upkeep(work: &str, parts: &[(u32, &str)], cost: &str) -> What {
    let amount = |text: &str| (!text.is_empty()).then(|| money(text));
    let parts =
        parts.iter().map(|(count, cost)| Priced { pieces: pieces("Hose", *count), cost: amount(cost) });
    What::UpkeepDone {
        line: "stove_hose".to_owned(),
        hours: None,
        parts: parts.collect(),
        took: Some(Time::minutes(30.0)),
        work: amount(work),
        cost: amount(cost),
    }
}

fn mended(defect: EventId, cost: &str) -> What {
    let words = "A new washer".to_owned();
    What::Mended { defect, words, took: None, cost: (!cost.is_empty()).then(|| money(cost)) }
}

fn filled(cost: &str) -> What {
    let amount = Amount::Volume(Volume::litres(40.0));
    What::Filled { store: "port_water".to_owned(), amount, cost: Some(money(cost)) }
}

/// What happened to Whimbrel about June 2026. A month of the base begins four hours after that of UTC.
fn told() -> Told {
    let mut told = Told::by(NEW_YORK);
    // The last minute of May, the first and the last of June, the first of July.
    told.tell("2026-05-31T23:59", "whimbrel", None, upkeep("1000.00 USD", &[], ""));
    told.tell("2026-06-01T00:00", "whimbrel", None, upkeep("30.00 USD", &[(2, "12.50 USD")], "10.00 USD"));
    told.tell("2026-06-30T23:59", "whimbrel", None, upkeep("", &[], "7.25 USD"));
    told.tell("2026-07-01T00:00", "whimbrel", None, upkeep("2000.00 USD", &[], ""));
    let defect = told.find("2026-05-20T10:00", "whimbrel", "A burner hisses", Severity::Hinders);
    told.tell("2026-06-10T10:00", "whimbrel", None, mended(defect, "45.00 USD"));
    let used = What::PartUsed { defect, pieces: pieces("Washer", 3), cost: Some(money("18.50 USD")) };
    told.tell("2026-06-10T10:05", "whimbrel", None, used);
    told.tell("2026-06-11T10:00", "whimbrel", None, mended(defect, ""));
    let words = "It is quiet.".to_owned();
    told.tell("2026-07-02T10:00", "whimbrel", None, What::Closed { defect, words });
    told.tell("2026-06-12T10:00", "whimbrel", None, filled("80.00 USD"));
    told.tell("2026-06-13T10:00", "whimbrel", None, filled("5.00 EUR"));
    // Another boat's money is her own.
    told.tell("2026-06-10T10:00", "dunlin", None, upkeep("500.00 USD", &[], ""));
    told
}

#[tokio::test]
async fn the_sums_are_those_worked_out_by_hand() {
    let page = page(&told().open(NOW).await, JUNE).await;
    let costs = section(&page, "costs").expect("costs");
    // Upkeep: 30.00 + 12.50 + 10.00 on the 1st, 7.25 on the 30th. Mending: 45.00, and washers for 18.50.
    // Work: 30.00 + 45.00. Parts: 12.50 + 18.50. All else: 10.00 + 7.25, and both fillings.
    // Together: 59.75 + 63.50 + 80.00 in dollars. The second mending has no price.
    assert_eq!(
        costs,
        "Costs Upkeep 59.75 USD Mending, work and parts 63.50 USD Filling tanks and bottles 5.00 EUR and 80.00 USD \
         All of it 5.00 EUR and 203.25 USD \
         Of that work 75.00 USD, parts 31.00 USD, all else 5.00 EUR and 97.25 USD. The whole year \
         Of 1 of these nobody said what it cost, so the sums are too small."
    );
    let done = section(&page, "upkeep").expect("upkeep");
    let rows = ["Mon 1 June 52.50 USD", "Tue 30 June 7.25 USD"];
    assert!(rows.iter().all(|row| done.contains(row)) && !done.contains("000.00"), "{done}");
    let mended = section(&page, "mended").expect("mended");
    let lines = [
        "Wed 10 June: Stove: A new washer. Work 45.00 USD.",
        "Wed 10 June: Stove: 3 × Washer, 18.50 USD.",
        "Thu 11 June: Stove: A new washer. Nobody said what the work cost.",
    ];
    assert!(lines.iter().all(|line| mended.contains(line)), "{mended}");
    let defects = section(&page, "defects").expect("defects");
    assert!(defects.contains("A burner hisses. Wed 20 May hinders closed Thu 2 July"), "{defects}");
}

/// What a month says of defects is the same whenever it is asked for.
#[tokio::test]
async fn defects_are_those_that_were_there_in_the_month() {
    let mut told = Told::by(NEW_YORK);
    let mut find = |when: &str, words: &str| told.find(when, "whimbrel", words, Severity::Hinders);
    find("2026-07-01T00:00", "Found later");
    find("2026-06-30T23:59", "Found at the end");
    let closed_before = find("2026-04-01T10:00", "Closed before");
    let closed_after = find("2026-05-01T10:00", "Closed after");
    let again_in = find("2026-04-02T10:00", "Seen again in it");
    let again_after = find("2026-04-03T10:00", "Seen again after");
    find("2026-03-01T10:00", "Never closed");
    let words = || "It is quiet.".to_owned();
    for (when, defect) in [
        ("2026-05-31T23:59", closed_before),
        ("2026-07-02T10:00", closed_after),
        ("2026-05-02T10:00", again_in),
        ("2026-05-03T10:00", again_after),
    ] {
        told.tell(when, "whimbrel", None, What::Closed { defect, words: words() });
    }
    for (when, defect) in [("2026-06-20T10:00", again_in), ("2026-07-03T10:00", again_after)] {
        let what = What::SeenAgain { defect, words: words(), severity: None, photos: Vec::new() };
        told.tell(when, "whimbrel", None, what);
    }
    let page = page(&told.open(NOW).await, JUNE).await;
    let defects = section(&page, "defects").expect("defects");
    for (words, there) in [
        ("Found later", false),
        ("Found at the end", true),
        ("Closed before", false),
        ("Closed after", true),
        ("Seen again in it", true),
        ("Seen again after", false),
        ("Never closed", true),
    ] {
        assert_eq!(defects.contains(words), there, "{words}: {defects}");
    }
}

/// The months on both sides have what happened a minute before and after.
#[tokio::test]
async fn months_and_the_year_add_up() {
    let app = told().open(NOW).await;
    let costs = |month: &'static str| {
        let app = app.clone();
        async move {
            section(&page(&app, &format!("/boat/whimbrel/month/{month}")).await, "costs").expect("costs")
        }
    };
    assert!(costs("2026-05").await.contains("Upkeep 1000.00 USD"), "{}", costs("2026-05").await);
    assert!(costs("2026-07").await.contains("Upkeep 2000.00 USD"), "{}", costs("2026-07").await);
    let mut manager = Browser::new(&app);
    let table = manager.get("/export/costs.csv").await.text();
    let rows: Vec<&str> = table.lines().filter(|row| row.starts_with("whimbrel,")).collect();
    assert_eq!(
        rows,
        [
            "whimbrel,2026-05,1000.00 USD,,,1000.00 USD,,,0",
            "whimbrel,2026-06,59.75 USD,63.50 USD,5.00 EUR + 80.00 USD,75.00 USD,31.00 USD,5.00 EUR + 97.25 USD,1",
            "whimbrel,2026-07,2000.00 USD,,,2000.00 USD,,,0",
        ]
    );
    let year = words(&page(&app, "/boat/whimbrel/costs/2026").await);
    // 1000.00 + 59.75 + 2000.00
    assert!(year.contains("3059.75 USD"), "{year}");
}

#[tokio::test]
async fn days_with_a_crew_are_those_of_the_base_and_of_the_month() {
    let mut told = Told::by(NEW_YORK);
    let stays = [
        // From the evening of 30 May to the evening of 2 June: two days of June.
        ("c-may", "2026-05-30T20:00", "2026-06-02T23:30"),
        // On the 10th one goes and another comes: it is one day. Then the 11th.
        ("c-one", "2026-06-08T12:00", "2026-06-10T10:00"),
        ("c-two", "2026-06-10T14:00", "2026-06-11T10:00"),
        // From the last hour of June, which in UTC is July.
        ("c-july", "2026-06-30T23:00", "2026-07-03T10:00"),
        // None of June.
        ("c-after", "2026-07-05T12:00", "2026-07-06T10:00"),
    ];
    for (charter, from, until) in stays {
        told.plan("whimbrel", charter, from, until);
        told.tell(from, "whimbrel", Some(charter), What::Readied);
        told.tell(from, "whimbrel", Some(charter), What::CheckedOut);
        told.tell(until, "whimbrel", Some(charter), What::HandedBack);
    }
    told.plan("whimbrel", "c-fog", "2026-06-20T12:00", "2026-06-25T10:00");
    let reason = "Fog.".to_owned();
    told.tell("2026-06-19T12:00", "whimbrel", Some("c-fog"), What::Cancelled { reason });
    for (when, hours) in [
        ("2026-05-31T22:00", 100.0),
        ("2026-06-08T12:00", 104.5),
        ("2026-06-30T23:30", 112.25),
        ("2026-07-03T10:00", 120.0),
    ] {
        let reading = Reading::EngineHours { engine: "thruster".to_owned(), hours: Time::hours(hours) };
        told.tell(when, "whimbrel", None, What::Read { walk: Walk::Between, reading });
    }
    let page = page(&told.open(NOW).await, JUNE).await;
    let charters = section(&page, "charters").expect("charters");
    // 1, 2, 8, 9, 10, 11 and 30 June.
    assert!(charters.contains("4 charters, 7 days with a crew aboard."), "{charters}");
    let links = ["c-may", "c-one", "c-two", "c-july"];
    assert!(links.iter().all(|charter| page.contains(&format!("/charter/{charter}\""))));
    assert!(!page.contains("c-after") && !page.contains("c-fog"));
    // 112.25 - 100
    let hours = section(&page, "hours").expect("hours");
    assert!(hours.contains("12.25 hours"), "{hours}");
}

#[tokio::test]
async fn a_month_without_anything_says_so() {
    let app = Told::by(NEW_YORK).open(NOW).await;
    for month in ["1970-01", "2026-02", "2200-12"] {
        let page = page(&app, &format!("/boat/whimbrel/month/{month}")).await;
        let text = words(&page);
        for said in [
            "No charters, no days with a crew aboard.",
            "No engine's meter was read yet.",
            "None was found, closed or open in this month.",
            "None was told in this month.",
            "All of it nothing told",
        ] {
            assert!(text.contains(said), "{month} does not say {said}: {text}");
        }
        assert_eq!(section(&page, "mended"), None);
        for beside in ["1969-12", "2201-01"] {
            assert!(!page.contains(beside), "{month} leads to {beside}, which is none");
        }
        assert_eq!(text.contains("The month is not over yet"), month == "2200-12", "{month}");
    }
    // July goes on until its last minute by the clocks of the base.
    for (now, over) in [("2026-08-01T03:59:00Z", false), ("2026-08-01T04:00:00Z", true)] {
        let app = Told::by(NEW_YORK).open(now).await;
        let text = words(&page(&app, "/boat/whimbrel/month/2026-07").await);
        assert_eq!(!text.contains("The month is not over yet"), over, "{now}");
    }
}

#[tokio::test]
async fn what_is_no_month_is_not_found_and_said_how_to_write_it() {
    let app = Told::by(NEW_YORK).open(NOW).await;
    let mut browser = Browser::new(&app);
    let bad = [
        "2026-13",
        "2026-00",
        "2026-6",
        "26-06",
        "1969-12",
        "2201-01",
        "2026-06-01",
        "x",
        "-026-06",
        "%2B026-06",
        "2026-%2B6",
        "2026-06%20",
        "2026%2D6",
        "99999999999-01",
        "%F0%9F%9A%A4",
    ];
    for month in bad {
        let got = browser.get(&format!("/boat/whimbrel/month/{month}")).await;
        assert_eq!(got.status, StatusCode::NOT_FOUND, "{month}");
        assert!(words(&got.text()).contains("That is no month. Write it such as 2026-06."), "{month}");
    }
    assert_eq!(browser.get("/boat/sora/month/2026-06").await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn only_the_manager_sees_it() {
    let app = told().open(NOW).await;
    let mut browser = Browser::new(&app);
    for (who, status) in [
        ("demo-hand", StatusCode::FORBIDDEN),
        ("demo-skipper", StatusCode::FORBIDDEN),
        ("demo-manager", StatusCode::OK),
    ] {
        browser.become_one(who).await;
        for address in [JUNE, "/boat/whimbrel/costs/2026", "/costs/2026"] {
            let got = browser.get(address).await;
            assert_eq!(got.status, status, "{address} by {who}");
            assert!(status == StatusCode::OK || !got.text().contains("USD"), "{address} by {who}");
        }
    }
}
