//! Signing in for programs: a session's secret, to be sent as `Authorization: Bearer`.

use axum::body::Bytes;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use pages::Role;
use serde::Deserialize;
use serde_json::json;

use super::{failed, not_understood};
use crate::app::{Failure, Shared};
use crate::caller::Caller;
use crate::visit::Visit;
use crate::{answers, sign};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Names {
    name: String,
    password: String,
}

pub(super) async fn begin(State(app): State<Shared>, body: Bytes) -> Response {
    let names: Names = match serde_json::from_slice(&body) {
        Ok(names) => names,
        Err(error) => return not_understood(&format!("Send a name and a password as JSON: {error}.")),
    };
    if names.name.contains('\0') {
        return not_understood("A name has no character zero in it.");
    }
    match sign::check(&app, names.name.trim(), &names.password).await {
        Ok(sign::Entry::Welcome(token)) => answers::json(StatusCode::CREATED, &json!({ "token": token })),
        Ok(sign::Entry::Unknown) => {
            answers::refusal(StatusCode::FORBIDDEN, "This name and password do not belong together.")
        }
        Ok(sign::Entry::TooOften(wait)) => {
            let what = format!("This was tried too often. Try again in {wait} minutes.");
            answers::refusal(StatusCode::TOO_MANY_REQUESTS, &what)
        }
        Err(failure) => failed(&failure),
    }
}

pub(super) async fn end(State(app): State<Shared>, visit: Visit) -> Response {
    if let Caller::Member { session: Some(session), .. } = &visit.caller
        && let Err(error) = app.store.end_session(session).await
    {
        return failed(&Failure::Store(error));
    }
    answers::json(StatusCode::OK, &json!({ "ended": true }))
}

pub(super) async fn me(visit: Visit) -> Response {
    let value = match &visit.caller {
        Caller::Nobody => json!({ "who": null }),
        Caller::Crew { boat, charter, link, .. } => json!({
            "who": { "crew": link.as_str() }, "boat": boat, "charter": charter, "seal": visit.site.seal,
        }),
        Caller::Member { id, name, role, .. } => json!({
            "who": { "account": id }, "name": name, "role": word(*role), "seal": visit.site.seal,
        }),
    };
    answers::json(StatusCode::OK, &value)
}

fn word(role: Role) -> &'static str {
    match role {
        Role::Hand => "hand",
        Role::Skipper => "skipper",
        Role::Manager => "manager",
    }
}
