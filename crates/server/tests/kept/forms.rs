//! A browser in small for the tests: it sends the forms of the pages as they are.

use axum::Router;
use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use http_body_util::BodyExt;
use jiff::tz::TimeZone;
use server::{App, Opening, Past, router};
use tower::ServiceExt;

pub(crate) const WADER: &str = include_str!("../../../pages/tests/wader.toml");
pub(crate) const DUNLIN: &str = include_str!("../../../../demo/dunlin.toml");

pub(crate) async fn base(files: &[(&str, &str)]) -> Router {
    let files = files.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect();
    let (place, zone, past) = (crate::place::passing().await, TimeZone::UTC, Past::default());
    let base = "Test base".to_owned();
    let opening = Opening { base, demo: true, zone, at: "http://test".to_owned(), place, files, past };
    router(App::open(opening).await.expect("a store in memory opens"))
}

#[derive(Debug)]
pub(crate) struct Got {
    pub(crate) status: StatusCode,
    pub(crate) to: String,
    pub(crate) cookies: String,
    pub(crate) body: String,
}

pub(crate) async fn send(app: &Router, request: Request<Body>) -> Got {
    let response = app.clone().oneshot(request).await.expect("a router does not fail");
    let (parts, body) = response.into_parts();
    let body = body.collect().await.expect("the body is in memory").to_bytes();
    let text = |name: header::HeaderName| {
        parts.headers.get(name).and_then(|value| value.to_str().ok()).unwrap_or_default().to_owned()
    };
    let cookies: Vec<String> = parts
        .headers
        .get_all(header::SET_COOKIE)
        .iter()
        .filter_map(|value| value.to_str().ok()?.split(';').next().map(str::to_owned))
        .collect();
    let (to, cookies) = (text(header::LOCATION), cookies.join("; "));
    Got {
        status: parts.status,
        to,
        cookies,
        body: String::from_utf8(body.to_vec()).expect("pages are UTF-8"),
    }
}

pub(crate) async fn get(app: &Router, address: &str) -> Got {
    send(app, Request::get(address).body(Body::empty()).expect("the request is well formed")).await
}

pub(crate) type Fields = Vec<(String, String)>;

pub(crate) async fn post(app: &Router, address: &str, fields: &Fields) -> Got {
    let body = form_urlencoded::Serializer::new(String::new()).extend_pairs(fields).finish();
    let request = Request::post(address)
        .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
        .body(Body::from(body))
        .expect("the request is well formed");
    send(app, request).await
}

pub(crate) fn plain(text: &str) -> String {
    text.replace("&quot;", "\"").replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")
}

pub(crate) fn attribute(tag: &str, name: &str) -> Option<String> {
    let start = tag.find(&format!(" {name}=\""))? + name.len() + 3;
    let end = start + tag[start..].find('"')?;
    Some(plain(&tag[start..end]))
}

/// What a browser would send of the first form of a page, without pressing a button.
pub(crate) fn fields(page: &str) -> Fields {
    let start = page.find("<form class=\"set-form\"").expect("there is a form");
    let form = &page[start..start + page[start..].find("</form>").expect("the form ends")];
    let mut found = Vec::new();
    let mut select = None;
    for (at, _) in form.match_indices('<') {
        let tag = &form[at..=at + form[at..].find('>').unwrap_or_default()];
        let has = |word: &str| tag.contains(&format!(" {word}"));
        match tag[1..].split([' ', '>']).next().unwrap_or_default() {
            "input" => {
                let kind = attribute(tag, "type").unwrap_or_default();
                let sent = !matches!(kind.as_str(), "radio" | "checkbox") || has("checked");
                if let Some(name) = attribute(tag, "name").filter(|_| sent) {
                    found.push((name, attribute(tag, "value").unwrap_or_default()));
                }
            }
            "textarea" => {
                let inner = &form[at + tag.len()..];
                let text = plain(&inner[..inner.find("</textarea>").unwrap_or_default()]);
                found.push((attribute(tag, "name").unwrap_or_default(), text));
            }
            "select" => select = attribute(tag, "name"),
            "option" if has("selected") => {
                if let Some(name) = &select {
                    found.push((name.clone(), attribute(tag, "value").unwrap_or_default()));
                }
            }
            _ => {}
        }
    }
    found
}

/// The form of a page with these fields filled in; an empty name fills the first empty field of that name.
pub(crate) async fn filled(app: &Router, address: &str, with: &[(&str, &str)]) -> Fields {
    let got = get(app, address).await;
    assert_eq!(got.status, StatusCode::OK, "{address}");
    fill(fields(&got.body), with)
}

pub(crate) fn fill(mut form: Fields, with: &[(&str, &str)]) -> Fields {
    for (name, value) in with {
        let list = name.ends_with("~part") || name.ends_with("makes") || name.ends_with("leaves");
        let slot = form.iter_mut().find(|(own, old)| own == name && (!list || old.is_empty()));
        match slot {
            Some(slot) => (*value).clone_into(&mut slot.1),
            None => form.push(((*name).to_owned(), (*value).to_owned())),
        }
    }
    form
}

pub(crate) async fn text(app: &Router, slug: &str) -> String {
    let got = get(app, &format!("/setup/{slug}/file.toml")).await;
    assert_eq!(got.status, StatusCode::OK);
    got.body
}

/// Fills a form, presses a button and follows.
pub(crate) async fn press(app: &Router, address: &str, button: &str, with: &[(&str, &str)]) -> Got {
    let form = fill(filled(app, address, with).await, &[("do", button)]);
    post(app, address, &form).await
}

pub(crate) async fn seal(app: &Router) -> String {
    let form = fields(&get(app, "/setup/wader/boat/particulars").await.body);
    form.into_iter().find(|(name, _)| name == "seal").expect("every form has it").1
}
