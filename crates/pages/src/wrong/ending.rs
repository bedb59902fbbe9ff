//! How a case ends: it works again, the base is called, or a list for an emergency begins.

use boat::model::Who;
use maud::{Markup, html};
use trace::{Ask, Next, Reply, Told, Why, words};

use super::ask::CaseAsk;
use crate::frame::Site;
use crate::links;
use crate::signs::{self, Shape};
use crate::vessel::Vessel;
use crate::{call, say, words as names};

/// How many further checks are offered to whoever can't reach the base.
const MOST_FURTHER: usize = 3;

pub(super) fn section(site: &Site, vessel: &Vessel, ask: &CaseAsk<'_>, next: &Next) -> Markup {
    match next {
        Next::Solved => solved(vessel, ask),
        Next::Emergency(list) => {
            let list = &vessel.boat.procedures[*list];
            html! {
                section.question.end aria-labelledby="question" {
                    h2 #question { "Stop. This is an emergency." }
                    p.follow { a.button href=(links::steps(&vessel.slug, &list.id)) { (list.name) } }
                }
            }
        }
        Next::Call(why) => call(site, vessel, ask, *why),
        Next::Ask(_) => Markup::default(),
    }
}

fn solved(vessel: &Vessel, ask: &CaseAsk<'_>) -> Markup {
    let found: Vec<String> = ask.case.told().iter().filter_map(|told| found_by(vessel, ask, *told)).collect();
    html! {
        section.question.end aria-labelledby="question" {
            h2 #question { (signs::plain(Shape::Safe, "Safe condition sign")) " It works again." }
            @if found.is_empty() { p.how { "What it was is not known." } } @else {
                p { "What it was:" }
                ul.plainly.how { @for line in &found { li { (names::sentence(line)) } } }
            }
            p { "Tell the base when you hand her back, even if it seems small: they look whether it comes again." }
            @if let Some(list) = ask.symptom.followed {
                @let list = &vessel.boat.procedures[list];
                p.follow { "Go on with: " a.button.plain href=(links::steps(&vessel.slug, &list.id)) { (list.name) } }
            }
            p.no-print { "Does it stop again? Undo the last answer, and go on from there." }
        }
    }
}

/// What an answer found or put right.
fn found_by(vessel: &Vessel, ask: &CaseAsk<'_>, told: Told) -> Option<String> {
    let boat = &vessel.boat;
    match (told.ask, told.reply) {
        (Ask::Position(var), Reply::No) => Some(format!(
            "\u{201c}{}\u{201d} did not stand at {}",
            boat.vars[var].name,
            boat.vars[var].label(ask.case.should(var))
        )),
        (Ask::Fault(fault), Reply::Yes) => Some(boat.faults[fault].name.clone()),
        _ => None,
    }
}

fn call(site: &Site, vessel: &Vessel, ask: &CaseAsk<'_>, why: Why) -> Markup {
    let base = ask.case.who() == Who::Base;
    html! {
        section.question.end aria-labelledby="question" {
            h2 #question { @if base { "No more to check" } @else { "Call the base" } }
            p.how { (words::why(&ask.case, why)) }
            @if !base {
                (call::line(site))
                p { "It is no emergency as long as nobody is in danger." }
            }
            div.read-out {
                h3 { @if base { "The case in short" } @else { "Read this out to the base" } }
                ol { @for line in words::summary(&ask.case, &ask.symptom) { li { (say::prose(&vessel.boat, &line)) } } }
            }
            @if !matches!(why, Why::Found(_)) { (further(vessel, ask)) }
        }
    }
}

/// More that could be checked, for whoever can't reach the base, or is the base.
fn further(vessel: &Vessel, ask: &CaseAsk<'_>) -> Markup {
    let choices = ask.case.choices();
    html! {
        @if !choices.is_empty() {
            div.no-print {
                h3 { "If you can't reach anybody" }
                p { "These are left that you may check, if you have the time:" }
                ul.list-links {
                    @for step in choices.iter().take(MOST_FURTHER) {
                        li { a.list-link href=(ask.asking(vessel, step.ask)) {
                            strong { (say::prose(&vessel.boat, &words::question(&ask.case, step.ask).says)) }
                            span.soft { "about " (minutes(step.minutes)) }
                        } }
                    }
                }
            }
        }
    }
}

/// Minutes for people, to the nearest whole one.
pub(super) fn minutes(minutes: f64) -> String {
    let whole = (minutes + 0.5).floor().max(1.0);
    if whole < 1.5 { "1 minute".to_owned() } else { format!("{whole:.0} minutes") }
}
