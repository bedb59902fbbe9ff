//! Damage of a charter is told.

use axum::extract::{Path, RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use pages::dock::{DamagedAsk, Flaw, damaged_page, tariff as fields};
use pages::links;
use quantity::Money;
use records::{Defect, Severity, Tariff, What};

use super::found::{self, Words};
use super::table::Table;
use super::tariff;
use super::upload::Upload;
use crate::app::Shared;
use crate::form::Form;
use crate::visit::Visit;
use crate::{answers, handlers};

pub(crate) async fn page(
    State(app): State<Shared>,
    visit: Visit,
    Path(charter): Path<String>,
    RawQuery(query): RawQuery,
) -> Response {
    let typed = handlers::pairs(query.as_deref());
    show(&app, &visit, &charter, &DamagedAsk { typed: &typed, flaws: &[] }, StatusCode::OK).await
}

async fn show(
    app: &Shared,
    visit: &Visit,
    charter: &str,
    ask: &DamagedAsk<'_>,
    status: StatusCode,
) -> Response {
    let table = match Table::lay(app, visit, charter).await {
        Ok(table) => table,
        Err(answer) => return *answer,
    };
    let prices = match tariff::read(app).await {
        Ok((prices, _)) => prices,
        Err(failure) => return answers::failed(&visit.site, &failure),
    };
    match table.over() {
        Some(over) => answers::with(status, damaged_page(&visit.site, &over, prices.nothing.currency(), ask)),
        None => answers::broken(&visit.site),
    }
}

pub(crate) async fn tell(
    State(app): State<Shared>,
    visit: Visit,
    Path(charter): Path<String>,
    upload: Upload,
) -> Response {
    let table = match Table::lay(&app, &visit, &charter).await {
        Ok(table) => table,
        Err(answer) => return *answer,
    };
    let prices = match tariff::read(&app).await {
        Ok((prices, _)) => prices,
        Err(failure) => return answers::failed(&visit.site, &failure),
    };
    let mut flaws = Vec::new();
    let form = match found::with_photos(&app, upload, &mut flaws).await {
        Ok(form) => form,
        Err(failure) => return answers::failed(&visit.site, &failure),
    };
    let Some(vessel) = table.vessel() else { return answers::broken(&visit.site) };
    let said = Words::read(vessel, &form, &mut flaws);
    let estimate = estimate(&form, &prices, &mut flaws);
    let (Some(said), true) = (said, flaws.is_empty()) else {
        let ask = DamagedAsk { typed: form.pairs(), flaws: &flaws };
        return show(&app, &visit, &charter, &ask, StatusCode::UNPROCESSABLE_ENTITY).await;
    };
    let Words { item, text: words, photos } = said;
    let defect = Defect {
        item: item.clone(),
        words: words.clone(),
        severity: Severity::Hinders,
        photos: photos.clone(),
        fault: None,
    };
    let mut whats = vec![What::Damaged { item, words, photos, estimate }];
    if form.get("defect") == "hinders" {
        whats.push(What::Found(defect));
    }
    let here = links::damaged(&charter);
    match visit.tell(&app, &form, table.boat(), Some(&table.charter), whats).await {
        Ok(_) => answers::elsewhere(&here),
        Err(unmade) => unmade.answer(&visit.site, &here),
    }
}

/// What it may cost, if anybody knows.
fn estimate(form: &Form, prices: &Tariff, flaws: &mut Vec<Flaw>) -> Option<Money> {
    let text = form.get("estimate");
    if text.is_empty() {
        return None;
    }
    let currency = prices.nothing.currency();
    let read = Money::parse(&fields::with_currency(text, currency)).ok();
    let read = read.filter(|money| money.currency() == currency && money.minor_units() >= 0);
    if read.is_none() {
        flaws.push(Flaw::wrong(
            "estimate",
            format!("{text} is no amount in {currency}. Write it such as 95.00."),
        ));
    }
    read
}
