//! Where to look: the place with its way, how to find the thing, and the plan with the place marked.

use boat::model::{ItemId, PlaceId};
use maud::{Markup, html};

use crate::vessel::Vessel;
use crate::{links, plan, say, there, words};

/// The place in words.
pub(super) fn place(vessel: &Vessel, place: Option<PlaceId>, item: Option<ItemId>) -> Markup {
    let boat = &vessel.boat;
    html! {
        @if place.is_some() || item.is_some() {
            div.look-for.where-to {
                @if let Some(id) = place {
                    @let row = &boat.places[id];
                    p { strong { "Where: " } a href=(links::place(&vessel.slug, &row.id)) { (row.name) } ", "
                        (words::level(row.level)) ". "
                        @if let Some(way) = &row.way { (say::prose(boat, way)) } @else { (words::reach(row.reach)) } }
                }
                @if let Some(id) = item {
                    @let row = &boat.items[id];
                    p { strong { (row.name) } @if let Some(label) = &row.label { " " (there::label_plate(label)) }
                        @if let Some(find) = &row.find { ": " (say::prose(boat, find)) } }
                }
            }
        }
    }
}

/// The plan with the place marked.
pub(super) fn map(vessel: &Vessel, place: Option<PlaceId>) -> Markup {
    let boat = &vessel.boat;
    html! {
        @if let Some(id) = place {
            @let row = &boat.places[id];
            figure.locator-sheet.no-print {
                a href=(links::place(&vessel.slug, &row.id)) { (plan::locator(boat, id)) }
                figcaption { "Marked with a ring: " strong { (row.name) } ", " (words::level(row.level)) ". The bow is at the right. Tap the plan for more." }
            }
        }
    }
}
