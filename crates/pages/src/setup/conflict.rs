//! A draft beside the file as it is now: what both changed, row by row, and whose word stands where they clash.

use boat::edit::{Change, Clash, Merged, Value, Whose};
use maud::{Markup, html};

use super::called;
use super::list::{Bench, DraftLine};
use super::tried::{Tried, change_list, entry_words, tried_part};
use crate::frame::{Desk, Role, Site, desk_page, seal};
use crate::links;
use crate::when;

/// A draft to be brought together with the file.
#[derive(Debug, Clone)]
pub struct MergePage<'a> {
    /// The draft.
    pub draft: &'a DraftLine,
    /// Who saved what stands now.
    pub theirs: &'a str,
    /// Whether the file has changed since the draft was begun.
    pub late: bool,
    /// Both brought together, as far as it goes.
    pub merged: &'a Merged,
    /// What was chosen so far.
    pub picks: &'a [(String, Whose)],
    /// All places where a choice is asked.
    pub asked: &'a [Clash],
    /// What was wrong with what was sent.
    pub wrong: Option<&'a str>,
    /// What trying it came to.
    pub tried: Option<&'a Tried>,
    /// Whether the draft can be read so far that it can be brought together with the file.
    pub readable: bool,
    /// The draft's text.
    pub text: &'a str,
}

/// A draft and the file: yours against theirs.
pub fn merge_page(site: &Site, bench: &Bench<'_>, page: &MergePage<'_>) -> String {
    let number = page.draft.number.to_string();
    let address = links::setup_one(bench.slug, "drafts", &number);
    let body = html! {
        div.title {
            (bench.trail(None))
            h1 { @if page.late { "Bring two together" } @else { "Draft " (number) } }
            @if page.late { p.lead { "Two people changed the file of " (bench.name()) ". Nothing of either is lost." } }
            p { "The draft is by " strong { (page.draft.author) } ", " (when::moment(site, page.draft.at)) "."
                @if page.late { " Meanwhile " strong { (page.theirs) } " saved revision " (bench.revision) "." } }
            @if !page.draft.note.is_empty() { p { "\u{201c}" (page.draft.note) "\u{201d}" } }
        }
        @if let Some(wrong) = page.wrong { p.answer-wrong role="alert" { (wrong) } }
        @if let Some(tried) = page.tried { (tried_part(tried, bench.deck)) }
        @if site.may(Role::Manager) {
            form.set-form method="post" action=(address) {
                (seal(site))
                input type="hidden" name="made_from" value=(bench.revision);
                @if page.asked.is_empty() && page.late && page.wrong.is_none() { p { strong { "The two don\u{2019}t clash: both are taken." } } }
                @if !page.asked.is_empty() { p { strong { "Both changed the same. Choose what is to stand:" } } }
                @for (at, clash) in page.asked.iter().enumerate() { (choice(at, clash, bench, page)) }
                (taken("From the draft, taken over", &page.merged.mine, bench, page))
                (taken("From the file, kept", &page.merged.theirs, bench, page))
                div.actions {
                    @if page.readable {
                        button type="submit" name="do" value="save" { @if page.late { "Save both together" } @else { "Save it" } }
                    } @else {
                        a.button href=(links::setup_part(bench.slug, "file")) { "Put a mended text in" }
                    }
                    @if page.tried.is_some_and(|tried| tried.readable && tried.is_worse()) {
                        button.plain type="submit" name="do" value="anyway" { "Save all the same" }
                    }
                    button.plain type="submit" name="do" value="drop" { "Drop the draft" }
                }
            }
        }
        details.block { summary { "The draft\u{2019}s text" } pre.excerpt tabindex="0" { (page.text) } }
    };
    desk_page(site, "Bring two together", Desk::Boats, &body)
}

/// What is taken without asking; nothing if there is none.
fn taken(heading: &str, changes: &[Change], bench: &Bench<'_>, page: &MergePage<'_>) -> Markup {
    let asked = |change: &Change| page.asked.iter().any(|clash| clash.mine.about() == change.about());
    let others: Vec<Change> = changes.iter().filter(|change| !asked(change)).cloned().collect();
    html! { @if !others.is_empty() { (change_list(heading, &others, bench.deck)) } }
}

fn choice(at: usize, clash: &Clash, bench: &Bench<'_>, page: &MergePage<'_>) -> Markup {
    let chosen = page.picks.iter().find(|(about, _)| *about == clash.about).map(|(_, whose)| *whose);
    let before = clash.mine.before.as_ref().or(clash.theirs.before.as_ref());
    html! {
        fieldset.clash {
            legend { (entry_words(&clash.mine, bench.deck)) @if let Some(key) = &clash.mine.key { ": " (called::field(key)) } }
            @if let Some(before) = before { p.soft { "Both began with: " (before.typed()) } }
            div.choices {
                label { input type="radio" name=(format!("pick {}", clash.about)) value="mine" id=(format!("mine-{at}")) checked[chosen == Some(Whose::Mine)];
                    span { strong { (page.draft.author) ", in this draft: " } (side(&clash.mine)) } }
                label { input type="radio" name=(format!("pick {}", clash.about)) value="theirs" id=(format!("theirs-{at}")) checked[chosen == Some(Whose::Theirs)];
                    span { strong { (page.theirs) ", in revision " (bench.revision) ": " } (side(&clash.theirs)) } }
            }
        }
    }
}

fn side(change: &Change) -> String {
    match (&change.key, &change.after) {
        (_, None) => "removed".to_owned(),
        (Some(_), Some(after)) => typed(after),
        (None, Some(after)) => format!("as a whole: {}", typed(after)),
    }
}

/// Lists of entries a line each.
fn typed(value: &Value) -> String {
    match value {
        Value::List(list) => list
            .iter()
            .enumerate()
            .map(|(at, one)| format!("{}. {}", at + 1, one.typed()))
            .collect::<Vec<_>>()
            .join(" "),
        other => other.typed(),
    }
}
