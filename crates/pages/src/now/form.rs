//! The form in which one says how the boat stands and what is wanted.

use boat::model::{Assign, Boat, PlaceId, Value, VarId, VarKind, Who};
use maud::{Markup, html};

use super::ask::{NowAsk, Want, who_code};
use crate::links::{self, Room};
use crate::subjects::{self, Subject};
use crate::vessel::Vessel;
use crate::words;

pub(super) fn form(vessel: &Vessel, ask: &NowAsk) -> Markup {
    let boat = &vessel.boat;
    let from = ask.after.map_or("", |id| boat.procedures[id].id.as_str());
    html! {
        form.now method="get" action=(format!("{}#answer", links::room(&vessel.slug, Room::Now))) data-knobs {
            input type="hidden" name="from" value=(from);
            fieldset {
                legend { "What do you want?" }
                div.filters {
                    (want_field(boat, "want", "What you want", ask.wants.first().copied()))
                    (want_field(boat, "and", "And also", ask.wants.get(1).copied()))
                    (who_field(ask.who))
                }
            }
            fieldset {
                legend { "How does she stand now?" }
                (after_field(boat, ask))
                p.hint { "Then change below what is otherwise. What is not changed counts as it is shown." }
                (knob_groups(boat, ask))
            }
            p.actions {
                button type="submit" { "Show the way" }
                a.button.plain href=(vessel.link(Room::Now)) { "Start anew, at rest" }
            }
        }
    }
}

fn want_field(boat: &Boat, name: &str, label: &str, chosen: Option<Want>) -> Markup {
    let chosen = chosen.map(|want| want.code(boat));
    let option = |want: Want, words: &str| {
        let code = want.code(boat);
        html! { option value=(code) selected[chosen.as_ref() == Some(&code)] { (words) } }
    };
    html! {
        div.field {
            label for=(name) { (label) }
            select id=(name) name=(name) {
                option value="" { @if name == "want" { "Choose what you want" } @else { "Nothing else" } }
                optgroup label="What a step list brings about" {
                    @for (id, procedure) in boat.procedures.iter_ids() { (option(Want::List(id), &procedure.name)) }
                }
                optgroup label="That this is so" {
                    @for (id, condition) in boat.conditions.iter_ids() {
                        (option(Want::Fact(id), condition.name.trim_end_matches('.')))
                    }
                }
                optgroup label="That a thing is set so" {
                    @for (var, row) in boat.vars.iter_ids().filter(|(_, row)| !is_given(&row.kind)) {
                        @for value in (0u8..).take(row.values.len()).map(Value) {
                            (option(Want::Is(Assign { var, value }), &boat.value_words(var, value)))
                        }
                    }
                }
            }
        }
    }
}

fn is_given(kind: &VarKind) -> bool {
    matches!(kind, VarKind::State(state) if state.given)
}

fn who_field(chosen: Who) -> Markup {
    html! {
        div.field {
            label for="who" { "Who does it" }
            select #who name="who" {
                @for who in [Who::Crew, Who::Skipper, Who::Base] {
                    option value=(who_code(who)) selected[who == chosen] { (words::who(who)) }
                }
            }
        }
    }
}

fn after_field(boat: &Boat, ask: &NowAsk) -> Markup {
    html! {
        div.field.wide {
            label for="after" { "Begin from" }
            select #after name="after" {
                option value="" selected[ask.after.is_none()] { "At rest, as she was left" }
                @for subject in Subject::ALL {
                    @let lists: Vec<_> = boat.procedures.iter_ids().filter(|(_, row)| subjects::of(boat, row) == subject).collect();
                    @if !lists.is_empty() {
                        optgroup label=(subject.name()) {
                            @for (id, row) in lists {
                                option value=(row.id) selected[ask.after == Some(id)] { "After: " (row.name) }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// A heading and what is set under it.
struct Group {
    name: String,
    knobs: Vec<VarId>,
}

fn groups(boat: &Boat) -> Vec<Group> {
    let mut places: Vec<PlaceId> = boat.places.ids().collect();
    places.sort_by(|a, b| {
        let key = |id: &PlaceId| boat.places[*id].aft.as_metres();
        key(b).total_cmp(&key(a)).then(a.cmp(b))
    });
    let controls = |place: Option<PlaceId>| -> Vec<VarId> {
        boat.controls()
            .filter(|(var, _, _)| boat.control_place(*var) == place)
            .map(|(var, _, _)| var)
            .collect()
    };
    let states = |given: bool| -> Vec<VarId> {
        boat.states().filter(|(_, _, state)| state.given == given).map(|(var, _, _)| var).collect()
    };
    let at_places =
        places.iter().map(|id| Group { name: boat.places[*id].name.clone(), knobs: controls(Some(*id)) });
    let rest = [
        Group { name: "Elsewhere".to_owned(), knobs: controls(None) },
        Group { name: "The state of things aboard".to_owned(), knobs: states(false) },
        Group { name: "The world around".to_owned(), knobs: states(true) },
    ];
    at_places.chain(rest).filter(|group| !group.knobs.is_empty()).collect()
}

fn knob_groups(boat: &Boat, ask: &NowAsk) -> Markup {
    html! {
        div.knob-groups { @for group in groups(boat) {
            @let moved = group.knobs.iter().filter(|var| ask.stand.get(**var) != boat.vars[**var].rest).count();
            details open[moved > 0] {
                summary {
                    span { (group.name) " " span.soft {
                        (words::count(group.knobs.len(), "thing", "things"))
                        @if moved > 0 { ", " strong { (moved) " not at rest" } }
                    } }
                }
                div.knobs { @for var in group.knobs { (knob(boat, ask, var)) } }
            }
        } }
    }
}

fn knob(boat: &Boat, ask: &NowAsk, var: VarId) -> Markup {
    let row = &boat.vars[var];
    let (is, base) = (ask.stand.get(var), ask.base.get(var));
    let moved = is != row.rest;
    let field = format!("is-{}", row.id);
    html! {
        div class=(if moved { "knob moved" } else { "knob" }) {
            label for=(field) { (row.name) @if moved { span.soft { " (not at rest)" } } }
            select id=(field) name=(format!("is.{}", row.id)) data-rest=(row.values[usize::from(base.0)]) {
                @for (at, name) in (0u8..).zip(&row.values) {
                    option value=(name) selected[Value(at) == is] { (boat.vars[var].label(Value(at))) }
                }
            }
            @if moved { p.hint { "At rest: " (boat.vars[var].label(row.rest)) } }
        }
    }
}
