//! What a crew sees first, and the links by which crews come.

use boat::model::{Boat, Procedure};
use maud::{Markup, html};
use records::{BoatStanding, Plan};

use crate::frame::{Desk, Site, desk_page, page, seal};
use crate::known::{self, Known};
use crate::links::{self, Room};
use crate::vessel::Vessel;
use crate::{call, equipment, qr, subjects, when, words};

/// What a crew's first page is made of.
#[derive(Debug, Clone)]
pub struct CrewHome<'a> {
    /// Their boat.
    pub vessel: &'a Vessel,
    /// Their charter.
    pub charter: String,
    /// What was promised.
    pub plan: Option<&'a Plan>,
    /// How the boat stands.
    pub standing: Option<&'a BoatStanding>,
    /// How many topics of the briefing are left to them to read.
    pub to_read: usize,
}

/// A crew's first page: what to do when something is wrong, what is known to be wrong, where everything else is.
pub fn home_page(site: &Site, home: &CrewHome<'_>) -> String {
    let boat = &home.vessel.boat;
    let slug = &home.vessel.slug;
    let name = &boat.particulars.name;
    let body = html! {
        div.title {
            h1 { (name) }
            @if let Some(plan) = home.plan {
                p.lead { "Yours from " (when::moment(site, plan.from.moment())) " until " (when::moment(site, plan.until.moment())) "." }
            }
        }
        (call::line(site))
        (emergencies(slug, boat))
        @if let Some(standing) = home.standing { (broken(site, home, standing)) }
        @if home.to_read > 0 {
            p { a.button href=(links::reading(&home.charter)) { "To read before you sail: " (words::count(home.to_read, "topic", "topics")) } }
        }
        h2 { "While you sail" }
        div.fleet-links {
            a.button href=(links::room(slug, Room::Wrong)) { "Something is wrong" }
            a.button.plain href=(links::room(slug, Room::Steps)) { "Step lists" }
            a.button.plain href=(links::room(slug, Room::Items)) { "Find it" }
            a.button.plain href=(links::room(slug, Room::Plan)) { "Plan of the boat" }
            a.button.plain href=(links::room(slug, Room::Forecast)) { "Will it last?" }
            a.button.plain href=(links::room(slug, Room::Anchor)) { "At anchor" }
            a.button.plain href=(links::room(slug, Room::Tides)) { "Tides" }
            a.button.plain href=(links::room(slug, Room::Waste)) { "Waste" }
            a.button.plain href=(equipment::of_charter(site, slug, home.plan)) { "Equipment" }
        }
        h2 { "Tell the base" }
        p { "Found something broken or missing? Tell it now, so that nobody is surprised at hand-back." }
        p { a.button href=(links::found(slug)) { "Tell what is broken" } }
        form method="post" action="/sign-out" {
            (seal(site))
            button.quiet type="submit" { "Close these pages on this phone" }
        }
    };
    page(site, name, None, &body)
}

fn emergencies(slug: &str, boat: &Boat) -> Markup {
    let mut urgent: Vec<&Procedure> = boat.procedures.iter().filter(|list| list.emergency).collect();
    urgent.sort_by_key(|list| subjects::urgency(list));
    html! {
        @if !urgent.is_empty() {
            section.urgent {
                h2 { "In an emergency" }
                ul.list-links { @for list in urgent { li { a.list-link href=(links::steps(slug, &list.id)) { strong { (list.name) } @if let Some(thing) = subjects::told_apart(boat, list) { span.soft { (thing) } } } } } }
            }
        }
    }
}

fn broken(site: &Site, home: &CrewHome<'_>, standing: &BoatStanding) -> Markup {
    let open = Known::of(Some(standing)).open();
    html! {
        h2 { "Known to be wrong" }
        @if open.is_empty() { p { "Nothing is known to be wrong with her." } }
        @else { (known::list(site, home.vessel, &open)) }
    }
}

/// The link that was followed opens nothing, or nothing any more.
pub fn link_ended_page(site: &Site) -> String {
    let body = html! {
        div.title {
            h1 { "This link opens nothing" }
            p.lead { "It has ended with its charter, or was replaced by a new one, or was not copied whole. Ask the base for the one that holds." }
        }
    };
    page(site, "This link opens nothing", None, &body)
}

/// The links of a charter.
#[derive(Debug, Clone)]
pub struct CrewLinks<'a> {
    /// The boat's name.
    pub boat: String,
    /// The charter.
    pub charter: &'a str,
    /// What was promised.
    pub plan: Option<&'a Plan>,
    /// How many links open it now.
    pub open: usize,
    /// How many were ever made.
    pub made: usize,
    /// The link that was just made, which is shown this once.
    pub fresh: Option<&'a str>,
}

/// The links by which a crew comes to its boat.
pub fn links_page(site: &Site, links: &CrewLinks<'_>) -> String {
    let body = html! {
        div.title {
            h1 { "The crew's link" }
            p.lead {
                (links.boat)
                @if let Some(plan) = links.plan {
                    ", " (when::day(site, plan.from.date())) " to " (when::day(site, plan.until.date()))
                }
            }
        }
        @if let Some(address) = links.fresh {
            section.fresh-link {
                @if let Some(code) = qr::code(address) { (code) }
                p.address { (address) }
                p { strong { "Give it to this crew only, now: it is shown this once." } " It opens their boat and their charter, on any phone, until the boat is handed back." }
            }
        }
        p {
            @if links.open == 0 { "No link opens this charter now." }
            @else { (words::capital(&words::count(links.open, "link opens", "links open"))) " this charter now." }
            @if links.made > links.open { " " (words::count(links.made - links.open, "other has", "others have")) " ended." }
        }
        form method="post" action=(links::crew_links(links.charter)) {
            (seal(site))
            @if links.open > 0 {
                p { label.tick { input type="checkbox" name="others" value="end"; " End the others: they may be in wrong hands" } }
            }
            button.button type="submit" { "Make a link" }
        }
        @if links.open > 0 {
            form method="post" action=(format!("{}/end", links::crew_links(links.charter))) {
                (seal(site))
                button.button.plain type="submit" { "End all links of this charter" }
            }
        }
        p { a.quiet href=(links::charter(links.charter)) { "Back to the charter" } }
    };
    desk_page(site, "The crew's link", Desk::Charters, &body)
}
