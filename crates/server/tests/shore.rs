//! Equipment, waste and tides over HTTP: for the base and for crews, as pages and as data.

mod doors;
mod place;

use axum::http::StatusCode;
use doors::{Doors, Key};
use jiff::{SignedDuration, Timestamp};

/// What a crew asks without a question is asked for its own days and people.
#[tokio::test]
async fn a_crew_is_answered_for_its_own_charter() {
    let doors = Doors::open().await;
    let path = "/boat/wader/equipment.json?rules=canada";
    let (status, data) = doors.look(Key::Crew, "/boat/wader/equipment.json").await;
    assert_eq!(status, StatusCode::OK);
    // The charter is planned for four until forty hours from now, by UTC.
    let day =
        |hours: i64| (Timestamp::now() + SignedDuration::from_hours(hours)).strftime("%Y-%m-%d").to_string();
    let asked = &data["asked"];
    assert_eq!(asked["adults"], 4);
    assert_eq!((asked["from"].as_str(), asked["until"].as_str()), (Some(&*day(-1)), Some(&*day(40))));
    // Whoever asks something is answered what they asked, on usual days.
    let (_, data) = doors.look(Key::Crew, path).await;
    assert_eq!(
        (&data["asked"]["rules"], data["asked"]["until"].as_str()),
        (&"canada".into(), Some(&*day(7 * 24)))
    );
    let (_, data) = doors.look(Key::Hand, "/boat/wader/equipment.json").await;
    assert_ne!(data["asked"]["until"].as_str(), Some(&*day(40)));
}

/// A crew's tides are for its own boat, whatever boat is named; the base may name any, but one that is there.
#[tokio::test]
async fn tides_are_for_the_boat_that_may_be_asked_about() {
    let doors = Doors::open().await;
    let other = "/tides?boat=other";
    assert_eq!(doors.ask(Key::Hand, "GET", other).await.status, StatusCode::OK);
    assert_eq!(doors.ask(Key::Hand, "GET", "/tides?boat=dodo").await.status, StatusCode::NOT_FOUND);
    assert_eq!(doors.ask(Key::Hand, "GET", "/tides").await.status, StatusCode::OK);
    assert_eq!(doors.ask(Key::Crew, "GET", other).await.status, StatusCode::OK);
    let own = doors.page(Key::Crew, other).await;
    assert!(own.contains("/boat/wader") && !own.contains("/boat/other"), "{own}");
    let base = doors.page(Key::Hand, other).await;
    assert!(base.contains("/boat/other"), "{base}");
}

#[tokio::test]
async fn programs_get_the_same_and_are_told_what_to_mend() {
    let doors = Doors::open().await;
    let day = "/tides.json?station=Boston&from=2026-07-10&days=1&at=2026-07-09T20:00";
    let (status, tide) = doors.look(Key::Hand, day).await;
    assert_eq!(status, StatusCode::OK);
    // `almanac`'s own example: 3.02 m at midnight UTC, which is eight in the evening in Boston.
    let height = tide["at"]["height_m"].as_f64().expect("a number");
    assert!((height - 3.02).abs() < 0.02, "{height}");
    let (status, waste) =
        doors.look(Key::Crew, "/boat/wader/waste.json?rules=canada&waters=coastal&off=3").await;
    assert_eq!(status, StatusCode::OK);
    assert_eq!(waste["authorities"][0]["here"]["sewage_untreated"]["verdict"], "forbidden");
    for (path, words) in [
        ("/tides.json?station=Atlantis", "Known are"),
        ("/boat/wader/waste.json?off=far", "Write it as"),
        ("/boat/wader/equipment.json?until=never", "no day of the calendar"),
    ] {
        let (status, said) = doors.look(Key::Hand, path).await;
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{path}");
        assert!(said["error"].as_str().is_some_and(|what| what.contains(words)), "{path}: {said}");
    }
}

#[tokio::test]
async fn a_charter_and_a_crew_have_the_way_with_their_days_filled_in() {
    let doors = Doors::open().await;
    for (key, path) in
        [(Key::Hand, "/charter/c-one"), (Key::Skipper, "/charter/c-one/walk/check-out"), (Key::Crew, "/crew")]
    {
        let page = doors.page(key, path).await;
        assert!(page.contains("/boat/wader/equipment?from="), "{path}");
        assert!(page.contains("&amp;adults=4"), "{path}");
    }
    let crew = doors.page(Key::Crew, "/crew").await;
    assert!(crew.contains("/boat/wader/waste") && crew.contains("/tides?boat=wader"), "{crew}");
    let anchor = doors.page(Key::Crew, "/boat/wader/anchor?rise=1.2+m&fall=0.4+m").await;
    assert!(
        anchor.contains("value=\"1.2 m\"") && !anchor.contains("role=\"alert\""),
        "rise and fall wait for the rest"
    );
}
