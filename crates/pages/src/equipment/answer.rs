//! What is missing, what runs out, what is not known and what is in order, each with its rule.

use jiff::civil::Date;
use maud::{Markup, html};
use records::BoatStanding;
use rules::{Authority, Finding, Need, Section, Standing, Use, UseState, words as say};

use super::aboard::{broken, dated};
use super::ask::EquipmentAsk;
use crate::authority::source;
use crate::links::{self, Room};
use crate::vessel::Vessel;
use crate::{caution, words};

/// What is wrong first.
const GROUPS: [(Standing, &str, &str); 5] = [
    (Standing::Missing, "missing", "Not aboard"),
    (Standing::Expired, "expired", "Aboard, but not in date through the last day"),
    (Standing::Unknown, "unknown", "Not known"),
    (Standing::MetByRelief, "relief", "Aboard by the lesser number that a rule allows"),
    (Standing::Met, "met", "Aboard"),
];

pub(super) fn answer(vessel: &Vessel, standing: Option<&BoatStanding>, ask: &EquipmentAsk) -> Markup {
    let checks = ask.checks(&vessel.boat, standing);
    let all: Vec<(&Authority, &Finding)> = checks
        .iter()
        .flat_map(|(authority, found)| found.findings.iter().map(|one| (*authority, one)))
        .collect();
    let last = ask.dates.last();
    html! {
        section #answer aria-labelledby="answer-head" {
            div.verdict {
                h2 #answer-head.vh { "What is missing" }
                p.big role="status" { (verdict(ask, &all, last)) }
                (asked(vessel, ask))
            }
            (caution::titled_panel(boat::model::SignalWord::Caution, boat::model::Hazard::Overboard, "what this list is not", &[say::CAUTION]))
            @if !all.is_empty() && all.iter().all(|(_, finding)| finding.needs.iter().all(|need| need.uses.is_empty())) { p { (say::NOTHING_COUNTS) } }
            @for (standing, id, head) in GROUPS {
                @let group: Vec<_> = all.iter().filter(|(_, finding)| finding.standing == standing).collect();
                @if !group.is_empty() {
                    section.block aria-labelledby=(id) {
                        h2 id=(id) { (head) " (" (group.len()) ")" }
                        @if standing == Standing::Unknown { p.no-print { a href="#questions" { "Answer the questions above" } " to know more." } }
                        (cards(&group, standing))
                    }
                }
            }
            (not_asked(&all))
            (broken_things(vessel, standing))
            (dates(vessel, last, ask))
        }
    }
}

fn verdict(ask: &EquipmentAsk, all: &[(&Authority, &Finding)], last: Date) -> String {
    if let Some(unknown) = ask.unknown() {
        return unknown;
    }
    if all.is_empty() {
        return "Nothing is known here of what these rules ask to have aboard. That does not mean that they ask for nothing."
            .to_owned();
    }
    let count = |standing: Standing| all.iter().filter(|(_, finding)| finding.standing == standing).count();
    let until = words::date(&last.to_string());
    let parts = [
        (count(Standing::Missing), "Not aboard by the boat file".to_owned()),
        (count(Standing::Expired), format!("Not in date through {until}")),
        (count(Standing::Unknown), "Not known".to_owned()),
        (count(Standing::MetByRelief), "Aboard by a lesser number".to_owned()),
        (count(Standing::Met), "Aboard".to_owned()),
    ];
    let told = parts.iter().filter(|(number, _)| *number > 0);
    told.map(|(number, what)| format!("{what}: {number}.")).collect::<Vec<_>>().join(" ")
}

/// What was asked, for the sheet on paper as well.
fn asked(vessel: &Vessel, ask: &EquipmentAsk) -> Markup {
    let boat = &vessel.boat;
    let chain: Vec<&str> = ask.whose.chain().iter().map(|one| one.name.as_str()).collect();
    let inquiry = ask.inquiry(boat, Vec::new());
    let facts =
        rules::Fact::ALL.into_iter().filter_map(|fact| inquiry.vessel.says(fact).map(|so| (fact, so)));
    let children: Vec<String> = ask.crew.children.iter().map(ToString::to_string).collect();
    html! {
        dl.facts.law-facts {
            div { dt { "Rules of" } dd { @if chain.is_empty() { "not listed here" } @else { (chain.join(", within ")) } } }
            div { dt { "Waters" } dd { (ask.waters.map_or("not said", rules::Waters::words)) } }
            div { dt { "Days" } dd { (words::date(&ask.dates.first().to_string())) " to " (words::date(&ask.dates.last().to_string())) } }
            div { dt { "Crew" } dd {
                (words::count(ask.crew.adults as usize, "adult", "adults"))
                @if !children.is_empty() { ", " (words::count(children.len(), "child", "children")) ": " (children.join(", ")) }
            } }
            div { dt { "Length over all" } dd { (words::both_lengths(boat.particulars.length)) } }
        }
        @let facts: Vec<_> = facts.collect();
        @if !facts.is_empty() {
            p.small.soft.said-facts {
                @for (fact, so) in facts { (fact.question()) " " strong { @if so { "Yes." } @else { "No." } } " " }
            }
        }
    }
}

/// One card a rule, under its head.
fn cards(group: &[&(&Authority, &Finding)], standing: Standing) -> Markup {
    html! {
        ul.law-list.in-order[standing == Standing::Met] {
            @for section in Section::ALL {
                @for (authority, finding) in group.iter().filter(|(_, finding)| finding.section == section) {
                    li.law {
                        h3 { (finding.title) " " span.tag { (section.words()) } }
                        p { (finding.rule) }
                        @if standing == Standing::Met { (uses(&all_uses(finding))) }
                        @else { @for need in &finding.needs { (of_need(need)) } }
                        @if !matches!(standing, Standing::Met) { @for reason in &finding.reasons { p.why { (reason) } } }
                        @if let Some(relief) = finding.relief.as_ref().filter(|found| found.applies && standing != Standing::Met) {
                            p { (relief.relief.words) " " span.small.soft { "Source: " (relief.relief.cite) "." } }
                        }
                        @if standing != Standing::Met { @for lasts in &finding.lasts { p.soft { (lasts) } } }
                        @if let Some(note) = &finding.note { p.soft { (words::sentence(note)) } }
                        (source(authority, &finding.citation))
                    }
                }
            }
        }
    }
}

/// What is asked for, what of it is aboard, and where.
fn of_need(need: &Need) -> Markup {
    let counted: Vec<&Use> = need.uses.iter().collect();
    html! {
        @if !need.is_met() { p { strong { (say::need(need)) } } }
        (uses(&counted))
    }
}

/// All that was counted, each thing once.
fn all_uses(finding: &Finding) -> Vec<&Use> {
    let mut all: Vec<&Use> = Vec::new();
    for used in finding.needs.iter().flat_map(|need| &need.uses) {
        if all.iter().all(|other| other.id != used.id) {
            all.push(used);
        }
    }
    all
}

fn uses(all: &[&Use]) -> Markup {
    html! {
        @if !all.is_empty() {
            ul.law-uses {
                @for used in all {
                    li {
                        (used.count) " \u{d7} " (used.name)
                        @if !used.place.is_empty() { span.soft { ", " (used.place) } }
                        @match (used.state, used.expires) {
                            (UseState::Expired, Some(day)) => { ", " strong.ran-out { "may be used until " (words::date(&day.to_string())) } }
                            (_, Some(day)) => { ", may be used until " (words::date(&day.to_string())) }
                            (UseState::Undated, None) => { ", " strong { "no date in the boat file" } }
                            (_, None) => {}
                        }
                    }
                }
            }
        }
    }
}

fn not_asked(all: &[(&Authority, &Finding)]) -> Markup {
    let rows: Vec<_> = all.iter().filter(|(_, finding)| finding.standing == Standing::NotRequired).collect();
    html! {
        @if !rows.is_empty() {
            details.block.no-print {
                summary { "Not asked for, by what is said (" (rows.len()) ")" }
                ul.law-list.in-order {
                    @for (authority, finding) in rows { li.law { h3 { (finding.title) } p { (finding.rule) } (source(authority, &finding.citation)) } }
                }
            }
        }
    }
}

fn broken_things(vessel: &Vessel, standing: Option<&BoatStanding>) -> Markup {
    let all = broken(&vessel.boat, standing);
    html! {
        @if !all.is_empty() {
            section.block aria-labelledby="broken" {
                h2 #broken { "Aboard, but told to be broken" }
                p { "These are counted above. Whether they still serve is to be seen on board." }
                ul.plainly { @for (name, what) in all { li { strong { (name) } ": " (words::sentence(what)) } } }
            }
        }
    }
}

/// Everything with a last day, whether a rule asks for it or not, and what must show one and has none.
fn dates(vessel: &Vessel, last: Date, ask: &EquipmentAsk) -> Markup {
    let boat = &vessel.boat;
    let all = dated(boat);
    let over: Vec<_> = all.iter().filter(|(day, _)| *day < last).collect();
    let carried = rules::Carried::of(boat);
    let chain = ask.whose.chain();
    let undated: Vec<_> = chain
        .iter()
        .flat_map(|one| one.without_date(&carried).map(move |(line, life)| (*one, line, life)))
        .collect();
    html! {
        section.block aria-labelledby="dates" {
            h2 #dates { "Dates" }
            @if all.is_empty() { p { "The boat file has no last day for anything in her kit." } }
            @else if over.is_empty() { p { "All of her kit that has a date is in date through " (words::date(&last.to_string())) "." } }
            @else {
                p { strong { (words::capital(&words::count(over.len(), "line of her kit runs", "lines of her kit run"))) " out before " (words::date(&last.to_string())) "." } }
            }
            @if !all.is_empty() {
                table.list.law-dates {
                    thead { tr { th scope="col" { "Kit" } th scope="col" { "May be used until" } th scope="col" { "On the last day" } } }
                    tbody { @for (day, line) in &all {
                        tr {
                            th scope="row" { (line.name) span.soft { ", " (boat.places[line.place].name) } }
                            td data-name="May be used until" { (words::date(&day.to_string())) }
                            td data-name="On the last day" { @if *day < last { strong.ran-out { "expired" } } @else { "in date" } }
                        }
                    } }
                }
            }
            p.small.soft { (say::LAST_DAY) }
            @if !undated.is_empty() {
                h3 { "Without a date that the rules ask for" }
                ul.plainly.rules-also { @for (authority, line, life) in undated { li { strong { (line.name) } ": " (life.words) (source(authority, &life.citation)) } } }
            }
            p.no-print { a href=(links::room(&vessel.slug, Room::Kit)) { "All of her kit" } }
        }
    }
}
