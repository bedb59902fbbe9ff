//! The interface for programs: JSON under `/api/`, described in OpenAPI.

mod look;
mod session;
mod sync;

use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::{delete, get, post};

use crate::answers;
use crate::app::Failure;
use crate::caller::Who;
use crate::routes::Route;

/// Its description.
pub const OPENAPI: &str = include_str!("openapi.json");

/// How much a batch of events may be.
const BATCH: usize = 1024 * 1024;

/// Its part of the table of routes.
pub(crate) fn routes() -> Vec<Route> {
    let page = Route::page;
    let delete = Route { method: "DELETE", ..Route::page("/api/sessions", Who::Crew, delete(session::end)) };
    let batch = Route { most_bytes: BATCH, ..Route::form("/api/events", Who::Crew, post(sync::take)) };
    vec![
        page("/api/openapi.json", Who::Anyone, get(description)),
        Route::form("/api/sessions", Who::Anyone, post(session::begin)),
        delete,
        page("/api/me", Who::Crew, get(session::me)),
        page("/api/boats", Who::Hand, get(look::boats)),
        page("/api/boats/{slug}", Who::Crew, get(look::boat)),
        page("/api/boats/{slug}/file", Who::Hand, get(look::file)),
        page("/api/charters", Who::Hand, get(look::charters)),
        page("/api/charters/{charter}", Who::Crew, get(look::charter)),
        page("/api/events", Who::Hand, get(sync::list)),
        batch,
    ]
}

async fn description() -> Response {
    ([(header::CONTENT_TYPE, "application/json")], OPENAPI).into_response()
}

/// A failure for programs.
fn failed(failure: &Failure) -> Response {
    answers::refusal(StatusCode::SERVICE_UNAVAILABLE, &failure.to_string())
}

fn not_there(what: &str) -> Response {
    answers::refusal(StatusCode::NOT_FOUND, what)
}

fn not_understood(what: &str) -> Response {
    answers::refusal(StatusCode::UNPROCESSABLE_ENTITY, what)
}
