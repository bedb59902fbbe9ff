//! All boats of the base.

use maud::{Markup, html};
use records::Standing;

use crate::findings;
use crate::frame::{Desk, Role, Site, desk_page, page};
use crate::links::{self, Room};
use crate::office::Hull;
use crate::office::standing;
use crate::vessel::{Moored, Wreck, shield};
use crate::words;
use crate::{plan, plan_page};

/// The boats of the base, each with her state of proof and, for the base's own people, how she stands by her records.
pub fn fleet_page(site: &Site, boats: &[(&Moored, &Standing)]) -> String {
    let body = html! {
        div.title {
            h1 { "The boats of " (site.base) }
            p.lead { "Each boat is written down once, checked as a whole, and asked many questions." }
        }
        @if site.demo {
            p.demo role="note" {
                strong { "This is a demonstration. " }
                (site.base) " does not exist and these boats are invented. Look around as you like; do not sail by what is written here."
            }
        }
        @if site.may(Role::Skipper) { p { a.button.plain href=(links::SETUP) { "Set boats up" } } }
        @if boats.is_empty() { p { "There are no boats yet. Put a boat file into the base's folder and start Becket again." } }
        ul.fleet {
            @for (boat, standing) in boats {
                @match boat {
                    Moored::Well(vessel) => (card(site, Hull { vessel, standing })),
                    Moored::Wrecked(wreck) => (wreck_card(wreck)),
                }
            }
        }
    };
    desk_page(site, "All boats", Desk::Boats, &body)
}

fn card(site: &Site, hull: Hull<'_>) -> Markup {
    let (vessel, base) = (hull.vessel, site.may(Role::Hand));
    let boat = &vessel.boat.particulars;
    html! {
        li.fleet-card {
            div.pond { (plan::thumbnail(boat)) }
            h2 { a href=(vessel.link(Room::Plan)) { (boat.name) } }
            p { (plan_page::model_words(boat)) }
            p.soft {
                (words::metres(boat.length)) " long, " (words::metres(boat.beam)) " wide, draws " (words::metres(boat.draught)) ", "
                (words::count(usize::try_from(boat.berths).unwrap_or(usize::MAX), "berth", "berths"))
            }
            @if base { p.stands { (standing::line_words(site, hull)) } }
            p { (vessel.state_line()) }
            div.fleet-links {
                a.button href=(vessel.link(Room::Plan)) aria-label=(format!("Plan of {}", boat.name)) { "Plan" }
                a.button.plain href=(vessel.link(Room::Steps)) aria-label=(format!("Step lists of {}", boat.name)) { "Step lists" }
                a.button.plain href=(vessel.link(Room::Wrong)) aria-label=(format!("What is wrong with {}?", boat.name)) { "What is wrong?" }
                a.button.plain href=(vessel.link(Room::Now)) aria-label=(format!("{} as she stands", boat.name)) { "As she stands" }
                @if base { a.button.plain href=(links::standing(&vessel.slug)) aria-label=(format!("Records of {}", boat.name)) { "Records" } }
            }
        }
    }
}

fn wreck_card(wreck: &Wreck) -> Markup {
    html! {
        li.fleet-card {
            h2 { a href=(links::room(&wreck.slug, Room::Plan)) { (words::file_name(&wreck.file)) } }
            p { span.state.open { (shield(false)) "Cannot be read" } }
            p { "Her file has " (words::count(wreck.diagnostics.len(), "fault", "faults"))
                ". She is shown once they are mended." }
            div.fleet-links { a.button.plain href=(links::room(&wreck.slug, Room::Plan)) { "What is wrong" } }
        }
    }
}

/// What is wrong with a boat file that can't be read.
pub fn wreck_page(site: &Site, wreck: &Wreck) -> String {
    let body = html! {
        div.title {
            h1 { (words::file_name(&wreck.file)) " cannot be read" }
            p.lead { "Mend what is listed here and start Becket again. Everything that was found is shown at once." }
        }
        h2 { (words::capital(&words::count(wreck.diagnostics.len(), "fault", "faults"))) }
        @for finding in &wreck.diagnostics { (findings::finding(&wreck.sources, finding)) }
        p { a.quiet href="/" { "All boats" } }
    };
    page(site, &format!("{} cannot be read", wreck.file), None, &body)
}
