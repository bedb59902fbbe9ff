//! The boats to set up, a boat's sections, a section's entries.

use boat::diagnostic::Severity;
use boat::edit::{BOAT, Deck, Entry, Key, Section, Value, class_name, keys, parameters, sections};
use maud::{Markup, html};
use records::Moment;

use super::field::{Desk as Fields, fields};
use crate::findings;
use crate::frame::{Desk, Role, Site, desk_page, seal};
use crate::links;
use crate::vessel::{Moored, shield};
use crate::{when, words};

/// A boat in the list of those that are set up.
#[derive(Debug, Clone)]
pub struct BoatLine<'a> {
    /// The boat as she is.
    pub moored: &'a Moored,
    /// The number of her newest revision.
    pub revision: u32,
}

/// The form for a new boat, as it was sent; empty at first.
#[derive(Debug, Clone)]
pub struct BeginForm {
    /// Her particulars.
    pub particulars: Value,
    /// Classes that were ticked.
    pub classes: Vec<String>,
    /// What is wrong with it, by field; an empty name for the whole.
    pub wrong: Vec<(String, String)>,
}

impl Default for BeginForm {
    fn default() -> Self {
        Self { particulars: Value::Table(Vec::new()), classes: Vec::new(), wrong: Vec::new() }
    }
}

/// What all pages about one boat's file need.
#[derive(Debug, Clone, Copy)]
pub struct Bench<'a> {
    /// Her part of the address.
    pub slug: &'a str,
    /// Her file, laid out; `None` if it is not even TOML.
    pub deck: Option<&'a Deck>,
    /// The boat as she is.
    pub moored: &'a Moored,
    /// The number of her newest revision.
    pub revision: u32,
}

impl Bench<'_> {
    /// What she is called.
    pub(super) fn name(&self) -> String {
        let written = self.deck.and_then(|deck| deck.particulars.get("name")).and_then(Value::as_text);
        written.map_or_else(|| self.slug.to_owned(), str::to_owned)
    }

    /// Where one is, and the way back.
    pub(super) fn trail(&self, part: Option<(&str, &str)>) -> Markup {
        html! {
            nav.trail aria-label="The way back" {
                a href=(links::SETUP) { "Set up" } " / "
                a href=(links::setup(self.slug)) { (self.name()) }
                @if let Some((part, words)) = part { " / " a href=(links::setup_part(self.slug, part)) { (words) } }
            }
        }
    }
}

/// A draft that waits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftLine {
    /// Its number.
    pub number: u32,
    /// Who made it.
    pub author: String,
    /// When.
    pub at: Moment,
    /// Why, in the author's words.
    pub note: String,
}

/// The particulars that a new boat needs.
pub fn begin_keys() -> Vec<Key> {
    keys(BOAT).iter().filter(|key| key.required).copied().collect()
}

/// Classes that ask for nothing, for a new boat: id and name.
pub fn simple_classes() -> Vec<(&'static str, String)> {
    let open = |class: &&str| parameters(class).iter().all(|parameter| parameter.default.is_some());
    boat::classes().filter(open).map(|class| (class, class_name(class).unwrap_or_default())).collect()
}

/// All boats, and a new one.
pub fn setup_page(site: &Site, boats: &[BoatLine<'_>], begin: &BeginForm) -> String {
    let body = html! {
        div.title {
            h1 { "Set boats up" }
            p.lead { "Each boat is one file. Here it is changed by picking and filling in; it can be taken out and put in as a text as well." }
        }
        ul.cards {
            @for boat in boats {
                li.card {
                    h2 { a href=(links::setup(boat.moored.slug())) { (moored_name(boat.moored)) } }
                    p { (state(boat.moored)) }
                    p.small.soft { "Revision " (boat.revision) }
                }
            }
        }
        @if site.may(Role::Manager) { (begin_part(site, begin)) }
    };
    desk_page(site, "Set boats up", Desk::Boats, &body)
}

fn moored_name(moored: &Moored) -> &str {
    match moored {
        Moored::Well(vessel) => &vessel.boat.particulars.name,
        Moored::Wrecked(wreck) => &wreck.slug,
    }
}

fn state(moored: &Moored) -> Markup {
    match moored {
        Moored::Well(vessel) => vessel.state_line(),
        Moored::Wrecked(wreck) => html! {
            span.state.open { (shield(false)) "Can\u{2019}t be read" } ", "
            (words::count(wreck.diagnostics.len(), "finding", "findings")) " to mend."
        },
    }
}

fn begin_part(site: &Site, begin: &BeginForm) -> Markup {
    let bare = Deck::read("").ok();
    let empty = Value::Table(Vec::new());
    let whole = begin.wrong.iter().find(|(name, _)| name.is_empty());
    html! {
        section.block aria-labelledby="new-boat" {
            h2 #new-boat { "A new boat" }
            details open[!begin.wrong.is_empty()] {
                summary { "Fill in her particulars" }
                @if let Some((_, words)) = whole { p.answer-wrong role="alert" { (words) } }
                form.set-form method="post" action=(links::SETUP) {
                    (seal(site))
                    @if let Some(deck) = &bare {
                        @let at_hand = Fields { deck, row: &begin.particulars, full: &empty, wrong: &begin.wrong };
                        @for key in keys(BOAT).iter().filter(|key| key.required) {
                            (fields(at_hand, std::slice::from_ref(key), "f", &begin.particulars, None))
                        }
                    }
                    fieldset.set-field {
                        legend { "What she has, of the library" }
                        p.hint { "Each becomes an item in her cockpit with its controls, step lists, upkeep and faults; say afterwards where it is. What depends on other parts, such as an engine, is added later." }
                        div.choices {
                            @for (class, name) in simple_classes() {
                                label { input type="checkbox" name="class" value=(class) checked[begin.classes.iter().any(|own| own == class)]; (name) }
                            }
                        }
                    }
                    button type="submit" { "Add her" }
                }
            }
        }
    }
}

/// A boat: her sections with what they hold, her state of proof, revisions, drafts and her file.
pub fn boat_page(site: &Site, bench: &Bench<'_>, drafts: &[DraftLine]) -> String {
    let name = bench.name();
    let slug = bench.slug;
    let body = html! {
        div.title {
            nav.trail aria-label="The way back" { a href=(links::SETUP) { "Set up" } }
            h1 { "Set up " (name) }
            p { (state(bench.moored)) " Revision " (bench.revision) "." }
        }
        div.actions {
            a.button.plain href=(links::setup_part(slug, "revisions")) { "Revisions" }
            a.button.plain href=(links::setup_part(slug, "file")) { "Her file as a text" }
            @if matches!(bench.moored, Moored::Well(_)) { a.button.plain href=(links::room(slug, links::Room::Plan)) { "Her pages" } }
        }
        (draft_list(site, slug, drafts))
        @if let Some(deck) = bench.deck {
            ul.cards.sections {
                li.card {
                    h2 { a href=(links::setup_one(slug, BOAT, "particulars")) { "Particulars" } }
                    p.soft { "Name, hull, rig and measures." }
                }
                @for section in sections() {
                    @let all = deck.section(section.name);
                    @let own = all.iter().filter(|entry| entry.own.is_some()).count();
                    li.card {
                        h2 { a href=(links::setup_part(slug, section.name)) { (words::capital(section.name)) } }
                        p { (words::capital(&words::count(own, "entry", "entries")))
                            @if all.len() > own { ", and " (all.len() - own) " from classes" } "." }
                        p.soft { (section.about) }
                    }
                }
            }
        } @else {
            p { "Her file can\u{2019}t be read far enough to show its entries. Take the text out, mend it, and put it in again." }
        }
        (what_is_wrong(bench.moored))
    };
    desk_page(site, &format!("Set up {name}"), Desk::Boats, &body)
}

fn draft_list(site: &Site, slug: &str, drafts: &[DraftLine]) -> Markup {
    html! {
        @if !drafts.is_empty() {
            section.fresh-link aria-labelledby="drafts" {
                h2 #drafts { "Waiting: " (words::count(drafts.len(), "draft", "drafts")) }
                p { "Texts that were not saved as revisions. Nothing of them is lost: bring each together with the file, or drop it." }
                ul.links { @for draft in drafts { li {
                    a href=(links::setup_one(slug, "drafts", &draft.number.to_string())) { "Draft " (draft.number) " of " (draft.author) ", " (when::moment(site, draft.at)) }
                    @if !draft.note.is_empty() { ": " (draft.note) }
                } } }
            }
        }
    }
}

fn what_is_wrong(moored: &Moored) -> Markup {
    let (found, sources) = match moored {
        Moored::Well(vessel) => (&vessel.findings, vessel.boat.sources()),
        Moored::Wrecked(wreck) => (&wreck.diagnostics, &wreck.sources),
    };
    let errors: Vec<_> = found.iter().filter(|finding| finding.severity == Severity::Error).collect();
    html! {
        @if !errors.is_empty() {
            section.block aria-labelledby="to-mend" {
                h2 #to-mend { "To mend: " (errors.len()) }
                @for finding in errors { (findings::finding(sources, finding)) }
            }
        }
    }
}

/// The entries of a section.
pub fn section_page(site: &Site, bench: &Bench<'_>, section: &Section) -> String {
    let name = bench.name();
    let all = bench.deck.map(|deck| deck.section(section.name)).unwrap_or_default();
    let (own, brought): (Vec<&Entry>, Vec<&Entry>) = all.iter().partition(|entry| entry.own.is_some());
    let title = words::capital(section.name);
    let body = html! {
        div.title {
            (bench.trail(None))
            h1 { (title) " of " (name) }
            p.lead { (section.about) }
        }
        @if site.may(Role::Manager) {
            div.actions { a.button href=(links::setup_one(bench.slug, section.name, "new")) { "Add " (section.one) } }
        }
        @if own.is_empty() { p { "Her file has none." } }
        ul.entries { @for entry in own { (entry_line(bench, section.name, entry)) } }
        @if !brought.is_empty() {
            section.block aria-labelledby="brought" {
                h2 #brought { "From classes" }
                p.soft { "These come with the classes of her items. What you change in one of them goes into her file; the rest stays as the class has it." }
                details { summary { "Show " (words::count(brought.len(), "entry", "entries")) }
                    ul.entries { @for entry in brought { (entry_line(bench, section.name, entry)) } }
                }
            }
        }
    };
    desk_page(site, &format!("{title} of {name}"), Desk::Boats, &body)
}

fn entry_line(bench: &Bench<'_>, section: &str, entry: &Entry) -> Markup {
    let find = |section: &str, id: &Option<String>| {
        id.as_deref()
            .and_then(|id| bench.deck.and_then(|deck| deck.find(section, id)))
            .map(|entry| entry.name.clone())
    };
    let place = find("places", &entry.place);
    let by = find("items", &entry.by);
    html! {
        li {
            a href=(links::setup_one(bench.slug, section, &entry.id)) { (entry.name) }
            span.soft { (entry.id)
                @if let Some(place) = place { ", " (place) }
                @if let Some(by) = by { ", from " (by) } }
        }
    }
}
