//! The paper guide: a whole search as numbered boxes.

use maud::{Markup, html};
use trace::{BoxEnd, BoxNames, Case, Guide, GuideNode, words};

use super::ask::CaseAsk;
use super::ending::minutes;
use super::{look, urgent};
use crate::frame::{Aboard, Site, page};
use crate::links::{CaseForm, Room};
use crate::say;
use crate::vessel::Vessel;

/// So many questions may stand in a row: what follows is seldom reached.
const DEEPEST: usize = 9;
/// A guide that has fewer questions in a row than this would send everybody to the telephone.
const SHALLOWEST: usize = 4;
/// So many questions fit on a few sheets.
const MOST_BOXES: usize = 36;

/// The deepest guide that fits on a few sheets, looked for by halving: a deeper one has no fewer boxes.
fn fitting(case: &Case<'_>) -> Guide {
    let asked =
        |guide: &Guide| guide.nodes.iter().filter(|node| matches!(node, GuideNode::Ask { .. })).count();
    let (mut least, mut most) = (SHALLOWEST, DEEPEST);
    let mut best = None;
    while least < most {
        let middle = (least + most).div_ceil(2);
        let guide = Guide::new(case, middle);
        if asked(&guide) <= MOST_BOXES {
            least = middle;
            best = Some(guide);
        } else {
            most = middle - 1;
        }
    }
    best.unwrap_or_else(|| Guide::new(case, SHALLOWEST))
}

/// The page.
pub fn guide_page(site: &Site, vessel: &Vessel, ask: &CaseAsk<'_>) -> String {
    let guide = fitting(&ask.case);
    let names = BoxNames::of(&guide);
    let body = html! {
        div.title {
            p.no-print { a.quiet href=(ask.address(vessel, CaseForm::Screen, ask.case.who())) { "Back to the questions" } }
            h1 { (say::prose(&vessel.boat, &ask.symptom.words)) }
            p.lead { "Begin at box 1. Do what it says, and go to the box that your answer names." }
            (expected(&guide))
            p.no-print { button.plain type="button" data-print hidden { "Print this guide" } }
        }
        (urgent::on_paper(vessel))
        @if !ask.case.told().is_empty() {
            p { "Answered already:" }
            ol.plainly { @for told in ask.case.told() { li { (words::told(&ask.case, *told)) } } }
        }
        ol.boxes {
            @for at in 0..guide.nodes.len() { (ask_box(vessel, &guide, &names, at)) }
        }
        h2 { "How it ends" }
        (end_boxes(vessel, &names.ends))
        p.soft { "Made for " (vessel.boat.particulars.name) " from her boat file. Chances rest on judgement unless the file names a source; at most two things at once are considered." }
    };
    let aboard = Aboard { slug: &vessel.slug, name: &vessel.boat.particulars.name, room: Room::Wrong };
    page(site, &format!("Paper guide: {}", ask.symptom.words.trim_end_matches('.')), Some(aboard), &body)
}

fn expected(guide: &Guide) -> Markup {
    html! {
        p.soft { "On paper about " (minutes(guide.expected)) " until it works or the base has come; on the screen, which goes on longer where that is worth it, about "
            (minutes(guide.interactive)) "." }
    }
}

fn ask_box(vessel: &Vessel, guide: &Guide, names: &BoxNames, at: usize) -> Markup {
    let GuideNode::Ask { question, yes, no, cannot, .. } = &guide.nodes[at] else { return Markup::default() };
    let (boat, name) = (&vessel.boat, &names.of[at]);
    // Where a thing is is told once; paper is finite.
    let first = guide.nodes[..at].iter().position(|node| match node {
        GuideNode::Ask { question: other, .. } => {
            (other.place, other.item) == (question.place, question.item)
        }
        GuideNode::End { .. } => false,
    });
    html! {
        li.guide-box id=(format!("box-{name}")) {
            p.box-name { (name) }
            div {
                p.box-says { (say::prose(boat, &question.says)) }
                @if !question.how.is_empty() { p { (say::prose(boat, &question.how)) } }
                @if let Some(list) = question.list { p { "Step list: " (boat.procedures[list].name) "." } }
                @match first.filter(|_| question.place.is_some()) {
                    Some(first) => p.soft { "Where: as in box " a href=(format!("#box-{}", names.of[first])) { (names.of[first]) } "." },
                    None => (look::place(vessel, question.place, question.item)),
                }
                ul.box-ways {
                    @for (says, to) in question.replies.iter().zip([*yes, *no, *cannot]) {
                        li { (says) " \u{2192} " a href=(format!("#box-{}", names.of[to])) { (names.of[to]) } }
                    }
                }
            }
        }
    }
}

/// Ends that say the same, each with its letter and what is suspected there.
fn end_boxes(vessel: &Vessel, ends: &[BoxEnd]) -> Markup {
    let mut says: Vec<&str> = Vec::new();
    for (words, _) in ends {
        if !says.contains(&words.as_str()) {
            says.push(words);
        }
    }
    html! {
        ul.boxes.ends {
            @for words in says {
                li.guide-end {
                    p.box-says { (say::prose(&vessel.boat, words)) }
                    @for (at, (_, suspects)) in ends.iter().enumerate().filter(|(_, end)| end.0 == words) {
                        @let name = BoxNames::letter(at);
                        p.end-line id=(format!("box-{name}")) { span.box-name { (name) } " " (suspected(suspects)) }
                    }
                }
            }
        }
    }
}

fn suspected(suspects: &[(String, f64)]) -> String {
    let each: Vec<String> = suspects
        .iter()
        .map(|(cause, chance)| format!("{cause} (about {})", words::per_cent(*chance).replace(' ', "\u{a0}")))
        .collect();
    if each.is_empty() { String::new() } else { format!("Suspected: {}.", each.join("; ")) }
}
