//! The lists for the office and the dock: kit, upkeep.

use boat::model::{KitLine, PlaceId};
use maud::{Markup, html};

use crate::frame::{Aboard, Site, page};
use crate::links::{self, Room};
use crate::vessel::Vessel;
use crate::words;

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
            p.no-print { a href=(links::room(&vessel.slug, Room::Equipment)) { "What the law wants aboard, and what of it runs out" } }
        }
        @if boat.kit.is_empty() { p { "The boat file lists no kit." } } @else {
            div.scroll tabindex="0" role="region" aria-label="Kit" {
                table.list.kit {
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
            td.number.count data-name="Count" { (line.count) }
            th scope="row" { (line.name) }
            (cell("Look at", line.check.as_deref().map(words::sentence)))
            (cell("Use by", line.expires.as_deref().map(words::date)))
            (cell("If lost", line.price.map(|price| price.to_string())))
            td.print-only.box {}
        }
    }
}

/// A cell with its heading for narrow screens; on those, one without anything to say is left out.
fn cell(name: &str, words: Option<String>) -> Markup {
    html! {
        @match words {
            Some(words) => td data-name=(name) { (words) },
            None => td.none data-name=(name) { span.vh { "not given" } span.soft aria-hidden="true" { "\u{2013}" } },
        }
    }
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
                                (cell("When", Some(words::interval(&line.every))))
                                (cell("Time", line.takes.map(words::time)))
                                (cell("Who", line.skill.as_deref().map(words::capital)))
                                (cell("Parts", (!line.parts.is_empty()).then(|| line.parts.join(", "))))
                                (cell("Source", line.source.clone()))
                            }
                        }
                    }
                }
            }
        }
    };
    page(site, "Upkeep", Some(aboard(vessel, Room::Upkeep)), &body)
}

fn aboard(vessel: &Vessel, room: Room) -> Aboard<'_> {
    Aboard { slug: &vessel.slug, name: &vessel.boat.particulars.name, room }
}
