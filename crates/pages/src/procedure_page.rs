//! One step list: to be read on a phone with wet hands, and to be printed.

use std::collections::BTreeSet;

use boat::model::{Boat, CautionId, Expr, ItemId, Procedure, ProcedureId};
use maud::{Markup, html};

use crate::frame::{Aboard, Site, page};
use crate::known::{self, Known};
use crate::links::{self, Room};
use crate::signs::{self, Shape};
use crate::vessel::{Vessel, shield};
use crate::{call, caution, parts, say, slips, step, subjects, words, wrong};

/// A step list with all that belongs to it.
pub fn procedure_page(site: &Site, vessel: &Vessel, known: Known<'_>, id: ProcedureId) -> String {
    let boat = &vessel.boat;
    let procedure = &boat.procedures[id];
    let body = html! {
        article {
            (head(vessel, procedure))
            (broken(site, vessel, known, procedure))
            (start(vessel, procedure))
            (caution::panels(boat, &head_cautions(boat, procedure)))
            (steps(vessel, procedure))
            (end(boat, procedure))
            @if procedure.emergency { (call::line(site)) }
            (did_not_work(vessel, id))
            (slips::in_list(vessel, id))
            (proof(vessel, id))
        }
    };
    let aboard = Aboard { slug: &vessel.slug, name: &boat.particulars.name, room: Room::Steps };
    page(site, &procedure.name, Some(aboard), &body)
}

/// The cautions of the head that do not stand at one of the steps: a warning belongs where its danger is.
fn head_cautions(boat: &Boat, procedure: &Procedure) -> Vec<CautionId> {
    let at_steps: Vec<CautionId> =
        procedure.steps.iter().flat_map(|step| caution::cautions_at(boat, step)).collect();
    caution::ranked(boat, procedure.cautions.iter().copied().filter(|id| !at_steps.contains(id)))
}

fn head(vessel: &Vessel, procedure: &Procedure) -> Markup {
    html! {
        div.title {
            p.no-print { a.quiet href=(vessel.link(Room::Steps)) { "All step lists" } }
            @if procedure.emergency {
                p.emergency { (signs::plain(Shape::Safe, "Safe condition sign")) "For an emergency" }
            }
            h1 { (procedure.name) }
            @if let Some(thing) = subjects::told_apart(&vessel.boat, procedure) { p { strong { (thing) } } }
            @if let Some(about) = &procedure.about { p.lead { (say::prose(&vessel.boat, about)) } }
            div.head-line {
                p.tags {
                    span.tag { "Who: " (words::who(procedure.who).to_lowercase()) }
                    span.tag { (words::count(procedure.steps.len(), "step", "steps")) }
                }
                button.plain.no-print type="button" data-print hidden { "Print this list" }
            }
        }
    }
}

/// What is known to be wrong with the things that the list uses.
fn broken(site: &Site, vessel: &Vessel, known: Known<'_>, procedure: &Procedure) -> Markup {
    let boat = &vessel.boat;
    let items: BTreeSet<ItemId> = procedure.steps.iter().filter_map(|step| boat.step_item(step)).collect();
    known::here(site, vessel, "Known to be wrong with what this list uses:", &known.of_items(boat, &items))
}

fn start(vessel: &Vessel, procedure: &Procedure) -> Markup {
    let boat = &vessel.boat;
    let given = say::parts(boat, &procedure.given);
    let done = if procedure.emergency { "After: " } else { "Done already: " };
    let nothing = procedure.after.is_empty() && procedure.start.is_empty() && given.is_empty();
    html! {
        section.start aria-labelledby="start" {
            @if procedure.emergency {
                h2 #start { "Begin at once" }
                p { "Pass over a step that is done already. The list was proven for this case:" }
            } @else {
                h2 #start { "Before you begin" }
            }
            @if nothing { p { "She may be as she was left, everything at rest." } } @else {
                ul.plainly {
                    @for id in &procedure.after {
                        li { (done) a href=(links::steps(&vessel.slug, &boat.procedures[*id].id)) { (boat.procedures[*id].name) } "." }
                    }
                    @for assign in &procedure.start { li { (boat.value_words(assign.var, assign.value)) "." } }
                    @for part in given { li { (words::sentence(&part)) } }
                }
            }
        }
    }
}

fn steps(vessel: &Vessel, procedure: &Procedure) -> Markup {
    let mut seen: BTreeSet<ItemId> = BTreeSet::new();
    html! {
        h2.vh { "Steps" }
        form.ticks {
            ol.steps {
                @for (at, row) in procedure.steps.iter().enumerate() {
                    @let known = vessel.boat.step_item(row).is_some_and(|item| !seen.insert(item));
                    (step::step(vessel, at + 1, row, known))
                }
            }
            @if procedure.steps.is_empty() { p { "This list has no steps yet." } } @else {
                p.no-print { button.plain type="reset" { "Clear the ticks" } }
            }
        }
    }
}

fn end(boat: &Boat, procedure: &Procedure) -> Markup {
    let goal =
        if procedure.goal == Expr::Const(true) { Vec::new() } else { say::parts(boat, &procedure.goal) };
    html! {
        section.step-end aria-labelledby="end" {
            h2 #end { "When you are done" }
            @if !goal.is_empty() { ul.plainly { @for part in goal { li { (words::sentence(&part)) } } } }
            @if procedure.leaves.is_empty() {
                p { "Everything that you touched is back at rest." }
            } @else {
                p { "These stay as they are now; everything else is back at rest:" }
                ul.plainly.left-on {
                    @for leave in &procedure.leaves {
                        li { (boat.vars[leave.var].name) ": " (parts::chip(boat.vars[leave.var].label(leave.value))) }
                    }
                }
            }
        }
    }
}

/// What may be seen after the list was followed, each the beginning of fault finding.
fn did_not_work(vessel: &Vessel, id: ProcedureId) -> Markup {
    let all = trace::symptoms(&vessel.boat);
    let seen = wrong::of_list(&all, id);
    html! {
        @if !seen.is_empty() {
            section.block.no-print aria-labelledby="did-not-work" {
                h2 #did-not-work { "It did not work" }
                p { "Say what you see, and you are asked one thing at a time until the cause is found:" }
                ul.list-links { @for symptom in seen { li { (wrong::link(vessel, symptom)) } } }
            }
        }
    }
}

fn proof(vessel: &Vessel, id: ProcedureId) -> Markup {
    let boat = &vessel.boat;
    html! {
        section.block aria-labelledby="proven" {
            h2 #proven { "How this list was checked" }
            @match vessel.proof(id) {
                None => p { "This list was not checked." },
                Some(proof) => {
                    p { span class=(if proof.proven { "state proven" } else { "state open" }) {
                        (shield(proof.proven)) (if proof.proven { "Proven" } else { "Not proven" }) }
                        " in " (words::count(proof.worlds, "situation", "situations")) "."
                        @if !proof.proven { " " a href=(vessel.link(Room::Proof)) { "See what is to mend" } "." }
                    }
                    p.no-print {
                        "It was followed on the model of this boat in "
                        (words::count(proof.worlds, "situation", "situations")) " that it may begin in"
                        @if !proof.open.is_empty() {
                            " (" @for (at, var) in proof.open.iter().enumerate() { @if at > 0 { ", " } (boat.vars[*var].name) } " being one way or another)"
                        }
                        ". In these, " (words::count(proof.needs_checked, "need", "needs")) " of its steps held, "
                        (words::count(proof.harms_excluded, "possible harm", "possible harms")) " did not happen, "
                        (words::count(proof.limits_kept, "limit", "limits")) " were kept and "
                        (words::count(proof.nevers_avoided, "forbidden state", "forbidden states")) " were never entered."
                        @if !proof.whole { " The situations are all single ones and all pairs, not every combination." }
                    }
                    p.soft.no-print { "The model is as good as what the boat file says. Stay alert: a worn part does not read the file." }
                }
            }
            @if let Some(source) = &boat.procedures[id].source { p.small { (parts::source(source)) } }
        }
    }
}
