//! What can slip: over the whole boat, ranked and filtered, and the worst of one step list.

mod ask;
mod rows;

pub use ask::SlipsAsk;

use boat::model::ProcedureId;
use maud::{Markup, html};
use operate::{Class, Slip};

use crate::frame::{Aboard, Site, page};
use crate::links::{self, Room};
use crate::vessel::Vessel;
use crate::words;
use ask::Outcome;

/// How many slips are shown before one asks for all.
const SHOWN: usize = 40;

/// The slips of a boat that fit what is asked, worst first.
pub fn slips_page(site: &Site, vessel: &Vessel, ask: &SlipsAsk) -> String {
    let all = &vessel.slips.slips;
    let fitting: Vec<&Slip> = all.iter().filter(|slip| ask.fits(slip)).collect();
    let most = if ask.all { fitting.len() } else { SHOWN };
    let body = html! {
        div.title {
            h1 { "What can slip" }
            p.lead { "Everybody slips: a step is left out, done too late, done on the wrong switch. "
                "Each slip was played to the end on the model of this boat. The first ones are those to talk about." }
            p.soft { (words::capital(&words::count(vessel.slips.played, "slip was played", "slips were played")))
                ", in every situation; those with the same end are told as one." }
        }
        (filters(vessel, ask))
        p role="status" {
            strong { (words::capital(&words::count(fitting.len(), "slip", "slips"))) }
            (format!(" {}.", ask.words(&vessel.boat)))
        }
        (rows::table(vessel, &fitting[..most.min(fitting.len())], ask.list.is_none()))
        @if fitting.len() > most {
            p { a.button.plain href=(links::query(&vessel.link(Room::Slips), &ask.pairs_for_all(&vessel.boat))) {
                "Show all " (fitting.len()) } }
        }
        (sources())
    };
    let aboard = Aboard { slug: &vessel.slug, name: &vessel.boat.particulars.name, room: Room::Slips };
    page(site, "What can slip", Some(aboard), &body)
}

fn filters(vessel: &Vessel, ask: &SlipsAsk) -> Markup {
    let boat = &vessel.boat;
    html! {
        form.filters method="get" action=(vessel.link(Room::Slips)) {
            div.field {
                label for="outcome" { "What follows" }
                select #outcome name="outcome" {
                    option value="" selected[ask.outcome.is_none()] { "Anything that matters" }
                    @for outcome in Outcome::ALL {
                        option value=(outcome.key()) selected[ask.outcome == Some(outcome)] { (outcome.name()) }
                    }
                }
            }
            div.field {
                label for="list" { "In which step list" }
                select #list name="list" {
                    option value="" selected[ask.list.is_none()] { "All step lists" }
                    @for (id, procedure) in boat.procedures.iter_ids() {
                        option value=(procedure.id) selected[ask.list == Some(id)] { (procedure.name) }
                    }
                }
            }
            button type="submit" { "Show" }
        }
    }
}

/// The worst slips of one step list, for its own page.
pub(crate) fn in_list(vessel: &Vessel, id: ProcedureId) -> Markup {
    let all: Vec<&Slip> = vessel
        .slips
        .slips
        .iter()
        .filter(|slip| slip.procedure == id && slip.class != Class::NoMatter)
        .collect();
    html! {
        section.block.no-print aria-labelledby="slips" {
            h2 #slips { "What can slip here" }
            @if all.is_empty() {
                p { "No slip in this list does harm or keeps it from working." }
            } @else {
                p { "Worst first, by how often people slip and what follows." }
                ul.slip-list { @for slip in all.iter().take(5) { (rows::short(vessel, slip)) } }
                @if all.len() > 5 {
                    @let address = links::query(&vessel.link(Room::Slips), &[("list", &vessel.boat.procedures[id].id)]);
                    p.no-print { a.quiet href=(address) { "All " (all.len()) " slips of this list" } }
                }
            }
        }
    }
}

fn sources() -> Markup {
    html! {
        section.block aria-labelledby="rates" {
            h2 #rates { "Where the figures come from" }
            p { "How often: A. D. Swain and H. E. Guttmann, " cite { "Handbook of Human Reliability Analysis" }
                ", NUREG/CR-1278, 1983, chapter 20. The figures are for trained people at work in calm; a crew on holiday slips more often. "
                "They rank slips against each other and do not predict how many there will be." }
            p { "How bad: a judgement of this programme. Damage weighs a hundred times as much as a thing that does not work, an injury ten times as much as damage." }
            p { "Kinds of slips: SHERPA (D. E. Embrey, 1986)." }
            details {
                summary { "The rows used" }
                ul.plainly { @for rate in operate::rates() { li { (rows::rate_words(&rate)) } } }
            }
        }
    }
}
