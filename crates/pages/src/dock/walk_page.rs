//! A walk: its stops in order, how much of each is done, what is missing.

use maud::{Markup, html};

use super::handover::{Handover, Walking};
use super::lack;
use super::stops::{self, Stop, Tally};
use crate::frame::Site;
use crate::{equipment, links, when, words};

/// The index of a walk.
pub fn walk_page(site: &Site, over: &Handover<'_>, walk: Walking) -> String {
    let all = stops::stops(over.boat(), walk);
    let tallies: Vec<Tally> = all.iter().map(|stop| stop.tally(over, walk)).collect();
    let whole = tallies.iter().fold(Tally::default(), |sum, one| sum + *one);
    let next = all.iter().zip(&tallies).find(|(_, tally)| tally.done < tally.of).map(|(stop, _)| stop);
    let lacks = lack::missing(over, walk.stage());
    let charter = over.charter.as_str();
    let body = html! {
        div.title {
            p.small { a href=(over.home()) { "Charter" } ": " (over.line(site)) }
            h1 { (walk.name()) }
            p.lead { (lead(walk)) }
        }
        (past(site, over, walk))
        div.walk-done {
            p { strong #walk-progress { (whole.done) " of " (whole.of) } " done" }
            progress max=(whole.of.max(1)) value=(whole.done) aria-labelledby="walk-progress" {}
        }
        div.actions {
            @match next {
                Some(stop) => a.button #next-stop href=(links::stop(charter, walk.word(), &stop.id)) {
                    @if whole.done == 0 { "Begin: " } @else { "Go on: " } (stop.name)
                },
                None => a.button #to-sign href=(links::sign(charter, walk.word())) { (finish(walk)) },
            }
            @if next.is_some() { a.button.plain #to-sign href=(links::sign(charter, walk.word())) { (finish(walk)) } }
            @if walk == Walking::CheckOut && !over.boat().topics.is_empty() { a.button.plain href=(links::charter_briefing(charter)) { "Run the briefing" } }
        }
        ol.stops { @for (stop, tally) in all.iter().zip(&tallies) { (row(over, walk, stop, *tally)) } }
        (lack::lists(site, over, walk, &lacks))
        (elsewhere(site, over, walk))
    };
    over.page(site, walk.name(), &body)
}

fn lead(walk: Walking) -> &'static str {
    match walk {
        Walking::Readying => {
            "Go through the boat from the dock inwards. What you count now is what the crew is handed."
        }
        Walking::CheckOut => "With the crew: count, read, show. Both sign at the end.",
        Walking::HandBack => "Go through the boat as she comes back. Both sign at the end.",
    }
}

fn finish(walk: Walking) -> &'static str {
    match walk {
        Walking::Readying => "Say that she is ready",
        Walking::CheckOut | Walking::HandBack => "Sum up and sign",
    }
}

/// That the walk was completed before, so that what is written now corrects it.
pub(crate) fn past(site: &Site, over: &Handover<'_>, walk: Walking) -> Markup {
    html! {
        @if let Some(at) = over.stands.came_to(walk.stage()) {
            p.told { strong { (walk.done()) "." } " That was told on " (when::moment(site, at))
                ". What you change now is written down as a correction, with your name." }
        }
    }
}

fn row(over: &Handover<'_>, walk: Walking, stop: &Stop, tally: Tally) -> Markup {
    let address = links::stop(over.charter.as_str(), walk.word(), &stop.id);
    let state = match tally {
        Tally { of: 0, .. } => "nothing asked for",
        Tally { done: 0, .. } => "not begun",
        Tally { done, of } if done >= of => "done",
        _ => "begun",
    };
    let disputed = lack::disputes(over, walk).iter().any(|(_, at)| at.starts_with(&format!("{address}#")));
    html! {
        li {
            a.stop-link href=(address) {
                span.stop-name { (stop.name) @if disputed { " " span.tag { "hands differ" } } }
                span.stop-state.soft {
                    (state) @if tally.of > 0 { ", " (tally.done) " of " (tally.of) }
                    @if tally.of == 0 && !stop.items.is_empty() { ", " (words::count(stop.items.len(), "thing", "things")) " to look at" }
                }
            }
        }
    }
}

fn elsewhere(site: &Site, over: &Handover<'_>, walk: Walking) -> Markup {
    let charter = over.charter.as_str();
    html! {
        section.block {
            h2 { "Also" }
            ul.links {
                li { a href=(links::query(&links::found(&over.vessel.slug), &[("charter", charter)])) { "Tell that something is broken" } }
                @if walk != Walking::HandBack {
                    li { a href=(equipment::of_charter(site, &over.vessel.slug, over.stands.plan.as_ref().map(|(_, plan)| plan))) { "What the law wants aboard for these days and this crew" } }
                }
                @if walk == Walking::HandBack { li { a href=(links::damaged(charter)) { "Tell damage of this charter" } } }
                @if walk != Walking::Readying { li { a href=(links::sheet(charter, walk.word())) { "The sheet, for printing" } } }
                @if walk == Walking::HandBack { li { a href=(links::charges(charter)) { "What it costs the crew" } } }
            }
        }
    }
}
