//! A crew called for help.

use axum::extract::{Path, RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use pages::dock::{CallAsk, Flaw, called_page};
use pages::links;
use records::What;

use super::table::Table;
use crate::app::Shared;
use crate::form::Form;
use crate::visit::Visit;
use crate::{answers, handlers};

/// The most answers of the fault finder, and the most letters of one text.
const ANSWERS: usize = 200;
const WORDS: usize = 2000;

pub(crate) async fn page(
    State(app): State<Shared>,
    visit: Visit,
    Path(charter): Path<String>,
    RawQuery(query): RawQuery,
) -> Response {
    let typed = handlers::pairs(query.as_deref());
    show(&app, &visit, &charter, &CallAsk { typed: &typed, flaws: &[] }, StatusCode::OK).await
}

async fn show(app: &Shared, visit: &Visit, charter: &str, ask: &CallAsk<'_>, status: StatusCode) -> Response {
    let table = match Table::lay(app, visit, charter).await {
        Ok(table) => table,
        Err(answer) => return *answer,
    };
    match table.over() {
        Some(over) => answers::with(status, called_page(&visit.site, &over, ask)),
        None => answers::broken(&visit.site),
    }
}

pub(crate) async fn tell(
    State(app): State<Shared>,
    visit: Visit,
    Path(charter): Path<String>,
    form: Form,
) -> Response {
    let table = match Table::lay(&app, &visit, &charter).await {
        Ok(table) => table,
        Err(answer) => return *answer,
    };
    let short = |field: &str| -> String { form.get(field).chars().take(WORDS).collect() };
    let symptom = if form.get("other").is_empty() { short("symptom") } else { short("other") };
    let advice = short("advice");
    let mut flaws = Vec::new();
    if symptom.is_empty() {
        flaws.push(Flaw::wrong("symptom", "Say what is wrong: choose it, or write it."));
    }
    if advice.is_empty() {
        flaws.push(Flaw::wrong("advice", "Write what the crew was told to do."));
    }
    if !flaws.is_empty() {
        let ask = CallAsk { typed: form.pairs(), flaws: &flaws };
        return show(&app, &visit, &charter, &ask, StatusCode::UNPROCESSABLE_ENTITY).await;
    }
    let answers = form.all("a").take(ANSWERS).map(str::to_owned).collect();
    let what = What::Called { symptom, answers, advice };
    let here = links::called(&charter);
    match visit.tell(&app, &form, table.boat(), Some(&table.charter), [what]).await {
        Ok(_) => answers::elsewhere(&here),
        Err(unmade) => unmade.answer(&visit.site, &here),
    }
}
