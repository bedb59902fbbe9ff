//! What trying a changed boat file came to: what is new to mend, what is mended, what changed, and how long it took.

use boat::diagnostic::{Diagnostic, Severity};
use boat::edit::{Change, Deck};
use boat::source::Sources;
use maud::{Markup, html};

use super::called;
use crate::vessel::shield;
use crate::{findings, words};

/// What trying came to.
#[derive(Debug, Clone)]
pub struct Tried {
    /// Whether the file can be read as a boat.
    pub readable: bool,
    /// What was not found in the saved revision.
    pub fresh: Vec<Diagnostic>,
    /// What was found there and no longer is, in words.
    pub mended: Vec<String>,
    /// How many of the findings stay as they are.
    pub stay: usize,
    /// The texts that the findings point at.
    pub sources: Sources,
    /// How many step lists were followed.
    pub lists: usize,
    /// How long reading and proving took, in milliseconds.
    pub took: u64,
    /// What differs from the saved revision.
    pub changes: Vec<Change>,
}

impl Tried {
    /// Whether something has to be mended that did not have to be before.
    pub fn is_worse(&self) -> bool {
        !self.readable || self.fresh.iter().any(|finding| finding.severity == Severity::Error)
    }
}

/// As part of a page.
pub fn tried_part(tried: &Tried, deck: Option<&Deck>) -> Markup {
    html! {
        div.tried {
            p.tried-state {
                @if !tried.readable {
                    span.state.open { (shield(false)) "Can\u{2019}t be read so" } " It can\u{2019}t be saved until this is mended."
                } @else if tried.is_worse() {
                    span.state.open { (shield(false)) "Not proven" } " Something has to be mended that did not have to be before."
                } @else {
                    span.state.proven { (shield(true)) "Nothing new to mend" }
                    " " (words::capital(&words::count(tried.lists, "step list", "step lists"))) " followed."
                }
                @if tried.took > 0 { " Looked at in " (seconds(tried.took)) "." }
            }
            @if !tried.fresh.is_empty() {
                h3 { "New: " (tried.fresh.len()) }
                @for finding in &tried.fresh { (findings::finding(&tried.sources, finding)) }
            }
            @if !tried.mended.is_empty() {
                h3 { "Mended: " (tried.mended.len()) }
                ul { @for words in &tried.mended { li { (findings::ticked(words)) } } }
            }
            @if tried.stay > 0 { p.soft { (words::capital(&words::count(tried.stay, "finding", "findings"))) " as before." } }
            @if !tried.readable && tried.changes.is_empty() {}
            @else if tried.changes.is_empty() { p.soft { "Nothing differs from what is saved." } }
            @else { (change_list("What would change", &tried.changes, deck)) }
        }
    }
}

/// What is still to be filled in before it can be tried.
pub fn lacking_part(lacking: &[(String, String)]) -> Markup {
    let names: Vec<String> = lacking.iter().map(|(name, _)| called::field(name)).collect();
    html! { p { "Still to fill in: " (names.join(", ")) "." } }
}

/// Why it could not be tried.
pub fn said_part(words: &str) -> Markup {
    html! { p.answer-wrong { (words) } }
}

/// Changes in words, a line each.
pub(super) fn change_list(heading: &str, changes: &[Change], deck: Option<&Deck>) -> Markup {
    html! {
        details open[changes.len() <= 12] {
            summary { (heading) ": " (changes.len()) }
            ul.changes { @for change in changes { li { (change_words(change, deck)) } } }
        }
    }
}

/// A change as people call what changed.
fn change_words(change: &Change, deck: Option<&Deck>) -> String {
    let said = change.words();
    let Some(rest) = said.strip_prefix(&format!("The {} \"{}\"", change.one(), change.id)) else {
        return said;
    };
    let rest = match &change.key {
        Some(key) => rest.replacen(&format!(": \"{key}\""), &format!(": {}", called::field(key)), 1),
        None => rest.to_owned(),
    };
    format!("{}{rest}", entry_words(change, deck))
}

/// The entry that a change is in, as people call it: "Item \u{201c}Deck lantern\u{201d}".
pub(super) fn entry_words(change: &Change, deck: Option<&Deck>) -> String {
    let entry = deck.and_then(|deck| deck.find(&change.section, &change.id));
    let name = entry.map_or_else(|| words::spaced(&change.id), |entry| entry.name.clone());
    let one = called::one(&change.section, change.one());
    let one = one.strip_prefix("a ").unwrap_or(one);
    format!("{} \u{201c}{name}\u{201d}", words::capital(one))
}

fn seconds(milliseconds: u64) -> String {
    let tenths = milliseconds.div_ceil(100);
    if milliseconds < 1000 {
        format!("{milliseconds} ms")
    } else {
        format!("{}.{} s", tenths / 10, tenths % 10)
    }
}
