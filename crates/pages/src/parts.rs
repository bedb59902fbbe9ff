//! Small parts that many pages share.

use maud::{Markup, html};

/// A position or value as it is read on the boat.
pub(crate) fn chip(words: &str) -> Markup {
    html! { span.chip { (words) } }
}

/// Where a fact comes from.
pub(crate) fn source(source: &str) -> Markup {
    html! { span.source { "Source: " (source) } }
}
