//! The prices of the base, for the manager.

use std::collections::BTreeMap;

use maud::{Markup, html};

use super::flaw::{Flaw, Kept};
use super::tariff::{CURRENCY, FIELDS, MOST};
use crate::frame::{Desk, Site, desk_page, seal};
use crate::links;

/// The form of prices: `typed` as it was sent or is kept; `set` whether prices were set before.
pub fn tariff_page(
    site: &Site,
    typed: &BTreeMap<String, String>,
    set: bool,
    flaws: &[Flaw],
    saved: bool,
) -> String {
    let pairs: Vec<(String, String)> =
        typed.iter().map(|(field, text)| (field.clone(), text.clone())).collect();
    let kept = Kept { typed: &pairs, flaws };
    let currency = if kept.get("currency").is_empty() { CURRENCY } else { kept.get("currency") };
    let body = html! {
        div.title {
            h1 { "Prices" }
            p.lead { "What a crew is charged for at hand-back. What is left empty is not charged. What missing kit costs stands in each boat's file." }
            @if !set { p.told #not-set { strong { "Prices are not set." } " Until they are, only missing kit and damage are charged, in " (CURRENCY) "." } }
            @if saved { p.told role="status" { strong { "Saved." } " Charters that are not settled are charged by these prices from now on." } }
        }
        (kept.top("Nothing was saved yet:"))
        form.prices method="post" action=(links::PRICES) {
            (seal(site))
            div.field {
                label for="currency" { "Currency, three letters" }
                input #currency name="currency" type="text" maxlength="3" autocapitalize="characters" value=(currency) aria-describedby=[kept.described("currency")];
                (kept.beside("currency"))
            }
            @for (field, label, kind) in FIELDS.into_iter().chain([MOST]) { (line(&kept, field, label, kind)) }
            button #save-prices type="submit" { "Save the prices" }
        }
    };
    desk_page(site, "Prices", Desk::Charters, &body)
}

fn line(kept: &Kept<'_>, field: &str, label: &str, kind: &str) -> Markup {
    let hint = match kind {
        "money" => "such as 95.00",
        "count" => "a whole number",
        _ => "a number",
    };
    let mode = if kind == "count" { "numeric" } else { "decimal" };
    html! {
        div.field {
            label for=(field) { (label) }
            input id=(field) name=(field) type="text" inputmode=(mode) placeholder=(hint) value=(kept.get(field))
                aria-describedby=[kept.described(field)] aria-invalid=[kept.flaw(field).map(|_| "true")];
            (kept.beside(field))
        }
    }
}
