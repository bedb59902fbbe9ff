//! A case as a screen: one question, its replies, and below what is suspected and what was answered.

use std::collections::BTreeSet;

use boat::model::{CautionId, FaultId, ItemId, ProcedureId, Who};
use maud::{Markup, html};
use trace::{Ask, Next, Reply, words};

use super::ask::CaseAsk;
use super::{base, ending, look, suspects, told, urgent};
use crate::frame::{Aboard, Site, page};
use crate::known::{self, Known};
use crate::links::{self, Room};
use crate::vessel::Vessel;
use crate::{caution, say};

/// The page of a case as it stands.
pub fn case_page(site: &Site, vessel: &Vessel, known: Known<'_>, ask: &CaseAsk<'_>) -> String {
    let next = ask.next();
    let over = !matches!(next, Next::Ask(_));
    let body = html! {
        (urgent::bar(vessel))
        div.title.case-title {
            h1 { (say::prose(&vessel.boat, &ask.symptom.words)) }
            (told::progress(vessel, ask))
        }
        @if next != Next::Solved { (suspects::watch(vessel, ask)) (broken(site, vessel, known, ask)) }
        @match &next {
            Next::Ask(step) => (question(vessel, ask, step.ask)),
            end => (ending::section(site, vessel, ask, end)),
        }
        @if next != Next::Solved { (suspects::section(vessel, ask)) }
        (told::section(vessel, ask))
        @if ask.case.who() == Who::Base { (base::section(vessel, ask)) }
        (told::hands(vessel, ask))
        (suspects::limits(ask))
    };
    let aboard = Aboard { slug: &vessel.slug, name: &vessel.boat.particulars.name, room: Room::Wrong };
    let title = if over { "What to do now" } else { "What is wrong?" };
    page(site, &format!("{title} {}", ask.symptom.words.trim_end_matches('.')), Some(aboard), &body)
}

/// What the base knows to be wrong with anything that this case may come down to.
fn broken(site: &Site, vessel: &Vessel, known: Known<'_>, ask: &CaseAsk<'_>) -> Markup {
    if known.open().is_empty() {
        return Markup::default();
    }
    let boat = &vessel.boat;
    let suspects = ask.case.suspects();
    let faults = suspects.iter().filter_map(|suspect| ask.case.fault_of(suspect.cause));
    let mut items: BTreeSet<ItemId> = faults.map(|fault| boat.faults[fault].item).collect();
    items.extend(ask.symptom.item);
    known::here(site, vessel, "It may be this, which the base knows already:", &known.of_items(boat, &items))
}

fn question(vessel: &Vessel, ask: &CaseAsk<'_>, asked: Ask) -> Markup {
    let boat = &vessel.boat;
    let question = words::question(&ask.case, asked);
    let replies = [(Reply::Yes, "reply"), (Reply::No, "reply"), (Reply::Cannot, "reply cannot")];
    html! {
        section.question aria-labelledby="question" {
            (cautions(vessel, ask, asked))
            h2 #question { (say::prose(boat, &question.says)) }
            @if !question.how.is_empty() { p.how { (say::prose(boat, &question.how)) } }
            @if let Some(list) = question.list { (list_button(vessel, list)) }
            (look::place(vessel, question.place, question.item))
            ul.replies aria-label="Your answer" {
                @for ((reply, class), says) in replies.iter().zip(&question.replies) {
                    li { a class=(class) href=(ask.after(vessel, asked, *reply)) { (says) } }
                }
            }
            (look::map(vessel, question.place))
        }
    }
}

/// The step list by which something is put right.
fn list_button(vessel: &Vessel, list: ProcedureId) -> Markup {
    let list = &vessel.boat.procedures[list];
    html! {
        p.follow { "Follow the step list, then come back here: "
            a.button.plain href=(links::steps(&vessel.slug, &list.id)) { (list.name) } }
    }
}

/// What to mind at just this question.
fn cautions(vessel: &Vessel, ask: &CaseAsk<'_>, asked: Ask) -> Markup {
    let boat = &vessel.boat;
    let mut all: Vec<CautionId> = Vec::new();
    let mut danger = None;
    match asked {
        Ask::Position(var) | Ask::Restore(var) => {
            all.extend(caution::of_setting(boat, var, ask.case.should(var)));
        }
        Ask::Fault(fault) | Ask::Mend(fault) => {
            danger = boat.faults[fault].danger;
            all.extend(of_fault(vessel, ask, fault));
        }
        Ask::Fact(_) | Ask::Works => {}
    }
    if let Some(list) = words::question(&ask.case, asked).list {
        all.extend(boat.procedures[list].cautions.iter().copied());
    }
    html! {
        @if let Some(hazard) = danger { (suspects::danger(hazard)) }
        (caution::panels(boat, &caution::ranked(boat, all)))
    }
}

fn of_fault(vessel: &Vessel, ask: &CaseAsk<'_>, fault: FaultId) -> Vec<CautionId> {
    let means = vessel.boat.faults[fault].means;
    means.map_or_else(Vec::new, |means| {
        caution::of_setting(&vessel.boat, means.var, ask.case.should(means.var))
    })
}
