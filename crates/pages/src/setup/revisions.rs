//! Revisions of a boat file with what each changed, and the file as a text, out and in.

use boat::edit::Change;
use maud::{Markup, html};
use records::Moment;

use super::list::Bench;
use super::tried::{Tried, change_list, tried_part};
use crate::frame::{Desk, Role, Site, desk_page, seal};
use crate::links;
use crate::{when, words};

/// A revision in the list.
#[derive(Debug, Clone, PartialEq)]
pub struct RevisionLine {
    /// Its number.
    pub number: u32,
    /// Who made it.
    pub author: String,
    /// When.
    pub at: Moment,
    /// Why, in the author's words.
    pub note: String,
    /// What it changed.
    pub changes: Vec<Change>,
}

/// All revisions of a boat, the newest first.
pub fn revisions_page(site: &Site, bench: &Bench<'_>, lines: &[RevisionLine]) -> String {
    let body = html! {
        div.title {
            (bench.trail(None))
            h1 { "Revisions of " (bench.name()) }
            p.lead { "Every text that her file has had. None is ever lost; each can be put back." }
        }
        ol.revisions reversed {
            @for line in lines {
                li.card {
                    h2 { a href=(links::setup_one(bench.slug, "revisions", &line.number.to_string())) { "Revision " (line.number) } }
                    (who(site, line))
                    (changed(bench, line))
                }
            }
        }
    };
    desk_page(site, "Revisions", Desk::Boats, &body)
}

fn who(site: &Site, line: &RevisionLine) -> Markup {
    html! {
        p { (line.author) ", " (when::moment(site, line.at)) }
        @if !line.note.is_empty() { p { "\u{201c}" (line.note) "\u{201d}" } }
    }
}

fn changed(bench: &Bench<'_>, line: &RevisionLine) -> Markup {
    html! {
        @if line.number == 1 { p.soft { "The first." } }
        @else if line.changes.is_empty() { p.soft { "Only remarks or white space changed." } }
        @else { (change_list("What changed", &line.changes, bench.deck)) }
    }
}

/// One revision.
#[derive(Debug, Clone)]
pub struct RevisionPage<'a> {
    /// The revision.
    pub line: &'a RevisionLine,
    /// Its text.
    pub text: &'a str,
    /// What putting it back would change.
    pub back: &'a [Change],
    /// Why it can't be put back, if that was tried.
    pub wrong: Option<&'a str>,
}

/// One revision: its text, and the way to put it back.
pub fn revision_page(site: &Site, bench: &Bench<'_>, page: &RevisionPage<'_>) -> String {
    let number = page.line.number;
    let address = links::setup_one(bench.slug, "revisions", &number.to_string());
    let body = html! {
        div.title {
            (bench.trail(Some(("revisions", "Revisions"))))
            h1 { "Revision " (number) }
            (who(site, page.line))
        }
        @if let Some(wrong) = page.wrong { p.answer-wrong role="alert" { (wrong) } }
        (changed(bench, page.line))
        @if number == bench.revision { p { "This is how her file is now." } }
        @else if site.may(Role::Manager) {
            section.block aria-labelledby="back" {
                h2 #back { "Put it back" }
                @if page.back.is_empty() { p { "Her file says the same now." } } @else {
                    p { "Her file becomes what it was then, as a new revision. The ones between stay in the list." }
                    (change_list("What that would change", page.back, bench.deck))
                    form method="post" action=(address) {
                        (seal(site))
                        input type="hidden" name="made_from" value=(bench.revision);
                        button type="submit" { "Put revision " (number) " back" }
                    }
                }
            }
        }
        details.block { summary { "Its text" } pre.excerpt tabindex="0" { (page.text) } }
    };
    desk_page(site, &format!("Revision {number}"), Desk::Boats, &body)
}

/// The file as a text.
#[derive(Debug, Clone)]
pub struct FilePage<'a> {
    /// What was sent, if that was not taken.
    pub text: &'a str,
    /// How long her file is, in letters.
    pub letters: usize,
    /// Why it is put in, in the author's words.
    pub note: &'a str,
    /// What was wrong with what was sent.
    pub wrong: Option<&'a str>,
    /// What trying it came to.
    pub tried: Option<&'a Tried>,
}

/// Her file: out and in.
pub fn file_page(site: &Site, bench: &Bench<'_>, page: &FilePage<'_>) -> String {
    let address = links::setup_part(bench.slug, "file");
    let body = html! {
        div.title {
            (bench.trail(None))
            h1 { "The file of " (bench.name()) }
            p.lead { "The whole boat as one text, for keeping, sending and for people who like an editor." }
        }
        @if let Some(wrong) = page.wrong { p.answer-wrong role="alert" { (wrong) } }
        @if let Some(tried) = page.tried { (tried_part(tried, bench.deck)) }
        div.actions { a.button href=(format!("{address}.toml")) download=(format!("{}.toml", bench.slug)) { "Take it out" } }
        @if site.may(Role::Manager) {
            section.block aria-labelledby="put-in" {
                h2 #put-in { "Put a text in" }
                p { "It is checked and proven first. What can\u{2019}t be read is kept as a draft, and her file stays as it is." }
                form.set-form method="post" action=(address) enctype="multipart/form-data" {
                    (seal(site))
                    input type="hidden" name="made_from" value=(bench.revision);
                    div.set-field {
                        label for="text-file" { "A file" }
                        input #text-file type="file" name="file" accept=".toml,text/plain";
                    }
                    div.set-field {
                        label for="text" { "Or the text itself" }
                        textarea #text name="text" rows="6" spellcheck="false" { (page.text) }
                    }
                    div.set-field {
                        label for="note" { "Why" }
                        input #note name="note" type="text" maxlength="200" value=(page.note) autocomplete="off";
                    }
                    label.tick { input type="checkbox" name="anyway" value="yes"; "Save it also if the proof finds something new to mend" }
                    button type="submit" { "Put it in" }
                }
            }
        }
        p.soft { "Revision " (bench.revision) ", " (words::grouped(page.letters as u64)) " letters." }
    };
    desk_page(site, "The file", Desk::Boats, &body)
}
