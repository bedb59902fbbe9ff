//! Defects and upkeep in the office: what was told on the dock is listed, done about, and closed.

#[path = "dock/base.rs"]
mod base;
mod place;

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
    not_taken(&browser.send_page(&page, &[("do", "part"), ("rows", "3")]).await, "Say which part was used");
    let part = [("do", "part"), ("rows", "3"), ("part-1", "Belt"), ("count-1", "1"), ("cost-1", "free")];
    let refused = browser.send_page(&page, &part).await;
    not_taken(&refused, "is no amount");
    assert!(refused.text().contains("value=\"Belt\""), "what was typed stays");
    let part = [("do", "part"), ("rows", "3"), ("part-1", "Belt"), ("count-1", "1"), ("cost-1", "18.50 USD")];
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
    let to = "/upkeep/wader/stove_hose";
    assert!(browser.get("/upkeep").await.text().contains(&format!("href=\"{to}\"")));
    let (seal, once) = browser.sealed(to).await;
    let form = |fields: &[(&'static str, &'static str)]| {
        let own = [("seal", seal.clone()), ("once", once.clone())];
        let more = fields.iter().map(|(field, value)| (*field, (*value).to_owned()));
        own.into_iter().chain(more).collect::<Vec<_>>()
    };
    for (field, value, words) in [
        ("hours", "many", "no number of hours"),
        ("took", "a while", "no time that work takes"),
        ("took", "-5 min", "no time that work takes"),
        ("work", "95", "is no amount"),
        ("cost", "-1.00 USD", "is no amount"),
    ] {
        let refused = browser.post_raw(to, &borrowed(&form(&[(field, value)]))).await;
        not_taken(&refused, words);
        // A line that is not due by engine hours does not ask for them.
        let kept = refused.text().contains(&format!("value=\"{value}\""));
        assert_eq!(kept, field != "hours", "what was typed stays: {field}");
    }
    let good = form(&[("took", "1 h 10 min"), ("work", "30.00 USD"), ("cost", "10.00 USD")]);
    taken(&browser.post_raw(to, &borrowed(&good)).await);
    taken(&browser.post_raw(to, &borrowed(&good)).await);
    let after = browser.get(to).await.text();
    assert_eq!(after.matches("together 40.00 USD").count(), 1, "{after}");
    assert!(after.contains("took 1 h 10 min; work 30.00 USD; other cost 10.00 USD"), "{after}");
    assert_eq!(browser.get("/upkeep").await.text().matches("40.00 USD").count(), 1);
    assert_eq!(browser.get("/upkeep/wader/no_such").await.status, StatusCode::NOT_FOUND);
    assert_eq!(browser.get("/upkeep/heron/stove_hose").await.status, StatusCode::NOT_FOUND);
}

fn borrowed<'a>(fields: &'a [(&'static str, String)]) -> Vec<(&'static str, &'a str)> {
    fields.iter().map(|(field, value)| (*field, value.as_str())).collect()
}
