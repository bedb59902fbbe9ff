//! From making ready to settling.

use axum::http::StatusCode;

use crate::base::{Browser, CHARTER, base, not_taken, stop, taken};

/// Prices as a manager types them.
const PRICES: &str = r#"{"currency":"USD","deposit":"500","fuel":"2.00","hours":"12.00","free_hours":"4"}"#;

/// What somebody drew.
const DRAWN: &str = "[[[100,100],[200,120],[300,90],[400,150]],[[500,100],[500,200]]]";

/// Counts and reads all that the rules ask for on a walk.
async fn go_over(browser: &mut Browser, walk: &str, jackets: &str, hours: &str, diesel: &str) {
    taken(&browser.send_page(&stop(walk, "saloon"), &[("kit.lifejacket", jackets)]).await);
    let levels = [
        ("hours.engine", hours),
        ("tank.diesel", diesel),
        ("tank.diesel.unit", "%"),
        ("tank.port_water", "100"),
        ("tank.port_water.unit", "%"),
        ("tank.starboard_water", "80"),
        ("tank.starboard_water.unit", "L"),
        ("tank.holding", "0"),
        ("tank.holding.unit", "%"),
        ("go", "end"),
    ];
    taken(&browser.send_page(&stop(walk, "meters-and-gauges"), &levels).await);
}

async fn sign(browser: &mut Browser, walk: &str, role: &str, name: &str, how: (&str, &str)) {
    let address = format!("/charter/{CHARTER}/sign/{walk}");
    taken(&browser.send_page(&address, &[("role", role), ("name", name), how]).await);
}

async fn complete(browser: &mut Browser, walk: &str) -> crate::base::Got {
    let page = format!("/charter/{CHARTER}/sign/{walk}");
    browser.fill(&page, &format!("/charter/{CHARTER}/complete/{walk}"), &[]).await
}

#[tokio::test]
async fn a_charter_lives_by_forms_from_ready_to_settled() {
    let app = base(Vec::new(), &[("tariff", PRICES)]).await;
    let mut browser = Browser::new(&app);
    // Not out before she is ready.
    not_taken(&complete(&mut browser, "check-out").await, "can't go on yet");
    taken(&complete(&mut browser, "readying").await);
    go_over(&mut browser, "check-out", "6", "1,230.5", "100").await;
    not_taken(&complete(&mut browser, "check-out").await, "Signature of");
    taken(&browser.send_page(&stop("check-out", "what-was-shown"), &[("topic.thruster", "shown")]).await);
    sign(&mut browser, "check-out", "skipper", "Wren Halloran", ("strokes", DRAWN)).await;
    sign(&mut browser, "check-out", "base", "", ("typed", "yes")).await;
    taken(&complete(&mut browser, "check-out").await);
    let sheet = browser.get(&format!("/charter/{CHARTER}/sheet/check-out")).await.text();
    for words in [
        "1,230.5 h",
        "Wren Halloran",
        "Robin",
        "Typed and ticked, not drawn.",
        "The crew has her.",
        "M100 100L200 120",
    ] {
        assert!(sheet.contains(words), "the sheet does not say: {words}");
    }

    go_over(&mut browser, "hand-back", "5", "1,230.6", "80").await;
    not_taken(&complete(&mut browser, "hand-back").await, "Signature of");
    sign(&mut browser, "hand-back", "skipper", "Wren Halloran", ("strokes", DRAWN)).await;
    sign(&mut browser, "hand-back", "base", "", ("strokes", DRAWN)).await;
    let charges = format!("/charter/{CHARTER}/charges");
    not_taken(&browser.fill(&charges, &format!("{charges}/settle"), &[]).await, "can't be settled yet");
    taken(&complete(&mut browser, "hand-back").await);

    // A lifejacket at 95 and 20 L of diesel at 2: 135.
    let bill = browser.get(&charges).await.text();
    for words in [
        "Missing: Lifejacket, adult",
        "6 went out, 5 came back, 95.00 USD each.",
        "40.00 USD",
        "135.00 USD",
        "The base returns 365.00 USD.",
    ] {
        assert!(bill.contains(words), "the bill does not say: {words}\n{bill}");
    }
    money(&mut browser, &charges).await;
    taken(&browser.fill(&charges, &format!("{charges}/settle"), &[]).await);
    let bill = browser.get(&charges).await.text();
    assert!(bill.contains("Settled") && !bill.contains("settle-button"), "{bill}");
    let sheet = browser.get(&format!("/charter/{CHARTER}/sheet/hand-back")).await.text();
    for words in [
        "6 went out, 5 came back; 1 missing.",
        "it ran 0.1 h",
        "100 L went out, 80 L came back",
        "155.00 USD",
    ] {
        assert!(sheet.contains(words), "the sheet does not say: {words}\n{sheet}");
    }
}

/// A charge is added, another waived; both need their reason.
async fn money(browser: &mut Browser, charges: &str) {
    let add = format!("{charges}/add");
    not_taken(&browser.fill(charges, &add, &[("amount", "60")]).await, "Say what it is for.");
    not_taken(
        &browser.fill(charges, &add, &[("reason", "Sail bag"), ("amount", "60 EUR")]).await,
        "All prices here are in USD.",
    );
    taken(&browser.fill(charges, &add, &[("reason", "Sail bag lost"), ("amount", "60")]).await);
    let waive = format!("{charges}/waive");
    let key = r#"{"fuel":"diesel"}"#;
    not_taken(&browser.fill(charges, &waive, &[("key", key)]).await, "Say why it is waived.");
    taken(&browser.fill(charges, &waive, &[("key", key), ("why", "The gauge was wrong")]).await);
    let bill = browser.get(charges).await.text();
    // 95 + 40 - 40 + 60
    assert!(bill.contains("155.00 USD") && bill.contains("The gauge was wrong."), "{bill}");
}

#[tokio::test]
async fn what_is_for_others_is_refused() {
    let app = base(Vec::new(), &[]).await;
    let mut hand = Browser::new(&app);
    hand.become_one("demo-hand").await;
    for (address, status) in [
        (format!("/charter/{CHARTER}/walk/readying"), StatusCode::OK),
        (format!("/charter/{CHARTER}/walk/hand-back"), StatusCode::OK),
        (format!("/charter/{CHARTER}/walk/check-out"), StatusCode::FORBIDDEN),
        (format!("/charter/{CHARTER}/sign/check-out"), StatusCode::FORBIDDEN),
        (format!("/charter/{CHARTER}/charges"), StatusCode::OK),
        ("/settings/prices".to_owned(), StatusCode::FORBIDDEN),
        (format!("/charter/{CHARTER}/walk/sideways"), StatusCode::NOT_FOUND),
        (format!("/charter/{CHARTER}/walk/readying/nowhere"), StatusCode::NOT_FOUND),
        ("/charter/none/walk/readying".to_owned(), StatusCode::NOT_FOUND),
    ] {
        assert_eq!(hand.get(&address).await.status, status, "{address}");
    }
    let (seal, once) = hand.sealed(&format!("/charter/{CHARTER}/charges")).await;
    for tail in ["charges/waive", "charges/add", "charges/settle", "complete/check-out"] {
        let address = format!("/charter/{CHARTER}/{tail}");
        let got = hand.post_raw(&address, &[("seal", &seal), ("once", &once)]).await;
        assert_eq!(got.status, StatusCode::FORBIDDEN, "{address}");
    }
    let page = hand.get(&format!("/charter/{CHARTER}/charges")).await.text();
    assert!(
        page.contains("Prices are not set.")
            && !page.contains("waive-button")
            && !page.contains("add-button")
    );
}

#[tokio::test]
async fn a_signature_needs_a_name_and_a_drawing_or_a_tick() {
    let app = base(Vec::new(), &[]).await;
    let mut browser = Browser::new(&app);
    let address = format!("/charter/{CHARTER}/sign/check-out");
    not_taken(
        &browser.send_page(&address, &[("role", "skipper"), ("strokes", DRAWN)]).await,
        "Type the name",
    );
    let unsigned = browser.send_page(&address, &[("role", "skipper"), ("name", "Wren Halloran")]).await;
    not_taken(&unsigned, "Draw your name");
    assert!(unsigned.text().contains("value=\"Wren Halloran\""), "what was typed is lost");
    not_taken(
        &browser.send_page(&address, &[("role", "king"), ("name", "W"), ("typed", "yes")]).await,
        "as what you sign",
    );
    let wild = "[[[1,1],[2,2],[3,3],[60000,4]]]";
    not_taken(
        &browser.send_page(&address, &[("role", "skipper"), ("name", "W"), ("strokes", wild)]).await,
        "too long",
    );
    not_taken(
        &browser.send_page(&address, &[("role", "skipper"), ("name", "W"), ("strokes", "{}")]).await,
        "Draw it again",
    );
    // Sent twice it is one signature of one person.
    let (seal, once) = browser.sealed(&address).await;
    let fields = [
        ("seal", seal.as_str()),
        ("once", once.as_str()),
        ("role", "skipper"),
        ("name", "Wren Halloran"),
        ("strokes", DRAWN),
    ];
    taken(&browser.post_raw(&address, &fields).await);
    taken(&browser.post_raw(&address, &fields).await);
    let page = browser.get(&address).await.text();
    assert_eq!(page.matches("<figure").count(), 1, "{page}");
    assert_eq!(page.matches(">Wren Halloran</option>").count(), 1, "{page}");
}

#[tokio::test]
async fn with_a_safety_defect_she_sails_only_by_the_managers_word() {
    let app = base(Vec::new(), &[]).await;
    let mut browser = Browser::new(&app);
    let words = [("item", "bilge_pump"), ("words", "It does not run"), ("severity", "safety")];
    taken(&browser.send_page("/boat/wader/found", &words).await);
    let refused = complete(&mut browser, "readying").await;
    not_taken(&refused, "Defects of safety are open");
    let text = refused.text();
    let action =
        text.split_once("action=\"/charter/c-heron/sails-with/").and_then(|(_, after)| after.split_once('"'));
    let defect = action.map(|(id, _)| id.to_owned()).expect("the manager can let her go there");
    let page = format!("/charter/{CHARTER}/sign/readying");
    let address = format!("/charter/{CHARTER}/sails-with/{defect}");
    let mut skipper = Browser::new(&app);
    skipper.become_one("demo-skipper").await;
    let shown = skipper.get(&page).await.text();
    assert!(shown.contains("Only the manager can let her go") && !shown.contains("sails-with"));
    assert_eq!(skipper.fill(&page, &address, &[("reason", "hurry")]).await.status, StatusCode::FORBIDDEN);
    assert_eq!(browser.fill(&page, &address, &[("reason", " ")]).await.status, StatusCode::CONFLICT);
    taken(
        &browser
            .fill(&page, &address, &[("reason", "The hand pump is whole, and they stay in the bay")])
            .await,
    );
    taken(&complete(&mut browser, "readying").await);
}

#[tokio::test]
async fn prices_are_set_by_a_form() {
    let app = base(Vec::new(), &[]).await;
    let mut browser = Browser::new(&app);
    let wrong = browser
        .send_page("/settings/prices", &[("currency", "USD"), ("fuel", "cheap"), ("deposit", "1500")])
        .await;
    not_taken(&wrong, "cheap is no price");
    assert!(
        wrong.text().contains("value=\"cheap\"") && wrong.text().contains("value=\"1500\""),
        "what was typed is lost"
    );
    taken(
        &browser
            .send_page("/settings/prices", &[("currency", "usd"), ("fuel", "2.05"), ("deposit", "1500")])
            .await,
    );
    let page = browser.get("/settings/prices").await.text();
    assert!(page.contains("value=\"2.05\"") && !page.contains("not-set"), "{page}");
    let bill = browser.get(&format!("/charter/{CHARTER}/charges")).await.text();
    assert!(bill.contains("1500.00 USD") && !bill.contains("Prices are not set"), "{bill}");
}

#[tokio::test]
async fn a_call_is_written_down_with_its_answers() {
    let app = base(Vec::new(), &[]).await;
    let mut browser = Browser::new(&app);
    let address = format!("/charter/{CHARTER}/called");
    let page = browser.get(&format!("{address}?symptom=panel_live&a=set.house_switch.yes")).await.text();
    assert!(
        page.contains("name=\"a\" value=\"set.house_switch.yes\"")
            && page.contains("value=\"panel_live\" selected"),
        "{page}"
    );
    not_taken(&browser.send_page(&address, &[("symptom", "panel_live")]).await, "told to do");
    let call = [("symptom", "panel_live"), ("a", "set.house_switch.yes"), ("advice", "Turn the red knob")];
    taken(&browser.send_page(&address, &call).await);
    let page = browser.get(&address).await.text();
    assert!(page.contains("Turn the red knob.") && page.contains("Nothing works."), "{page}");
}

cases![
    a_charter_lives_by_forms_from_ready_to_settled,
    what_is_for_others_is_refused,
    a_signature_needs_a_name_and_a_drawing_or_a_tick,
    with_a_safety_defect_she_sails_only_by_the_managers_word,
    prices_are_set_by_a_form,
    a_call_is_written_down_with_its_answers,
];
