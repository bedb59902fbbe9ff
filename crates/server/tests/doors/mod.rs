//! A base with people, two crews, and the keys of each, for tests of who may what.
#![allow(dead_code, reason = "each suite uses a part of it")]

use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use http_body_util::BodyExt;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};
use records::{AccountId, BoatId, CharterId, DeviceId, Event, EventId, Hand, Local, Moment, Plan, What};
use serde_json::{Value, json};
use server::{App, Opening, Past, Shared, router};
use store::{Account, Address, Link, Role, Session, Store, TokenHash};
use tower::ServiceExt;

const WADER: &str = include_str!("../../../pages/tests/wader.toml");

/// Who asks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Key {
    Nobody,
    Crew,
    OtherCrew,
    Hand,
    Skipper,
    Manager,
}

impl Key {
    pub(crate) const ALL: [Self; 6] =
        [Self::Nobody, Self::Crew, Self::OtherCrew, Self::Hand, Self::Skipper, Self::Manager];

    pub(crate) fn secret(self) -> &'static str {
        match self {
            Self::Nobody => "",
            Self::Crew => "link-of-the-crew",
            Self::OtherCrew => "link-of-another-crew",
            Self::Hand => "session-of-the-hand",
            Self::Skipper => "session-of-the-skipper",
            Self::Manager => "session-of-the-manager",
        }
    }

    fn cookie(self) -> String {
        let name = match self {
            Self::Nobody => return String::new(),
            Self::Crew | Self::OtherCrew => "becket_crew",
            Self::Hand | Self::Skipper | Self::Manager => "becket_session",
        };
        format!("{name}={}", self.secret())
    }

    fn seal(self) -> String {
        match self {
            Self::Nobody => String::new(),
            Self::Crew | Self::OtherCrew => {
                TokenHash::of(&format!("forms of {}", self.secret())).as_str().to_owned()
            }
            Self::Hand | Self::Skipper | Self::Manager => format!("seal-of-{}", self.secret()),
        }
    }
}

/// What came back.
#[derive(Debug)]
pub(crate) struct Got {
    pub(crate) status: StatusCode,
    pub(crate) location: String,
}

/// The base.
pub(crate) struct Doors {
    app: Shared,
    folder: tempfile::TempDir,
}

impl Doors {
    /// A base with two boats of one kind, a charter of each that is planned for now, three people and two crews.
    pub(crate) async fn open() -> Self {
        let folder = tempfile::tempdir().expect("a folder for the store");
        let place = crate::place::lasting(folder.path()).await;
        fill(&place).await;
        let files = ["wader", "other"].map(|boat| (format!("{boat}.toml"), WADER.to_owned())).into();
        let (base, at, zone) = ("Test base".to_owned(), "https://test.example".to_owned(), TimeZone::UTC);
        let past = Past::default();
        let app =
            App::open(Opening { base, demo: false, zone, at, place, files, past }).await.expect("it opens");
        Self { app, folder }
    }

    /// An address of a route, with its parts named after the first boat and its charter.
    #[allow(clippy::unused_self, reason = "it reads as what the base would fill in")]
    pub(crate) fn fill(&self, path: &str) -> String {
        let known = [
            ("{slug}", "wader"),
            ("{charter}", "c-one"),
            ("{walk}", "hand-back"),
            ("{section}", "items"),
            ("{month}", "2026-06"),
            ("{number}", "1"),
        ];
        let mut path = known.iter().fold(path.to_owned(), |path, (part, value)| path.replace(part, value));
        while let (Some(from), Some(until)) = (path.find('{'), path.find('}')) {
            path.replace_range(from..=until, "x");
        }
        path
    }

    /// What the base answers, as from one of its own pages.
    pub(crate) async fn ask(&self, key: Key, method: &str, path: &str) -> Got {
        self.send(key, method, path, true, "same-origin").await
    }

    /// The same, with or without the seal of the caller's forms, from this kind of site.
    pub(crate) async fn send(&self, key: Key, method: &str, path: &str, seal: bool, site: &str) -> Got {
        let mut request = Request::builder()
            .method(method)
            .uri(path)
            .header(header::COOKIE, key.cookie())
            .header("sec-fetch-site", site)
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        if seal {
            request = request.header("x-seal", key.seal());
        }
        let request = request.body(Body::empty()).expect("the request is well formed");
        let response =
            router(Shared::clone(&self.app)).oneshot(request).await.expect("a router does not fail");
        let (parts, body) = response.into_parts();
        drop(body);
        let location = parts.headers.get(header::LOCATION).and_then(|value| value.to_str().ok());
        let location = location.unwrap_or_default().to_owned();
        Got { status: parts.status, location }
    }

    /// The first boat is handed back: all stages of her charter are told, as if by a phone.
    pub(crate) async fn hand_back(&self) {
        let stages = [What::Readied, What::CheckedOut, What::HandedBack].into_iter().zip(50..);
        let events: Vec<Event> = stages.map(|(what, tail)| event(tail, "wader", "c-one", what)).collect();
        let (status, said) = self.tell(Key::Manager, &json!({ "events": events })).await;
        assert_eq!(status, StatusCode::OK);
        assert_eq!(said["taken"].as_array().map(Vec::len), Some(3), "{said}");
        assert!(self.folder.path().exists());
    }

    /// Sends JSON to where programs tell events.
    pub(crate) async fn tell(&self, key: Key, batch: &Value) -> (StatusCode, Value) {
        self.program(key, "POST", "/api/events", Body::from(batch.to_string())).await
    }

    /// What programs are told there.
    pub(crate) async fn look(&self, key: Key, path: &str) -> (StatusCode, Value) {
        self.program(key, "GET", path, Body::empty()).await
    }

    /// The text of a page that they may see.
    pub(crate) async fn page(&self, key: Key, path: &str) -> String {
        let request = Request::builder().uri(path).header(header::COOKIE, key.cookie());
        let request = request.body(Body::empty()).expect("the request is well formed");
        let response =
            router(Shared::clone(&self.app)).oneshot(request).await.expect("a router does not fail");
        assert_eq!(response.status(), StatusCode::OK, "{path} by {key:?}");
        let body = response.into_body().collect().await.expect("in memory").to_bytes();
        String::from_utf8(body.to_vec()).expect("pages are UTF-8")
    }

    async fn program(&self, key: Key, method: &str, path: &str, body: Body) -> (StatusCode, Value) {
        let request = Request::builder()
            .method(method)
            .uri(path)
            .header(header::COOKIE, key.cookie())
            .header("x-seal", key.seal())
            .body(body)
            .expect("the request is well formed");
        let response =
            router(Shared::clone(&self.app)).oneshot(request).await.expect("a router does not fail");
        let status = response.status();
        let body = response.into_body().collect().await.expect("in memory").to_bytes();
        (status, serde_json::from_slice(&body).expect("it is JSON"))
    }
}

fn now() -> Timestamp {
    Timestamp::now()
}

/// An event of the manager's, made now.
pub(crate) fn event(tail: u128, boat: &str, charter: &str, what: What) -> Event {
    let at = Moment::from_milliseconds(now().as_millisecond());
    let id = EventId::version_7(at, tail);
    let who = Hand::Account(AccountId::new("session-of-the-manager"));
    Event::new(id, at, who, DeviceId::new("test"), BoatId::new(boat), what).on(CharterId::new(charter))
}

async fn fill(place: &Address) {
    let store = Store::open(place, &store::Options::default()).await.expect("a store");
    let later = now() + SignedDuration::from_hours(48);
    for (key, role) in [(Key::Hand, Role::Hand), (Key::Skipper, Role::Skipper), (Key::Manager, Role::Manager)]
    {
        let id = key.secret().to_owned();
        let name = format!("{key:?}");
        let password = "none".to_owned();
        store
            .add_account(&Account { id: id.clone(), name, role, password, active: true, created: now() })
            .await
            .expect("a new account");
        let (token, csrf) = (TokenHash::of(key.secret()), key.seal());
        store.begin_session(&Session { token, account: id, expires: later, csrf }).await.expect("a session");
    }
    for (key, boat, charter) in [(Key::Crew, "wader", "c-one"), (Key::OtherCrew, "other", "c-two")] {
        let token = TokenHash::of(key.secret());
        let (boat, charter) = (boat.to_owned(), charter.to_owned());
        store
            .add_link(&Link {
                token,
                boat: boat.clone(),
                charter: charter.clone(),
                ends: later,
                revoked: None,
            })
            .await
            .expect("a link");
        let local = |hours: i64| {
            let moment = now() + SignedDuration::from_hours(hours);
            Local::new(Moment::from_milliseconds(moment.as_millisecond()), jiff::tz::Offset::UTC)
                .expect("a time")
        };
        let what = What::Planned(Plan { from: local(-1), until: local(40), crew: Some(4), booked: None });
        let made = event(if boat == "wader" { 1 } else { 2 }, &boat, &charter, what);
        let row = store::Event {
            id: made.id.to_string().parse().expect("a name"),
            at: now(),
            who: serde_json::to_string(&made.who).expect("JSON"),
            device: "test".to_owned(),
            boat,
            charter: Some(charter),
            answers: None,
            body: serde_json::to_string(&made.what).expect("JSON"),
        };
        store.append(&[row], now()).await.expect("a new event");
    }
    store.close().await;
}
