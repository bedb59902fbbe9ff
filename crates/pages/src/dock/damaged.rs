//! Damage of a charter is told.

use maud::html;

use super::flaw::{Flaw, Kept};
use super::handover::Handover;
use super::{glance, picker};
use crate::frame::{Site, seal};
use crate::{links, words};

/// What was typed into the form, and what is wrong with it.
#[derive(Debug, Clone, Copy, Default)]
pub struct DamagedAsk<'a> {
    /// The fields as they came.
    pub typed: &'a [(String, String)],
    /// What is wrong with them.
    pub flaws: &'a [Flaw],
}

/// The form, after what was told before.
pub fn damaged_page(site: &Site, over: &Handover<'_>, currency: &str, ask: &DamagedAsk<'_>) -> String {
    let kept = Kept { typed: ask.typed, flaws: ask.flaws };
    let charter = over.charter.as_str();
    let body = html! {
        div.title {
            p.small { a href=(links::walk(charter, "hand-back")) { "Hand-back" } ": " (over.line(site)) }
            h1 { "Damage" }
            p.lead { "What happened to the boat on this charter. It comes on the crew's bill with its estimate." }
        }
        @if !over.stands.damage.is_empty() {
            section #told-before {
                h2 { "Told until now" }
                ul { @for damage in over.stands.damage.values() {
                    li { strong { (over.item(&damage.item)) } ": " (words::sentence(&damage.words))
                        @match damage.estimate { Some(estimate) => { " It may cost " (estimate) "." }, None => { " Nobody has said what it costs." } }
                        " " span.soft { (over.by(site, &damage.mark)) "." }
                        (glance::photos(damage.photos.iter().map(ToString::to_string)))
                    }
                } }
            }
        }
        (kept.top("Not taken yet:"))
        form.tell-form method="post" action=(links::damaged(charter)) enctype="multipart/form-data" {
            (seal(site))
            (picker::item(over.vessel, &kept))
            (picker::said(&kept, "What happened to it?"))
            div.field {
                label for="estimate" { "What it may cost, in " (currency) }
                input #estimate name="estimate" type="text" inputmode="decimal" placeholder="such as 95.00; empty if nobody knows" value=(kept.get("estimate")) aria-describedby=[kept.described("estimate")];
                (kept.beside("estimate"))
            }
            label.tick { input type="checkbox" name="defect" value="hinders" checked[kept.get("defect") == "hinders"]; "It is also to be mended: open a defect" }
            (picker::photos(site, &kept))
            button #tell-button type="submit" { "Write it down" }
        }
        p { a href=(links::charges(charter)) { "What it costs the crew" } }
    };
    over.page(site, "Damage", &body)
}
