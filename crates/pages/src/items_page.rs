//! Everything that can be pointed at, to be searched and printed.

use boat::model::{Boat, ItemId};
use maud::{Markup, html};
use trace::Symptom;

use crate::frame::{Aboard, Site, page};
use crate::known::{self, Known};
use crate::links::{self, Room};
use crate::vessel::Vessel;
use crate::{find, medium, parts, say, there, words, wrong};

/// The list of items; only those that fit `looked_for`, best first, if it is not empty.
pub fn items_page(site: &Site, vessel: &Vessel, known: Known<'_>, looked_for: &str) -> String {
    let boat = &vessel.boat;
    let asked = !looked_for.trim().is_empty();
    let symptoms = trace::symptoms(boat);
    let items = if asked { find::items(boat, looked_for) } else { by_name(boat) };
    let body = html! {
        div.title {
            h1 { "Find it" }
            p.lead { "Everything aboard that can be pointed at, with its place." }
        }
        form.search role="search" method="get" action=(links::room(&vessel.slug, Room::Items)) data-live-form {
            label for="q" { "What do you look for?" }
            div.search-line {
                input #q type="search" name="q" value=(looked_for) autocomplete="off" autocapitalize="off" spellcheck="false";
                button type="submit" { "Find" }
            }
        }
        div #live data-live-region {
            p.soft role="status" data-announce {
                @if asked {
                    (words::capital(&words::count(items.len(), "thing fits", "things fit"))) " \u{201c}" (looked_for.trim()) "\u{201d}. "
                    a href=(links::room(&vessel.slug, Room::Items)) data-live { "Show all" }
                } @else { (words::capital(&words::count(items.len(), "thing", "things"))) ", by name." }
            }
            ul.cards { @for id in items { (card(site, vessel, known, &symptoms, id)) } }
        }
    };
    let aboard = Aboard { slug: &vessel.slug, name: &boat.particulars.name, room: Room::Items };
    page(site, "Find it", Some(aboard), &body)
}

fn by_name(boat: &Boat) -> Vec<ItemId> {
    let mut items: Vec<ItemId> = boat.items.ids().collect();
    items.sort_by_cached_key(|id| (boat.items[*id].name.to_lowercase(), *id));
    items
}

fn card(site: &Site, vessel: &Vessel, known: Known<'_>, symptoms: &[Symptom], id: ItemId) -> Markup {
    let boat = &vessel.boat;
    let item = &boat.items[id];
    let place = &boat.places[item.place];
    let controls = boat.controls().filter(|(_, _, control)| control.item == Some(id));
    html! {
        li.card id=(format!("item-{}", item.id)) {
            h2 { (item.name) @if item.emergency { " " (there::emergency_mark(item)) } }
            p.where {
                a href=(links::place(&vessel.slug, &place.id)) { (place.name) } ", " (words::level(place.level)) ". "
                (words::reach(place.reach))
            }
            (known::beside(site, vessel, known, id))
            @if let Some(find) = &item.find { p { (say::prose(boat, find)) } }
            @if let Some(label) = &item.label { p { "Its label says " (there::label_plate(label)) "." } }
            @if !item.also.is_empty() { p.soft { "Also called: " (item.also.join(", ")) "." } }
            @for (var, _, _) in controls { p.rest { (there::rest_line(boat, var)) } }
            @if !item.spares.is_empty() {
                p { "Spares: "
                    @for (at, spare) in item.spares.iter().enumerate() {
                        @if at > 0 { "; " }
                        (spare.name)
                        @if let Some(place) = spare.place { " (" (boat.places[place].name) ")" }
                    }
                    "." }
            }
            @if !wrong::of_item(boat, symptoms, id).is_empty() {
                p.no-print { a.quiet href=(links::wrong_with(&vessel.slug, &item.id)) aria-label=(format!("Something is wrong with it: {}", item.name)) {
                    "Something is wrong with it" } }
            }
            p.small {
                (medium::mark(item))
                @if let Some(class) = &item.class { span.source { "Kind: " (words::spaced(class)) } " " }
                @if let Some(source) = &item.source { (parts::source(source)) }
            }
        }
    }
}
