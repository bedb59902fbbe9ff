//! What was told of a charter, event by event, in words.

use maud::{Markup, html};
use records::{Event, Moment, Records, What};

use super::crossed::{self, may_be_crossed_out};
use super::speech::Speech;
use crate::dock::{Handover, occasion};
use crate::frame::Site;
use crate::{when, words};

/// The history, the latest first.
pub(crate) fn section(site: &Site, over: &Handover<'_>, records: &Records) -> Markup {
    let mut events: Vec<(Moment, &Event)> = records
        .events()
        .map(|(event, _)| event)
        .filter(|event| event.charter.as_ref() == Some(over.charter))
        .map(|event| (over.standing.when.get(&event.id).copied().unwrap_or(event.at), event))
        .collect();
    events.sort_by_key(|(when, event)| (*when, event.id));
    let together = |one: &(Moment, &Event), other: &(Moment, &Event)| {
        let (one, other) = (one.1, other.1);
        let kind = walk_part(&one.what);
        let plain = one.answers.is_none() && other.answers.is_none();
        kind.is_some() && kind == walk_part(&other.what) && one.who == other.who && plain
    };
    let groups: Vec<&[(Moment, &Event)]> = events.chunk_by(together).collect();
    html! {
        section.block #history {
            h2 { "History" }
            ol.history {
                @for group in groups.iter().rev() {
                    @if let [(when, event), ..] = group {
                        li {
                            span.soft { (when::moment(site, *when)) ", " (over.names.hand(&event.who)) ": " }
                            @if group.len() > 1 { (many(event, group.len())) } @else { (one(site, over, records, event)) }
                        }
                    }
                }
            }
        }
    }
}

/// What of a walk an event tells.
fn walk_part(what: &What) -> Option<(&'static str, Option<records::Walk>)> {
    match what {
        What::Counted { walk, .. } => Some(("kit", Some(*walk))),
        What::Read { walk, .. } => Some(("meters", Some(*walk))),
        What::Checked { walk, .. } => Some(("items", Some(*walk))),
        What::Briefed { .. } => Some(("topics", None)),
        _ => None,
    }
}

fn many(first: &Event, count: usize) -> String {
    match walk_part(&first.what) {
        Some(("kit", Some(walk))) => {
            format!("Counted {} ({}).", words::count(count, "line of kit", "lines of kit"), occasion(walk))
        }
        Some(("meters", Some(walk))) => {
            format!("Read {} ({}).", words::count(count, "meter", "meters and gauges"), occasion(walk))
        }
        Some(("items", Some(walk))) => {
            format!("Looked at {} ({}).", words::count(count, "item", "items"), occasion(walk))
        }
        _ => format!("Went through {} of the briefing.", words::count(count, "subject", "subjects")),
    }
}

/// One event, and what it corrects.
fn one(site: &Site, over: &Handover<'_>, records: &Records, event: &Event) -> Markup {
    let speech = Speech::on(over);
    let answered = event.answers.and_then(|id| records.get(id));
    let corrected = over.standing.answers.contains_key(&event.id);
    html! {
        @if let Some(before) = answered {
            @if !matches!(event.what, What::Withdrawn { .. }) { strong { "Corrected: " } }
            (speech.said(site, &event.what)) " "
            span.soft { "Before, " (when::moment(site, before.at)) ": " (speech.said(site, &before.what)) }
        } @else { (speech.said(site, &event.what)) }
        @if corrected { " " span.tag { "corrected later" } }
        @else if may_be_crossed_out(&event.what) { " " (crossed::link(site, &event.id.to_string())) }
    }
}
