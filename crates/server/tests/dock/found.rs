//! Defects and damage are told, by the base and by crews.

use axum::http::StatusCode;

use records::What;

use super::photos::picture;
use crate::base::{Browser, CHARTER, base, event, not_taken, taken};

#[tokio::test]
async fn a_known_defect_is_asked_about_before_it_is_told_as_new() {
    let app = base(Vec::new(), &[]).await;
    let mut browser = Browser::new(&app);
    let address = "/boat/wader/found";
    not_taken(
        &browser.send_page(address, &[("item", "wings"), ("words", "gone")]).await,
        "Choose what it is about.",
    );
    let first = [("item", "stove"), ("words", "Left burner does not light"), ("severity", "hinders")];
    let (seal, once) = browser.sealed(address).await;
    let sent = [&[("seal", seal.as_str()), ("once", once.as_str())], &first[..]].concat();
    taken(&browser.post_raw(address, &sent).await);
    // The same page sent again is no second defect.
    taken(&browser.post_raw(address, &sent).await);
    let asked = browser.send_page(address, &first).await;
    not_taken(&asked, "known to be wrong with this already");
    let text = asked.text();
    assert!(text.contains("Yes: Left burner does not light."), "{text}");
    let defect = text
        .split_once("name=\"again\" value=\"")
        .and_then(|(_, after)| after.split_once('"'))
        .expect("the defect")
        .0
        .to_owned();
    let again =
        [("item", "stove"), ("words", "Now it smells"), ("severity", "safety"), ("again", defect.as_str())];
    taken(&browser.send_page(address, &again).await);
    let page = browser.get(&format!("/charter/{CHARTER}/sign/readying")).await.text();
    assert_eq!(page.matches("class=\"open-defect\"").count(), 1, "{page}");
    assert!(page.contains("(safety)"), "a defect that was seen again got worse: {page}");
}

#[tokio::test]
async fn damage_is_told_with_what_it_may_cost_and_a_photo() {
    let out = event(-48, 9, Some(CHARTER), What::CheckedOut);
    let app = base(vec![out], &[("tariff", r#"{"currency":"USD"}"#)]).await;
    let mut browser = Browser::new(&app);
    let address = format!("/charter/{CHARTER}/damaged");
    let (seal, once) = browser.sealed(&address).await;
    let fields = [
        ("seal", seal.as_str()),
        ("once", once.as_str()),
        ("item", "thruster"),
        ("words", "Joystick broken off"),
        ("estimate", "a lot"),
        ("defect", "hinders"),
    ];
    let got = browser.post_parts(&address, &fields, &[("photos", &picture())]).await;
    not_taken(&got, "a lot is no amount in USD");
    let photo = got.field("photo");
    assert_eq!(photo.len(), 64, "the photo that came with it is lost: {}", got.text());
    let (seal, once) = (got.field("seal"), got.field("once"));
    let fields = [
        ("seal", seal.as_str()),
        ("once", once.as_str()),
        ("item", "thruster"),
        ("words", "Joystick broken off"),
        ("estimate", "180"),
        ("defect", "hinders"),
        ("photo", &photo),
    ];
    taken(&browser.post_parts(&address, &fields, &[]).await);
    let page = browser.get(&format!("/charter/{CHARTER}/charges")).await.text();
    assert!(page.contains("Damage: Bow thruster") && page.contains("180.00 USD"), "{page}");
    let page = browser.get(&address).await.text();
    assert!(page.contains(&format!("/photo/{photo}")), "{page}");
}

#[tokio::test]
async fn a_crew_tells_by_its_link_and_sees_its_own() {
    let app = base(Vec::new(), &[]).await;
    let mut base = Browser::new(&app);
    let links = format!("/charter/{CHARTER}/links");
    let made = base.send_page(&links, &[]).await.text();
    let link = made
        .split_once("http://test/crew/")
        .and_then(|(_, after)| after.split_once('<'))
        .expect("a link")
        .0
        .to_owned();
    let mut crew = Browser::new(&app);
    taken(&crew.get(&format!("/crew/{link}")).await);
    let page = crew.get("/boat/wader/found").await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.text().contains("If someone is in danger"));
    let (seal, once) = (page.field("seal"), page.field("once"));
    let fields = [
        ("seal", seal.as_str()),
        ("once", once.as_str()),
        ("item", "stove"),
        ("words", "Burner out"),
        ("severity", "hinders"),
    ];
    taken(&crew.post_parts("/boat/wader/found", &fields, &[("photos", &picture())]).await);
    let walk = base.get(&format!("/charter/{CHARTER}/sign/readying")).await.text();
    let hash = walk
        .split_once("src=\"/photo/")
        .and_then(|(_, after)| after.split_once('"'))
        .expect("the photo is shown")
        .0
        .to_owned();
    assert_eq!(crew.get(&format!("/photo/{hash}")).await.status, StatusCode::OK);
    for sheet in ["check-out", "hand-back"] {
        assert_eq!(crew.get(&format!("/charter/{CHARTER}/sheet/{sheet}")).await.status, StatusCode::OK);
    }
    for address in [
        format!("/charter/{CHARTER}/charges"),
        format!("/charter/{CHARTER}/damaged"),
        "/charter/other/sheet/check-out".to_owned(),
    ] {
        assert_eq!(crew.get(&address).await.status, StatusCode::FORBIDDEN, "{address}");
    }
    // A photo that is of nothing of theirs is not theirs.
    let kept = base
        .post_parts(
            "/photos",
            &[("seal", &base.clone().sealed("/settings/prices").await.0)],
            &[("photos", &super::photos::other_picture())],
        )
        .await;
    let other = kept.text().split('"').find(|part| part.len() == 64).expect("a hash").to_owned();
    assert_eq!(base.get(&format!("/photo/{other}")).await.status, StatusCode::OK);
    assert_eq!(crew.get(&format!("/photo/{other}")).await.status, StatusCode::NOT_FOUND);
}

cases![
    a_known_defect_is_asked_about_before_it_is_told_as_new,
    damage_is_told_with_what_it_may_cost_and_a_photo,
    a_crew_tells_by_its_link_and_sees_its_own,
];
