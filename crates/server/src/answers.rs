//! Pages as HTTP answers: the only place that picks status codes.

use axum::body::Body;
use axum::http::{StatusCode, header};
use axum::response::Response;
use pages::{Asset, Site};

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

/// The boat's file can't be read, so her pages can't be made.
pub(crate) fn not_readable(html: String) -> Response {
    with_status(StatusCode::UNPROCESSABLE_ENTITY, html)
}

/// The site is read-only.
pub(crate) fn not_allowed(html: String) -> Response {
    with_status(StatusCode::METHOD_NOT_ALLOWED, html)
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

fn with_status(status: StatusCode, html: String) -> Response {
    let headers = [(header::CONTENT_TYPE, "text/html; charset=utf-8"), (header::CACHE_CONTROL, "no-cache")];
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
