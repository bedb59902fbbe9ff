//! The answer: the way, or why there is none.

use std::collections::BTreeSet;

use boat::model::ItemId;
use maud::{Markup, html};
use operate::{Answer, Budget, Model, NoWay, Way, way};

use super::ask::NowAsk;
use crate::vessel::Vessel;
use crate::{findings, parts, step, words};

/// How many situations a search may look at before it gives up.
const MOST_SITUATIONS: u64 = 400_000;

/// What asking came to, with the search's figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    answer: Answer,
    /// How many situations were looked at.
    situations: u64,
}

impl Asked {
    /// Looks for the way; `None` if nothing is wanted. It can take seconds on a large boat.
    pub fn look(model: &Model<'_>, ask: &NowAsk) -> Option<Self> {
        let goal = ask.goal(model.boat())?;
        let mut budget = Budget::states(MOST_SITUATIONS);
        let answer = way(model, &ask.stand, &goal, ask.who, &mut budget);
        Some(Self { answer, situations: MOST_SITUATIONS - budget.left() })
    }
}

pub(super) fn markup(vessel: &Vessel, ask: &NowAsk, asked: &Asked) -> Markup {
    let wanted: Vec<String> = ask.wants.iter().map(|want| want.words(&vessel.boat)).collect();
    html! {
        section.answer #answer aria-labelledby="answer-head" {
            p.soft { "You want: " strong { (wanted.join("; and ")) } }
            @match &asked.answer {
                Answer::Way(found) => (way_markup(vessel, found)),
                Answer::Already => {
                    h2 #answer-head { "It is so already" }
                    p { "Nothing needs to be done." }
                },
                Answer::None(why) => (none_markup(vessel, why)),
                Answer::GaveUp { at_least } => {
                    h2 #answer-head { "No answer was found in good time" }
                    p { "That says nothing about whether there is a way. If there is one, it has at least "
                        (words::count(usize::try_from(*at_least).unwrap_or(usize::MAX), "step", "steps"))
                        ". Ask for something nearer, or follow the step list for it." }
                },
            }
            @if asked.answer != Answer::Already { p.small.soft { (figures(asked)) } }
        }
    }
}

fn figures(asked: &Asked) -> String {
    let looked = format!(
        "Looked at {}.",
        words::count(usize::try_from(asked.situations).unwrap_or(usize::MAX), "situation", "situations")
    );
    match &asked.answer {
        Answer::Way(way) if way.shortest => format!("{looked} No safe way has fewer steps."),
        Answer::Way(_) => format!("{looked} A shorter safe way may exist."),
        Answer::None(_) => format!("{looked} There is no other."),
        Answer::Already | Answer::GaveUp { .. } => looked,
    }
}

fn way_markup(vessel: &Vessel, way: &Way) -> Markup {
    let boat = &vessel.boat;
    let lasts = way.trace.steps.last().map(|step| step.elapsed).filter(|time| time.as_seconds() > 0.0);
    let mut seen: BTreeSet<ItemId> = BTreeSet::new();
    html! {
        h2 #answer-head {
            (words::capital(&words::count(way.steps.len(), "step", "steps")))
            @if let Some(lasts) = lasts { ", " (words::time(lasts)) " with the waiting" }
        }
        @if !way.relies_on.is_empty() {
            div.look-for {
                p { strong { "Look first. " } "This way is safe only while:" }
                ul.plainly {
                    @for (var, value) in &way.relies_on {
                        li { (boat.vars[*var].name) ": " (parts::chip(boat.vars[*var].label(*value))) }
                    }
                }
            }
        }
        ol.steps {
            @for (at, row) in way.steps.iter().enumerate() {
                @let known = boat.step_item(row).is_some_and(|item| !seen.insert(item));
                (step::step(vessel, at + 1, row, known))
            }
        }
        p.no-print { button.plain type="button" data-print hidden { "Print this way" } }
    }
}

fn none_markup(vessel: &Vessel, why: &NoWay) -> Markup {
    let boat = &vessel.boat;
    html! {
        h2 #answer-head { "There is no safe way" }
        ul.plainly { @for reason in &why.reasons { li { (findings::ticked(reason)) } } }
        @if !why.world.is_empty() {
            p { "It would be otherwise if these were: "
                @for (at, var) in why.world.iter().enumerate() { @if at > 0 { ", " } strong { (boat.vars[*var].name) } } "." }
        }
    }
}
