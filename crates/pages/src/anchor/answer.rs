//! The advice in words: what to let out, what is wrong or not known, the rules, the swing, and what to mind.

use boat::model::{Hazard, SignalWord};
use endure::tackle::{Advice, Berth, CAUTIONS, Enough, Finding, HOLDING_UNKNOWN, OVERLAP, Stage};
use maud::{Markup, html};
use quantity::System;

use super::ask::AnchorAsk;
use super::{lying, margin_words, swinging, up};
use crate::caution::{plain_panel, titled_panel};
use crate::vessel::Vessel;

/// Standard gravity, in metres a second squared.
const GRAVITY: f64 = 9.80665;

pub(super) fn markup(vessel: &Vessel, ask: &AnchorAsk, berth: &Berth, advice: &Advice) -> Markup {
    let name = ask.tackle(&vessel.boat).map_or("", |tackle| tackle.name.as_str());
    let (grave, plain): (Vec<&Finding>, Vec<&Finding>) =
        advice.findings.iter().partition(|found| is_grave(found));
    let grave: Vec<String> = grave.iter().map(|found| found.say(System::Metric)).collect();
    html! {
        section #advice aria-labelledby="advice-head" {
            div.verdict {
                h2 #advice-head.vh { "What to let out" }
                p.big role="status" { (first(advice)) }
                p.soft { (name) ". From the bottom to the bow roller it will be " (crate::words::both_lengths(advice.height)) " at the highest water." }
            }
            @if !grave.is_empty() { (titled_panel(SignalWord::Warning, Hazard::Gear, "dragging, or running aground", &grave)) }
            (titled_panel(SignalWord::Caution, Hazard::Gear, "what nobody knows beforehand", &[HOLDING_UNKNOWN]))
            @if !plain.is_empty() { ul.plainly { @for found in &plain { li { (found.say(System::Metric)) } } } }
            (figures(advice))
            (lying::section(vessel, ask, advice))
            (swinging::section(vessel, advice))
            (around(advice))
            (rules(advice))
            (basis(berth, advice))
        }
    }
}

/// What is wrong, against what is only good to know.
fn is_grave(found: &Finding) -> bool {
    match found {
        Finding::PullsUp { is_too_steep, .. } => *is_too_steep,
        Finding::DoesNotReach { .. }
        | Finding::Touches { .. }
        | Finding::RodeShort { .. }
        | Finding::RodeUnknown => true,
        _ => false,
    }
}

fn first(advice: &Advice) -> String {
    let all = format!("Let out {} of rode.", up(advice.let_out));
    match advice.enough {
        Enough::Yes { left } if left.as_metres() >= 1.0 => {
            format!(
                "{all} Then {} are left aboard.",
                crate::words::metres(quantity::Length::metres(left.as_metres().floor()))
            )
        }
        Enough::Yes { .. } => format!("{all} That is all that she has."),
        Enough::Short { by } => {
            format!(
                "This berth asks for {} of rode, and that is {} more than she has.",
                up(advice.let_out),
                up(by)
            )
        }
        Enough::Unknown => format!("{all} Whether she has so much is not known."),
    }
}

fn figures(advice: &Advice) -> Markup {
    html! {
        dl.facts {
            div { dt { "Scope: rode over the height at the bow" } dd { (format!("{:.1} to 1", advice.scope.as_plain())) } }
            div { dt { "The wind pulls with, at its strongest" } dd {
                @match advice.loads.planned { Some(load) => (force(load)), None => "not known" }
            } }
            div { dt { "The last link leaves the bottom at" } dd {
                @match advice.lifting_load { Some(load) => (force(load)), None => "not known" }
            } }
            @if let Some(lie) = &advice.lie {
                div { dt { "Chain that rests on the bottom then" } dd { (crate::words::metres(quantity::Length::metres(lie.on_bottom.as_metres().round()))) } }
            }
        }
    }
}

/// A force, and what weighs as much: no more digits than it is known to.
fn force(force: quantity::Force) -> String {
    let newtons = force.as_newtons();
    let kilograms = newtons / GRAVITY;
    let pull =
        if newtons < 1000.0 { format!("{newtons:.0} N") } else { format!("{:.1} kN", newtons / 1000.0) };
    let weight = if kilograms < 100.0 { kilograms.round() } else { (kilograms / 10.0).round() * 10.0 };
    format!("{pull}, the weight of {weight:.0} kg")
}

fn around(advice: &Advice) -> Markup {
    html! {
        @if advice.swing_high.is_some() {
            h3 { "The boats around you" }
            ul.plainly { @for words in OVERLAP { li { (words) } } }
        }
    }
}

fn rules(advice: &Advice) -> Markup {
    html! {
        section.block aria-labelledby="rules" {
            h2 #rules { "What the rules ask for" }
            p.soft { "The rules differ. The largest is taken, since it is the most cautious." }
            table.list {
                thead { tr { th scope="col" { "Rule" } th scope="col" { "Rode" } th scope="col" { "Who says so" } } }
                tbody {
                    @for rule in &advice.rules {
                        tr {
                            th scope="row" { (crate::words::capital(rule.name)) }
                            td.number data-name="Rode" { (up(rule.length)) }
                            td data-name="Who says so" { (crate::words::capital(rule.source)) }
                        }
                    }
                }
            }
        }
    }
}

fn basis(berth: &Berth, advice: &Advice) -> Markup {
    html! {
        section.block aria-labelledby="basis" {
            h2 #basis { "What this rests on" }
            ul.plainly {
                li { "Depth now " (crate::words::both_lengths(berth.depth)) ", still to rise " (crate::words::metres(berth.rise))
                    ", still to fall " (crate::words::metres(berth.fall)) ", wind up to " (format!("{:.0} kn", berth.wind.as_knots())) "." }
                @for words in &advice.assumptions { li { (words) } }
                li { "To the swing " (margin_words()) "." }
            }
        }
    }
}

/// What to mind at every anchor, in the order in which it happens.
pub(super) fn cautions() -> Markup {
    let stages = [
        (Stage::Before, "Before you let go"),
        (Stage::LettingGo, "While the rode runs out"),
        (Stage::DiggingIn, "While it digs in"),
        (Stage::Watching, "While you lie there"),
        (Stage::Raising, "When you leave"),
    ];
    html! {
        section.block aria-labelledby="mind" {
            h2 #mind { "What to mind, in its order" }
            @for (stage, name) in stages {
                @let all: Vec<&str> = CAUTIONS.iter().filter(|caution| caution.stage == stage).map(|caution| caution.text).collect();
                @let (people, plain): (Vec<&str>, Vec<&str>) = all.into_iter().partition(|text| hazard(stage, text).is_some());
                h3 { (name) }
                @if let Some(hazard) = people.first().and_then(|text| hazard(stage, text)) {
                    (plain_panel(SignalWord::Warning, hazard, &people))
                }
                @if !plain.is_empty() { ul.plainly { @for text in plain { li { (text) } } } }
            }
            p.small.soft { "Common practice of training texts. The base's briefing, the maker's manual and local rules come first." }
        }
    }
}

/// The danger to people that a caution is about, if it is about people.
fn hazard(stage: Stage, text: &str) -> Option<Hazard> {
    match stage {
        Stage::LettingGo => Some(Hazard::Crush),
        Stage::Before if text.contains("swimmers") => Some(Hazard::Overboard),
        _ => None,
    }
}
