//! The emergencies: never a question, always at once to the step list; and words for those of which a boat file has
//! none.

use boat::model::{Boat, Procedure, ProcedureId};
use maud::{Markup, html};

use crate::signs::{self, Shape};
use crate::vessel::Vessel;
use crate::{links, say, subjects, words as names};

/// An emergency that every boat can have.
struct Kind {
    /// In a crew's words.
    says: &'static str,
    /// Words in the name of a list for it.
    words: &'static [&'static str],
}

/// In the order in which a list is looked at: a fire that gas feeds is a fire.
const KINDS: [Kind; 4] = [
    Kind { says: "Somebody is in the water", words: &["overboard"] },
    Kind { says: "Fire, smoke, or a smell of burning", words: &["fire", "burning", "smoke"] },
    Kind { says: "A smell of gas, or the gas alarm sounds", words: &["gas"] },
    Kind { says: "Water is coming in", words: &["coming in", "flood", "leak"] },
];

/// Words in the name of a list for calling help.
const HELP: &[&str] = &["mayday", "distress", "beacon"];

fn named(procedure: &Procedure, words: &[&str]) -> bool {
    let name = procedure.name.to_lowercase();
    words.iter().any(|word| name.contains(word))
}

/// The emergency lists of a boat, sorted into what they are for.
struct Lists {
    /// Beside [`KINDS`].
    kinds: [Vec<ProcedureId>; KINDS.len()],
    help: Vec<ProcedureId>,
    others: Vec<ProcedureId>,
}

fn sorted(boat: &Boat) -> Lists {
    let mut lists = Lists { kinds: Default::default(), help: Vec::new(), others: Vec::new() };
    let mut all: Vec<ProcedureId> =
        boat.procedures.iter_ids().filter(|(_, list)| list.emergency).map(|(id, _)| id).collect();
    all.sort_by_key(|id| subjects::urgency(&boat.procedures[*id]));
    for id in all {
        let list = &boat.procedures[id];
        match KINDS.iter().position(|kind| named(list, kind.words)) {
            Some(at) => lists.kinds[at].push(id),
            None if named(list, HELP) => lists.help.push(id),
            None => lists.others.push(id),
        }
    }
    lists
}

/// The emergencies, large and apart from all else.
pub(super) fn section(vessel: &Vessel) -> Markup {
    let boat = &vessel.boat;
    let lists = sorted(boat);
    html! {
        section.alarms #emergency aria-labelledby="emergency-head" {
            div.group-head {
                (signs::plain(Shape::Safe, "Safe condition sign"))
                h2 #emergency-head { "Is it an emergency?" }
            }
            p { "Do not look for the cause. Tap what it is, and begin at once." }
            ul.alarm-links {
                @for (kind, ids) in KINDS.iter().zip(&lists.kinds) {
                    @for id in ids { li { (list_link(vessel, *id)) } }
                    @if ids.is_empty() {
                        li { a.alarm-link href="#call" { strong { (kind.says) }
                            span.always { "This boat's file has no list for it. Call for help." } } }
                    }
                }
            }
            @if !lists.others.is_empty() {
                details {
                    summary { (names::count(lists.others.len(), "more list", "more lists")) " for an emergency" }
                    ul.alarm-links.others { @for id in &lists.others { li { (list_link(vessel, *id)) } } }
                }
            }
            (help(vessel, &lists.help, lists.kinds.iter().any(Vec::is_empty)))
        }
    }
}

fn list_link(vessel: &Vessel, id: ProcedureId) -> Markup {
    let list = &vessel.boat.procedures[id];
    // Two lists of one name are told apart by their signs only.
    let alone = vessel.boat.procedures.iter().filter(|other| other.name == list.name).count() == 1;
    html! {
        a.alarm-link href=(links::steps(&vessel.slug, &list.id)) {
            strong { (list.name) }
            @if let Some(thing) = subjects::told_apart(&vessel.boat, list) { span { (thing) } }
            @if !list.signs.is_empty() {
                span.always[!alone] { @for (at, sign) in list.signs.iter().enumerate() { @if at > 0 { " " } (say::prose(&vessel.boat, sign)) } }
            }
        }
    }
}

/// What holds in every emergency (common practice; the words of a distress call are those of the radio regulations).
fn help(vessel: &Vessel, lists: &[ProcedureId], open: bool) -> Markup {
    html! {
        details.call-help #call open[open] {
            summary { "How to call for help" }
            ol {
                li { "Get everyone on deck with lifejackets on, away from it." }
                li { "VHF radio, channel 16, high power. Say: \u{201c}Mayday, Mayday, Mayday. This is "
                    (vessel.boat.particulars.name) "\u{201d}, where you are, what is wrong, how many you are." }
                li { "No radio: call the emergency number of the country that you are in." }
            }
            @if !lists.is_empty() {
                ul.alarm-links.others { @for id in lists { li { (list_link(vessel, *id)) } } }
            }
        }
    }
}

/// The bar that stands on every page of a case.
pub(super) fn bar(vessel: &Vessel) -> Markup {
    html! {
        a.alarm-bar.no-print href=(links::alarm(&vessel.slug)) {
            (signs::plain(Shape::Warning, "Warning sign"))
            span { "I smell gas, see smoke or fire, or water comes in" }
        }
    }
}

/// The emergencies on paper: above all else.
pub(super) fn on_paper(vessel: &Vessel) -> Markup {
    let lists = sorted(&vessel.boat);
    let ids: Vec<ProcedureId> = lists.kinds.iter().flatten().copied().collect();
    html! {
        div.signal.danger role="note" {
            p.signal-head { (signs::plain(Shape::Warning, "Warning sign")) strong { "Danger" } }
            div.signal-text {
                p { "You smell gas, see smoke or fire, water comes in, or somebody is in the water: stop here. Everyone on deck \
                     with lifejackets on, away from it. VHF channel 16." }
                @if !ids.is_empty() {
                    p { "Step lists: "
                        @for (at, id) in ids.iter().enumerate() {
                            @if at > 0 { "; " }
                            a href=(links::steps(&vessel.slug, &vessel.boat.procedures[*id].id)) { (vessel.boat.procedures[*id].name) }
                        } "." }
                }
            }
        }
    }
}
