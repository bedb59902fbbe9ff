//! The briefing by its pages: planned, run topic by topic, what is owed, and what the crew reads.

#[path = "dock/base.rs"]
mod base;
mod place;

use axum::http::StatusCode;
use base::{Browser, CHARTER, Got, base, event, not_taken, taken};
use records::{Defect, Severity, What};

fn run() -> String {
    format!("/charter/{CHARTER}/briefing/run")
}

/// Begins a briefing; the address of its first topic.
async fn begin(browser: &mut Browser, minutes: &str) -> String {
    let plan = format!("/charter/{CHARTER}/briefing?minutes={minutes}&crew=some&anchoring=yes");
    let fields = [("begin", "yes"), ("minutes", minutes), ("crew", "some"), ("anchoring", "yes")];
    let begun = browser.fill(&plan, &run(), &fields).await;
    taken(&begun);
    assert!(begun.to().contains("began="), "{}", begun.to());
    begun.to().to_owned()
}

/// The key of the topic on a screen.
fn topic(page: &str) -> String {
    let after = page.split_once("name=\"topic\" value=\"").expect("a topic is on the screen").1;
    after.split('"').next().unwrap_or_default().to_owned()
}

/// Answers the topic on a screen.
async fn answer(browser: &mut Browser, address: &str, answer: &str) -> (String, base::Got) {
    let page = browser.get(address).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text());
    let key = topic(&page.text());
    let (seal, once, began) = (page.field("seal"), page.field("once"), page.field("began"));
    let minutes = page.field("minutes");
    let fields = [
        ("seal", seal.as_str()),
        ("once", once.as_str()),
        ("topic", key.as_str()),
        ("minutes", minutes.as_str()),
        ("crew", "some"),
        ("anchoring", "yes"),
        ("began", began.as_str()),
        ("answer", answer),
    ];
    (key.clone(), browser.post_raw(&run(), &fields).await)
}

#[tokio::test]
async fn a_briefing_is_run_to_its_end() {
    let app = base(Vec::new(), &[]).await;
    let mut browser = Browser::new(&app);
    let mut address = begin(&mut browser, "60").await;
    let mut gone: Vec<String> = Vec::new();
    let mut end = String::new();
    for _ in 0..200 {
        let page = browser.get(&address).await;
        if page.status == StatusCode::SEE_OTHER {
            page.to().clone_into(&mut end);
            break;
        }
        let (key, got) = answer(&mut browser, &address, "shown").await;
        taken(&got);
        assert!(!gone.contains(&key), "{key} comes twice");
        gone.push(key);
        got.to().clone_into(&mut address);
    }
    assert!(!gone.is_empty() && end.contains("/briefing/end"), "{gone:?} {end}");
    let page = browser.get(&end).await.text();
    assert!(page.contains("All that must be told or done is."), "{page}");
    assert!(page.contains(&format!("The crew did it themselves: {}", gone.len())), "{page}");
}

#[tokio::test]
async fn what_is_not_done_is_owed_and_what_is_sent_twice_counts_once() {
    let defect = Defect {
        item: "engine".to_owned(),
        words: "The stop button sticks".to_owned(),
        severity: Severity::Safety,
        photos: Vec::new(),
        fault: None,
    };
    let app = base(vec![event(-30, 7, None, What::Found(defect))], &[]).await;
    let mut browser = Browser::new(&app);
    let address = begin(&mut browser, "60").await;
    let plan = browser.get(&format!("/charter/{CHARTER}/briefing?minutes=60&crew=new")).await.text();
    assert!(plan.contains("The stop button sticks"), "a safety defect is in every briefing: {plan}");
    let defect = plan_key(&plan_json(&mut browser).await, "defect.");
    let wanted = format!("{address}&topic={defect}");
    let (key, got) = answer(&mut browser, &wanted, "not-done").await;
    assert_eq!(key, defect);
    taken(&got);
    let end = browser.get(&address.replace("/run", "/end")).await.text();
    let owed = end.split_once("Still owed").expect("something is owed").1;
    assert!(owed.contains("Engine"), "{owed}");
    // Asked for by name it can still be done.
    let (_, got) = answer(&mut browser, &wanted, "told").await;
    taken(&got);
    let end = browser.get(&address.replace("/run", "/end")).await.text();
    let told = end.split_once("Told: 1");
    assert!(told.is_some(), "{end}");
}

async fn plan_json(browser: &mut Browser) -> String {
    let got = browser.get("/boat/wader/briefing.json?minutes=60&crew=new").await;
    assert_eq!(got.status, StatusCode::OK);
    got.text()
}

fn plan_key(json: &str, begins: &str) -> String {
    let value: serde_json::Value = serde_json::from_str(json).expect("JSON");
    let topics = value["topics"].as_array().expect("topics");
    let keys = topics.iter().filter_map(|topic| topic["key"].as_str());
    keys.filter(|key| key.starts_with(begins)).map(str::to_owned).next().expect("such a topic")
}

/// Sees that an address was not understood, and that the page says what to mend.
#[track_caller]
fn not_understood(got: &Got, words: &str) {
    assert_eq!(got.status, StatusCode::BAD_REQUEST, "{}", got.text());
    assert!(got.text().contains("role=\"alert\"") && got.text().contains(words), "{}", got.text());
}

#[tokio::test]
async fn a_screen_says_what_is_wrong_and_keeps_what_was_asked() {
    let app = base(Vec::new(), &[]).await;
    let mut browser = Browser::new(&app);
    let address = begin(&mut browser, "45").await;
    let (key, got) = answer(&mut browser, &address, "perhaps").await;
    not_taken(&got, "press one of the three buttons");
    assert_eq!(topic(&got.text()), key, "the same topic is still there");
    assert_eq!(got.field("minutes"), "45");
    let (seal, once) = browser.sealed(&address).await;
    let fields = [
        ("seal", seal.as_str()),
        ("once", &once),
        ("topic", "no.such"),
        ("answer", "told"),
        ("minutes", "45"),
    ];
    not_taken(&browser.post_raw(&run(), &fields).await, "no longer in the briefing");
    for (query, words) in [
        ("minutes=3", "is no time for a talk"),
        ("minutes=60&crew=old", "none of the answers"),
        ("minutes=60&list=x", "No list"),
        ("minutes=60&began=noon", "Begin it again"),
    ] {
        let got = browser.get(&format!("/charter/{CHARTER}/briefing?{query}")).await;
        not_understood(&got, words);
        let got = browser.get(&format!("{}?{query}", run())).await;
        not_understood(&got, words);
    }
    let got = browser.get("/boat/wader/briefing.json?minutes=3").await;
    assert_eq!(got.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(browser.get("/charter/no-such/briefing").await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_briefing_that_is_over_time_still_has_what_must_be_in() {
    let app = base(Vec::new(), &[]).await;
    let mut browser = Browser::new(&app);
    let two_hours_ago = base::hours_from_now(-2).milliseconds();
    let got = browser.get(&format!("{}?minutes=60&crew=new&began={two_hours_ago}", run())).await;
    assert_eq!(got.status, StatusCode::OK, "{}", got.text());
    assert!(got.text().contains("Over time by 60:"), "{}", got.text());
    assert!(got.text().contains("Must"), "{}", got.text());
}

#[tokio::test]
async fn the_crew_reads_what_is_left_by_its_own_link() {
    let app = base(Vec::new(), &[]).await;
    let mut base_browser = Browser::new(&app);
    let reading = format!("/charter/{CHARTER}/reading");
    let seen = base_browser.get(&reading).await.text();
    assert!(seen.contains("The crew ticks these off by its own link."), "{seen}");
    let links = format!("/charter/{CHARTER}/links");
    let made = base_browser.fill(&links, &links, &[]).await;
    let token = made.text();
    let token = token.split_once("/crew/").expect("a link").1;
    let token: String =
        token.chars().take_while(|letter| letter.is_ascii_alphanumeric() || "-_".contains(*letter)).collect();
    let mut crew = Browser::new(&app);
    taken(&crew.get(&format!("/crew/{token}")).await);
    let home = crew.get("/crew").await.text();
    assert!(home.contains("To read before you sail"), "{home}");
    let page = crew.get(&reading).await;
    let keys: Vec<String> = page
        .text()
        .split("name=\"read\" value=\"")
        .skip(1)
        .map(|rest| rest.split('"').next().unwrap_or_default().to_owned())
        .collect();
    assert!(keys.len() > 2, "{keys:?}");
    not_taken(&crew.send_page(&reading, &[]).await, "Nothing is ticked");
    taken(&crew.send_page(&reading, &[("read", &keys[0]), ("read", &keys[1])]).await);
    let after = crew.get(&reading).await.text();
    assert!(!after.contains(&format!("name=\"read\" value=\"{}\"", keys[0])), "it is still to read");
    assert_eq!(after.matches("name=\"read\"").count(), keys.len() - 2);
    // What is shown afterwards is shown; that it was read before does not take it back.
    let got = base_browser.post_raw(&reading, &[("read", &keys[2])]).await;
    assert_ne!(got.status, StatusCode::SEE_OTHER, "the base reads for nobody");
}

#[tokio::test]
async fn published_lists_are_covered_line_by_line() {
    let app = base(Vec::new(), &[]).await;
    let mut browser = Browser::new(&app);
    let page = browser.get("/boat/wader/briefing/lists").await.text();
    assert!(page.matches("Every line is covered.").count() >= 4, "{page}");
    assert!(!page.contains("lines are not covered"), "{page}");
    let plan = browser.get("/boat/wader/briefing?minutes=90&crew=new&list=canada_rental_sample").await.text();
    assert!(plan.contains("papers and signatures"), "{plan}");
    let topics = browser.get("/boat/wader/briefing/topics").await;
    assert_eq!(topics.status, StatusCode::OK);
}
