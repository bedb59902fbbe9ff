//! The order list on paper.

use maud::html;

use super::{StockAsk, list, reason};
use crate::frame::{Desk, Site, desk_page};
use crate::{links, when};

/// What is to be ordered now, one line a part, for A4.
pub fn order_page(site: &Site, ask: &StockAsk<'_>) -> String {
    let order = ask.shelves.to_order();
    let today = when::zoned(site, site.now).date();
    let price = |shelf: &super::Shelf| shelf.price_of(u32::try_from(shelf.order()).unwrap_or_default());
    let body = html! {
        div.paper-sheet {
            div.title {
                p.small.no-print { a href=(links::STOCK) { "Stock" } }
                h1 { "Order list" }
                p.lead { (site.base) ", " (when::day(site, today)) " " (today.year()) }
            }
            @if order.is_empty() { p { "Nothing has to be ordered now." } } @else {
                table.list.order-list {
                    thead { tr { th scope="col" { "Part" } th scope="col" { "Order" } th scope="col" { "There are" } th scope="col" { "For" } th scope="col" { "By the last price" } th.print-only scope="col" { "Ordered" } } }
                    tbody { @for shelf in &order { tr {
                        th scope="row" { (shelf.name) }
                        td.number data-name="Order" { strong { (reason::amount(shelf, shelf.order())) } }
                        td.number data-name="There are" { (reason::amount(shelf, shelf.have())) }
                        td data-name="For" { (reason::purpose(ask, shelf).join("; ")) }
                        @match price(shelf) {
                            Some(price) => td.number data-name="By the last price" { (price) },
                            None => td.none { span.vh { "not known" } span.soft aria-hidden="true" { "\u{2013}" } },
                        }
                        td.print-only.box {}
                    } } }
                }
                (list::sum(order.iter().map(|shelf| price(shelf))))
            }
            p.hint.no-print { "To keep it as a PDF, print this page from your browser and choose PDF as the printer. When parts come, tell it on the part's page." }
        }
    };
    desk_page(site, "Order list", Desk::Stock, &body)
}
