//! The lists for the office and the dock: kit, upkeep, briefing.

use boat::model::{Boat, KitLine, PlaceId, Topic};
use maud::{Markup, html};
use quantity::Time;

use crate::frame::{Aboard, Site, page};
use crate::links::{self, Room};
use crate::vessel::Vessel;
use crate::{caution, words};

/// What is counted at check-out and at hand-back, by place, with a box to tick.
pub fn kit_page(site: &Site, vessel: &Vessel) -> String {
    let boat = &vessel.boat;
    let mut places: Vec<PlaceId> = boat.kit.iter().map(|line| line.place).collect();
    places.sort();
    places.dedup();
    let body = html! {
        div.title {
            h1 { "Kit" }
            p.lead { "What is counted at check-out and at hand-back, in the order of the boat's places." }
        }
        @if boat.kit.is_empty() { p { "The boat file lists no kit." } } @else {
            div.scroll tabindex="0" role="region" aria-label="Kit" {
                table.list {
                    thead { tr { th scope="col" { "Count" } th scope="col" { "What" } th scope="col" { "Look at" }
                        th scope="col" { "Use by" } th scope="col" { "If lost" } th.print-only scope="col" { "Counted" } } }
                    @for place in places {
                        tbody {
                            tr.group { th colspan="6" scope="rowgroup" {
                                a href=(links::place(&vessel.slug, &boat.places[place].id)) { (boat.places[place].name) } } }
                            @for line in boat.kit.iter().filter(|line| line.place == place) { (kit_row(line)) }
                        }
                    }
                }
            }
        }
    };
    page(site, "Kit", Some(aboard(vessel, Room::Kit)), &body)
}

fn kit_row(line: &KitLine) -> Markup {
    html! {
        tr {
            td.number data-name="Count" { (line.count) }
            th scope="row" { (line.name) }
            td data-name="Look at" { @if let Some(check) = &line.check { (words::sentence(check)) } @else { (nothing()) } }
            td data-name="Use by" { @if let Some(day) = &line.expires { (words::date(day)) } @else { (nothing()) } }
            td.number data-name="If lost" { @if let Some(price) = &line.price { (price) } @else { (nothing()) } }
            td.print-only.box {}
        }
    }
}

fn nothing() -> Markup {
    html! { span.vh { "not given" } span.soft aria-hidden="true" { "\u{2013}" } }
}

/// What is serviced, how often, by whom.
pub fn upkeep_page(site: &Site, vessel: &Vessel) -> String {
    let boat = &vessel.boat;
    let body = html! {
        div.title {
            h1 { "Upkeep" }
            p.lead { "What is serviced and how often. Where two intervals stand, the one that comes first counts." }
        }
        @if boat.upkeep.is_empty() { p { "The boat file lists no upkeep." } } @else {
            div.scroll tabindex="0" role="region" aria-label="Upkeep" {
                table.list {
                    thead { tr { th scope="col" { "What" } th scope="col" { "When" } th scope="col" { "Time" }
                        th scope="col" { "Who" } th scope="col" { "Parts" } th scope="col" { "Source" } } }
                    tbody {
                        @for line in &boat.upkeep {
                            tr {
                                th scope="row" {
                                    (line.name)
                                    @if let Some(item) = line.item { br; a.soft href=(links::item(&vessel.slug, &boat.items[item].id)) { (boat.items[item].name) } }
                                }
                                td data-name="When" { (words::interval(&line.every)) }
                                td data-name="Time" { @if let Some(takes) = line.takes { (words::time(takes)) } @else { (nothing()) } }
                                td data-name="Who" { @if let Some(skill) = &line.skill { (words::capital(skill)) } @else { (nothing()) } }
                                td data-name="Parts" { @if line.parts.is_empty() { (nothing()) } @else { (line.parts.join(", ")) } }
                                td data-name="Source" { @if let Some(source) = &line.source { (source) } @else { (nothing()) } }
                            }
                        }
                    }
                }
            }
        }
    };
    page(site, "Upkeep", Some(aboard(vessel, Room::Upkeep)), &body)
}

/// What a briefing covers.
pub fn briefing_page(site: &Site, vessel: &Vessel) -> String {
    let boat = &vessel.boat;
    let total: f64 = boat.topics.iter().filter_map(|topic| topic.takes).map(Time::as_seconds).sum();
    let body = html! {
        div.title {
            h1 { "Briefing" }
            p.lead { "What the crew is told and shown before they sail." }
            @if total > 0.0 { p { "All of it takes about " strong { (words::time(Time::seconds(total))) } ". "
                "Subjects marked \u{201c}always\u{201d} are in every briefing, however short." } }
        }
        @if boat.topics.is_empty() { p { "The boat file lists no subjects yet." } }
        ul.cards { @for topic in &boat.topics { (topic_card(boat, vessel, topic)) } }
    };
    page(site, "Briefing", Some(aboard(vessel, Room::Briefing)), &body)
}

fn topic_card(boat: &Boat, vessel: &Vessel, topic: &Topic) -> Markup {
    html! {
        li.card {
            h2 { (topic.name) }
            p.tags {
                @if topic.always { span.tag { "Always" } }
                @if topic.shown { span.tag { "The crew does it" } }
                @if let Some(takes) = topic.takes { span.tag { (words::time(takes)) } }
                @if let Some(place) = topic.place {
                    span.tag { "At: " a href=(links::place(&vessel.slug, &boat.places[place].id)) { (boat.places[place].name) } }
                }
            }
            p { (words::sentence(&topic.words)) }
            @for id in caution::ranked(boat, topic.cautions.iter().copied()) { (caution::panel(boat, id)) }
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
}

fn aboard(vessel: &Vessel, room: Room) -> Aboard<'_> {
    Aboard { slug: &vessel.slug, name: &vessel.boat.particulars.name, room }
}
