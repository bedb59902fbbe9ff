//! A line of a boat's service plan: when it is due, when it was done and what that cost; where it is told that it was done.

use boat::model::{Boat, UpkeepId, UpkeepLine};
use maud::{Markup, html};
use records::{BoatId, BoatStanding, Done, Window, due};
use trace::spares::ServicePart;

use super::crossed;
use super::service::bound_words;
use super::spent;
use super::stage::{Hull, upkeep_name};
use super::stock::Shelves;
use super::used::{self, Used};
use crate::dock::{Flaw, Kept, Names};
use crate::frame::{Desk, Site, desk_page, seal};
use crate::{links, when, words};

/// A line, as its page asks for it.
#[derive(Debug, Clone, Copy)]
pub struct DoneAsk<'a> {
    /// The boats, in the order by which the parts name them.
    pub hulls: &'a [Hull<'a>],
    /// The boat's place among them.
    pub at: usize,
    /// The line of her service plan.
    pub line: UpkeepId,
    /// The parts.
    pub shelves: &'a Shelves,
    /// What people are called.
    pub names: &'a Names,
    /// The fields of a form that was sent and not taken.
    pub typed: &'a [(String, String)],
    /// What is wrong with them.
    pub flaws: &'a [Flaw],
}

impl<'a> DoneAsk<'a> {
    fn hull(&self) -> Hull<'a> {
        self.hulls[self.at]
    }

    fn boat(&self) -> &'a Boat {
        &self.hull().vessel.boat
    }

    fn line(&self) -> &'a UpkeepLine {
        &self.boat().upkeep[self.line]
    }

    fn records(&self) -> Option<&'a BoatStanding> {
        self.hull().standing.boats.get(&BoatId::new(self.hull().vessel.slug.as_str()))
    }
}

/// The page.
pub fn done_page(site: &Site, ask: &DoneAsk<'_>) -> String {
    let kept = Kept { typed: ask.typed, flaws: ask.flaws };
    let (hull, line) = (ask.hull(), ask.line());
    let body = html! {
        div.title {
            p.small { a href="/upkeep" { "Upkeep" } ": " a href=(links::standing(&hull.vessel.slug)) { (hull.name()) } }
            h1 { (line.name) }
            p.lead { (words::interval(&line.every)) "." @for bound in bounds(site, ask) { " " (words::sentence(&words::capital(&bound))) } }
            @if let Some(item) = line.item { p { (ask.boat().items[item].name) @if let Some(skill) = &line.skill { ", by " (skill) } "." } }
        }
        (kept.top("Not taken yet:"))
        section #tell {
            h2 { "It is done" }
            (form(site, ask, &kept))
        }
        (history(site, ask))
    };
    desk_page(site, &format!("{} - {}", upkeep_name(ask.boat(), line), hull.name()), Desk::Upkeep, &body)
}

fn bounds(site: &Site, ask: &DoneAsk<'_>) -> Vec<String> {
    let none = BoatStanding::default();
    let today = when::zoned(site, site.now).date();
    let all = due(ask.boat(), ask.records().unwrap_or(&none), today, &Window::USUAL);
    let own = all.into_iter().find(|due| due.line == ask.line);
    own.map_or_else(Vec::new, |due| due.bounds.iter().map(|bound| bound_words(site, bound)).collect())
}

/// The parts that the line takes, by their names in the store, with how many.
fn expected(ask: &DoneAsk<'_>) -> Vec<(String, String)> {
    let own = |shelf: &super::stock::Shelf| {
        let task = shelf.upkeep.iter().find(|task| task.hull == ask.at && task.line == ask.line)?;
        let unit = if shelf.litres { " L" } else { "" };
        let only = task.only.as_ref().map_or_else(String::new, |only| format!(", {only}"));
        Some((shelf.name.clone(), format!("usually {}{unit}{only}", task.count)))
    };
    let known: Vec<(String, String)> = ask.shelves.all.iter().filter_map(own).collect();
    if !known.is_empty() {
        return known;
    }
    // Without numbers to hold the store does not know what takes a part; the plan's own words do.
    let read = |words: &String| {
        let part = ServicePart::read(words);
        (part.name, format!("usually {}", part.count))
    };
    ask.line().parts.iter().map(read).collect()
}

fn form(site: &Site, ask: &DoneAsk<'_>, kept: &Kept<'_>) -> Markup {
    let (hull, line) = (ask.hull(), ask.line());
    let expected = expected(ask);
    let used = Used { prefix: "u", hull, at: ask.at, shelves: ask.shelves, expected: &expected };
    let usual = line
        .takes
        .map_or_else(|| "such as 1 h 30 min".to_owned(), |takes| format!("usually {}", words::time(takes)));
    html! {
        form.tell-form.wide-form method="post" action=(links::upkeep_line(&hull.vessel.slug, &line.id)) {
            (seal(site))
            div.pair {
                @if line.every.engine_hours.is_some() { (field(kept, "hours", "Engine hours by its meter", "such as 1234.5", "decimal")) }
                (field(kept, "took", "How long it took", &usual, "text"))
                (field(kept, "work", "What the work cost", "such as 95.00 USD", "text"))
                (field(kept, "cost", "What else it cost, a yard's bill say", "such as 95.00 USD", "text"))
            }
            p.hint { "All of these may be left empty." }
            (used::rows(&used, kept))
            div.stop-go { button type="submit" { "It is done" } (used::more()) }
        }
    }
}

/// A field of one line that may be left empty.
pub(super) fn field(kept: &Kept<'_>, name: &str, label: &str, such: &str, mode: &str) -> Markup {
    html! {
        div.field { label for=(name) { (label) }
            input id=(name) name=(name) type="text" inputmode=(mode) autocomplete="off" maxlength="40" placeholder=(such) value=(kept.get(name))
                aria-invalid=[kept.flaw(name).map(|_| "true")] aria-describedby=[kept.described(name)];
            (kept.beside(name)) }
    }
}

fn history(site: &Site, ask: &DoneAsk<'_>) -> Markup {
    let done = ask.records().and_then(|records| records.upkeep.get(&ask.line().id));
    html! {
        section.block #history {
            h2 { "When it was done" }
            @match done {
                None => p { "It was never told." },
                Some(all) => ol.history { @for done in all.iter().rev() { li {
                    (told(done)) " " span.soft { (ask.names.hand(&done.mark.who)) ", " (when::moment(site, done.mark.when)) "." } " " (crossed::link(site, &done.mark.content.to_string()))
                } } },
            }
        }
    }
}

/// What was told of a doing, in words.
pub(super) fn told(done: &Done) -> String {
    let mut parts = Vec::new();
    parts.extend(done.hours.map(|hours| format!("at {} engine hours", words::trimmed(hours.as_hours()))));
    parts.extend(done.took.map(|took| format!("took {}", words::time(took))));
    parts.extend(done.work.map(|work| format!("work {work}")));
    if !done.parts.is_empty() {
        parts.push(format!("parts {}", spent::parts(&done.parts)));
    }
    parts.extend(done.cost.map(|cost| format!("other cost {cost}")));
    let mut told = if parts.is_empty() { "Done".to_owned() } else { format!("Done: {}", parts.join("; ")) };
    let sum = spent::done(done);
    if !sum.is_empty() {
        told = format!("{told}; together {sum}");
    }
    format!("{told}.")
}
