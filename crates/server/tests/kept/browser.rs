//! A base without people, and browsers that keep cookies and send forms as a page's forms would.

use std::collections::BTreeMap;

use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use http_body_util::BodyExt;
use jiff::tz::TimeZone;
use server::{App, Opening, Past, Shared, router};
use store::{Account, Address, Options, Store};
use tower::ServiceExt;

/// A base.
pub(crate) struct Base {
    pub(crate) app: Shared,
    place: Address,
    /// The file of the store is in it, and goes with it.
    _folder: tempfile::TempDir,
}

impl Base {
    /// With these boats and nobody in it.
    pub(crate) async fn open(boats: &[(&str, &str)]) -> Self {
        let folder = tempfile::tempdir().expect("a folder for the store");
        let files = boats.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect();
        let (base, at, zone) = ("Test base".to_owned(), "https://test.example".to_owned(), TimeZone::UTC);
        let (place, past) = (crate::place::lasting(folder.path()).await, Past::default());
        let kept = place.clone();
        let app =
            App::open(Opening { base, demo: false, zone, at, place, files, past }).await.expect("it opens");
        Self { app, place: kept, _folder: folder }
    }

    /// A browser that nobody has used yet.
    pub(crate) fn browser(&self) -> Browser {
        Browser {
            app: Shared::clone(&self.app),
            cookies: BTreeMap::new(),
            set_cookies: Vec::new(),
            seal: String::new(),
        }
    }

    async fn store(&self) -> Store {
        Store::open(&self.place, &Options::default()).await.expect("the store can be opened twice")
    }

    /// All accounts.
    pub(crate) async fn app_store(&self) -> Vec<Account> {
        self.store().await.accounts().await.expect("accounts")
    }

    /// Adds an account past the pages.
    pub(crate) async fn add(&self, account: Account) {
        self.store().await.add_account(&account).await.expect("a new account");
    }
}

/// What came back.
#[derive(Debug)]
pub(crate) struct Got {
    pub(crate) status: StatusCode,
    pub(crate) location: String,
    pub(crate) body: String,
}

impl Got {
    /// What stands in the page between two texts.
    pub(crate) fn text_between(&self, from: &str, until: &str) -> &str {
        let rest =
            self.body.split_once(from).unwrap_or_else(|| panic!("the page lacks {from}: {}", self.body)).1;
        rest.split_once(until).expect("it ends").0
    }
}

/// A browser: it keeps cookies, and the seal of the last page.
pub(crate) struct Browser {
    app: Shared,
    cookies: BTreeMap<String, String>,
    /// Every cookie line that it was sent.
    pub(crate) set_cookies: Vec<String>,
    seal: String,
}

impl Browser {
    /// Opens a page.
    pub(crate) async fn get(&mut self, path: &str) -> Got {
        let got = self.send(Request::builder().uri(path), Body::empty()).await;
        if let Some((_, rest)) = got.body.split_once("name=\"seal\" value=\"") {
            rest.split('"').next().unwrap_or_default().clone_into(&mut self.seal);
        }
        got
    }

    /// Sends a form of the page that was opened last; of the first page with a form, if none was.
    pub(crate) async fn post(&mut self, path: &str, fields: &[(&str, &str)]) -> Got {
        for page in ["/password", "/crew", "/sign-in"] {
            if self.get(page).await.status == StatusCode::OK {
                break;
            }
        }
        let seal = self.seal.clone();
        let fields = fields.iter().copied().chain([("seal", seal.as_str())]);
        let body = form_urlencoded::Serializer::new(String::new()).extend_pairs(fields).finish();
        let request = Request::builder()
            .method("POST")
            .uri(path)
            .header("sec-fetch-site", "same-origin")
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        self.send(request, Body::from(body)).await
    }

    async fn send(&mut self, request: axum::http::request::Builder, body: Body) -> Got {
        let cookies: Vec<String> =
            self.cookies.iter().map(|(name, value)| format!("{name}={value}")).collect();
        let request =
            request.header(header::COOKIE, cookies.join("; ")).body(body).expect("a well formed request");
        let response =
            router(Shared::clone(&self.app)).oneshot(request).await.expect("a router does not fail");
        let (parts, body) = response.into_parts();
        for line in parts.headers.get_all(header::SET_COOKIE) {
            let line = line.to_str().expect("a cookie is plain text");
            self.set_cookies.push(line.to_owned());
            let (pair, rest) = line.split_once(';').expect("it has attributes");
            let (name, value) = pair.split_once('=').expect("it has a value");
            if rest.contains("Max-Age=0;") {
                self.cookies.remove(name);
            } else {
                self.cookies.insert(name.to_owned(), value.to_owned());
            }
        }
        let body = body.collect().await.expect("the body is in memory").to_bytes();
        let location = parts.headers.get(header::LOCATION).and_then(|value| value.to_str().ok());
        Got {
            status: parts.status,
            location: location.unwrap_or_default().to_owned(),
            body: String::from_utf8(body.to_vec()).expect("pages are UTF-8"),
        }
    }
}
