//! A base with one boat and one charter, and browsers that send its forms.
#![allow(dead_code, reason = "each suite uses a part of it")]

use std::collections::BTreeMap;

use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use http_body_util::BodyExt;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use records::{AccountId, BoatId, CharterId, DeviceId, Event, EventId, Hand, Moment, Plan, What};
use server::{App, Opening, Past, router};
use tower::ServiceExt;

/// The charter of these tests.
pub(crate) const CHARTER: &str = "c-heron";

const WADER: &str = include_str!("../../../pages/tests/wader.toml");

/// An engine with a meter, and the diesel that it burns, for a boat that has neither.
const ENGINE: &str = r#"
[items.engine]
name = "Engine"
place = "engine_bilge"

[stores.diesel]
name = "Diesel"
kind = "diesel"
capacity = "100 L"
gauge_error = "5 %"

[loads.engine_fuel]
name = "Diesel for the engine"
item = "engine"
kind = "diesel"
runs = "engine"
burns = "2.5 L/h"
at = "2200 rpm"
from = ["diesel"]
"#;

/// Milliseconds since 1970 so many hours from now.
pub(crate) fn hours_from_now(hours: i64) -> Moment {
    let now = Timestamp::now().as_millisecond();
    Moment::from_milliseconds(now + hours * 3_600_000)
}

/// An event of the base from before these tests.
pub(crate) fn event(hours: i64, tail: u128, charter: Option<&str>, what: What) -> Event {
    let at = hours_from_now(hours);
    let who = Hand::Account(AccountId::new("demo-manager"));
    let made = Event::new(
        EventId::version_7(at, tail),
        at,
        who,
        DeviceId::new("office"),
        BoatId::new("wader"),
        what,
    );
    match charter {
        Some(charter) => made.on(CharterId::new(charter)),
        None => made,
    }
}

fn plan() -> What {
    let local = |hours: i64| {
        let at =
            Timestamp::from_millisecond(hours_from_now(hours).milliseconds()).expect("a time of these years");
        at.to_string().replace('Z', "+00:00").parse().expect("RFC 3339")
    };
    What::Planned(Plan { from: local(-2), until: local(7 * 24), crew: Some(4), booked: None })
}

/// A base whose past has these events besides the charter's plan.
pub(crate) async fn base(more: Vec<Event>, settings: &[(&str, &str)]) -> axum::Router {
    let files = vec![("wader.toml".to_owned(), format!("{WADER}{ENGINE}"))];
    let mut events = vec![event(-72, 1, Some(CHARTER), plan())];
    events.extend(more);
    let settings = settings.iter().map(|(key, json)| ((*key).to_owned(), (*json).to_owned())).collect();
    let past = Past { events, persons: Vec::new(), settings };
    let (place, zone, at) = (crate::place::passing().await, TimeZone::UTC, "http://test".to_owned());
    let opening = Opening { base: "Test base".to_owned(), demo: true, zone, at, place, files, past };
    router(App::open(opening).await.expect("a store in memory opens"))
}

/// What a page answered.
#[derive(Debug)]
pub(crate) struct Got {
    pub(crate) status: StatusCode,
    pub(crate) headers: axum::http::HeaderMap,
    pub(crate) bytes: Vec<u8>,
}

impl Got {
    pub(crate) fn text(&self) -> String {
        String::from_utf8_lossy(&self.bytes).into_owned()
    }

    /// Where it leads on to.
    pub(crate) fn to(&self) -> &str {
        self.headers.get(header::LOCATION).map_or("", |value| value.to_str().expect("an address"))
    }

    /// The value of the page's first field of that name.
    pub(crate) fn field(&self, name: &str) -> String {
        let text = self.text();
        let after = text.split_once(&format!("name=\"{name}\" value=\"")).map(|(_, after)| after);
        after.and_then(|after| after.split_once('"')).map(|(value, _)| value.to_owned()).unwrap_or_default()
    }
}

/// A browser: it keeps its cookies.
#[derive(Clone)]
pub(crate) struct Browser {
    app: axum::Router,
    cookies: BTreeMap<String, String>,
}

impl Browser {
    pub(crate) fn new(app: &axum::Router) -> Self {
        Self { app: app.clone(), cookies: BTreeMap::new() }
    }

    async fn send(&mut self, mut request: axum::http::request::Builder, body: Vec<u8>) -> Got {
        if !self.cookies.is_empty() {
            let all: Vec<String> =
                self.cookies.iter().map(|(name, value)| format!("{name}={value}")).collect();
            request = request.header(header::COOKIE, all.join("; "));
        }
        let request = request.body(Body::from(body)).expect("a sound request");
        let (parts, body) =
            self.app.clone().oneshot(request).await.expect("a router does not fail").into_parts();
        for cookie in parts.headers.get_all(header::SET_COOKIE) {
            let pair = cookie.to_str().expect("text").split(';').next().unwrap_or_default();
            let (name, value) = pair.split_once('=').expect("a cookie");
            self.cookies.insert(name.to_owned(), value.to_owned());
        }
        let bytes = body.collect().await.expect("the body is in memory").to_bytes().to_vec();
        Got { status: parts.status, headers: parts.headers, bytes }
    }

    pub(crate) async fn get(&mut self, address: &str) -> Got {
        self.send(Request::builder().uri(address), Vec::new()).await
    }

    /// Becomes another of the demonstration's people.
    pub(crate) async fn become_one(&mut self, account: &str) {
        let page = self.get("/sign-in").await;
        let seal = page.field("seal");
        let got = self.post_raw("/demo/as", &[("seal", &seal), ("account", account)]).await;
        assert_eq!(got.status, StatusCode::SEE_OTHER, "{}", got.text());
    }

    pub(crate) async fn post_raw(&mut self, address: &str, fields: &[(&str, &str)]) -> Got {
        let mut body = form_urlencoded::Serializer::new(String::new());
        body.extend_pairs(fields);
        let request = Request::builder()
            .method("POST")
            .uri(address)
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        self.send(request, body.finish().into_bytes()).await
    }

    /// Opens a page and sends a form of it with these fields, to an address.
    pub(crate) async fn fill(&mut self, page: &str, address: &str, fields: &[(&str, &str)]) -> Got {
        let page = self.get(page).await;
        assert_eq!(page.status, StatusCode::OK, "{}", page.text());
        let (seal, once) = (page.field("seal"), page.field("once"));
        let all = [&[("seal", seal.as_str()), ("once", once.as_str())], fields].concat();
        self.post_raw(address, &all).await
    }

    /// The same, where the page sends its form to itself.
    pub(crate) async fn send_page(&mut self, address: &str, fields: &[(&str, &str)]) -> Got {
        self.fill(address, address, fields).await
    }

    /// Sends fields to an address whose page shows no form, sealed by another page.
    pub(crate) async fn send_page_to(&mut self, address: &str, fields: &[(&str, &str)]) -> Got {
        self.fill("/boat/wader/found", address, fields).await
    }

    /// Sends a form with files as browsers do.
    pub(crate) async fn post_parts(
        &mut self,
        address: &str,
        fields: &[(&str, &str)],
        files: &[(&str, &[u8])],
    ) -> Got {
        let mark = "----tests";
        let mut body = Vec::new();
        for (name, value) in fields {
            body.extend(
                format!("--{mark}\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n")
                    .bytes(),
            );
        }
        for (name, bytes) in files {
            let head = format!(
                "--{mark}\r\nContent-Disposition: form-data; name=\"{name}\"; filename=\"photo.jpg\"\r\nContent-Type: image/jpeg\r\n\r\n"
            );
            body.extend(head.bytes());
            body.extend(*bytes);
            body.extend(b"\r\n");
        }
        body.extend(format!("--{mark}--\r\n").bytes());
        let media = format!("multipart/form-data; boundary={mark}");
        self.send(Request::builder().method("POST").uri(address).header(header::CONTENT_TYPE, media), body)
            .await
    }

    /// A new seal and name for a form of a page.
    pub(crate) async fn sealed(&mut self, page: &str) -> (String, String) {
        let page = self.get(page).await;
        (page.field("seal"), page.field("once"))
    }
}

/// Sees that something was taken, and where it leads.
#[track_caller]
pub(crate) fn taken(got: &Got) {
    assert_eq!(got.status, StatusCode::SEE_OTHER, "{}", got.text());
}

/// Sees that something was not taken, and that the page says so.
#[track_caller]
pub(crate) fn not_taken(got: &Got, words: &str) {
    assert_eq!(got.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", got.text());
    let text = got.text();
    assert!(text.contains("role=\"alert\"") && text.contains(words), "it does not say: {words}\n{text}");
}

/// The address of a stop.
pub(crate) fn stop(walk: &str, stop: &str) -> String {
    format!("/charter/{CHARTER}/walk/{walk}/{stop}")
}
