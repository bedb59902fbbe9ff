//! A line of JSON for every request, for whoever runs the base's computer: which route, how it ended, how long it took.
//! Nothing of who asked, and nothing of addresses but their pattern: a crew's link is a secret.

use std::io::Write as _;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Instant;

use axum::extract::{MatchedPath, Request, State};
use axum::middleware::Next;
use axum::response::Response;
use serde_json::json;

use crate::app::Shared;

/// Whether requests are told.
#[derive(Debug, Default)]
pub(crate) struct Log {
    on: AtomicBool,
}

impl Log {
    /// From now on they are.
    pub(crate) fn begin(&self) {
        self.on.store(true, Ordering::Relaxed);
    }
}

/// Tells of a request when it has been answered.
pub(crate) async fn tell(State(app): State<Shared>, request: Request, next: Next) -> Response {
    if !app.log.on.load(Ordering::Relaxed) {
        return next.run(request).await;
    }
    let begun = Instant::now();
    let method = request.method().as_str().to_owned();
    let route = request.extensions().get::<MatchedPath>().map_or("none", MatchedPath::as_str).to_owned();
    let response = next.run(request).await;
    let milliseconds = u64::try_from(begun.elapsed().as_millis()).unwrap_or(u64::MAX);
    let at = app.clock.timestamp().to_string();
    let status = response.status().as_u16();
    let line = json!({ "at": at, "method": method, "route": route, "status": status, "ms": milliseconds });
    // A log that can't be written must not stop the base.
    let _ = writeln!(std::io::stderr(), "{line}");
    response
}
