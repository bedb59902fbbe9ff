//! All topics of a boat: those that her file writes, and those that follow from it.

use boat::model::Boat;
use brief::{Briefing, Origin, Topic};
use maud::{Markup, html};
use quantity::Time;
use records::BoatStanding;

use super::briefing_of;
use super::visits::short_time;
use crate::frame::{Aboard, Site, page};
use crate::links::{self, Room};
use crate::vessel::Vessel;
use crate::{caution, say};

/// Everything that a crew may be told.
pub fn topics_page(site: &Site, vessel: &Vessel, standing: Option<&BoatStanding>) -> String {
    let boat = &vessel.boat;
    let briefing: Briefing<'_> = briefing_of(vessel, standing, None);
    let total: Time = briefing.topics.iter().map(|topic| topic.takes).sum();
    let (written, derived): (Vec<&Topic>, Vec<&Topic>) =
        briefing.topics.iter().partition(|topic| matches!(topic.origin, Origin::Written(_)));
    let body = html! {
        div.title {
            h1 { "All topics" }
            p.lead { "Everything that a crew may be told of her. All of it would take " strong { (short_time(total)) } "." }
            p { a href=(vessel.link(Room::Briefing)) { "Plan a briefing for the time there is" } }
        }
        h2 { "Written in the boat file" }
        @if written.is_empty() { p { "The boat file writes no topics yet." } }
        ul.cards.flow { @for topic in written { (card(boat, vessel, topic)) } }
        @if !derived.is_empty() {
            h2 { "From the rest of it" }
            p { "Step lists, warnings, things to find and open defects that no written topic covers. Writing a topic about one takes it from here." }
            ul.cards.flow { @for topic in derived { (card(boat, vessel, topic)) } }
        }
    };
    let aboard = Aboard { slug: &vessel.slug, name: &boat.particulars.name, room: Room::Briefing };
    page(site, "All topics", Some(aboard), &body)
}

fn card(boat: &Boat, vessel: &Vessel, topic: &Topic) -> Markup {
    html! {
        li.card id=(topic.key) {
            h3 { (topic.name) }
            p.tags {
                @if topic.always.is_some() { span.tag { "Always" } }
                @if topic.shown { span.tag { "The crew does it" } }
                span.tag { (short_time(topic.takes)) @if topic.taken { " (reckoned)" } }
                @if let Some(place) = topic.place {
                    span.tag { "At: " a href=(links::place(&vessel.slug, &boat.places[place].id)) { (boat.places[place].name) } }
                }
            }
            p { (say::prose(boat, &topic.words)) }
            (caution::panels(boat, &caution::ranked(boat, topic.cautions.iter().copied())))
            (points(boat, vessel, topic))
        }
    }
}

/// The step lists of a topic, and what to point at.
pub(super) fn points(boat: &Boat, vessel: &Vessel, topic: &Topic) -> Markup {
    html! {
        @if !topic.procedures.is_empty() {
            p { "Step lists: "
                @for (at, id) in topic.procedures.iter().enumerate() {
                    @if at > 0 { ", " }
                    a href=(links::steps(&vessel.slug, &boat.procedures[*id].id)) { (boat.procedures[*id].name) }
                } "." }
        }
        @if !topic.items.is_empty() {
            p { "Point at: "
                @for (at, id) in topic.items.iter().enumerate() {
                    @if at > 0 { ", " }
                    a href=(links::item(&vessel.slug, &boat.items[*id].id)) { (boat.items[*id].name) }
                } "." }
        }
    }
}
