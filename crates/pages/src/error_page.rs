//! Pages for what went wrong: what it was, and what to do now.

use maud::html;

use crate::frame::{Site, Viewer, page};

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

/// They are signed in, or came by a crew's link, and this is for others.
pub fn not_yours(site: &Site) -> String {
    let (what, back, name) = match &site.viewer {
        Viewer::Crew { .. } => (
            "Your link opens your own boat and charter. This page is not one of theirs.",
            "/crew",
            "Your boat",
        ),
        _ => (
            "Your account may not open this page. If you need it for your work, ask the manager.",
            "/",
            "Today",
        ),
    };
    let body = html! {
        div.title {
            h1 { "This page is for others" }
            p.lead { (what) }
        }
        p { a.button href=(back) { (name) } }
    };
    page(site, "This page is for others", None, &body)
}

/// The base's computer could not do it now; `what` is why.
pub fn failed(site: &Site, what: &str) -> String {
    let body = html! {
        div.title {
            h1 { "That could not be done now" }
            p.lead { (what) }
        }
        p { "Nothing that was acknowledged before is lost. What you sent just now was not taken: keep this page or a note of it, and send it again." }
        p { a.button href="/" { "Today" } }
    };
    page(site, "That could not be done now", None, &body)
}

/// What was sent was not taken; `what` says why, `back` is the page to go on from.
pub fn not_taken(site: &Site, what: &str, back: &str) -> String {
    let body = html! {
        div.title {
            h1 { "This was not taken" }
            p.lead { (what) }
        }
        p { a.button href=(back) { "Go on" } }
    };
    page(site, "This was not taken", None, &body)
}
