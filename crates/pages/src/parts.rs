//! Small parts that many pages share.

use maud::{Markup, html};

/// A position or value as it is read on the boat.
pub(crate) fn chip(words: &str) -> Markup {
    html! { span.chip { (words) } }
}

/// Where a fact comes from.
pub(crate) fn source(source: Option<&String>) -> Markup {
    html! {
        @match source {
            Some(source) => span.source { "Source: " (source) },
            None => span.source { "No source given" },
        }
    }
}
