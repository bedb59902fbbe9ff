//! What was answered so far, each line with its undo; and who answers.

use maud::{Markup, html};
use trace::words;

use super::ask::{CaseAsk, WHO};
use crate::links::{self, CaseForm, Room};
use crate::vessel::Vessel;

/// How far one is, with the way back by one answer.
pub(super) fn progress(vessel: &Vessel, ask: &CaseAsk<'_>) -> Markup {
    let answers = ask.case.told().len();
    html! {
        p.progress {
            // Many things fail in the same words.
            @if let Some(item) = ask.symptom.item { span { (vessel.boat.items[item].name) } }
            @if answers == 0 { span { "First question" } } @else {
                span { strong { (answers) " checked" } }
                a.quiet href=(ask.before(vessel, answers - 1)) { "Undo the last" }
            }
        }
    }
}

/// The answers in order.
pub(super) fn section(vessel: &Vessel, ask: &CaseAsk<'_>) -> Markup {
    let told = ask.case.told();
    html! {
        @if !told.is_empty() {
            section.block aria-labelledby="answered" {
                h2 #answered { "What you answered" }
                ol.told {
                    @for (at, answer) in told.iter().enumerate() {
                        @let last = at + 1 == told.len();
                        li {
                            span { (words::told(&ask.case, *answer)) }
                            a.quiet.no-print href=(ask.before(vessel, at)) {
                                @if last { "Undo" } @else { "Undo from here" }
                                span.vh { ", answer " (at + 1) }
                            }
                        }
                    }
                }
                p.actions { a.button.plain href=(links::wrong(&vessel.slug, &ask.symptom.id)) { "Start anew" }
                    a.button.plain href=(vessel.link(Room::Wrong)) { "Something else is wrong" } }
            }
        }
    }
}

/// Who stands before the boat: what one is asked depends on it. And the links by which the case goes elsewhere.
pub(super) fn hands(vessel: &Vessel, ask: &CaseAsk<'_>) -> Markup {
    let base = ask.address(vessel, CaseForm::Screen, boat::model::Who::Base);
    html! {
        section.block.no-print aria-labelledby="who" {
            h2 #who { "Who is checking?" }
            p { "Nobody is asked for what is for others to do." }
            nav.tabs aria-label="Who is checking" {
                @for (who, _, name) in WHO {
                    a href=(ask.address(vessel, CaseForm::Screen, who)) aria-current=[(who == ask.case.who()).then_some("true")] { (name) }
                }
            }
            h3 { "Send it to the base" }
            p { "This link holds all that you answered. Press it long to copy it, and send it: "
                a href=(base) { "the case for the base" } "." }
            h3 { "On paper" }
            p { "All questions from here as numbered boxes, for when there is no signal: "
                a href=(ask.address(vessel, CaseForm::Guide, ask.case.who())) { "the paper guide" } "." }
        }
    }
}
