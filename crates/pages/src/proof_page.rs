//! What was proven about the boat and what is wrong: findings, counts, forbidden states, limits.

use boat::diagnostic::{Diagnostic, Severity};
use boat::model::{Boat, Limit, Thing};
use maud::{Markup, html};

use crate::frame::{Aboard, Site, page};
use crate::links::{self, Room};
use crate::signs::{self, Shape};
use crate::vessel::{Vessel, shield};
use crate::{findings, say, words};

/// The proof of a boat.
pub fn proof_page(site: &Site, vessel: &Vessel) -> String {
    let boat = &vessel.boat;
    let body = html! {
        div.title {
            h1 { "Proof" }
            p.lead { "Every step list was followed on the model of this boat, in every situation that can matter, and all of them were held against each other." }
            p { (vessel.state_line()) }
        }
        (counts(vessel))
        (finding_list(vessel))
        (lists(vessel))
        (nevers(boat))
        (limits(boat))
    };
    let aboard = Aboard { slug: &vessel.slug, name: &boat.particulars.name, room: Room::Proof };
    page(site, "Proof", Some(aboard), &body)
}

fn counts(vessel: &Vessel) -> Markup {
    let sum = |of: fn(&operate::ProcedureProof) -> usize| vessel.proofs.iter().map(of).sum::<usize>();
    let rows = [
        (vessel.proofs.len(), "step lists followed"),
        (sum(|proof| proof.worlds), "situations to begin in"),
        (sum(|proof| proof.needs_checked), "needs looked at"),
        (sum(|proof| proof.harms_excluded), "possible harms ruled out"),
        (sum(|proof| proof.limits_kept), "limits kept"),
        (vessel.boat.nevers.len(), "forbidden states never entered"),
    ];
    html! {
        @if vessel.errors() == 0 {
            ul.tallies { @for (number, what) in rows { li { strong { (words::grouped(number as u64)) } (what) } } }
        }
    }
}

fn finding_list(vessel: &Vessel) -> Markup {
    let sources = vessel.boat.sources();
    let of = |severity: Severity| -> Vec<&Diagnostic> {
        vessel.findings.iter().filter(|finding| finding.severity == severity).collect()
    };
    let groups = [
        ("To mend", of(Severity::Error), true),
        ("Remarks", of(Severity::Warning), false),
        ("Notes", of(Severity::Note), false),
    ];
    html! {
        @for (name, found, open) in groups.iter().filter(|(_, found, _)| !found.is_empty()) {
            section.block aria-label=(name) {
                h2 { (name) ": " (found.len()) }
                @if *open {
                    @for finding in found { (findings::finding(sources, finding)) }
                } @else {
                    details {
                        summary { "Show " (words::count(found.len(), "entry", "entries")) }
                        @for finding in found { (findings::finding(sources, finding)) }
                    }
                }
            }
        }
    }
}

fn lists(vessel: &Vessel) -> Markup {
    let boat = &vessel.boat;
    html! {
        section.block aria-labelledby="by-list" {
            h2 #by-list { "List by list" }
            p { "A situation is one way in which the boat and the world around her may be when you begin. "
                "What the world decides, such as swimmers near the boat, is tried both ways until a step makes you look." }
            div.scroll tabindex="0" role="region" aria-label="Table of step lists" {
                table.list {
                    thead { tr { th scope="col" { "Step list" } th scope="col" { "Result" } th scope="col" { "Situations" }
                        th scope="col" { "Needs" } th scope="col" { "Harms" } th scope="col" { "Limits" } } }
                    tbody {
                        @for proof in &vessel.proofs {
                            @let procedure = &boat.procedures[proof.procedure];
                            tr {
                                th scope="row" { a href=(links::steps(&vessel.slug, &procedure.id)) { (procedure.name) } }
                                td data-name="Result" {
                                    span class=(if proof.proven { "state proven" } else { "state open" }) {
                                        (shield(proof.proven)) (if proof.proven { "Proven" } else { "Not proven" }) }
                                }
                                td.number data-name="Situations" { (words::grouped(proof.worlds as u64)) }
                                td.number data-name="Needs" { (words::grouped(proof.needs_checked as u64)) }
                                td.number data-name="Harms" { (words::grouped(proof.harms_excluded as u64)) }
                                td.number data-name="Limits" { (words::grouped(proof.limits_kept as u64)) }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn nevers(boat: &Boat) -> Markup {
    html! {
        @if !boat.nevers.is_empty() {
            section.block aria-labelledby="never" {
                div.group-head { (signs::plain(Shape::Prohibition, "Prohibition sign")) h2 #never { "Never" } }
                p { "No step list may ever bring the boat into one of these states, not even for a moment." }
                ul.cards.flow {
                    @for never in &boat.nevers {
                        li.card {
                            h3 { (never.name) }
                            p { (say::prose(boat, &never.what)) }
                            @if let Some(seen) = &never.seen { p.soft { "You would see: " (say::prose(boat, seen)) } }
                            p.small.soft { "That is, when: " (say::parts(boat, &never.when).join("; ")) "." }
                        }
                    }
                }
            }
        }
    }
}

/// A limit with what it is on.
struct Row<'b> {
    on: &'b str,
    limit: &'b Limit,
    thing: Thing,
}

fn limits(boat: &Boat) -> Markup {
    let rows = limit_rows(boat);
    html! {
        @if !rows.is_empty() {
            section.block aria-labelledby="limits" {
                h2 #limits { "Limits" }
                p { "Each limit stands in the boat file once; step lists, briefings and warnings take it from there. "
                    "Two that contradict each other would be a finding." }
                div.scroll tabindex="0" role="region" aria-label="Table of limits" {
                    table.list {
                        thead { tr { th scope="col" { "On" } th scope="col" { "Limit" } th scope="col" { "Past it" }
                            th scope="col" { "Written in" } th scope="col" { "Source" } } }
                        tbody { @for row in &rows { (limit_row(boat, row)) } }
                    }
                }
            }
        }
    }
}

/// All limits of the boat, by what they are on.
fn limit_rows(boat: &Boat) -> Vec<Row<'_>> {
    let mut rows: Vec<Row<'_>> = Vec::new();
    for (id, item) in boat.items.iter_ids() {
        let limits = item.limits.iter().enumerate();
        rows.extend(limits.map(|(at, limit)| Row { on: &item.name, limit, thing: Thing::ItemLimit(id, at) }));
    }
    for (id, var, control) in boat.controls() {
        let limits = control.limits.iter().enumerate();
        rows.extend(limits.map(|(at, limit)| Row { on: &var.name, limit, thing: Thing::VarLimit(id, at) }));
    }
    for (id, action) in boat.actions.iter_ids() {
        let limits = action.limits.iter().enumerate();
        rows.extend(limits.map(|(at, limit)| Row {
            on: &action.name,
            limit,
            thing: Thing::ActionLimit(id, at),
        }));
    }
    rows.sort_by(|a, b| a.on.cmp(b.on).then(a.limit.kind.cmp(&b.limit.kind)));
    rows
}

fn limit_row(boat: &Boat, row: &Row<'_>) -> Markup {
    let Row { on, limit, thing } = row;
    html! {
        tr {
            th scope="row" { (on) }
            td data-name="Limit" {
                @if let Some(of) = &limit.of { (words::capital(&say::operand(boat, of))) ", " (words::limit_kind(limit.kind).to_lowercase()) }
                @else { (words::limit_kind(limit.kind)) }
                ": " strong { (words::quantity(limit.is)) }
            }
            td data-name="Past it" { @if let Some(breach) = &limit.breach { (say::prose(boat, &breach.what)) } @else { "Not said" } }
            td data-name="Written in" {
                @if let Some(span) = boat.span(*thing) {
                    @let (file, at) = boat.sources().locate(span);
                    (words::file_name(file)) ", line " (at.line)
                } @else { "Not known" }
            }
            td data-name="Source" { @match &limit.source { Some(source) => (source), None => span.soft { "not given" } } }
        }
    }
}
