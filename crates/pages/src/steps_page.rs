//! The list of step lists: emergencies first, then by subject.

use boat::model::{Boat, ProcedureId};
use maud::{Markup, html};

use crate::frame::{Aboard, Site, page};
use crate::links::{self, Room};
use crate::signs::{self, Shape};
use crate::subjects::{self, Subject};
use crate::vessel::Vessel;
use crate::words;

/// All step lists of a boat.
pub fn steps_page(site: &Site, vessel: &Vessel) -> String {
    let boat = &vessel.boat;
    let groups = grouped(boat);
    let body = html! {
        div.title {
            h1 { "Step lists" }
            p.lead { "What to do, in order, for everything aboard. Each list was followed on the model of this boat, in every situation that can matter." }
            p { (vessel.state_line()) }
        }
        @if groups.is_empty() { p { "The boat file has no step lists yet." } }
        div.groups {
            @for (subject, lists) in &groups {
                section class=[(*subject == Subject::Emergency).then_some("urgent")]
                    aria-labelledby=(format!("group-{}", *subject as usize)) {
                    div.group-head {
                        @if *subject == Subject::Emergency { (signs::plain(Shape::Safe, "Safe condition sign")) }
                        h2 id=(format!("group-{}", *subject as usize)) { (subject.name()) }
                    }
                    ul.list-links { @for id in lists { li { (list_link(vessel, *id)) } } }
                }
            }
        }
    };
    let aboard = Aboard { slug: &vessel.slug, name: &boat.particulars.name, room: Room::Steps };
    page(site, "Step lists", Some(aboard), &body)
}

fn grouped(boat: &Boat) -> Vec<(Subject, Vec<ProcedureId>)> {
    let mut of: Vec<(Subject, ProcedureId)> =
        boat.procedures.iter_ids().map(|(id, procedure)| (subjects::of(boat, procedure), id)).collect();
    of.sort_by_key(|(subject, id)| match subject {
        Subject::Emergency => subjects::urgency(&boat.procedures[*id]),
        _ => 0,
    });
    Subject::ALL
        .into_iter()
        .map(|subject| {
            (subject, of.iter().filter(|(other, _)| *other == subject).map(|(_, id)| *id).collect())
        })
        .filter(|(_, lists): &(Subject, Vec<ProcedureId>)| !lists.is_empty())
        .collect()
}

fn list_link(vessel: &Vessel, id: ProcedureId) -> Markup {
    let procedure = &vessel.boat.procedures[id];
    let proven = vessel.proof(id).is_some_and(|proof| proof.proven);
    html! {
        a.list-link href=(links::steps(&vessel.slug, &procedure.id)) {
            strong { (procedure.name) }
            span.soft {
                @if let Some(thing) = subjects::told_apart(&vessel.boat, procedure) { (thing) "; " }
                (words::count(procedure.steps.len(), "step", "steps")) ", "
                (words::who(procedure.who).to_lowercase())
                @if !proven { ", " b { "not proven" } }
            }
        }
    }
}
