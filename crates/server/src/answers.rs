//! Pages as HTTP answers: the only place that picks status codes.

use axum::body::Body;
use axum::http::{StatusCode, header};
use axum::response::Response;
use pages::{Asset, Site};

use crate::app::Failure;

/// A page that may be shown again only after asking whether it is still so.
pub(crate) fn page(html: String) -> Response {
    with_status(StatusCode::OK, html)
}

/// There is no such page.
pub(crate) fn not_found(html: String) -> Response {
    with_status(StatusCode::NOT_FOUND, html)
}

/// The question can't be understood.
pub(crate) fn not_understood(html: String) -> Response {
    with_status(StatusCode::BAD_REQUEST, html)
}

/// A page that answers what was asked, or says what of it was not understood.
pub(crate) fn asked(is_sound: bool, html: String) -> Response {
    if is_sound { page(html) } else { not_understood(html) }
}

/// An answer for programs, or what they must mend in the question.
pub(crate) fn data(flaws: Option<String>, answer: impl FnOnce() -> serde_json::Value) -> Response {
    match flaws {
        None => json(StatusCode::OK, &answer()),
        Some(what) => refusal(StatusCode::UNPROCESSABLE_ENTITY, &what),
    }
}

/// The boat's file can't be read, so her pages can't be made.
pub(crate) fn not_readable(html: String) -> Response {
    with_status(StatusCode::UNPROCESSABLE_ENTITY, html)
}

/// The site is read-only.
pub(crate) fn not_allowed(html: String) -> Response {
    with_status(StatusCode::METHOD_NOT_ALLOWED, html)
}

/// They are known, and may not.
pub(crate) fn not_yours(site: &Site) -> Response {
    with_status(StatusCode::FORBIDDEN, pages::not_yours(site))
}

/// What was sent was not taken, and why.
pub(crate) fn not_taken(site: &Site, status: StatusCode, what: &str) -> Response {
    with_status(status, pages::not_taken(site, what, "/"))
}

/// What was sent was not taken, with the page to go back to.
pub(crate) fn not_taken_from(site: &Site, back: &str, what: &str) -> Response {
    with_status(StatusCode::CONFLICT, pages::not_taken(site, what, back))
}

/// A page with this status.
pub(crate) fn with(status: StatusCode, html: String) -> Response {
    with_status(status, html)
}

/// What was sent was not taken, and the page to mend it on.
pub(crate) fn not_taken_page(status: StatusCode, html: String) -> Response {
    with_status(status, html)
}

/// Something at the base's end failed: in words, since it is for the manager to mend.
pub(crate) fn failed(site: &Site, failure: &Failure) -> Response {
    with_status(StatusCode::SERVICE_UNAVAILABLE, pages::failed(site, &failure.to_string()))
}

/// A refusal for programs.
pub(crate) fn refusal(status: StatusCode, what: &str) -> Response {
    json(status, &serde_json::json!({ "error": what }))
}

/// A handler failed.
pub(crate) fn broken(site: &Site) -> Response {
    with_status(StatusCode::INTERNAL_SERVER_ERROR, pages::broken(site))
}

/// The same question under a shorter address.
pub(crate) fn elsewhere(address: &str) -> Response {
    build(StatusCode::SEE_OTHER, &[(header::LOCATION, address)], Body::empty())
}

/// A file that never changes under its address.
pub(crate) fn asset(asset: &'static Asset) -> Response {
    let headers =
        [(header::CONTENT_TYPE, asset.media), (header::CACHE_CONTROL, "public, max-age=31536000, immutable")];
    build(StatusCode::OK, &headers, Body::from(asset.body))
}

/// A photo: it never changes under its address, and is not for everybody.
pub(crate) fn photo(media: &str, bytes: Vec<u8>) -> Response {
    let headers =
        [(header::CONTENT_TYPE, media), (header::CACHE_CONTROL, "private, max-age=31536000, immutable")];
    build(StatusCode::OK, &headers, Body::from(bytes))
}

/// An answer for programs; it may be kept no longer than a page.
pub(crate) fn json(status: StatusCode, value: &serde_json::Value) -> Response {
    let headers = [(header::CONTENT_TYPE, "application/json"), (header::CACHE_CONTROL, "no-cache")];
    build(status, &headers, Body::from(format!("{value:#}\n")))
}

/// A line of plain text for machines.
pub(crate) fn text(text: String) -> Response {
    let headers = [(header::CONTENT_TYPE, "text/plain; charset=utf-8"), (header::CACHE_CONTROL, "no-store")];
    build(StatusCode::OK, &headers, Body::from(text))
}

/// A text to be kept as a file of this name: small letters, figures, hyphens and points only.
pub(crate) fn download(name: &str, text: String) -> Response {
    let saved_as = format!("attachment; filename=\"{name}\"");
    let headers = [
        (header::CONTENT_TYPE, "application/toml; charset=utf-8"),
        (header::CONTENT_DISPOSITION, saved_as.as_str()),
        (header::CACHE_CONTROL, "no-cache"),
    ];
    build(StatusCode::OK, &headers, Body::from(text))
}

/// A text of this media type to be kept as a file of this name, each time as it is then.
pub(crate) fn file(name: &str, media: &str, text: String) -> Response {
    let saved_as = format!("attachment; filename=\"{name}\"");
    let headers = [
        (header::CONTENT_TYPE, media),
        (header::CONTENT_DISPOSITION, saved_as.as_str()),
        (header::CACHE_CONTROL, "private, no-store"),
    ];
    build(StatusCode::OK, &headers, Body::from(text))
}

/// The same when the server can't do its work.
pub(crate) fn unwell(text: String) -> Response {
    let headers = [(header::CONTENT_TYPE, "text/plain; charset=utf-8"), (header::CACHE_CONTROL, "no-store")];
    build(StatusCode::SERVICE_UNAVAILABLE, &headers, Body::from(text))
}

fn with_status(status: StatusCode, html: String) -> Response {
    let headers =
        [(header::CONTENT_TYPE, "text/html; charset=utf-8"), (header::CACHE_CONTROL, "private, no-cache")];
    build(status, &headers, Body::from(html))
}

fn build(status: StatusCode, headers: &[(header::HeaderName, &str)], body: Body) -> Response {
    let mut response = Response::new(body);
    *response.status_mut() = status;
    for (name, value) in headers {
        // An address that is no header value can't be made here: every part of it is escaped.
        if let Ok(value) = value.parse() {
            response.headers_mut().insert(name, value);
        }
    }
    response
}
