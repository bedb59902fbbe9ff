//! What is put around all routes: the policy for browsers, compression, and a page when a handler fails.

use axum::Router;
use axum::http::{HeaderName, HeaderValue, header};
use axum::response::Response;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::set_header::SetResponseHeaderLayer;

use crate::answers;
use crate::app::Shared;
use crate::caller::Caller;
use crate::{gate, log};

/// Only the site's own style sheet, script and icon; no frames, no forms to elsewhere.
const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; connect-src 'self'; \
                      form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

const HEADERS: [(HeaderName, &str); 5] = [
    (header::CONTENT_SECURITY_POLICY, POLICY),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "same-origin"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    (HeaderName::from_static("permissions-policy"), "camera=(), geolocation=(), microphone=()"),
];

/// Puts the guards around the routes.
pub(crate) fn around(routes: Router, app: Shared) -> Router {
    let told = axum::middleware::from_fn_with_state(Shared::clone(&app), log::tell);
    let failed = move |_: Box<dyn std::any::Any + Send>| -> Response {
        answers::broken(&gate::site(&app, &Caller::Nobody))
    };
    let mut routes = routes.layer(CatchPanicLayer::custom(failed)).layer(CompressionLayer::new().gzip(true));
    for (name, value) in HEADERS {
        routes = routes.layer(SetResponseHeaderLayer::overriding(name, HeaderValue::from_static(value)));
    }
    routes.layer(told)
}
