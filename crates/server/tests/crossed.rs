//! What was told by mistake is crossed out; what is known to be wrong stands wherever somebody would look for it.

#[path = "dock/base.rs"]
mod base;
mod place;

use axum::http::StatusCode;
use base::{Browser, CHARTER, base, event, not_taken, taken};
use records::{Defect, Held, Pieces, Severity, What};

fn defect(tail: u128, item: &str, words: &str, severity: Severity) -> records::Event {
    let (item, words) = (item.to_owned(), words.to_owned());
    event(-30, tail, None, What::Found(Defect { item, words, severity, photos: Vec::new(), fault: None }))
}

/// The address of the form by which something on a page is crossed out, the first after these words.
fn way_to_cross(page: &str, words: &str) -> String {
    let (_, after) = page.split_once(words).unwrap_or_else(|| panic!("it does not say {words}: {page}"));
    let (_, after) = after.split_once("href=\"/told/").expect("it can be crossed out");
    format!("/told/{}", after.split('"').next().expect("an address"))
}

#[tokio::test]
async fn a_wrong_count_is_crossed_out_with_a_reason() {
    let pieces = |count| Pieces { part: "Belt".to_owned(), count, held: Held::Ashore };
    let past = vec![
        event(-20, 5, None, What::StockCounted(pieces(4))),
        event(-10, 6, None, What::StockUsed(pieces(3))),
    ];
    let app = base(past, &[]).await;
    let mut browser = Browser::new(&app);
    let page_of_belt = "/stock/part?part=Belt";
    let address = way_to_cross(&browser.get(page_of_belt).await.text(), "Used: 3");
    let page = browser.get(&address).await;
    assert!(page.text().contains("Taken from stock: 3 × Belt."), "{}", page.text());

    not_taken(&browser.send_page(&address, &[]).await, "Write in a few words why.");
    let long = "x".repeat(501);
    let refused = browser.send_page(&address, &[("reason", &long)]).await;
    not_taken(&refused, "at most 500 letters");
    assert!(refused.text().contains(&long), "what was typed stays");

    // Sent twice on a slow line it is taken once.
    let (seal, once) = browser.sealed(&address).await;
    let form = [("seal", seal.as_str()), ("once", once.as_str()), ("reason", "Counted at the other base")];
    for _ in 0..2 {
        let got = browser.post_raw(&address, &form).await;
        taken(&got);
        assert_eq!(got.to(), page_of_belt);
    }
    let after = browser.get(page_of_belt).await.text();
    assert!(!after.contains("Used: 3") && after.contains("Counted: 4"), "{after}");
    let data = browser.get("/api/stock").await.text();
    let data: serde_json::Value = serde_json::from_str(&data).expect("JSON");
    let belt = data["parts"].as_array().expect("parts").iter().find(|part| part["part"] == "Belt");
    let belt = belt.expect("the belt");
    assert_eq!((&belt["ashore"], &belt["unit"]), (&4.into(), &"piece".into()), "{belt}");
    let events = browser.get("/export/events.csv").await.text();
    assert_eq!(events.matches("withdrawn").count(), 1, "both stay in the records: {events}");
    assert_eq!(events.matches("stock_used").count(), 1, "{events}");

    // It is not crossed out twice, nor is the crossing out.
    assert!(browser.get(&address).await.text().contains("It was crossed out or corrected already."));
    let again = browser.send_page_to(&address, &[("reason", "once more")]).await;
    assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY);
    let own = events.lines().find(|line| line.contains("withdrawn")).and_then(|line| line.split(',').next());
    let own = browser.get(&format!("/told/{}/cross-out", own.expect("its name"))).await.text();
    assert!(own.contains("It crosses something out itself."), "{own}");
    for nothing in ["/told/x/cross-out", "/told/01890000-0000-7000-8000-000000000000/cross-out"] {
        assert_eq!(browser.get(nothing).await.status, StatusCode::NOT_FOUND, "{nothing}");
    }
}

#[tokio::test]
async fn who_may_not_say_a_thing_may_not_take_it_back() {
    let sails = |defect| {
        let reason = "The crew has a lamp.".to_owned();
        event(-20, 9, Some(CHARTER), What::SailsWith { defect, covers: Severity::Safety, reason })
    };
    let dead = defect(8, "stove", "The flame goes out", Severity::Safety);
    let let_go = sails(dead.id);
    let app = base(vec![dead, let_go.clone()], &[]).await;
    let address = format!("/told/{}/cross-out", let_go.id);
    let mut skipper = Browser::new(&app);
    skipper.become_one("demo-skipper").await;
    let page = skipper.get(&address).await.text();
    assert!(page.contains("Only a manager may correct that."), "{page}");
    assert!(!page.contains("id=\"cross-button\""), "{page}");
    let refused = skipper.send_page_to(&address, &[("reason", "no")]).await;
    assert_eq!(refused.status, StatusCode::CONFLICT);
    assert!(refused.text().contains("Only a manager may correct that."), "{}", refused.text());
    let mut manager = Browser::new(&app);
    taken(&manager.send_page(&address, &[("reason", "The lamp is dead too")]).await);
    let history = manager.get(&format!("/charter/{CHARTER}")).await.text();
    assert!(history.contains("Crossed out: The lamp is dead too."), "{history}");
    // A plan is changed, not crossed out.
    let events = manager.get("/export/events.csv").await.text();
    let plan = events.lines().find(|line| line.contains("planned")).and_then(|line| line.split(',').next());
    let page = manager.get(&format!("/told/{}/cross-out", plan.expect("a plan"))).await.text();
    assert!(page.contains("A plan is changed, or the charter cancelled"), "{page}");
}

#[tokio::test]
async fn what_is_known_to_be_wrong_stands_wherever_one_would_look() {
    let app = base(vec![defect(7, "stove", "The left burner <is dead>", Severity::Hinders)], &[]).await;
    let mut browser = Browser::new(&app);
    let words = "The left burner &lt;is dead&gt;.";
    let list = "/boat/wader/steps/light_stove";
    let pages = ["/boat/wader", "/boat/wader?place=galley", "/boat/wader/items", "/boat/wader/wrong", list];
    for page in pages {
        let got = browser.get(page).await;
        assert_eq!(got.status, StatusCode::OK, "{page}");
        assert!(got.text().contains(words), "{page} does not say it: {}", got.text());
    }
    let plan = browser.get("/boat/wader").await.text();
    assert!(plan.contains("something there is known to be wrong"), "the drawing says it: {plan}");
    let boats = browser.get("/boats").await.text();
    assert!(boats.contains("1 defect is open."), "{boats}");

    // One tap leads to the form, filled in; what it says is taken as seen again, and not as another defect.
    let (_, after) = plan.split_once("Seen again: ").expect("a way to say it");
    let before = plan.len() - after.len();
    let (_, address) = plan[..before].rsplit_once("href=\"").expect("an address");
    let address = address.split('"').next().expect("it ends").replace("&amp;", "&");
    let form = browser.get(&address).await.text();
    assert!(form.contains("Is it this one?") && form.matches("checked").count() == 2, "{form}");
    let again = address.split_once("again=").expect("the defect").1.split('&').next().expect("its name");
    let fields = [("item", "stove"), ("again", again), ("words", "It is still so."), ("severity", "hinders")];
    taken(&browser.fill(&address, "/boat/wader/found", &fields).await);
    let defect = browser.get(&format!("/defect/{again}")).await.text();
    assert!(defect.contains("Seen again: It is still so."), "{defect}");
    assert!(browser.get("/boats").await.text().contains("1 defect is open."), "it is one");

    // Crossed out, nothing is known any more.
    let address = way_to_cross(&defect, "Found.");
    taken(&browser.send_page(&address, &[("reason", "It was the other boat")]).await);
    let plan = browser.get("/boat/wader").await.text();
    assert!(!plan.contains("burner") && !plan.contains("known to be wrong"), "{plan}");
    assert!(browser.get("/boats").await.text().contains("No defects are open."), "none");
}
