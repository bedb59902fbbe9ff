//! Pages for what went wrong: what it was, and what to do now.

use maud::html;

use crate::frame::{Site, page};

/// There is no such page; `known` is the nearest page that there is.
pub fn not_found(site: &Site, what: &str, known: Option<(&str, &str)>) -> String {
    let body = html! {
        div.title {
            h1 { "There is no such page" }
            p.lead { (what) }
        }
        p { @if let Some((address, name)) = known { a.button href=(address) { (name) } " " }
            a.button.plain href="/" { "All boats" } }
    };
    page(site, "There is no such page", None, &body)
}

/// The question can't be understood; `what` says what to mend, `back` is the page to ask again from.
pub fn not_understood(site: &Site, what: &str, back: (&str, &str)) -> String {
    let body = html! {
        div.title {
            h1 { "That question cannot be answered" }
            p.lead { (what) }
        }
        p { a.button href=(back.0) { (back.1) } " " a.button.plain href="/" { "All boats" } }
    };
    page(site, "That question cannot be answered", None, &body)
}

/// Becket itself failed.
pub fn broken(site: &Site) -> String {
    let body = html! {
        div.title {
            h1 { "Becket failed here" }
            p.lead { "This is a fault in Becket, not in what you did. Nothing was changed. Try another page; the printed step lists hold as they are." }
        }
        p { a.button href="/" { "All boats" } }
    };
    page(site, "Becket failed here", None, &body)
}
