//! Today.

use axum::extract::State;
use axum::response::Response;
use axum::routing::get;
use pages::office::{Morning, today_page};

use super::base::Base;
use crate::answers;
use crate::app::{App, Failure, Shared};
use crate::caller::Who;
use crate::dock::table;
use crate::routes::Route;
use crate::visit::Visit;

/// Its part of the table of routes.
pub(super) fn routes() -> Vec<Route> {
    vec![Route::page("/", Who::Hand, get(page))]
}

async fn page(State(app): State<Shared>, visit: Visit) -> Response {
    match made(&app, &visit).await {
        Ok(html) => answers::page(html),
        Err(failure) => answers::failed(&visit.site, &failure),
    }
}

async fn made(app: &App, visit: &Visit) -> Result<String, Failure> {
    let base = Base::of(app);
    let (names, managers) = table::people(app, &base.going_on()).await?;
    let hulls = base.hulls();
    Ok(today_page(&visit.site, &Morning { hulls: &hulls, names: &names, managers: &managers }))
}
