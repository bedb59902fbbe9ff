//! What is told at the stops of a walk: counts, readings, looks; twice, differently, and by two hands.

use axum::http::StatusCode;
use quantity::Time;
use records::{Reading, Walk, What};

use crate::base::{Browser, CHARTER, base, event, not_taken, stop, taken};

const METERS: &str = "meters-and-gauges";

fn progress(page: &str) -> &str {
    let after = page.split_once("id=\"walk-progress\">").map(|(_, after)| after);
    after.and_then(|after| after.split_once('<')).map_or("", |(words, _)| words)
}

#[tokio::test]
async fn a_form_sent_twice_counts_once_and_a_changed_one_corrects() {
    let app = base(Vec::new(), &[]).await;
    let mut browser = Browser::new(&app);
    let address = stop("readying", "saloon");
    let (seal, once) = browser.sealed(&address).await;
    let form = |count: &'static str| {
        vec![
            ("seal", seal.clone()),
            ("once", once.clone()),
            ("kit.lifejacket", count.to_owned()),
            ("note", "Bag torn".to_owned()),
        ]
    };
    for count in ["6", "6", "5", "5", "6"] {
        let fields = form(count);
        let fields: Vec<(&str, &str)> = fields.iter().map(|(name, value)| (*name, value.as_str())).collect();
        taken(&browser.post_raw(&address, &fields).await);
        let page = browser.get(&address).await.text();
        assert!(page.contains(&format!("Written: <strong>{count}</strong>")), "{count}: {page}");
        assert!(!page.contains("Hands differ"), "{page}");
    }
    let sheet = browser.get(&format!("/charter/{CHARTER}/sheet/check-out")).await.text();
    assert_eq!(sheet.matches("Bag torn.").count(), 1, "{sheet}");
    let index = browser.get(&format!("/charter/{CHARTER}/walk/readying")).await.text();
    assert!(progress(&index).starts_with("1 of "), "{}", progress(&index));
}

#[tokio::test]
async fn what_is_no_number_is_told_beside_its_field_and_the_rest_is_taken() {
    let app = base(Vec::new(), &[]).await;
    let mut browser = Browser::new(&app);
    let fields = [
        ("tank.diesel", "full"),
        ("tank.port_water", "150"),
        ("tank.port_water.unit", "%"),
        ("tank.holding", "20"),
        ("volts.house", "12.6"),
    ];
    let got = browser.send_page(&stop("hand-back", METERS), &fields).await;
    not_taken(&got, "This is not a number.");
    let text = got.text();
    assert!(text.contains("value=\"full\"") && text.contains("more than the tank holds, 100 L"), "{text}");
    assert!(text.contains("Written: <strong>12.6 V</strong>"), "what could be taken was not: {text}");
    let fields = [("kit.lifejacket", "six")];
    not_taken(&browser.send_page(&stop("hand-back", "saloon"), &fields).await, "write a whole number");
}

#[tokio::test]
async fn a_meter_that_went_back_is_refused_until_a_new_one_is_told() {
    let reading = Reading::EngineHours { engine: "engine".to_owned(), hours: Time::hours(1234.5) };
    let before = event(-24, 7, None, What::Read { walk: Walk::Between, reading });
    let app = base(vec![before], &[]).await;
    let mut browser = Browser::new(&app);
    let address = stop("hand-back", METERS);
    let page = browser.get(&address).await.text();
    assert!(page.contains("Before: 1,234.5 h (at the base, "), "{page}");
    let back = browser.send_page(&address, &[("hours.engine", "1,134.5")]).await;
    not_taken(
        &back,
        "It showed 1,234.5 h 24 hours ago; you wrote 1,134.5 h: the meter went back. Look again.",
    );
    // Saying it again does not make it possible.
    let sure = [("hours.engine", "1,134.5"), ("sure.hours.engine", "1,134.5")];
    not_taken(&browser.send_page(&address, &sure).await, "the meter went back");
    // More than the clock is asked again, and taken when it is said again.
    let far = browser.send_page(&address, &[("hours.engine", "1300")]).await;
    not_taken(&far, "longer than there was time. Look again.");
    assert!(
        far.text().contains("It does show that")
            && far.text().contains("name=\"sure.hours.engine\" value=\"1300\"")
    );
    // The tick holds for the figure that it was set for.
    not_taken(
        &browser.send_page(&address, &[("hours.engine", "1400"), ("sure.hours.engine", "1300")]).await,
        "Look again",
    );
    taken(&browser.send_page(&address, &[("hours.engine", "1300"), ("sure.hours.engine", "1300")]).await);
    // A typing slip of this walk is corrected without asking about itself.
    taken(&browser.send_page(&address, &[("hours.engine", "1,240")]).await);
    taken(
        &browser
            .send_page(&stop("check-out", METERS), &[("hours.engine", "0.1"), ("new.hours.engine", "0")])
            .await,
    );
}

#[tokio::test]
async fn a_filled_tank_may_be_fuller() {
    let app = base(Vec::new(), &[]).await;
    let mut browser = Browser::new(&app);
    taken(
        &browser
            .send_page(&stop("check-out", METERS), &[("tank.diesel", "30"), ("tank.diesel.unit", "%")])
            .await,
    );
    let address = stop("hand-back", METERS);
    let fuller = [("tank.diesel", "90"), ("tank.diesel.unit", "%")];
    not_taken(&browser.send_page(&address, &fuller).await, "nobody wrote down that it was filled");
    let filled = [&fuller[..], &[("fill.diesel", "60"), ("fill.diesel.cost", "much")]].concat();
    not_taken(&browser.send_page(&address, &filled).await, "has no currency");
    let filled = [&fuller[..], &[("fill.diesel", "60"), ("fill.diesel.cost", "111.00 USD")]].concat();
    taken(&browser.send_page(&address, &filled).await);
    let page = browser.get(&address).await.text();
    assert!(page.contains("Written: <strong>90 % (about 90 L)</strong>"), "{page}");
}

#[tokio::test]
async fn two_hands_who_differ_are_both_shown_until_somebody_says_which_is_right() {
    let app = base(Vec::new(), &[]).await;
    let (mut one, mut other) = (Browser::new(&app), Browser::new(&app));
    other.become_one("demo-skipper").await;
    let address = stop("check-out", "saloon");
    taken(&one.send_page(&address, &[("kit.lifejacket", "6")]).await);
    taken(&other.send_page(&address, &[("kit.lifejacket", "5")]).await);
    let page = one.get(&address).await;
    let text = page.text();
    assert!(text.contains("Hands differ.") && text.contains("Robin, ") && text.contains("Sam, "), "{text}");
    let index = one.get(&format!("/charter/{CHARTER}/walk/check-out")).await.text();
    assert!(index.contains("hands differ") && index.contains("Say there which is right."), "{index}");
    // The value of the button beside the five.
    let button =
        text.split("name=\"right\" value=\"").find(|part| part.contains(">5 is right<")).expect("a button");
    let right = button.split_once('"').map(|(id, _)| id).expect("an event");
    let got = one.send_page(&address, &[("kit.lifejacket", "6"), ("right", right)]).await;
    taken(&got);
    let text = one.get(&address).await.text();
    assert!(
        !text.contains("Hands differ") && text.matches("Written: <strong>5</strong>").count() == 2,
        "{text}"
    );
}

#[tokio::test]
async fn what_is_not_ok_leads_on_to_a_defect_with_the_item_filled_in() {
    let app = base(Vec::new(), &[]).await;
    let mut browser = Browser::new(&app);
    let address = stop("hand-back", "galley");
    let got = browser
        .send_page(&address, &[("item.stove", "not-ok"), ("item.stove.note", "Knob broken"), ("go", "next")])
        .await;
    assert_eq!((got.status, got.to()), (StatusCode::SEE_OTHER, format!("{address}#item.stove").as_str()));
    let page = browser.get(&address).await.text();
    assert!(
        page.contains(
            "/boat/wader/found?item=stove&amp;words=Knob%20broken&amp;charter=c-heron&amp;walk=hand-back"
        ),
        "{page}"
    );
    assert!(page.contains("/charter/c-heron/damaged?item=stove"), "{page}");
    let form = browser.get("/boat/wader/found?item=stove&words=Knob%20broken&charter=c-heron").await.text();
    assert!(form.contains("value=\"stove\" selected") && form.contains("Knob broken</textarea>"), "{form}");
}

cases![
    a_form_sent_twice_counts_once_and_a_changed_one_corrects,
    what_is_no_number_is_told_beside_its_field_and_the_rest_is_taken,
    a_meter_that_went_back_is_refused_until_a_new_one_is_told,
    a_filled_tank_may_be_fuller,
    two_hands_who_differ_are_both_shown_until_somebody_says_which_is_right,
    what_is_not_ok_leads_on_to_a_defect_with_the_item_filled_in,
];
