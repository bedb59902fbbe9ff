//! How crews reach the base: written down by the manager, read wherever a crew may have to call.

#[path = "dock/base.rs"]
mod base;
mod place;

use axum::http::StatusCode;
use base::{Browser, base, not_taken, taken};

/// No telephone's number: all zeros.
const WORDS: &str = "VHF channel 72, by night +00 000 000 0000 <Robin>";

#[tokio::test]
async fn what_the_manager_writes_down_stands_where_a_crew_may_have_to_call() {
    let app = base(Vec::new(), &[]).await;
    let mut manager = Browser::new(&app);
    let pages = ["/boat/wader/wrong?q=xyzzy", "/boat/wader/steps/fire_on_board"];
    for page in pages {
        let text = manager.get(page).await.text();
        assert!(text.contains("on the papers that you were given"), "{page}: {text}");
    }
    assert!(manager.get("/people").await.text().contains("Nobody wrote it down yet"));
    let long = "x".repeat(201);
    let refused = manager.send_page("/reach", &[("reach", &long)]).await;
    not_taken(&refused, "at most 200 letters");
    assert!(refused.text().contains(&long), "what was typed stays");
    taken(&manager.send_page("/reach", &[("reach", &format!("  {WORDS}\n"))]).await);
    for page in pages {
        let text = manager.get(page).await.text();
        let call = "<a class=\"tel\" href=\"tel:+000000000000\">+00 000 000 0000</a> &lt;Robin&gt;";
        assert!(text.contains("VHF channel 72, by night ") && text.contains(call), "{page}: {text}");
    }
    // A tap calls a number, not a channel.
    assert_eq!(manager.get(pages[1]).await.text().matches("tel:").count(), 1);
    assert!(!manager.get("/people").await.text().contains("Nobody wrote it down yet"));
    assert!(manager.get("/reach").await.text().contains("value=\"VHF channel 72"));

    // Emptied, crews are told to look on their papers again.
    taken(&manager.send_page("/reach", &[("reach", " ")]).await);
    assert!(manager.get(pages[1]).await.text().contains("on the papers that you were given"));

    let mut skipper = Browser::new(&app);
    skipper.become_one("demo-skipper").await;
    assert_eq!(skipper.get("/reach").await.status, StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn it_is_kept_with_the_base() {
    let app = base(Vec::new(), &[("reach", "\"VHF channel 9\"")]).await;
    let mut browser = Browser::new(&app);
    let text = browser.get("/boat/wader/steps/fire_on_board").await.text();
    assert!(text.contains("The base: <strong>VHF channel 9</strong>"), "{text}");
}
