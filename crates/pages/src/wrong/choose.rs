//! The first screen: what is wrong, chosen or said in one's own words.

use std::collections::BTreeSet;

use boat::model::{Boat, ItemId, ProcedureId};
use maud::{Markup, html};
use trace::{About, Symptom, find, symptoms};

use super::ask::WrongAsk;
use super::urgent;
use crate::frame::{Aboard, Site, page};
use crate::known::{self, Known};
use crate::links::{self, Room};
use crate::subjects::{self, Subject};
use crate::vessel::Vessel;
use crate::{call, say, words};

/// How many results are shown.
const MOST_RESULTS: usize = 20;

/// The page: emergencies, then a search, then everything that can be wrong, by subject.
pub fn wrong_page(site: &Site, vessel: &Vessel, known: Known<'_>, ask: &WrongAsk) -> String {
    let all = symptoms(&vessel.boat);
    let first = *ask == WrongAsk::default();
    let body = html! {
        div.title {
            h1 { "What is wrong?" }
            @if first { p.no-print { a.quiet href="#see" { "It is no emergency: say what you see" } } }
        }
        // Once it is said what is wrong, the answer comes first, and the emergencies are one tap away.
        @if first { (urgent::section(vessel)) } @else { (urgent::bar(vessel)) }
        section.block aria-labelledby="see" {
            h2 #see { "What do you see?" }
            p { "You are asked one thing at a time, until it works again or it is clear what to tell the base." }
            (broken(site, vessel, known, ask))
            (search_form(vessel, ask))
            div #live data-live-region { (answer(site, vessel, ask, &all)) }
        }
    };
    let aboard = Aboard { slug: &vessel.slug, name: &vessel.boat.particulars.name, room: Room::Wrong };
    page(site, "What is wrong?", Some(aboard), &body)
}

/// What the base knows already: all of it, or what concerns the item that is asked about.
fn broken(site: &Site, vessel: &Vessel, known: Known<'_>, ask: &WrongAsk) -> Markup {
    let open = match ask.item {
        Some(item) => known.of_items(&vessel.boat, &BTreeSet::from([item])),
        None => known.open(),
    };
    known::here(site, vessel, "Is it this? The base knows it already:", &open)
}

fn search_form(vessel: &Vessel, ask: &WrongAsk) -> Markup {
    html! {
        form.search role="search" method="get" action=(vessel.link(Room::Wrong)) data-live-form {
            label for="q" { "In your own words" }
            div.search-line {
                input #q type="search" name="q" value=(ask.q) autocomplete="off" autocapitalize="off"
                    aria-describedby="q-hint";
                button type="submit" { "Look" }
            }
            p.hint #q-hint { "Such as: no hot water, toilet blocked, lights out. Spelling does not matter." }
        }
    }
}

fn answer(site: &Site, vessel: &Vessel, ask: &WrongAsk, all: &[Symptom]) -> Markup {
    let boat = &vessel.boat;
    if !ask.q.is_empty() {
        return searched(site, vessel, ask, all);
    }
    let (only, of): (Vec<&Symptom>, String) = match (ask.item, ask.list) {
        (Some(item), _) => {
            (of_item(boat, all, item), format!("Wrong with \u{201c}{}\u{201d}", boat.items[item].name))
        }
        (None, Some(list)) => {
            (of_list(all, list), format!("After \u{201c}{}\u{201d}", boat.procedures[list].name))
        }
        (None, None) => return everything(vessel, all),
    };
    html! {
        h3 #there tabindex="-1" { (of) }
        @if only.is_empty() { p { "The boat file lists nothing for it. Look through everything that can be wrong, or call the base." } }
        ul.list-links { @for symptom in only { li { (link(vessel, symptom)) } } }
        p { a.button.plain href=(vessel.link(Room::Wrong)) { "Show everything that can be wrong" } }
    }
}

fn searched(site: &Site, vessel: &Vessel, ask: &WrongAsk, all: &[Symptom]) -> Markup {
    let found = best(all, &find(&vessel.boat, all, &ask.q));
    html! {
        p.soft role="status" data-announce {
            (words::capital(&words::count(found.len(), "thing fits", "things fit"))) " \u{201c}" (ask.q) "\u{201d}"
            @if found.len() > 1 { ", the best first" } ". "
            a href=(vessel.link(Room::Wrong)) data-live { "Show all" }
        }
        @if found.is_empty() { (nothing(site)) (everything(vessel, all)) } @else {
            ul.list-links { @for symptom in found.iter().take(MOST_RESULTS) { li { (link(vessel, symptom)) } } }
            @if found.len() > MOST_RESULTS { p.soft { "Say it in more words to see fewer things." } }
            p { "Is it none of these? Say it otherwise, or look through everything. If nothing fits, call the base." }
        }
    }
}

/// What was found, best first; each emergency list once, however many of its signs fit.
fn best<'s>(all: &'s [Symptom], found: &[(usize, f64)]) -> Vec<&'s Symptom> {
    let mut once: Vec<&Symptom> = Vec::new();
    for (at, _) in found {
        let emergency = |symptom: &Symptom| matches!(symptom.about, About::Emergency(_));
        if !emergency(&all[*at]) || !once.iter().any(|known| known.about == all[*at].about) {
            once.push(&all[*at]);
        }
    }
    once
}

fn nothing(site: &Site) -> Markup {
    html! {
        div.answer {
            p { strong { "Say what you see, hear or smell, and on what." } " Not what you think has failed: \u{201c}no water from the tap\u{201d} is found, \u{201c}hydraulics defective\u{201d} is not." }
            p { "Or choose from everything below. If nothing fits, leave it as it is and call the base." }
            (call::line(site))
        }
    }
}

fn everything(vessel: &Vessel, all: &[Symptom]) -> Markup {
    let boat = &vessel.boat;
    let of: Vec<(Subject, &Symptom)> =
        all.iter().map(|symptom| (subjects::of_symptom(boat, symptom), symptom)).collect();
    let groups = Subject::ALL.into_iter().filter(|subject| *subject != Subject::Emergency).map(|subject| {
        (
            subject,
            of.iter().filter(|(other, _)| *other == subject).map(|(_, symptom)| *symptom).collect::<Vec<_>>(),
        )
    });
    let groups: Vec<_> = groups.filter(|(_, symptoms)| !symptoms.is_empty()).collect();
    html! {
        @if groups.is_empty() { p { "The boat file does not say what can be wrong. Call the base." } }
        div.subjects {
            @for (subject, symptoms) in groups {
                details id=(format!("about-{}", subject as usize)) {
                    summary { h3 { (subject.name()) } span.soft { (symptoms.len()) } }
                    ul.list-links { @for symptom in symptoms { li { (link(vessel, symptom)) } } }
                }
            }
        }
    }
}

/// A symptom in the crew's words, with the thing that it shows at; an emergency leads to its list at once.
pub(crate) fn link(vessel: &Vessel, symptom: &Symptom) -> Markup {
    let boat = &vessel.boat;
    let (address, class) = match symptom.about {
        About::Emergency(list) => {
            (links::steps(&vessel.slug, &boat.procedures[list].id), "list-link alarm-found")
        }
        About::Fails(_) | About::Sign(_) => (links::wrong(&vessel.slug, &symptom.id), "list-link"),
    };
    html! {
        a class=(class) href=(address) {
            strong { (say::prose(boat, &symptom.words)) }
            span.soft {
                @match symptom.about {
                    About::Emergency(list) => { "Emergency: \u{201c}" (boat.procedures[list].name) "\u{201d}, at once" },
                    About::Fails(_) | About::Sign(_) => @if let Some(item) = symptom.item {
                        (boat.items[item].name)
                        @if let Some(place) = symptom.place { ", " (boat.places[place].name) }
                    },
                }
            }
        }
    }
}

/// What can be wrong that concerns an item: it shows there, or rests on it.
pub(crate) fn of_item<'s>(boat: &Boat, all: &'s [Symptom], item: ItemId) -> Vec<&'s Symptom> {
    all.iter()
        .filter(|symptom| match symptom.about {
            About::Emergency(_) => false,
            About::Fails(condition) => boat.conditions[condition].items.contains(&item),
            About::Sign(fault) => boat.faults[fault].item == item,
        })
        .collect()
}

/// What can be wrong after a step list was followed.
pub(crate) fn of_list(all: &[Symptom], list: ProcedureId) -> Vec<&Symptom> {
    all.iter().filter(|symptom| symptom.followed == Some(list)).collect()
}
