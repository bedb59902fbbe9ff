//! Defects and upkeep in the office: what was told on the dock is listed, done about, and closed.

#[path = "dock/base.rs"]
mod base;

use axum::http::StatusCode;
use base::{Browser, base, event, not_taken, taken};
use records::{Defect, Severity, What};

fn found(words: &str, severity: Severity) -> What {
    let defect = Defect {
        item: "engine".to_owned(),
        words: words.to_owned(),
        severity,
        photos: Vec::new(),
        fault: None,
    };
    What::Found(defect)
}

/// The address of the only defect.
async fn defect(browser: &mut Browser) -> String {
    let list = browser.get("/defects").await;
    assert_eq!(list.status, StatusCode::OK);
    let text = list.text();
    let tail = text.split_once("href=\"/defect/").expect("a defect is listed").1;
    format!("/defect/{}", tail.split('"').next().unwrap_or_default())
}

#[tokio::test]
async fn a_defect_is_told_of_mended_and_closed() {
    let app = base(vec![event(-30, 7, None, found("The belt squeals", Severity::Safety))], &[]).await;
    let mut browser = Browser::new(&app);
    let page = defect(&mut browser).await;
    assert!(browser.get("/defects").await.text().contains("The belt squeals"));

    not_taken(
        &browser.send_page(&page, &[("do", "task"), ("task-words", "")]).await,
        "Write it in a few words",
    );
    let task = [("do", "task"), ("task-words", "Tighten the belt"), ("by", "2030-05-01")];
    taken(&browser.send_page(&page, &task).await);
    let part =
        [("do", "part"), ("part-words", "Belt"), ("count", "1"), ("held", "ashore"), ("part-cost", "free")];
    not_taken(&browser.send_page(&page, &part).await, "is no amount");
    let part = [
        ("do", "part"),
        ("part-words", "Belt"),
        ("count", "1"),
        ("held", "ashore"),
        ("part-cost", "18.50 USD"),
    ];
    taken(&browser.send_page(&page, &part).await);
    taken(&browser.send_page(&page, &[("do", "mended"), ("mended-words", "A new belt")]).await);
    let open = browser.get(&page).await.text();
    for words in ["To be done: Tighten the belt.", "By Wed 1 May 2030", "18.50", "Mended: A new belt."] {
        assert!(open.contains(words), "it does not say {words}");
    }
    taken(&browser.send_page(&page, &[("do", "close"), ("close-words", "It runs quietly")]).await);
    let closed = browser.get(&page).await.text();
    assert!(closed.contains("Closed: It runs quietly.") && !closed.contains("name=\"do\""));
    assert!(browser.get("/defects").await.text().contains("No defects are open."));
}

#[tokio::test]
async fn only_the_manager_lets_a_boat_sail_with_a_safety_defect() {
    let app = base(vec![event(-30, 7, None, found("No oil pressure", Severity::Safety))], &[]).await;
    let mut browser = Browser::new(&app);
    let page = defect(&mut browser).await;
    let fields = [("do", "sails"), ("sails-words", "A mechanic has looked at the gauge")];
    browser.become_one("demo-hand").await;
    assert!(!browser.get(&page).await.text().contains("value=\"sails\""));
    assert_eq!(browser.send_page(&page, &fields).await.status, StatusCode::FORBIDDEN);
    browser.become_one("demo-manager").await;
    taken(&browser.send_page(&page, &fields).await);
    assert!(
        browser.get(&page).await.text().contains("She sails with it: A mechanic has looked at the gauge.")
    );
}

#[tokio::test]
async fn an_unknown_defect_is_not_found() {
    let app = base(Vec::new(), &[]).await;
    let mut browser = Browser::new(&app);
    for name in ["019748c2", "019748c2-1c00-7000-8000-000000000001"] {
        assert_eq!(browser.get(&format!("/defect/{name}")).await.status, StatusCode::NOT_FOUND);
    }
}

#[tokio::test]
async fn upkeep_is_told_as_done_once_however_often_the_form_is_sent() {
    let app = base(Vec::new(), &[]).await;
    let mut browser = Browser::new(&app);
    let page = browser.get("/upkeep").await;
    assert_eq!(page.status, StatusCode::OK);
    let (seal, once, line) = (page.field("seal"), page.field("once"), page.field("line"));
    assert!(!line.is_empty(), "the boat has a service plan: {}", page.text());
    let to = "/upkeep/wader/done";
    let bad =
        [("seal", seal.as_str()), ("once", &once), ("boat", "wader"), ("line", &line), ("hours", "many")];
    not_taken(&browser.post_raw(to, &bad).await, "no number of hours");
    let good =
        [("seal", seal.as_str()), ("once", &once), ("boat", "wader"), ("line", &line), ("cost", "40.00 USD")];
    taken(&browser.post_raw(to, &good).await);
    taken(&browser.post_raw(to, &good).await);
    let after = browser.get("/upkeep").await.text();
    assert_eq!(after.matches("40.00").count(), 1, "{after}");
    let other = [("seal", seal.as_str()), ("once", &once), ("boat", "wader"), ("line", "no_such")];
    not_taken(&browser.post_raw(to, &other).await, "no such line");
}
