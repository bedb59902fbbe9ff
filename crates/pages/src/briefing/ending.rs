//! The end of a briefing: what was gone through, what is owed, what the crew reads.

use maud::{Markup, html};
use records::Showing;

use super::ask::BriefAsk;
use super::run::Run;
use super::visits::clock;
use crate::dock::{Handover, Walking};
use crate::frame::Site;
use crate::{links, words};

/// What was gone through in a charter's briefing, and what is left.
pub fn ending_page(site: &Site, over: &Handover<'_>, ask: &BriefAsk, run: &Run<'_>) -> String {
    let charter = over.charter.as_str();
    let pairs = ask.pairs();
    let back: Vec<(&str, &str)> = pairs.iter().map(|(name, value)| (*name, value.as_str())).collect();
    let owed = run.owed(ask);
    let with = |showing: Showing| -> Vec<usize> {
        run.done.iter().filter(|(_, own)| **own == showing).map(|(at, _)| *at).collect()
    };
    let reading = for_reading(run);
    let body = html! {
        div.title {
            p.small { a href=(over.home()) { (over.line(site)) } }
            h1 { "The briefing so far" }
            p.lead { (words::capital(&words::count(run.done.len(), "topic", "topics"))) " gone through"
                @if ask.began.is_some() { " in " (clock(run.gone)) } "." }
        }
        @if owed.is_empty() {
            p { strong { "All that must be told or done is." } }
        } @else {
            section.block {
                h2 { "Still owed" }
                p { "These are in every briefing. Check-out asks for them." }
                ul.plainly { @for at in &owed {
                    @let topic = &run.briefing.topics[*at];
                    li {
                        a.list-link href=(links::query(&links::run(charter), &[&back[..], &[("topic", topic.key.as_str())]].concat())) { (topic.name) }
                        @if run.done.contains_key(at) { " " span.soft { "(told; the crew must do it)" } }
                    }
                } }
            }
        }
        (names(run, "The crew did it themselves", &with(Showing::Shown)))
        (names(run, "Told", &with(Showing::ToldOnly)))
        (names(run, "Read by the crew", &run.read))
        @if !reading.is_empty() {
            section.block {
                h2 { "Left to reading" }
                p { "The crew finds these under its link, and ticks them off there." }
                ul { @for at in &reading { li { (run.briefing.topics[*at].name) } } }
                p.actions {
                    a.button.plain href=(links::reading(charter)) { "As the crew sees it" }
                    a.button.plain href=(links::crew_links(charter)) { "The crew's link" }
                }
            }
        }
        p.actions {
            a.button href=(links::walk(charter, Walking::CheckOut.word())) { "On to check-out" }
            @if !run.plan.stops.is_empty() { a.button.plain href=(links::query(&links::run(charter), &back)) { "Back to the briefing" } }
        }
    };
    over.page(site, "The briefing so far", &body)
}

/// What is left to reading: what was neither told nor read, whatever the reason.
fn for_reading(run: &Run<'_>) -> Vec<usize> {
    let open = |at: &usize| !run.done.contains_key(at) && !run.read.contains(at);
    (0..run.briefing.topics.len()).filter(open).collect()
}

fn names(run: &Run<'_>, title: &str, which: &[usize]) -> Markup {
    html! {
        @if !which.is_empty() {
            details.names open[which.len() <= 6] {
                summary { (title) ": " (which.len()) }
                ul { @for at in which { li { (run.briefing.topics[*at].name) } } }
            }
        }
    }
}
