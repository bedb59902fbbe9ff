//! One part: how many there are, why so many, what was told of it; where it is told that it was counted, came or went.

use maud::{Markup, html};
use records::{Move, Stock, Turnover};

use super::super::crossed;
use super::shelf::Shelf;
use super::{StockAsk, list, reason};
use crate::dock::Kept;
use crate::frame::{Desk, Site, desk_page, seal};
use crate::{links, when};

/// The page of a part by its name; of one that is not known yet, the forms.
pub fn part_page(site: &Site, ask: &StockAsk<'_>, name: &str) -> String {
    let kept = Kept { typed: ask.typed, flaws: ask.flaws };
    let shelf = ask.shelves.get(name);
    let name = shelf.map_or(name, |shelf| shelf.name.as_str());
    let body = html! {
        div.title {
            p.small { a href=(links::STOCK) { "Stock" } }
            h1 { (name) }
            @if shelf.is_none() { p.lead { "Nothing was told of a part of this name, and no boat file names it. Is the name as you mean it? Then tell what there is." } }
        }
        (kept.top("Not taken yet:"))
        @if let Some(shelf) = shelf { (numbers(site, ask, shelf)) }
        section.block #tell {
            h2 { "Tell" }
            (forms(site, ask, shelf, name, &kept))
        }
        @if let Some(shelf) = shelf { (reasons(ask, shelf)) (moves(site, ask, shelf)) }
    };
    desk_page(site, name, Desk::Stock, &body)
}

fn numbers(site: &Site, ask: &StockAsk<'_>, shelf: &Shelf) -> Markup {
    html! {
        dl.facts #there {
            div { dt { "In the base's store" } dd { (list::here(site, ask, shelf)) } }
            @for (at, aboard) in &shelf.aboard { div {
                dt { "Aboard " (ask.hulls[*at].name()) }
                dd { (reason::amount(shelf, aboard.count))
                    @match aboard.told.as_ref().and_then(|stock| stock.counted.as_ref()) {
                        Some(mark) => { br; span.soft { "counted " (when::near(site, when::zoned(site, mark.when).date())) " by " (ask.names.hand(&mark.who)) } }
                        None if aboard.told.is_none() => { br; span.soft { "by her file, never counted" } }
                        None => { br; span.soft { "never counted" } }
                    } }
            } }
            div { dt { "Order" } dd { (list::order(shelf)) } }
            @if let Some(price) = shelf.price_of(1) { div { dt { "Last price of one" } dd { (price) } } }
        }
    }
}

fn reasons(ask: &StockAsk<'_>, shelf: &Shelf) -> Markup {
    let purpose = reason::purpose(ask, shelf);
    html! {
        section.block #why {
            h2 { "Why so many" }
            ul {
                @for words in [reason::failures(shelf), reason::lead(shelf)].into_iter().flatten() { li { (words) } }
                @for task in &shelf.upkeep { li { (reason::task(ask, shelf, task)) } }
                @if shelf.spare.is_none() && shelf.upkeep.is_empty() { li { "No boat file says what it is for, so Becket can't say how many to hold." } }
            }
            @if shelf.soon() > 0 { p { "What upkeep takes that is due within two weeks comes on top of what failures want." } }
            @if !purpose.is_empty() { p { strong { "It is for " } (purpose.join("; ")) "." } }
        }
    }
}

/// All that was told of it, the latest first.
fn moves(site: &Site, ask: &StockAsk<'_>, shelf: &Shelf) -> Markup {
    let of = |stock: &'_ Stock, place: String| -> Vec<(Move, String)> {
        stock.moves.iter().map(|one| (one.clone(), place.clone())).collect()
    };
    let mut all: Vec<(Move, String)> =
        shelf.ashore.iter().flat_map(|stock| of(stock, "the base's store".to_owned())).collect();
    for (at, aboard) in &shelf.aboard {
        all.extend(
            aboard.told.iter().flat_map(|stock| of(stock, format!("aboard {}", ask.hulls[*at].name()))),
        );
    }
    all.sort_by_key(|(one, _)| std::cmp::Reverse((one.mark.when, one.mark.event)));
    html! {
        section.block #moves {
            h2 { "What was told" }
            @if all.is_empty() { p { "Nothing yet." } } @else {
                ol.history { @for (one, place) in &all { li {
                    (said(shelf, one, place)) " "
                    span.soft { (ask.names.hand(&one.mark.who)) ", " (when::moment(site, one.mark.when)) "." } " "
                    (crossed::link(site, &one.mark.content.to_string()))
                } } }
            }
        }
    }
}

fn said(shelf: &Shelf, one: &Move, place: &str) -> String {
    let count = reason::amount(shelf, i64::from(one.count));
    let cost = one.cost.map_or_else(String::new, |cost| format!(", for {cost}"));
    match one.turnover {
        Turnover::Counted => format!("Counted: {count} ({place})."),
        Turnover::Received => format!("Came: {count}{cost} ({place})."),
        Turnover::Used => format!("Used: {count}{cost} ({place})."),
    }
}

fn forms(site: &Site, ask: &StockAsk<'_>, shelf: Option<&Shelf>, name: &str, kept: &Kept<'_>) -> Markup {
    let form = |doing: &str, legend: &str, button: &str, fields: &dyn Fn(&Kept<'_>) -> Markup| {
        let here = !kept.flaws.is_empty() && kept.get("do") == doing;
        let none = Kept::default();
        let own = if here { kept } else { &none };
        html! {
            details id=(doing) open[here] {
                summary { (legend) }
                form.tell-form method="post" action=(links::STOCK_PART) {
                    (seal(site))
                    input type="hidden" name="do" value=(doing);
                    input type="hidden" name="part" value=(name);
                    (number(own, doing, shelf.is_some_and(|shelf| shelf.litres)))
                    (fields(own))
                    button.plain type="submit" { (button) }
                }
            }
        }
    };
    html! {
        (form("counted", "It was counted", "Write the count down", &|own| place(ask, own, "counted", "Where")))
        (form("came", "Parts came", "They came", &|own| html! { (place(ask, own, "came", "Where they lie now")) (cost(own)) }))
        (form("used", "Some were used or are gone", "They are gone", &|own| html! {
            p.hint { "What upkeep took is told with the " a href="/upkeep" { "upkeep" } ", what mended a defect with the " a href="/defects" { "defect" } ": so it counts among what she cost." }
            (place(ask, own, "used", "From where")) (sure(own)) }))
    }
}

fn number(kept: &Kept<'_>, doing: &str, litres: bool) -> Markup {
    let id = format!("{doing}-count");
    html! {
        div.field {
            label for=(id) { @if litres { "How many litres" } @else { "How many" } }
            input id=(id) name="count" type="text" inputmode="numeric" autocomplete="off" maxlength="7" required value=(kept.get("count")) aria-invalid=[kept.flaw("count").map(|_| "true")] aria-describedby=[kept.described("count")];
            (kept.beside("count"))
        }
    }
}

fn place(ask: &StockAsk<'_>, kept: &Kept<'_>, doing: &str, label: &str) -> Markup {
    let id = format!("{doing}-held");
    html! {
        div.field {
            label for=(id) { (label) }
            select id=(id) name="held" {
                option value="ashore" { "The base's store" }
                @for hull in ask.hulls { option value=(hull.vessel.slug) selected[kept.get("held") == hull.vessel.slug] { "Aboard " (hull.name()) } }
            }
            (kept.beside("held"))
        }
    }
}

fn cost(kept: &Kept<'_>) -> Markup {
    html! {
        div.field {
            label for="came-cost" { "What they cost together, with the currency (may be left empty)" }
            input #came-cost name="cost" type="text" placeholder="such as 95.00 USD" maxlength="30" value=(kept.get("cost")) aria-invalid=[kept.flaw("cost").map(|_| "true")] aria-describedby=[kept.described("cost")];
            (kept.beside("cost"))
        }
    }
}

/// More than there are by the records: asked once again.
fn sure(kept: &Kept<'_>) -> Markup {
    html! {
        @if kept.flaw("sure").is_some() {
            (kept.beside("sure"))
            label.choice.wide { input type="checkbox" name="sure" value="yes"; span { "Yes, so many are gone" } }
        }
    }
}
