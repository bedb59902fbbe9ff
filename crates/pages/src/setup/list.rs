//! The boats to set up, a boat's sections, a section's entries.

use boat::diagnostic::Severity;
use boat::edit::{BOAT, Deck, Entry, Key, Section, Value, class_name, keys, parameters, sections};
use maud::{Markup, html};
use records::Moment;

use super::called;
use super::field::{Desk as Fields, fields};
use super::row::wrong_list;
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
                @let flawed: Vec<(String, String)> = begin.wrong.iter().filter(|(name, _)| !name.is_empty()).cloned().collect();
                (wrong_list(&flawed))
                form.set-form method="post" action=(format!("{}#new-boat", links::SETUP)) {
                    (seal(site))
                    @if let Some(deck) = &bare {
                        @let at_hand = Fields { deck, row: &begin.particulars, full: &empty, wrong: &begin.wrong, at: "" };
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
            @for (heading, names) in GROUPS { (section_group(slug, deck, heading, names)) }
        } @else {
            p { "Her file can\u{2019}t be read far enough to show its entries. Take the text out, mend it, and put it in again." }
        }
        (what_is_wrong(bench.moored))
    };
    desk_page(site, &format!("Set up {name}"), Desk::Boats, &body)
}

/// The sections as people look for them; what stands in no group comes last.
const GROUPS: [(&str, &[&str]); 4] = [
    ("The boat and what is aboard", &[BOAT, "places", "items", "kit", "tackle"]),
    ("How she is worked", &["controls", "procedures", "actions", "topics", "cautions", "never"]),
    ("What runs out, what is serviced", &["stores", "sources", "loads", "modes", "upkeep", "faults"]),
    ("What follows from what", &["states", "conditions", "readings"]),
];

fn section_group(slug: &str, deck: &Deck, heading: &str, names: &[&str]) -> Markup {
    let grouped = |name: &str| GROUPS.iter().any(|(_, names)| names.contains(&name));
    let last = GROUPS.last().is_some_and(|(own, _)| *own == heading);
    let known = names.iter().filter_map(|name| sections().iter().find(|section| section.name == *name));
    let rest = sections().iter().filter(|section| last && !grouped(section.name));
    html! {
        section.set-group {
            h2 { (heading) }
            ul.entries {
                @if names.contains(&BOAT) {
                    li { a href=(links::setup_one(slug, BOAT, "particulars")) { "Particulars" } span.soft.about { "Name, hull, rig and measures." } }
                }
                @for section in known.chain(rest) {
                    @let all = deck.section(section.name);
                    @let own = all.iter().filter(|entry| entry.own.is_some()).count();
                    li {
                        a href=(links::setup_part(slug, section.name)) { (called::section(section.name)) }
                        span { (own) @if all.len() > own { ", and " (all.len() - own) " from classes" } }
                        span.soft.about { (section.about) }
                    }
                }
            }
        }
    }
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

/// So many entries are looked through by eye.
const MANY: usize = 12;

/// The entries of a section; of many, those that fit some letters.
pub fn section_page(site: &Site, bench: &Bench<'_>, section: &Section, asked: &str) -> String {
    let name = bench.name();
    let all = bench.deck.map(|deck| deck.section(section.name)).unwrap_or_default();
    let fitting = all.iter().filter(|entry| fits(bench, entry, asked));
    let (own, brought): (Vec<&Entry>, Vec<&Entry>) = fitting.partition(|entry| entry.own.is_some());
    let title = called::section(section.name);
    let asking = !asked.trim().is_empty();
    let body = html! {
        div.title {
            (bench.trail(None))
            h1 { (title) " of " (name) }
            p.lead { (section.about) }
        }
        @if site.may(Role::Manager) {
            div.actions { a.button href=(links::setup_one(bench.slug, section.name, "new")) { "Add " (called::one(section.name, section.one)) } }
        }
        @if all.len() > MANY {
            form.search role="search" method="get" action=(links::setup_part(bench.slug, section.name)) {
                label for="q" { "Find by name or place" }
                div.search-line {
                    input #q type="search" name="q" value=(asked) autocomplete="off" spellcheck="false";
                    button type="submit" { "Find" }
                }
            }
        }
        @if asking { p role="status" { (words::capital(&words::count(own.len() + brought.len(), "entry fits", "entries fit"))) ". " a href=(links::setup_part(bench.slug, section.name)) { "Show all" } } }
        @else if own.is_empty() { p { "Her file has none." } }
        ul.entries { @for entry in own { (entry_line(bench, section.name, entry)) } }
        @if !brought.is_empty() {
            section.block aria-labelledby="brought" {
                h2 #brought { "From classes" }
                p.soft { "These come with the classes of her items. What you change in one of them goes into her file; the rest stays as the class has it." }
                details open[asking] { summary { "Show " (words::count(brought.len(), "entry", "entries")) }
                    ul.entries { @for entry in brought { (entry_line(bench, section.name, entry)) } }
                }
            }
        }
    };
    desk_page(site, &format!("{title} of {name}"), Desk::Boats, &body)
}

/// What an entry is found by: its own name, and that of its place.
fn fits(bench: &Bench<'_>, entry: &Entry, asked: &str) -> bool {
    let place = entry.place.as_deref().and_then(|place| bench.deck?.find("places", place));
    let place = place.map_or("", |place| place.name.as_str());
    let all = format!("{} {} {place}", entry.name, words::spaced(&entry.id)).to_lowercase();
    asked.to_lowercase().split_whitespace().all(|word| all.contains(word))
}

fn entry_line(bench: &Bench<'_>, section: &str, entry: &Entry) -> Markup {
    let find = |section: &str, id: &str| {
        bench.deck.and_then(|deck| deck.find(section, id)).map(|entry| entry.name.clone())
    };
    let within = entry.full.get("in").and_then(Value::as_text).filter(|_| section == "places");
    let level = entry.full.get("level").and_then(Value::as_text).filter(|_| section == "places");
    let level = level.map(words::capital);
    let place = entry.place.as_deref().or(within).and_then(|place| find("places", place));
    let by = entry.by.as_deref().and_then(|by| find("items", by)).map(|by| format!("from {by}"));
    let beside: Vec<String> = [level, place, by].into_iter().flatten().collect();
    html! {
        li {
            a href=(links::setup_one(bench.slug, section, &entry.id)) { (entry.name) }
            @if !beside.is_empty() { span.soft { (beside.join(", ")) } }
        }
    }
}
