//! The sheets of check-out and hand-back.

use axum::extract::{Path, State};
use axum::response::Response;
use pages::dock::{Walking, sheet_page};

use super::table::Table;
use super::tariff;
use crate::answers;
use crate::app::Shared;
use crate::visit::Visit;

pub(crate) async fn check_out(
    State(app): State<Shared>,
    visit: Visit,
    Path(charter): Path<String>,
) -> Response {
    sheet(app, visit, charter, Walking::CheckOut).await
}

pub(crate) async fn hand_back(
    State(app): State<Shared>,
    visit: Visit,
    Path(charter): Path<String>,
) -> Response {
    sheet(app, visit, charter, Walking::HandBack).await
}

async fn sheet(app: Shared, visit: Visit, charter: String, walk: Walking) -> Response {
    let table = match Table::lay(&app, &visit, &charter).await {
        Ok(table) => table,
        Err(answer) => return *answer,
    };
    let prices = match tariff::read(&app).await {
        Ok((prices, _)) => prices,
        Err(failure) => return answers::failed(&visit.site, &failure),
    };
    match table.over() {
        Some(over) => answers::page(sheet_page(&visit.site, &over, walk, &prices)),
        None => answers::broken(&visit.site),
    }
}
