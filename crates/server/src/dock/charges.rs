//! What a charter costs its crew: shown, waived, added to, settled.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use pages::dock::{ChargesAsk, Flaw, bars, charges_page, key_of, tariff as fields};
use pages::links;
use quantity::Money;
use records::{Life, Stage, Tariff, What};

use super::table::Table;
use super::tariff;
use crate::answers;
use crate::app::{App, Shared};
use crate::form::Form;
use crate::visit::Visit;

pub(crate) async fn page(State(app): State<Shared>, visit: Visit, Path(charter): Path<String>) -> Response {
    match lay(&app, &visit, &charter).await {
        Ok((table, prices, set)) => {
            show(&visit, &table, &prices, set, &ChargesAsk::default(), StatusCode::OK)
        }
        Err(answer) => *answer,
    }
}

async fn lay(app: &App, visit: &Visit, charter: &str) -> Result<(Table, Tariff, bool), Box<Response>> {
    let table = Table::lay(app, visit, charter).await?;
    let (prices, set) =
        tariff::read(app).await.map_err(|failure| Box::new(answers::failed(&visit.site, &failure)))?;
    Ok((table, prices, set))
}

fn show(
    visit: &Visit,
    table: &Table,
    prices: &Tariff,
    set: bool,
    ask: &ChargesAsk<'_>,
    status: StatusCode,
) -> Response {
    match table.over() {
        Some(over) => answers::with(status, charges_page(&visit.site, &over, prices, set, ask)),
        None => answers::broken(&visit.site),
    }
}

/// An amount of money, if one was typed.
fn amount(form: &Form, field: &str, prices: &Tariff, flaws: &mut Vec<Flaw>) -> Option<Money> {
    let text = form.get(field);
    if text.is_empty() {
        return None;
    }
    let currency = prices.nothing.currency();
    match Money::parse(&fields::with_currency(text, currency)) {
        Ok(money) if money.currency() != currency => {
            flaws.push(Flaw::wrong(field, format!("All prices here are in {currency}.")));
            None
        }
        Ok(money) if money.minor_units() > 0 => Some(money),
        _ => {
            flaws.push(Flaw::wrong(field, format!("{text} is no amount. Write it such as 95.00.")));
            None
        }
    }
}

fn reason(form: &Form, field: &str, words: &str, flaws: &mut Vec<Flaw>) -> String {
    let reason: String = form.get(field).chars().take(500).collect();
    if reason.is_empty() {
        flaws.push(Flaw::wrong(field, words));
    }
    reason
}

pub(crate) async fn waive(
    State(app): State<Shared>,
    visit: Visit,
    Path(charter): Path<String>,
    form: Form,
) -> Response {
    tell(&app, &visit, &charter, &form, |prices, flaws| {
        let amount = amount(&form, "waived", prices, flaws);
        let reason = reason(&form, "why", "Say why it is waived.", flaws);
        let charge = key_of(form.get("key"));
        if charge.is_none() {
            flaws.push(Flaw::wrong("key", "Choose which charge is waived."));
        }
        Some(What::ChargeWaived { charge: charge?, amount, reason })
    })
    .await
}

pub(crate) async fn add(
    State(app): State<Shared>,
    visit: Visit,
    Path(charter): Path<String>,
    form: Form,
) -> Response {
    tell(&app, &visit, &charter, &form, |prices, flaws| {
        let reason = reason(&form, "reason", "Say what it is for.", flaws);
        let amount = amount(&form, "amount", prices, flaws);
        if amount.is_none() && flaws.iter().all(|flaw| flaw.field != "amount") {
            flaws.push(Flaw::wrong("amount", "Write how much it is, such as 95.00."));
        }
        Some(What::ChargeAdded { reason, amount: amount? })
    })
    .await
}

async fn tell(
    app: &App,
    visit: &Visit,
    charter: &str,
    form: &Form,
    read: impl FnOnce(&Tariff, &mut Vec<Flaw>) -> Option<What>,
) -> Response {
    let (table, prices, set) = match lay(app, visit, charter).await {
        Ok(laid) => laid,
        Err(answer) => return *answer,
    };
    let here = links::charges(charter);
    let mut flaws = Vec::new();
    let what = read(&prices, &mut flaws);
    let (Some(what), true) = (what, flaws.is_empty()) else {
        let ask = ChargesAsk { typed: form.pairs(), flaws: &flaws, barred: false };
        return show(visit, &table, &prices, set, &ask, StatusCode::UNPROCESSABLE_ENTITY);
    };
    if settled(&table) && !sent_before(&table, form) {
        return answers::not_taken_from(
            &visit.site,
            &here,
            "The charter is settled, so what it costs is not changed any more.",
        );
    }
    match visit.tell(app, form, table.boat(), Some(&table.charter), [what]).await {
        Ok(_) => answers::elsewhere(&here),
        Err(unmade) => unmade.answer(&visit.site, &here),
    }
}

fn settled(table: &Table) -> bool {
    table.stands().is_some_and(|stands| stands.came_to(Stage::Settled).is_some())
}

fn sent_before(table: &Table, form: &Form) -> bool {
    form.get("once").parse().is_ok_and(|id| table.book.records.get(id).is_some())
}

/// All that is owed is agreed.
pub(crate) async fn settle(
    State(app): State<Shared>,
    visit: Visit,
    Path(charter): Path<String>,
    form: Form,
) -> Response {
    let (table, prices, set) = match lay(&app, &visit, &charter).await {
        Ok(laid) => laid,
        Err(answer) => return *answer,
    };
    let here = links::charges(&charter);
    let Some(over) = table.over() else { return answers::broken(&visit.site) };
    if matches!(over.stands.life, Life::At(Stage::Settled)) {
        return answers::elsewhere(&here);
    }
    if bars(&over, Stage::Settled) {
        let ask = ChargesAsk { barred: true, ..ChargesAsk::default() };
        return show(&visit, &table, &prices, set, &ask, StatusCode::UNPROCESSABLE_ENTITY);
    }
    match visit.tell(&app, &form, table.boat(), Some(&table.charter), [What::Settled]).await {
        Ok(_) => answers::elsewhere(&here),
        Err(unmade) => unmade.answer(&visit.site, &here),
    }
}
