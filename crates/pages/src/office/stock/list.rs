//! All parts: what to order now first, then what was never counted, then the rest.

use maud::{Markup, html};
use quantity::Money;

use super::shelf::Shelf;
use super::{StockAsk, reason};
use crate::frame::{Desk, Site, desk_page};
use crate::{links, when, words};

/// The page.
pub fn stock_page(site: &Site, ask: &StockAsk<'_>) -> String {
    let order = ask.shelves.to_order();
    let wanted = |shelf: &&Shelf| shelf.hold() > 0 || !shelf.upkeep.is_empty();
    let (unknown, rest): (Vec<&Shelf>, Vec<&Shelf>) = ask
        .shelves
        .all
        .iter()
        .filter(|shelf| !(shelf.is_known() && shelf.order() > 0))
        .partition(|shelf| !shelf.is_known() && wanted(shelf));
    let body = html! {
        div.title {
            h1 { "Stock" }
            p.lead { (lead(order.len(), unknown.len())) }
        }
        p.fleet-links.no-print {
            a.button href=(links::STOCK_COUNT) { "Count the store" }
            a.button.plain href=(links::STOCK_ORDER) { "The order list, to print" }
            @if site.may(crate::frame::Role::Manager) { a.button.plain href=(links::costs(year(site))) { "What the boats cost" } }
        }
        @if let Some(trouble) = &ask.shelves.trouble { p.notice role="note" { (trouble) " Until then no numbers to hold are told." } }
        (another())
        @if ask.shelves.all.is_empty() { p { "The boat files name no parts yet, and none were told." } }
        (section(site, ask, "order", "Order now", "What upkeep waits for first.", &order))
        (section(site, ask, "unknown", "Never counted", "Nobody has said how many are in the base's store. Count them, then Becket can say what to order.", &unknown))
        (section(site, ask, "rest", "Enough", "", &rest))
    };
    desk_page(site, "Stock", Desk::Stock, &body)
}

fn year(site: &Site) -> i16 {
    when::zoned(site, site.now).date().year()
}

fn lead(order: usize, unknown: usize) -> String {
    let order = match order {
        0 => "Nothing has to be ordered now".to_owned(),
        order => {
            words::capital(&words::count(order, "part is to be ordered now", "parts are to be ordered now"))
        }
    };
    match unknown {
        0 => format!("{order}."),
        unknown => format!("{order}; {}.", words::count(unknown, "was never counted", "were never counted")),
    }
}

/// The way to a part, listed or not.
fn another() -> Markup {
    html! {
        form.filter method="get" action=(links::STOCK_PART) {
            div.field {
                label for="part" { "A part came, was used, or is counted" }
                input #part type="text" name="part" list="parts" maxlength="100" required placeholder="Its name";
            }
            button.plain type="submit" { "Open it" }
        }
    }
}

fn section(site: &Site, ask: &StockAsk<'_>, id: &str, title: &str, says: &str, shelves: &[&Shelf]) -> Markup {
    html! {
        @if !shelves.is_empty() {
            section.block id=(id) {
                h2 { (title) " (" (shelves.len()) ")" }
                @if !says.is_empty() { p.soft { (says) } }
                table.list.stock-list {
                    thead { tr { th scope="col" { "Part" } th scope="col" { "In the store" } th scope="col" { "Aboard" } th scope="col" { "Order" } th scope="col" { "Why" } } }
                    tbody { @for shelf in shelves { (row(site, ask, shelf)) } }
                }
            }
        }
    }
}

fn row(site: &Site, ask: &StockAsk<'_>, shelf: &Shelf) -> Markup {
    html! {
        tr {
            th scope="row" { a href=(links::stock_part(&shelf.name)) { (shelf.name) } }
            td data-name="In the store" { (here(site, ask, shelf)) }
            @if shelf.aboard.is_empty() { td.none { span.vh { "none is listed" } span.soft aria-hidden="true" { "\u{2013}" } } }
            @else { td data-name="Aboard" { (aboard(ask, shelf)) } }
            td data-name="Order" { (order(shelf)) }
            td.why { ul.bare { @for words in reason::short(ask, shelf) { li { (words) } } } }
        }
    }
}

/// How many are in the store, when they were last counted and by whom.
pub(super) fn here(site: &Site, ask: &StockAsk<'_>, shelf: &Shelf) -> Markup {
    html! {
        @match &shelf.ashore {
            Some(stock) if !shelf.is_known() => {
                span.soft { "never counted" }
                br; span.soft { (stock.since_counted().1) " used" }
            },
            None => span.soft { "never counted" },
            Some(stock) => {
                strong { (reason::amount(shelf, stock.count)) }
                @match &stock.counted {
                    Some(mark) => { br; span.soft { "counted " (when::near(site, when::zoned(site, mark.when).date())) " by " (ask.names.hand(&mark.who)) } }
                    None => { br; span.soft { "by what came and went, never counted" } }
                }
                @if stock.count < 0 { br; span.soft { "Less than nothing: count it." } }
            }
        }
    }
}

fn aboard(ask: &StockAsk<'_>, shelf: &Shelf) -> Markup {
    html! {
        @for (row, (at, aboard)) in shelf.aboard.iter().enumerate() {
            @if row > 0 { br; }
            (ask.hulls[*at].name()) ": " (reason::amount(shelf, aboard.count))
            @if aboard.told.is_none() { " " span.soft { "by her file" } }
        }
    }
}

/// How many to order now, or when it is time.
pub(super) fn order(shelf: &Shelf) -> Markup {
    html! {
        @match shelf.order_at() {
            None => span.soft { "none need be held" },
            Some(_) if shelf.is_known() && shelf.order() > 0 => {
                strong { (reason::amount(shelf, shelf.order())) " now" }
                br; span.soft { "hold " (reason::amount(shelf, shelf.hold())) }
            }
            Some(at) => {
                "at " (reason::amount(shelf, at)) " left"
                br; span.soft { "hold " (reason::amount(shelf, shelf.hold())) }
            }
        }
    }
}

/// What a list costs together by the last prices, in each currency, and how many lines have none.
pub(super) fn sum(prices: impl Iterator<Item = Option<Money>>) -> Markup {
    let mut sums = records::Sums::default();
    let mut unknown = 0;
    for price in prices {
        match price {
            Some(price) => sums.put(price),
            None => unknown += 1,
        }
    }
    let all: Vec<String> = sums.iter().map(|sum| sum.to_string()).collect();
    html! {
        @if !all.is_empty() { p {
            strong { "Together by the last prices: " (all.join(" and ")) "." }
            @if unknown > 0 { " Of " (words::count(unknown, "part", "parts")) " no price is known." }
        } }
    }
}
