//! Counting: a line for each part in the base's store, or aboard a boat.

use maud::html;

use super::{Shelf, StockAsk, reason};
use crate::dock::Kept;
use crate::frame::{Desk, Site, desk_page, seal};
use crate::links;

/// The form, for the base's store or the boat at this place.
pub fn count_page(site: &Site, ask: &StockAsk<'_>, aboard: Option<usize>) -> String {
    let kept = Kept { typed: ask.typed, flaws: ask.flaws };
    let slug = aboard.map_or("", |at| ask.hulls[at].vessel.slug.as_str());
    let where_ = aboard
        .map_or_else(|| "the base's store".to_owned(), |at| format!("parts aboard {}", ask.hulls[at].name()));
    let here = |shelf: &&Shelf| aboard.is_none_or(|at| shelf.is_of(at));
    let shelves: Vec<&Shelf> = ask.shelves.all.iter().filter(here).collect();
    let known = |shelf: &Shelf| match aboard {
        None => shelf.is_known().then(|| shelf.here()),
        Some(at) => shelf.aboard.get(&at).map(|aboard| aboard.count),
    };
    let body = html! {
        div.title {
            p.small { a href=(links::STOCK) { "Stock" } }
            h1 { "Count " (where_) }
            p.lead { "Write down what you count. What you leave empty stays as it was." }
        }
        p.fleet-links.no-print {
            @if aboard.is_some() { a.button.plain href=(links::STOCK_COUNT) { "The base's store" } }
            @for (at, hull) in ask.hulls.iter().enumerate() { @if aboard != Some(at) {
                a.button.plain href=(links::query(links::STOCK_COUNT, &[("boat", &hull.vessel.slug)])) { "Aboard " (hull.name()) } } }
        }
        (kept.top("Not taken yet:"))
        @if shelves.is_empty() { p { "No parts are known here. Open one by its name on the page of the stock." } } @else {
            form.tell-form.count-form method="post" action=(links::STOCK_COUNT) {
                (seal(site))
                input type="hidden" name="boat" value=(slug);
                ul.bare.count-list { @for (at, shelf) in shelves.iter().enumerate() {
                    @let field = format!("count-{at}");
                    li {
                        input type="hidden" name=(format!("part-{at}")) value=(shelf.name);
                        label for=(field) { (shelf.name)
                            @match known(shelf) { Some(count) => { " " span.soft { (reason::amount(shelf, count)) " by the records" } } None => { " " span.soft { "never counted" } } } }
                        span.counted { input id=(field) name=(field) type="text" inputmode="numeric" autocomplete="off" maxlength="5" size="5" value=(kept.get(&field)) aria-invalid=[kept.flaw(&field).map(|_| "true")] aria-describedby=[kept.described(&field)];
                            @if shelf.litres { " L" } }
                        (kept.beside(&field))
                    }
                } }
                button type="submit" { "Write the count down" }
            }
        }
    };
    desk_page(site, "Count parts", Desk::Stock, &body)
}
