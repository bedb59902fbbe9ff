//! The whole table of an authority: each kind of waste against the places that its rules tell apart.

use maud::{Markup, html};
use rules::{Authority, overview};

use super::verdict_mark;

/// The table; nothing if no rule is known. The words and sources of the rules stand below it.
pub(super) fn table(authority: &Authority) -> Markup {
    let Some(overview) = overview(authority) else { return Markup::default() };
    html! {
        section.block aria-labelledby=(format!("glance-{}", authority.id)) {
            h2 id=(format!("glance-{}", authority.id)) { "At a glance: " (authority.name) }
            div.scroll tabindex="0" role="region" aria-label="What may go overboard where" {
                table.list.waste-table {
                    thead { tr {
                        th scope="col" { "Where" }
                        @for row in &overview.rows { th scope="col" { (row.what.words()) } }
                    } }
                    tbody {
                        @for (at, place) in overview.places.iter().enumerate() {
                            tr {
                                th scope="row" { (place.words()) }
                                @for row in &overview.rows {
                                    td data-name=(row.what.words()) { (verdict_mark(row.answers[at].verdict)) }
                                }
                            }
                        }
                    }
                }
            }
            details.waste-rules {
                summary { "The rules in words" }
                ul.plainly.rules-also {
                    @for rule in &authority.discharges {
                        li {
                            strong { (rule.what.words()) } ": " (rule.words)
                            (crate::authority::source(authority, &rule.citation))
                        }
                    }
                }
            }
        }
    }
}
