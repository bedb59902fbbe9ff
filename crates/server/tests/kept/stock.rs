//! Parts: counted, come and used by forms, taken by upkeep and mending, and what that cost.

use crate::base::{Browser, event, not_taken, taken};
use axum::Router;
use axum::http::StatusCode;
use jiff::tz::TimeZone;
use records::{Defect, Severity, What};
use server::{App, Opening, Past, router};

const WADER: &str = include_str!("../../../pages/tests/wader.toml");

/// Upkeep that takes a belt, for a boat that has none.
const BELT: &str = r#"
[upkeep.belt]
name = "Renew the belt"
item = "stove"
every = { days = 30 }
parts = ["Belt 1"]
source = "made up"
"#;

/// A base with Wader, and Stilt, who has other fuses aboard and an open defect.
async fn two() -> Router {
    let stilt = WADER.replace("Fuse 250 A", "Fuse 300 A").replace("\"Wader\"", "\"Stilt\"");
    let files = vec![("wader.toml".to_owned(), format!("{WADER}{BELT}")), ("stilt.toml".to_owned(), stilt)];
    let defect = Defect {
        item: "stove".to_owned(),
        words: "The flame is yellow".to_owned(),
        severity: Severity::Hinders,
        photos: Vec::new(),
        fault: None,
    };
    let past = Past { events: vec![event(-30, 7, None, What::Found(defect))], ..Past::default() };
    let (place, zone, at) = (crate::place::passing().await, TimeZone::UTC, "http://test".to_owned());
    let opening = Opening { base: "Test base".to_owned(), demo: true, zone, at, place, files, past };
    router(App::open(opening).await.expect("a store in memory opens"))
}

/// What stands in a row of the export of the stock, for a part and a place.
async fn count(browser: &mut Browser, part: &str, place: &str) -> Option<i64> {
    let table = browser.get("/export/stock.csv").await.text();
    let row = table.lines().find(|line| line.starts_with(&format!("{part},{place},")));
    row.map(|row| row.split(',').nth(2).expect("a count").parse().expect("a number"))
}

const PART: &str = "/stock/part";

fn about(part: &str) -> String {
    format!("{PART}?part={}", part.replace(' ', "%20"))
}

#[tokio::test]
async fn parts_are_counted_come_and_are_used() {
    let app = two().await;
    let mut browser = Browser::new(&app);
    let page = about("Belt");
    let tell = [("part", "Belt"), ("held", "ashore")];
    let with = |more: &[(&'static str, &'static str)]| [&tell, more].concat();
    for (count, words) in
        [("", "Write how many"), ("3x", "is no count"), ("-1", "is no count"), ("1000000", "is no count")]
    {
        let refused = browser.fill(&page, PART, &with(&[("do", "counted"), ("count", count)])).await;
        not_taken(&refused, words);
        assert!(refused.text().contains(&format!("value=\"{count}\"")), "what was typed stays");
    }
    not_taken(&browser.fill(&page, PART, &with(&[("do", "came"), ("count", "0")])).await, "nothing to tell");
    let strange = [("part", "Belt"), ("held", "heron"), ("do", "came"), ("count", "1")];
    not_taken(&browser.fill(&page, PART, &strange).await, "Choose where they are");
    not_taken(&browser.fill(&page, PART, &with(&[("do", "burnt"), ("count", "1")])).await, "not whole");
    let came = |cost| with(&[("do", "came"), ("count", "4"), ("cost", cost)]);
    not_taken(&browser.fill(&page, PART, &came("cheap")).await, "is no amount");

    taken(&browser.fill(&page, PART, &with(&[("do", "counted"), ("count", "0")])).await);
    taken(&browser.fill(&page, PART, &came("50.00 USD")).await);
    assert_eq!(count(&mut browser, "Belt", "ashore").await, Some(4));

    // Sent twice on a slow line it counts once; more than there are is asked again.
    let (seal, once) = browser.sealed(&page).await;
    let all =
        [&[("seal", seal.as_str()), ("once", once.as_str())][..], &with(&[("do", "used"), ("count", "3")])]
            .concat();
    taken(&browser.post_raw(PART, &all).await);
    taken(&browser.post_raw(PART, &all).await);
    assert_eq!(count(&mut browser, "Belt", "ashore").await, Some(1));
    let more = with(&[("do", "used"), ("count", "2")]);
    not_taken(&browser.fill(&page, PART, &more).await, "there are only 1 there");
    taken(&browser.fill(&page, PART, &[&more[..], &[("sure", "yes")]].concat()).await);
    assert_eq!(count(&mut browser, "Belt", "ashore").await, Some(-1));

    let text = browser.get(&page).await.text();
    for words in ["Counted: 0", "Came: 4, for 50.00 USD", "Used: 3", "Used: 2", "12.50 USD"] {
        assert!(text.contains(words), "it does not say {words}: {text}");
    }
    // By any spelling it is the same part, and a new one is told of by its name.
    let spelled = [("part", " bELT "), ("held", "ashore"), ("do", "counted"), ("count", "6")];
    taken(&browser.fill(&page, PART, &spelled).await);
    assert_eq!(count(&mut browser, "Belt", "ashore").await, Some(6));
    let tape = [("part", "Sail tape"), ("held", "stilt"), ("do", "counted"), ("count", "2")];
    taken(&browser.fill(&about("Sail tape"), PART, &tape).await);
    assert_eq!(count(&mut browser, "Sail tape", "stilt").await, Some(2));
    assert_eq!(browser.get(PART).await.status, StatusCode::SEE_OTHER);
    let long = "x".repeat(101);
    assert_eq!(browser.get(&about(&long)).await.status, StatusCode::NOT_FOUND);
}

/// Parts of different boats are told in different records; one form counts them all, once.
#[tokio::test]
async fn the_whole_store_is_counted_with_one_form() {
    let app = two().await;
    let mut browser = Browser::new(&app);
    let to = "/stock/count";
    let page = browser.get(to).await;
    let text = page.text();
    let place = |part: &str| {
        let (before, _) = text.split_once(&format!("value=\"{part}\"")).expect("it is listed");
        before.matches("name=\"part-").count() - 1
    };
    let parts = ["Belt", "Fuse 250 A", "Fuse 300 A"];
    let fields: Vec<(String, String)> = (0..text.matches("name=\"part-").count())
        .map(|at| (format!("part-{at}"), page.field(&format!("part-{at}"))))
        .chain(
            parts.iter().zip(3..).map(|(part, count)| (format!("count-{}", place(part)), count.to_string())),
        )
        .chain([("seal".to_owned(), page.field("seal")), ("once".to_owned(), page.field("once"))])
        .collect();
    let all: Vec<(&str, &str)> =
        fields.iter().map(|(field, value)| (field.as_str(), value.as_str())).collect();
    let empty: Vec<(&str, &str)> =
        all.iter().filter(|(field, _)| !field.starts_with("count")).copied().collect();
    not_taken(&browser.post_raw(to, &empty).await, "Nothing was written down");
    let bad = [&empty[..], &[("count-0", "three")]].concat();
    let refused = browser.post_raw(to, &bad).await;
    not_taken(&refused, "is no count");
    assert!(refused.text().contains("value=\"three\""), "what was typed stays");

    taken(&browser.post_raw(to, &all).await);
    taken(&browser.post_raw(to, &all).await);
    for (part, wanted) in parts.iter().zip(3..) {
        assert_eq!(count(&mut browser, part, "ashore").await, Some(wanted), "{part}");
    }
    let events = browser.get("/export/events.csv").await.text();
    assert_eq!(events.matches("stock_counted").count(), 3, "{events}");
    // Aboard, by the name that her file has.
    let page = "/stock/count?boat=stilt";
    let form = [("boat", "stilt"), ("part-0", "Fuse 300 A"), ("count-0", "2")];
    taken(&browser.fill(page, to, &form).await);
    assert_eq!(count(&mut browser, "Fuse 300 A", "stilt").await, Some(2));
    assert_eq!(browser.get("/stock/count?boat=heron").await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn upkeep_and_mending_take_parts_and_say_what_they_cost() {
    let app = two().await;
    let mut browser = Browser::new(&app);
    let came = [("part", "Belt"), ("held", "ashore"), ("do", "came"), ("count", "4"), ("cost", "50.00 USD")];
    taken(&browser.fill(&about("Belt"), PART, &came).await);

    // More rows keep what was typed.
    let line = "/upkeep/wader/belt";
    let rows = [
        ("rows", "4"),
        ("part-0", "Belt"),
        ("count-0", "1"),
        ("work", "20.00 USD"),
        ("part-3", "Tape"),
        ("more", "yes"),
    ];
    let more = browser.send_page(line, &rows).await;
    assert_eq!(more.status, StatusCode::OK);
    let text = more.text();
    assert!(text.contains("name=\"part-6\"") && !text.contains("name=\"part-7\""), "{text}");
    assert!(text.contains("value=\"Tape\"") && text.contains("value=\"20.00 USD\""), "{text}");

    // One belt by the last price, tape for which a price was typed.
    let rows = [
        ("rows", "7"),
        ("work", "20.00 USD"),
        ("part-0", "belt"),
        ("count-0", "1"),
        ("held-0", "ashore"),
        ("part-5", "Tape"),
        ("count-5", "2"),
        ("held-5", "aboard"),
        ("cost-5", "3.00 USD"),
    ];
    let without = [&rows[..], &[("part-6", "Glue")]].concat();
    not_taken(&browser.send_page(line, &without).await, "Write how many");
    let nameless = [&rows[..], &[("count-6", "1")]].concat();
    not_taken(&browser.send_page(line, &nameless).await, "Say which part it is");
    let many = [&rows[..], &[("part-6", "Glue"), ("count-6", "0")]].concat();
    not_taken(&browser.send_page(line, &many).await, "is no count");
    taken(&browser.send_page(line, &rows).await);
    let after = browser.get(line).await.text();
    assert!(
        after.contains("parts 1 \u{d7} Belt (12.50 USD), 2 \u{d7} Tape (3.00 USD); together 35.50 USD"),
        "{after}"
    );
    assert_eq!(count(&mut browser, "Belt", "ashore").await, Some(3));
    assert_eq!(count(&mut browser, "Tape", "wader").await, Some(-2));

    // A defect is mended with two parts, and closed, with one form.
    let list = browser.get("/defects").await.text();
    let id = list
        .split_once("href=\"/defect/")
        .expect("a defect")
        .1
        .split('"')
        .next()
        .expect("its name")
        .to_owned();
    let defect = format!("/defect/{id}");
    let mended = [
        ("do", "mended"),
        ("mended-words", "Jet cleaned"),
        ("mended-took", "40 min"),
        ("mended-cost", "15.00 USD"),
        ("rows", "3"),
        ("part-0", "Belt"),
        ("count-0", "2"),
        ("part-2", "Jet"),
        ("count-2", "1"),
        ("cost-2", "7.00 USD"),
        ("mended-close", "yes"),
    ];
    let bad = [&mended[..], &[("more", "yes")]].concat();
    let more = browser.send_page(&defect, &bad).await.text();
    assert!(
        more.contains("value=\"Jet cleaned\"")
            && more.contains("id=\"m-part-5\"")
            && more.contains("checked"),
        "{more}"
    );
    taken(&browser.send_page(&defect, &mended).await);
    let after = browser.get(&defect).await.text();
    for words in [
        "Mended: Jet cleaned. It took 40 min. The work cost 15.00 USD.",
        "Part used: 2 of \u{201c}Belt\u{201d}, 25.00 USD.",
        "47.00 USD (work 15.00 USD, parts 32.00 USD).",
        "Closed: Jet cleaned.",
    ] {
        assert!(after.contains(words), "it does not say {words}: {after}");
    }
    assert_eq!(count(&mut browser, "Belt", "ashore").await, Some(1));

    // The year and the files have it: 35.50 of upkeep, 47.00 of mending.
    let year = jiff::Timestamp::now().to_zoned(TimeZone::UTC).year();
    let page = browser.get(&format!("/boat/wader/costs/{year}")).await.text();
    for words in ["82.50 USD", "35.50 USD", "47.00 USD"] {
        assert!(page.contains(words), "it does not say {words}: {page}");
    }
    assert!(browser.get(&format!("/costs/{year}")).await.text().contains("82.50 USD"));
    let costs = browser.get("/export/costs.csv").await.text();
    assert!(costs.contains(",35.50 USD,47.00 USD,,35.00 USD,47.50 USD,,0\r\n"), "{costs}");
    let upkeep = browser.get("/export/upkeep.csv").await.text();
    assert!(upkeep.contains(",20.00 USD,\"1 x Belt; 2 x Tape\",15.50 USD,\r\n"), "{upkeep}");
    let parts = browser.get("/export/parts.csv").await.text();
    assert!(parts.contains("used,2,25.00 USD") && parts.contains("came,4,50.00 USD"), "{parts}");
    for nowhere in ["/boat/wader/costs/99", "/costs/soon", "/boat/heron/costs/2026", "/costs/-026"] {
        assert_eq!(browser.get(nowhere).await.status, StatusCode::NOT_FOUND, "{nowhere}");
    }
}

#[tokio::test]
async fn upkeep_is_shown_of_one_boat_or_of_all() {
    let app = two().await;
    let mut browser = Browser::new(&app);
    let all = browser.get("/upkeep").await.text();
    assert!(all.contains("/upkeep/wader/belt") && all.contains("/upkeep/stilt/stove_hose"), "{all}");
    let one = browser.get("/upkeep?boat=stilt").await.text();
    assert!(!one.contains("/upkeep/wader/") && one.contains("/upkeep/stilt/stove_hose"), "{one}");
    assert!(one.contains("value=\"stilt\" selected"), "{one}");
    let unknown = browser.get("/upkeep?boat=heron").await.text();
    assert!(unknown.contains("/upkeep/wader/belt"), "a boat that is not here is no boat: all are shown");
}

cases![
    parts_are_counted_come_and_are_used,
    the_whole_store_is_counted_with_one_form,
    upkeep_and_mending_take_parts_and_say_what_they_cost,
    upkeep_is_shown_of_one_boat_or_of_all,
];
