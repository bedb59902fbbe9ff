//! Published lists for handing a boat over, line by line, with the topics that cover each.

use brief::{Briefing, Cover, Origin};
use maud::{Markup, html};
use records::BoatStanding;
use rules::{Authority, Checklist};

use super::{briefing_of, lines};
use crate::frame::{Aboard, Site, page};
use crate::links::{self, Room};
use crate::vessel::Vessel;

/// Which topic covers each line of each published list.
pub fn checklists_page(site: &Site, vessel: &Vessel, standing: Option<&BoatStanding>) -> String {
    let with_lists = || rules::authorities().iter().filter(|authority| !authority.checklists.is_empty());
    let body = html! {
        div.title {
            h1 { "Published lists" }
            p.lead { "Some governments publish what must be gone through when a boat is handed over. Here each line stands beside the topics that cover it." }
            p { "Whether one of these binds this base is for the base to know: ask the authority. Lists that are not here are not known to this program." }
        }
        @for authority in with_lists() {
            @for list in &authority.checklists { (one(vessel, standing, authority, list)) }
        }
    };
    let aboard = Aboard { slug: &vessel.slug, name: &vessel.boat.particulars.name, room: Room::Briefing };
    page(site, "Published lists", Some(aboard), &body)
}

fn one(vessel: &Vessel, standing: Option<&BoatStanding>, authority: &Authority, list: &Checklist) -> Markup {
    let briefing = briefing_of(vessel, standing, Some(list));
    let lines = lines(list);
    let covers = briefing.cover(&lines);
    let open = covers.iter().filter(|cover| !cover.is_whole()).count();
    let plan =
        links::query(&vessel.link(Room::Briefing), &[("list", &list.id), ("minutes", "60"), ("crew", "new")]);
    html! {
        section.block id=(list.id) {
            h2 { (list.title) }
            p.small.soft { (authority.name) ". " (rules::words::source(&list.citation)) }
            p {
                @if open == 0 { "Every line is covered." } @else { (open) " of " (covers.len()) " lines are not covered." }
                " " a href=(plan) { "Plan a briefing that goes through it" }
            }
            div.scroll tabindex="0" role="region" aria-label=(list.title) {
                table.list {
                    thead { tr { th scope="col" { "Line" } th scope="col" { "Covered by" } } }
                    tbody { @for cover in &covers { (row(&briefing, vessel, cover)) } }
                }
            }
        }
    }
}

fn row(briefing: &Briefing<'_>, vessel: &Vessel, cover: &Cover<'_>) -> Markup {
    html! {
        tr {
            th scope="row" { (cover.line.words) }
            td data-name="Covered by" {
                ul.plainly { @for covered in &cover.subjects {
                    li {
                        (covered.subject.words()) ": "
                        @if covered.topics.is_empty() { strong { "nothing yet" } }
                        @for (at, topic) in covered.topics.iter().enumerate() {
                            @let topic = &briefing.topics[*topic];
                            @if at > 0 { "; " }
                            @if topic.origin == Origin::Line { em { "say it in your own words" } " " span.soft { "(the boat file has no topic about it)" } }
                            @else { a href=(format!("{}#{}", links::topics(&vessel.slug), topic.key)) { (topic.name) } }
                        }
                    }
                } }
            }
        }
    }
}
