//! The routes as a browser meets them: status, headers, pages, and what happens with questions that make no sense.

use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use http_body_util::BodyExt;
use jiff::tz::TimeZone;
use pages::{ForecastAsk, Moored, Outlook, Role, Site, Viewer};
use server::{App, Opening, Past, router};
use tower::ServiceExt;

const WADER: &str = include_str!("../../pages/tests/wader.toml");

/// The router of a demo base with these boats.
async fn base(files: &[(&str, &str)]) -> axum::Router {
    let files = files.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect();
    let (place, zone, past) = (store::Address::memory(), TimeZone::UTC, Past::default());
    let opening = Opening {
        base: "Test base".to_owned(),
        demo: true,
        zone,
        at: "http://test".to_owned(),
        place,
        files,
        past,
    };
    router(App::open(opening).await.expect("a store in memory opens"))
}

/// The router of a base with one sound boat and one whose file is broken.
async fn app() -> axum::Router {
    base(&[("wader.toml", WADER), ("broken.toml", "becket = 1\n[boat]\nname = \"Broken\"\n")]).await
}

struct Got {
    status: StatusCode,
    headers: axum::http::HeaderMap,
    body: String,
}

async fn ask(method: &str, address: &str) -> Got {
    let request = Request::builder()
        .method(method)
        .uri(address)
        .body(Body::empty())
        .expect("the test's request is well formed");
    let response = app().await.oneshot(request).await.expect("a router does not fail");
    let (parts, body) = response.into_parts();
    let body = body.collect().await.expect("the body is in memory").to_bytes();
    Got {
        status: parts.status,
        headers: parts.headers,
        body: String::from_utf8(body.to_vec()).expect("pages are UTF-8"),
    }
}

async fn get(address: &str) -> Got {
    ask("GET", address).await
}

#[tokio::test]
async fn every_route_answers_with_a_guarded_page() {
    let rooms = [
        "",
        "/steps",
        "/steps/light_stove",
        "/items",
        "/wrong",
        "/wrong?q=nothing",
        "/wrong/panel_live",
        "/wrong/panel_live?who=base&a=set.house_switch.yes",
        "/wrong/panel_live/guide",
        "/now",
        "/forecast",
        "/anchor",
        "/anchor?depth=5&wind=20",
        "/equipment",
        "/equipment?rules=canada&children=14+kg",
        "/waste",
        "/waste?rules=usa&waters=coastal&off=2",
        "/slips",
        "/proof",
        "/kit",
        "/upkeep",
        "/briefing",
    ];
    let mut addresses: Vec<String> = rooms.iter().map(|room| format!("/boat/wader{room}")).collect();
    addresses.extend(["/", "/boats", "/about", "/tides", "/tides?boat=wader"].map(str::to_owned));
    for address in addresses {
        let got = get(&address).await;
        assert_eq!(got.status, StatusCode::OK, "{address}");
        assert_eq!(got.headers[header::CONTENT_TYPE], "text/html; charset=utf-8", "{address}");
        let policy = got.headers[header::CONTENT_SECURITY_POLICY].to_str().unwrap();
        assert!(
            policy.starts_with("default-src 'none'") && !policy.contains("unsafe"),
            "{address}: {policy}"
        );
        assert_eq!(got.headers[header::X_CONTENT_TYPE_OPTIONS], "nosniff", "{address}");
        assert!(got.body.ends_with("</html>"), "{address}");
    }
}

#[tokio::test]
async fn what_a_page_asks_for_is_served_for_ever() {
    let page = get("/").await.body;
    for asset in pages::assets() {
        assert!(page.contains(&asset.path), "{}", asset.path);
        let got = get(&asset.path).await;
        assert_eq!((got.status, got.body.as_str()), (StatusCode::OK, asset.body));
        assert_eq!(got.headers[header::CONTENT_TYPE], asset.media);
        assert!(got.headers[header::CACHE_CONTROL].to_str().unwrap().contains("immutable"));
    }
    assert_eq!(get("/looks/becket-0000000000000000.css").await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn what_is_not_there_has_a_page_with_a_way_back() {
    for address in [
        "/nowhere",
        "/boat/dodo",
        "/boat/wader/nowhere",
        "/boat/wader/steps/fly",
        "/boat/%FF",
        "/boat/wader/steps/%FF",
        "/boat/wader/wrong/fly",
        "/boat/wader/wrong/fly/guide",
        "/boat/wader/wrong/%FF",
    ] {
        let got = get(address).await;
        assert_eq!(got.status, StatusCode::NOT_FOUND, "{address}");
        assert!(got.body.contains("There is no such page") && got.body.contains("href=\"/\""), "{address}");
    }
}

#[tokio::test]
async fn a_question_that_makes_no_sense_is_told_what_to_mend() {
    let cases = [
        ("/boat/wader/forecast?days=many", "from 1 to 28"),
        ("/boat/wader/forecast?plan=trip%20%3D%202", "To mend it:"),
        ("/boat/wader/anchor?depth=deep&wind=20", "Write it as"),
        ("/boat/wader/equipment?from=soon", "no day of the calendar"),
        ("/boat/wader/waste?waters=deep", "Choose one from the list"),
        ("/tides?boat=wader&station=Atlantis", "Known are"),
        ("/boat/wader/now?want=fact:fly", "Choose it from the list"),
        ("/boat/wader/now?is.wings=on", "no control or state"),
        ("/boat/wader/now?is.house_switch=sideways", "it has off, on"),
        ("/boat/wader/now?after=fly", "no step list"),
        ("/boat/wader/now?who=cat", "crew, skipper or base"),
        ("/boat/wader/wrong/panel_live?a=set.wings.yes", "does not belong to this case"),
        ("/boat/wader/wrong/panel_live?who=cat", "crew, skipper or base"),
        ("/boat/wader/wrong/panel_live/guide?a=fly", "does not belong to this case"),
        ("/boat/wader/slips?outcome=bliss", "Choose one from the list"),
    ];
    for (address, words) in cases {
        let got = get(address).await;
        assert_eq!(got.status, StatusCode::BAD_REQUEST, "{address}");
        assert!(got.body.contains(words), "{address} does not say: {words}");
    }
}

#[tokio::test]
async fn a_boat_that_cannot_be_read_shows_why_on_every_page() {
    for address in ["/boat/broken", "/boat/broken/steps", "/boat/broken/now"] {
        let got = get(address).await;
        assert_eq!(got.status, StatusCode::UNPROCESSABLE_ENTITY, "{address}");
        assert!(got.body.contains("To mend it:"), "{address}");
    }
    assert!(get("/boats").await.body.contains("Cannot be read"));
}

#[tokio::test]
async fn what_can_only_be_read_takes_nothing() {
    let app = app().await;
    let send = |method: &'static str, seal: String| {
        let request = Request::builder().method(method).uri("/boat/wader/now").header("x-seal", seal);
        app.clone().oneshot(request.body(Body::empty()).unwrap())
    };
    let home =
        app.clone().oneshot(Request::builder().uri("/boats").body(Body::empty()).unwrap()).await.unwrap();
    let home = home.into_body().collect().await.unwrap().to_bytes();
    let home = String::from_utf8(home.to_vec()).unwrap();
    let seal = home.split("name=\"seal\" value=\"").nth(1).unwrap().split('"').next().unwrap();
    for method in ["POST", "PUT", "DELETE"] {
        assert_eq!(send(method, String::new()).await.unwrap().status(), StatusCode::FORBIDDEN, "{method}");
        let sealed = send(method, seal.to_owned()).await.unwrap();
        assert_eq!(sealed.status(), StatusCode::METHOD_NOT_ALLOWED, "{method}");
    }
}

#[tokio::test]
async fn a_way_is_found_and_its_address_is_short() {
    let long = "/boat/wader/now?from=&want=is:burner:lit&and=&who=skipper&after=&is.house_switch=off&is.gas_bottle=shut";
    let got = get(long).await;
    assert_eq!(got.status, StatusCode::SEE_OTHER);
    let short = got.headers[header::LOCATION].to_str().unwrap().to_owned();
    assert_eq!(short, "/boat/wader/now?want=is%3Aburner%3Alit");
    let page = get(&short).await;
    assert_eq!(page.status, StatusCode::OK);
    let at = |words: &str| page.body.find(words).unwrap_or_else(|| panic!("the way lacks: {words}"));
    let (switch, bottle, knob) = (
        at("Set the house battery switch to ON."),
        at("Set the gas bottle to open."),
        at("Set the burner knob to lit."),
    );
    assert!(
        switch < bottle && bottle < knob,
        "the switch first, for the gas must not be open while the boat is dark"
    );
}

#[tokio::test]
async fn a_forecast_has_a_short_address_and_the_same_answer_on_any_number_of_cores() {
    let long = "/boat/wader/forecast?crew=2&days=3&motor=1&sail=4&starts=2027-07-10&air=usual&sky=mixed&night.1=anchor&level.house=&careful=1";
    let got = get(long).await;
    assert_eq!(got.status, StatusCode::SEE_OTHER);
    let short = got.headers[header::LOCATION].to_str().unwrap().to_owned();
    assert_eq!(short, "/boat/wader/forecast?crew=2&starts=2027-07-10&days=3&careful=1");
    let page = get(&short).await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.body.contains("Before and after"));
    let Moored::Well(vessel) = Moored::read("wader", "wader.toml", WADER) else { panic!("it compiles") };
    let pairs = [("crew", "2"), ("starts", "2027-07-10"), ("days", "3"), ("careful", "1")];
    let ask =
        ForecastAsk::read(&vessel.boat, &pairs.map(|(key, value)| (key.to_owned(), value.to_owned())), "");
    let outlook = Outlook::look(&vessel.boat, &ask, &endure::reckon);
    let (id, name) = ("demo-manager".to_owned(), "Robin".to_owned());
    let viewer = Viewer::Member { id, name, role: Role::Manager };
    let site = Site { viewer, ..Site::new("Test base", true) };
    assert!(
        page.body == pages::forecast_page(&site, &vessel, &ask, &outlook),
        "on one thread it is otherwise"
    );
}

#[tokio::test]
async fn the_form_drawn_for_one_start_can_ask_from_another() {
    // Without a script every knob is sent as it was drawn; only what differs from the drawing was chosen.
    let got = get(
        "/boat/wader/now?from=&after=switch_on&want=fact:panel_live&is.house_switch=off&is.gas_bottle=shut",
    )
    .await;
    let short = got.headers[header::LOCATION].to_str().unwrap();
    assert_eq!(short, "/boat/wader/now?want=fact%3Apanel_live&after=switch_on");
    assert!(get(short).await.body.contains("It is so already"));
}

#[tokio::test]
async fn what_cannot_be_done_is_said_with_its_reason() {
    let got = get("/boat/wader/now?want=is%3Aheading%3Aswung&is.swimmers=near").await;
    assert_eq!(got.status, StatusCode::OK);
    assert!(got.body.contains("There is no safe way"));
}

#[tokio::test]
async fn a_case_is_also_told_to_programs() {
    let got = get("/boat/wader/wrong/panel_live.json?who=base&a=set.house_switch.yes").await;
    assert_eq!(
        (got.status, &got.headers[header::CONTENT_TYPE]),
        (StatusCode::OK, &"application/json".parse().unwrap())
    );
    let data: serde_json::Value = serde_json::from_str(&got.body).expect("it is JSON");
    assert_eq!(data["symptom"]["id"], "panel_live");
    assert_eq!(data["told"][0]["token"], "set.house_switch.yes");
    for (address, status) in [
        ("/boat/wader/wrong/fly.json", StatusCode::NOT_FOUND),
        ("/boat/wader/wrong/panel_live.json?a=fly", StatusCode::BAD_REQUEST),
    ] {
        let got = get(address).await;
        assert_eq!(got.status, status, "{address}");
        let data: serde_json::Value = serde_json::from_str(&got.body).expect("it is JSON");
        assert!(data["error"].as_str().is_some_and(|what| what.ends_with('.')), "{address}");
    }
}

#[tokio::test]
async fn an_emergency_is_not_asked_about() {
    let with_signs = WADER.replace("emergency = true\ngoal", "emergency = true\nsigns = [\"Smoke.\"]\ngoal");
    let app = base(&[("wader.toml", &with_signs)]).await;
    let request = Request::builder().uri("/boat/wader/wrong/fire_on_board.1").body(Body::empty()).unwrap();
    let response = app.oneshot(request).await.unwrap();
    assert_eq!(response.status(), StatusCode::SEE_OTHER);
    assert_eq!(response.headers()[header::LOCATION], "/boat/wader/steps/fire_on_board");
}

#[tokio::test]
async fn health_is_plain_text() {
    let got = get("/health").await;
    assert_eq!(got.body, "well: 1 of 2 boats are readable, the store answers\n");
}

#[tokio::test]
async fn the_plan_answers_without_a_script() {
    let got = get("/boat/wader?place=galley&q=hob").await;
    assert!(got.body.contains("Galley, shown"), "the place is picked out on the drawing");
    assert!(got.body.contains("Two burners on gimbals."), "what is there is told");
}

#[tokio::test]
async fn the_server_stops_when_told() {
    let listener = tokio::net::TcpListener::bind("127.0.0.1:0").await.unwrap();
    let (stop, stopped) = tokio::sync::oneshot::channel::<()>();
    let (place, zone, past) = (store::Address::memory(), TimeZone::UTC, Past::default());
    let opening = Opening {
        base: "Test base".to_owned(),
        demo: false,
        zone,
        at: "http://test".to_owned(),
        place,
        files: Vec::new(),
        past,
    };
    let base = App::open(opening).await.unwrap();
    let running = tokio::spawn(server::serve_until(base, listener, async {
        let _ = stopped.await;
    }));
    stop.send(()).unwrap();
    running.await.unwrap().unwrap();
}
