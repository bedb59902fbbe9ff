//! Rows of a form for the parts that were used: those that are expected, and some to fill in.

use maud::{Markup, html};

use super::stage::Hull;
use super::stock::{Shelf, Shelves};
use crate::dock::Kept;

/// The most rows of one form.
pub const MOST_ROWS: usize = 40;

/// How many empty rows there are at first, and how many more are asked for at a time.
pub const MORE_ROWS: usize = 3;

/// What the rows of a form are about.
#[derive(Debug, Clone, Copy)]
pub(super) struct Used<'a> {
    /// Tells the rows of one form of a page from those of another: a letter.
    pub(super) prefix: &'a str,
    /// The boat.
    pub(super) hull: Hull<'a>,
    /// Her place among all.
    pub(super) at: usize,
    /// The parts.
    pub(super) shelves: &'a Shelves,
    /// The parts that are expected: name, how many as words.
    pub(super) expected: &'a [(String, String)],
}

/// The rows.
pub(super) fn rows(used: &Used<'_>, kept: &Kept<'_>) -> Markup {
    let said: usize = kept.get("rows").parse().unwrap_or_default();
    let count = said.max(used.expected.len() + MORE_ROWS).min(MOST_ROWS);
    html! {
        fieldset.parts-used {
            legend { "Parts used" }
            p.hint { "What is left empty was not used. Without a cost the last price of the part counts, if it is known." }
            input type="hidden" name="rows" value=(count);
            @for row in 0..count { (one(used, kept, row)) }
            (suggestions(used))
        }
    }
}

/// The button that gives more rows; it stands after the one that sends the form, which Enter then presses.
pub(super) fn more() -> Markup {
    html! { button.plain.more type="submit" name="more" value="yes" formnovalidate { "More rows for parts" } }
}

fn one(used: &Used<'_>, kept: &Kept<'_>, row: usize) -> Markup {
    let expected = used.expected.get(row);
    let name = |field: &str| format!("{field}-{row}");
    let id = |field: &str| format!("{}-{field}-{row}", used.prefix);
    let value = |field: &str| kept.get(&name(field));
    let wrong = ["part", "count", "cost"].map(|field| kept.flaw(&name(field)).map(|_| "true"));
    let [part_wrong, count_wrong, cost_wrong] = wrong;
    html! {
        div.part-row {
            @match expected {
                Some((part, _)) => {
                    input type="hidden" name=(name("part")) value=(part);
                    p.part-name id=(id("part")) { strong { (part) } (there(used, part)) }
                }
                None => {
                    div.field { label for=(id("part")) { "Part" }
                        input id=(id("part")) name=(name("part")) type="text" list=(format!("{}-parts", used.prefix)) autocomplete="off" maxlength="100" value=(value("part")) aria-invalid=[part_wrong] aria-describedby=[kept.described(&name("part"))]; }
                }
            }
            div.field.few { label for=(id("count")) { "How many" @if let Some((_, usual)) = expected { " " span.soft { (usual) } } }
                input id=(id("count")) name=(name("count")) type="text" inputmode="numeric" autocomplete="off" maxlength="5" value=(value("count")) aria-invalid=[count_wrong] aria-describedby=[kept.described(&name("count"))]; }
            div.field.from { label for=(id("held")) { "From" }
                select id=(id("held")) name=(name("held")) {
                    option value="ashore" { "The store" }
                    option value="aboard" selected[value("held") == "aboard"] { "On board" } } }
            div.field.cost { label for=(id("cost")) { "Cost together" }
                input id=(id("cost")) name=(name("cost")) type="text" maxlength="30" placeholder=(placeholder(used, expected)) value=(value("cost")) aria-invalid=[cost_wrong] aria-describedby=[kept.described(&name("cost"))]; }
            @for field in ["part", "count", "cost"] { (kept.beside(&name(field))) }
        }
    }
}

/// How many of a part there are, ashore and on board.
fn there(used: &Used<'_>, part: &str) -> Markup {
    let Some(shelf) = used.shelves.get(part) else { return html! {} };
    let aboard = shelf.aboard.get(&used.at).map_or(0, |aboard| aboard.count);
    html! {
        " " span.soft {
            @if shelf.is_known() { (shelf.here()) " in the store" } @else { "never counted in the store" }
            @if aboard > 0 { ", " (aboard) " on board" }
        }
    }
}

fn placeholder(used: &Used<'_>, expected: Option<&(String, String)>) -> String {
    let price = expected.and_then(|(part, _)| used.shelves.price_of(part, 1));
    price.map_or_else(|| "95.00 USD".to_owned(), |price| format!("{price} each"))
}

/// The names that are offered: hers first, then what else is in the store.
fn suggestions(used: &Used<'_>) -> Markup {
    let (hers, others): (Vec<&Shelf>, Vec<&Shelf>) =
        used.shelves.all.iter().partition(|shelf| shelf.is_of(used.at));
    html! {
        datalist id=(format!("{}-parts", used.prefix)) {
            @for shelf in hers { option value=(shelf.name) { (used.hull.name()) ", " (shelf.here()) " in the store" } }
            @for shelf in others { @if shelf.is_known() { option value=(shelf.name) { (shelf.here()) " in the store" } } }
        }
    }
}
