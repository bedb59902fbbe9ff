//! What can be taken out as files, and the address of the calendar feed.

use maud::html;

use crate::frame::{Desk, Site, desk_page, seal};
use crate::links;

const FILES: [(&str, &str); 9] = [
    ("charters.csv", "Charters: boat, from, until, how many people, where each stands."),
    ("events.csv", "All that was ever told, a line each."),
    ("defects.csv", "Defects, open and closed."),
    ("upkeep.csv", "What was done by the service plans, and what it cost."),
    ("stock.csv", "Parts ashore and aboard, with the last price."),
    ("parts.csv", "All that was told of parts: counted, come, used."),
    ("costs.csv", "What each boat cost in each month: upkeep, mending, filling, work, parts."),
    ("readings.csv", "What meters and gauges showed."),
    ("everything.json", "All of it with the boat files, for programs."),
];

/// The files.
pub fn export_page(site: &Site) -> String {
    let body = html! {
        div.title {
            h1 { "Take your records out" }
            p.lead { "They are yours. The files with the ending csv open in any table program." }
        }
        ul.export-files { @for (name, words) in FILES {
            li { a.button.plain href={ (links::EXPORT) "/" (name) } download { (name) } p { (words) } }
        } }
        section #persons {
            h2 { "With people's names" }
            p { "The files above hold no names of guests and no signatures; in notes there is what people wrote. This one holds the names and how to reach them: keep it safe." }
            p { a.button.plain href={ (links::EXPORT) "/everything.json?persons=yes" } download { "everything.json with people" } }
        }
        p { a.quiet href=(links::FEED) { "The calendar of turnarounds" } }
    };
    desk_page(site, "Take your records out", Desk::Today, &body)
}

/// Where the feed's address is made; `fresh` is one that was made just now.
pub fn feed_page(site: &Site, known: bool, fresh: Option<&str>) -> String {
    let body = html! {
        div.title {
            h1 { "The calendar of turnarounds" }
            p.lead { "A calendar program that knows its address shows when boats come back and go out again." }
        }
        @if let Some(address) = fresh {
            div.notice role="status" {
                p { "This is its address. It is shown once:" }
                p.address { (address) }
            }
        }
        p { "It names boats and charters, never people. Whoever has the address can read it, without signing in." }
        @if known && fresh.is_none() { p { "An address was made. If it is lost, or somebody has it who should not, make a new one; the old one then shows nothing any more." } }
        form.tell-form method="post" action=(links::FEED) {
            (seal(site))
            button type="submit" { @if known { "Make a new address" } @else { "Make an address" } }
        }
    };
    desk_page(site, "The calendar of turnarounds", Desk::Charters, &body)
}
