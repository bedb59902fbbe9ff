//! The form of one entry: its fields, what trying it came to, and the ways to save, rename and remove it.

use boat::edit::{BOAT, Deck, Reference, Value, keys, sections};
use maud::{Markup, html};

use super::field::{Desk as Fields, anchor, fields};
use super::form::ROOT;
use super::list::Bench;
use super::tried::{Tried, tried_part};
use super::{called, pick, spot};
use crate::frame::{Desk, Role, Site, desk_page, seal};
use crate::links;
use crate::words;

/// The form of one entry as it stands.
#[derive(Debug, Clone)]
pub struct RowForm<'a> {
    /// The boat.
    pub bench: Bench<'a>,
    /// Her file, laid out.
    pub deck: &'a Deck,
    /// The section; [`BOAT`] for the particulars.
    pub section: &'a str,
    /// The entry; `None` for a new one.
    pub id: Option<&'a str>,
    /// The id that was typed for a new one.
    pub new_id: &'a str,
    /// What the form says.
    pub row: &'a Value,
    /// The revision that was opened.
    pub made_from: u32,
    /// Why it is changed, in the author's words.
    pub note: &'a str,
    /// What is wrong, by field.
    pub wrong: &'a [(String, String)],
    /// What was wrong with the whole, or what to decide.
    pub alert: Option<&'a str>,
    /// Who refers to it, if it was to be removed.
    pub referred: &'a [Reference],
    /// What trying it came to, if it was tried.
    pub tried: Option<&'a Tried>,
    /// Whether it may be saved although something new is to be mended.
    pub anyway: bool,
    /// The other short name that was typed and can't be taken.
    pub renamed: Option<&'a str>,
    /// The field or the entry of a list at which somebody is, by its name; empty if nowhere.
    pub at: &'a str,
    /// What came of saving it just now.
    pub saved: Option<Saved<'a>>,
}

/// What came of saving an entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Saved<'a> {
    /// It stands in this revision, by this author.
    As(u32, &'a str),
    /// The file said all of it already.
    Nothing,
}

impl RowForm<'_> {
    fn title(&self) -> String {
        match self.id {
            _ if self.section == BOAT => "Particulars".to_owned(),
            None => format!("Add {}", self.one()),
            Some(id) => {
                let entry = self.deck.find(self.section, id);
                entry.map_or_else(|| words::spaced(id), |entry| entry.name.clone())
            }
        }
    }

    fn one(&self) -> &'static str {
        sections()
            .iter()
            .find(|section| section.name == self.section)
            .map_or("the boat", |section| called::one(section.name, section.one))
    }

    fn address(&self) -> String {
        let id = if self.section == BOAT { "particulars" } else { self.id.unwrap_or("new") };
        links::setup_one(self.bench.slug, self.section, id)
    }
}

/// The page of one entry.
pub fn row_page(site: &Site, form: &RowForm<'_>) -> String {
    let may = site.may(Role::Manager);
    let title = form.title();
    let part = (form.section != BOAT).then(|| (form.section, called::section(form.section)));
    let body = html! {
        div.title {
            (form.bench.trail(part.as_ref().map(|(part, words)| (*part, words.as_str()))))
            h1 { (title) }
            (said_by(form))
        }
        (saved_part(site, form))
        @if let Some(alert) = form.alert {
            p.answer-wrong role="alert" { (alert)
                @if form.tried.is_some() { " " a href="#tried" { "Go to it" } }
                @else if form.renamed.is_some() { " " a href="#to" { "Go to it" } } }
        }
        (wrong_list(form.wrong))
        (referred_list(form))
        @if may { (form_part(site, form)) } @else { (reading(form)) }
    };
    desk_page(site, &format!("{title} - {}", form.bench.name()), Desk::Boats, &body)
}

/// That it was saved, and where one may go on.
fn saved_part(site: &Site, form: &RowForm<'_>) -> Markup {
    let Some(saved) = form.saved else { return Markup::default() };
    html! {
        div.saved role="status" {
            @match saved {
                Saved::As(number, author) => p { strong { "Saved." } " It is in revision " (number) ", by " (author) "." },
                Saved::Nothing => p { strong { "Nothing was changed." } " Her file says all of this already." },
            }
            ul.links {
                @if let Saved::As(number, _) = saved {
                    li { a href=(links::setup_one(form.bench.slug, "revisions", &number.to_string())) { "Revision " (number) ": what it changed" } }
                }
                @if form.section != BOAT && site.may(Role::Manager) {
                    li { a href=(links::setup_one(form.bench.slug, form.section, "new")) { "Add " (form.one()) } }
                }
                @if form.section != BOAT {
                    li { a href=(links::setup_part(form.bench.slug, form.section)) { "Back to: " (called::section(form.section)) } }
                }
            }
        }
    }
}

fn said_by(form: &RowForm<'_>) -> Markup {
    let entry = form.id.and_then(|id| form.deck.find(form.section, id));
    let by = entry.and_then(|entry| entry.by.as_deref());
    html! {
        @if let Some(by) = by {
            @let item = form.deck.find("items", by).map_or_else(|| words::spaced(by), |item| item.name.clone());
            p { "This comes with the class of " a href=(links::setup_one(form.bench.slug, "items", by)) { (item) }
                ". Fill in only what is otherwise on this boat; what you leave open stays as the class has it." }
        }
    }
}

/// All fields that are to be mended, each with the way to it.
pub(super) fn wrong_list(wrong: &[(String, String)]) -> Markup {
    html! {
        @if !wrong.is_empty() {
            div.answer-wrong #to-mend role="alert" {
                p { (words::capital(&words::count(wrong.len(), "field", "fields"))) " to mend:" }
                ul { @for (name, words) in wrong { li { a href=(format!("#{}", anchor(name))) { (called::field(name)) } ": " (words) } } }
            }
        }
    }
}

fn referred_list(form: &RowForm<'_>) -> Markup {
    html! {
        @if !form.referred.is_empty() {
            ul.entries {
                @for one in form.referred {
                    li { a href=(links::setup_one(form.bench.slug, &one.section, &one.id)) { (one.name.clone().unwrap_or_else(|| words::spaced(&one.id))) }
                        span.soft { (called::section(&one.section)) ": " (called::field(&one.key)) } }
                }
            }
        }
    }
}

fn form_part(site: &Site, form: &RowForm<'_>) -> Markup {
    let empty = Value::Table(Vec::new());
    let full = form.id.and_then(|id| form.deck.find(form.section, id)).map(|entry| &entry.full);
    let desk = Fields {
        deck: form.deck,
        row: form.row,
        full: full.unwrap_or(&empty),
        wrong: form.wrong,
        at: form.at,
    };
    html! {
        form.set-form method="post" action=(form.address()) data-try=(links::setup_part(form.bench.slug, "try")) {
            (seal(site))
            input type="hidden" name="made_from" value=(form.made_from);
            input type="hidden" name="section" value=(form.section);
            input type="hidden" name="id" value=(form.id.unwrap_or_default());
            // What the Enter key presses.
            button.vh type="submit" name="do" value="try" tabindex="-1" aria-hidden="true" { "Try" }
            @if form.id.is_none() && form.section == "modes" { (mode_field(form)) }
            @if form.section == "places" { (spot::place_fields(desk, form.id)) }
            @else { (fields(desk, keys(form.section), ROOT, form.row, full)) }
            @if form.id.is_none() && !["modes", BOAT].contains(&form.section) { (id_field(form)) }
            (pick::lists(form.deck))
            section #tried.set-tried aria-live="polite" aria-label="What trying it came to" {
                @if let Some(tried) = form.tried { (tried_part(tried, Some(form.deck))) }
                @else if !form.wrong.is_empty() { p { "Not tried yet: " a href="#to-mend" { "what to mend first" } "." } }
                @else { p.soft { "Press \u{201c}Try\u{201d} to see what the proof says of it before it is saved." } }
            }
            div.set-field {
                label for="note" { "Why it is changed" }
                input #note name="note" type="text" value=(form.note) maxlength="200" autocomplete="off";
                p.hint { "Kept with the revision, for those who look at it later." }
            }
            div.actions.set-actions {
                button type="submit" name="do" value="save" { "Save" }
                button.plain type="submit" name="do" value="try" formaction="#tried" formnovalidate { "Try" }
                @if form.anyway { button.plain type="submit" name="do" value="anyway" { "Save all the same" } }
                @if form.tried.is_some_and(Tried::is_worse) { button.plain type="submit" name="do" value="draft" { "Keep as a draft" } }
            }
        }
        @if let Some(id) = form.id.filter(|_| form.section != BOAT) { (other_ways(site, form, id)) }
    }
}

fn mode_field(form: &RowForm<'_>) -> Markup {
    html! {
        div.set-field {
            label for="new_id" { "What she is doing" }
            select #new_id name="new_id" {
                @for id in ["sailing", "motoring", "anchored", "moored", "alongside", "charging"] {
                    option value=(id) selected[form.new_id == id] { (words::capital(id)) }
                }
            }
        }
    }
}

fn id_field(form: &RowForm<'_>) -> Markup {
    html! {
        details.more-fields open[!form.new_id.is_empty()] {
            summary { "Its short name in her file" }
            div.set-field {
                label for="new_id" { "Short name" }
                input #new_id name="new_id" type="text" value=(form.new_id) autocomplete="off" aria-describedby="new_id-hint";
                p.hint #new_id-hint { "How others in her file call it: small letters, figures and _. Made from the name if you leave it open." }
            }
        }
    }
}

fn other_ways(site: &Site, form: &RowForm<'_>, id: &str) -> Markup {
    let own = form.deck.find(form.section, id).is_some_and(|entry| entry.own.is_some());
    html! {
        @if own {
            details.block open[form.renamed.is_some()] {
                summary { "Short name, remove" }
                form.set-form method="post" action=(form.address()) {
                    (seal(site))
                    input type="hidden" name="made_from" value=(form.made_from);
                    div.set-field {
                        label for="to" { "Short name in her file" }
                        input #to name="to" type="text" value=(form.renamed.unwrap_or(id)) autocomplete="off" aria-describedby="to-hint";
                        p.hint #to-hint { "If you rename it, it is changed everywhere where others speak of it." }
                    }
                    button.plain type="submit" name="do" value="rename" { "Rename" }
                }
                form method="post" action=(form.address()) {
                    (seal(site))
                    input type="hidden" name="made_from" value=(form.made_from);
                    p { "It can be removed when nothing else speaks of it. The revision before keeps it." }
                    button.plain type="submit" name="do" value="remove" { "Remove it" }
                }
            }
        }
    }
}

/// For those who may look and not change.
fn reading(form: &RowForm<'_>) -> Markup {
    let entry = form.id.and_then(|id| form.deck.find(form.section, id));
    let full = entry.map_or(form.row, |entry| &entry.full);
    html! {
        dl.facts {
            @for key in keys(form.section) {
                @if let Some(value) = full.get(key.name) {
                    div { dt { (called::field(key.name)) } dd { (value.typed()) } }
                }
            }
        }
    }
}
