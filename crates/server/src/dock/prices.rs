//! The manager sets the base's prices.

use std::collections::BTreeMap;

use axum::extract::{RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use pages::dock::{tariff as fields, tariff_page};
use pages::links;

use super::tariff;
use crate::app::Shared;
use crate::form::Form;
use crate::visit::Visit;
use crate::{answers, handlers};

pub(crate) async fn page(State(app): State<Shared>, visit: Visit, RawQuery(query): RawQuery) -> Response {
    let saved = handlers::pairs(query.as_deref()).iter().any(|(field, _)| field == "saved");
    match tariff::typed(&app).await {
        Ok(typed) => {
            let set = typed.is_some();
            answers::page(tariff_page(&visit.site, &typed.unwrap_or_default(), set, &[], saved))
        }
        Err(failure) => answers::failed(&visit.site, &failure),
    }
}

pub(crate) async fn save(State(app): State<Shared>, visit: Visit, form: Form) -> Response {
    let own = |field: &str| !matches!(field, "seal" | "once");
    let pairs = form.pairs().iter().filter(|(field, text)| own(field) && !text.trim().is_empty());
    let typed: BTreeMap<String, String> =
        pairs.map(|(field, text)| (field.clone(), text.trim().chars().take(40).collect())).collect();
    if let Err(flaws) = fields::read(&typed) {
        let page = tariff_page(&visit.site, &typed, true, &flaws, false);
        return answers::not_taken_page(StatusCode::UNPROCESSABLE_ENTITY, page);
    }
    match tariff::save(&app, &typed).await {
        Ok(()) => answers::elsewhere(&links::query(links::PRICES, &[("saved", "yes")])),
        Err(failure) => answers::failed(&visit.site, &failure),
    }
}
