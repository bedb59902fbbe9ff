//! What is at a place: how to get there, what is there and how to find it, how controls are left, what is stowed.

use boat::model::{Boat, Item, ItemId, Level, PlaceId, VarId};
use maud::{Markup, html};

use crate::frame::Site;
use crate::known::{self, Known};
use crate::parts::chip;
use crate::signs::{self, Shape};
use crate::vessel::Vessel;
use crate::{links, medium, say, words};

/// The place with all that is there.
pub(crate) fn there(site: &Site, vessel: &Vessel, known: Known<'_>, id: PlaceId) -> Markup {
    let (boat, slug) = (&vessel.boat, vessel.slug.as_str());
    let place = &boat.places[id];
    let items: Vec<ItemId> =
        boat.items.iter_ids().filter(|(_, item)| item.place == id).map(|(id, _)| id).collect();
    let loose: Vec<VarId> = boat
        .controls()
        .filter(|(var, _, control)| {
            boat.control_place(*var) == Some(id)
                && control.item.is_none_or(|item| boat.items[item].place != id)
        })
        .map(|(var, _, _)| var)
        .collect();
    html! {
        h2 #there tabindex="-1" { (place.name) }
        p.where { (words::capital(words::level(place.level))) (within(boat, id)) ". " (words::reach(place.reach)) }
        @if let Some(way) = &place.way { p { (say::prose(boat, way)) } }
        @if items.is_empty() && loose.is_empty() { p.soft { "Nothing is listed here." } }
        @if !items.is_empty() {
            ul.things { @for id in &items { li { (item_lines(boat, slug, *id)) (known::beside(site, vessel, known, *id)) } } }
        }
        @if !loose.is_empty() {
            h3 { "Controls here" }
            ul.plainly { @for var in &loose { li { (rest_line(boat, *var)) } } }
        }
        (stowed(boat, id))
        (steps_here(boat, slug, id))
        (inner_places(boat, slug, id))
    }
}

fn within(boat: &Boat, id: PlaceId) -> String {
    boat.places[id]
        .within
        .map_or_else(String::new, |holder| format!(", in \u{201c}{}\u{201d}", boat.places[holder].name))
}

/// An item in a few lines: name, label, how to find it, how its controls are left.
pub(crate) fn item_lines(boat: &Boat, slug: &str, id: ItemId) -> Markup {
    let item = &boat.items[id];
    let controls: Vec<VarId> =
        boat.controls().filter(|(_, _, control)| control.item == Some(id)).map(|(var, _, _)| var).collect();
    html! {
        div.thing {
            p.thing-name {
                a href=(links::item(slug, &item.id)) { (item.name) }
                @if item.emergency { " " (emergency_mark(item)) }
                @if let Some(label) = &item.label { " " (label_plate(label)) }
                " " (medium::mark(item))
            }
            @if let Some(find) = &item.find { p { (say::prose(boat, find)) } }
            @if !item.also.is_empty() { p.soft { "Also called: " (item.also.join(", ")) "." } }
            @for var in controls { p.rest { (rest_line(boat, var)) } }
        }
    }
}

/// The words of a label as they are stuck on the boat.
pub(crate) fn label_plate(label: &str) -> Markup {
    html! { span.plate { span.vh { "Label: " } (label) } }
}

/// The safe-condition square, or the fire square for what fights fire, with a word.
pub(crate) fn emergency_mark(item: &Item) -> Markup {
    html! { span.emergency { (emergency_sign(item)) "Emergency" } }
}

/// The safe-condition square, or the fire square for what fights fire, alone.
pub(crate) fn emergency_sign(item: &Item) -> Markup {
    let words = [item.class.as_deref().unwrap_or(""), &item.name, &item.id].join(" ").to_lowercase();
    let fire = words.contains("extinguisher") || words.contains("fire");
    let (shape, title) =
        if fire { (Shape::Fire, "Fire equipment sign") } else { (Shape::Safe, "Safe condition sign") };
    signs::plain(shape, title)
}

/// "At rest: OFF", with the control's name if it is not the item's.
pub(crate) fn rest_line(boat: &Boat, var: VarId) -> Markup {
    let row = &boat.vars[var];
    let own_name = boat.var_item(var).is_some_and(|item| boat.items[item].name == row.name);
    html! {
        @if !own_name { (row.name) ", " }
        span.soft { (if own_name { "At rest:" } else { "at rest:" }) } " " (chip(boat.vars[var].label(row.rest)))
    }
}

fn stowed(boat: &Boat, id: PlaceId) -> Markup {
    let kit: Vec<_> = boat.kit.iter().filter(|line| line.place == id).collect();
    let spares: Vec<(&str, &str)> = boat
        .items
        .iter()
        .flat_map(|item| item.spares.iter().map(move |spare| (spare, item)))
        .filter(|(spare, _)| spare.place == Some(id))
        .map(|(spare, item)| (spare.name.as_str(), item.name.as_str()))
        .collect();
    html! {
        @if !kit.is_empty() {
            h3 { "Stowed here" }
            ul.plainly { @for line in kit { li { (line.count) " \u{00d7} " (line.name) } } }
        }
        @if !spares.is_empty() {
            h3 { "Spares here" }
            ul.plainly { @for (spare, item) in spares { li { (spare) " " span.soft { "for: " (item) } } } }
        }
    }
}

fn steps_here(boat: &Boat, slug: &str, id: PlaceId) -> Markup {
    let lists: Vec<_> = boat
        .procedures
        .iter()
        .filter(|procedure| procedure.steps.iter().any(|step| boat.step_place(step) == Some(id)))
        .collect();
    html! {
        @if !lists.is_empty() {
            h3 { "Step lists that bring you here" }
            ul.links { @for list in lists { li { a href=(links::steps(slug, &list.id)) { (list.name) } } } }
        }
    }
}

fn inner_places(boat: &Boat, slug: &str, id: PlaceId) -> Markup {
    let inner: Vec<_> = boat.places.iter().filter(|place| place.within == Some(id)).collect();
    html! {
        @if !inner.is_empty() {
            h3 { "Within it" }
            ul.links {
                @for place in inner {
                    li {
                        a href=(links::place(slug, &place.id)) data-live { (place.name) }
                        @if place.level == Level::Bilge { " " span.soft { "(in the bilge)" } }
                    }
                }
            }
        }
    }
}
