//! How crews reach the base.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use pages::dock::Flaw;
use pages::{call, links};
use store::Store;

use crate::answers;
use crate::app::{Failure, Shared};
use crate::caller::Who;
use crate::form::Form;
use crate::routes::Route;
use crate::visit::Visit;

/// Under which name it is kept.
const SETTING: &str = "reach";

/// Its part of the table of routes.
pub(crate) fn routes() -> Vec<Route> {
    vec![
        Route::page(links::REACH, Who::Manager, get(page)),
        Route::form(links::REACH, Who::Manager, post(keep)),
    ]
}

/// What is kept; nothing if nobody wrote it down.
///
/// # Errors
/// If the store fails.
pub(crate) async fn kept(store: &Store) -> Result<Option<String>, Failure> {
    let json = store.setting(SETTING).await?;
    let words: Option<String> = json.and_then(|json| serde_json::from_str(&json).ok());
    Ok(words.filter(|words| !words.is_empty()))
}

async fn page(visit: Visit) -> Response {
    answers::page(call::reach_page(&visit.site, &[], &[]))
}

async fn keep(State(app): State<Shared>, visit: Visit, form: Form) -> Response {
    let words = form.get("reach").split_whitespace().collect::<Vec<_>>().join(" ");
    if words.chars().count() > call::MOST || words.chars().any(char::is_control) {
        let flaw = Flaw::wrong("reach", format!("Write it in one line of at most {} letters.", call::MOST));
        let page = call::reach_page(&visit.site, form.pairs(), &[flaw]);
        return answers::with(StatusCode::UNPROCESSABLE_ENTITY, page);
    }
    let json = serde_json::Value::from(words.as_str()).to_string();
    if let Err(error) = app.store.set(SETTING, &json).await {
        return answers::failed(&visit.site, &Failure::Store(error));
    }
    app.set_reach((!words.is_empty()).then_some(words));
    answers::elsewhere(links::REACH)
}
