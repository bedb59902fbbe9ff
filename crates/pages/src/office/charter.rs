//! One charter: where it stands, what is next, what was told of it.

use maud::{Markup, html};
use records::{Life, Mark, Records, Stage};

use super::charters::{self, PlanForm};
use super::stage::{self, Hull, Trip};
use super::{history, speech};
use crate::dock::{Flaw, Handover, Kept, glance};
use crate::frame::{Desk, Role, Site, desk_page, seal};
use crate::{equipment, links, when, words};

/// The page; `records` hold the charter's events, `flaws` are what is wrong with a form of the page that was sent.
pub fn charter_page(site: &Site, over: &Handover<'_>, records: &Records, flaws: &[Flaw]) -> String {
    let id = over.charter.as_str();
    let kept = Kept { typed: &[], flaws };
    let body = html! {
        div.title {
            p.small { a href="/charters" { "Charters" } }
            h1 { (over.line(site)) }
        }
        (kept.top("Not taken yet:"))
        (stages(site, over))
        (what_next(site, over))
        (plan(site, over))
        section.block { h2 { "On the dock" } ul.list-links {
            (link(&links::walk(id, "readying"), "Make her ready", "Count, read and look before the crew comes"))
            @if site.may(Role::Skipper) {
                (link(&links::charter_briefing(id), "Briefing", "Plan it for the time there is, and run it"))
                (link(&links::walk(id, "check-out"), "Check-out", "Go over her with the crew, sign"))
            }
            (link(&links::walk(id, "hand-back"), "Hand-back", "Take her back and sign"))
            (link(&equipment::of_charter(site, &over.vessel.slug, over.stands.plan.as_ref().map(|(_, plan)| plan)), "Equipment", "What the law wants aboard for these days and this crew"))
            (link(&links::damaged(id), "Damage", "What was damaged on this charter"))
            (link(&links::called(id), "The crew called", "Write down a call and what they were told"))
            (link(&links::charges(id), "Charges", "What it costs the crew, and settling"))
            (link(&links::sheet(id, "check-out"), "Check-out sheet", "For printing"))
            (link(&links::sheet(id, "hand-back"), "Hand-back sheet", "For printing"))
            (link(&links::crew_links(id), "The crew's link", "The way to their boat's pages"))
        } }
        section.block #defects { h2 { "Defects of the boat" } (glance::defects(site, over, site.now)) }
        (damage_and_calls(site, over))
        (notes(site, over, &kept))
        (history::section(site, over, records))
        @if site.may(Role::Skipper) { (cancel(site, over, &kept)) }
        @if site.may(Role::Manager) { (forget(site, over)) }
    };
    desk_page(site, &over.line(site), Desk::Charters, &body)
}

fn link(address: &str, name: &str, about: &str) -> Markup {
    html! { li { a.list-link href=(address) { strong { (name) } span.soft { (about) } } } }
}

/// Its life as a row of stages, each with when it came to it.
fn stages(site: &Site, over: &Handover<'_>) -> Markup {
    let here = over.stands.life;
    html! {
        @if here == Life::Cancelled {
            p.notice { strong { "Cancelled. " } @if let Some((mark, reason)) = over.stands.cancelled.last() { (words::sentence(reason)) " " span.soft { (over.by(site, mark)) "." } } }
        }
        ol.life aria-label="Where it stands" {
            @for one in Stage::ALL {
                @let came = over.stands.came_to(one);
                li.reached[came.is_some()] aria-current=[(here == Life::At(one)).then_some("step")] {
                    strong { (stage::stage(one)) }
                    span.soft { @match came { Some(at) => (when::moment(site, at)), None => "not yet" } }
                }
            }
        }
    }
}

fn what_next(site: &Site, over: &Handover<'_>) -> Markup {
    let hull = Hull { vessel: over.vessel, standing: over.standing };
    let trip = Trip { hull, id: over.charter, stands: over.stands };
    let reasons = trip.lacks(over.managers).len();
    html! {
        @if let Some(next) = stage::next(over.stands.life) {
            section.block #next {
                h2 { "Next: " (stage::stage(next).to_lowercase()) }
                @if reasons > 0 { p { (words::capital(&words::count(reasons, "thing is", "things are"))) " missing; the page behind the button says which." } }
                p { (next_button(site, over, next)) }
            }
        }
    }
}

fn next_button(site: &Site, over: &Handover<'_>, next: Stage) -> Markup {
    let id = over.charter.as_str();
    let (name, address, least) = match next {
        Stage::Readied => ("Make her ready", links::walk(id, "readying"), Role::Hand),
        Stage::CheckedOut => ("Check out", links::walk(id, "check-out"), Role::Skipper),
        Stage::Settled => ("Settle", links::charges(id), Role::Skipper),
        _ => ("Take her back", links::walk(id, "hand-back"), Role::Hand),
    };
    html! {
        @if site.may(least) { a.button #next-step href=(address) { (name) } }
        @else { (name) ": a handover skipper does that." }
    }
}

fn plan(site: &Site, over: &Handover<'_>) -> Markup {
    html! {
        section.block #plan {
            h2 { "Plan" }
            @if let Some((mark, plan)) = &over.stands.plan {
                dl.facts {
                    div { dt { "From" } dd { (when::moment(site, plan.from.moment())) } }
                    div { dt { "Until" } dd { (when::moment(site, plan.until.moment())) } }
                    div { dt { "Crew" } dd { (stage::people(plan.crew)) } }
                    @if let Some(id) = &plan.booked { div { dt { "Booked by" } dd { (over.names.of(id, over.standing)) } } }
                }
                p.soft { "Planned by " (over.by(site, mark)) "." }
            } @else { p { "No plan has come yet." } }
            @if site.may(Role::Skipper) && over.stands.life != Life::Cancelled {
                p { a.button.plain href=(format!("{}/change", over.home())) { "Change the plan" } }
            }
        }
    }
}

fn damage_and_calls(site: &Site, over: &Handover<'_>) -> Markup {
    let line = |what: String, words: &str, mark: &Mark| html! { li { strong { (what) } ": " (words::sentence(words)) " " span.soft { (over.by(site, mark)) "." } } };
    html! {
        @if !over.stands.damage.is_empty() { section.block #damage { h2 { "Damage" } ul {
            @for damage in over.stands.damage.values() { (line(over.item(&damage.item), &damage.words, &damage.mark)) } } } }
        @if !over.stands.calls.is_empty() { section.block #calls { h2 { "Calls" } ul {
            @for call in &over.stands.calls { (line(speech::symptom(over.boat(), &call.symptom), &call.advice, &call.mark)) } } } }
    }
}

fn notes(site: &Site, over: &Handover<'_>, kept: &Kept<'_>) -> Markup {
    html! {
        section.block #notes {
            h2 { "Notes" }
            @if !over.stands.notes.is_empty() { ul { @for (mark, words) in &over.stands.notes {
                li { (words::sentence(words)) " " span.soft { (over.by(site, mark)) "." } } } } }
            form.tell-form method="post" action=(format!("{}/note", over.home())) {
                (seal(site))
                div.field { label for="words" { "Add a note" }
                    textarea #words name="words" rows="2" maxlength="2000" required aria-describedby=[kept.described("words")] {}
                    (kept.beside("words")) }
                button.plain #note-button type="submit" { "Add it" }
            }
        }
    }
}

fn cancel(site: &Site, over: &Handover<'_>, kept: &Kept<'_>) -> Markup {
    html! {
        @if matches!(over.stands.life, Life::At(Stage::Planned | Stage::Readied)) {
            details #cancel open[kept.flaw("reason").is_some()] {
                summary { "Cancel this charter" }
                form.tell-form method="post" action=(format!("{}/cancel", over.home())) {
                    (seal(site))
                    div.field { label for="reason" { "Why will it not take place?" }
                        input #reason name="reason" type="text" maxlength="500" required aria-describedby=[kept.described("reason")];
                        (kept.beside("reason")) }
                    button.plain #cancel-button type="submit" { "Cancel the charter" }
                }
            }
        }
    }
}

fn forget(site: &Site, over: &Handover<'_>) -> Markup {
    html! {
        details #forget {
            summary { "Remove the crew's personal data" }
            form.tell-form method="post" action=(links::charter_part(over.charter.as_str(), "forget")) {
                (seal(site))
                p { "The names of this crew are removed, and their signatures are no longer shown. What was counted, read and paid stays with the boat. Backups that were made before still have them." }
                label.tick { input #sure type="checkbox" name="sure" value="yes" required; "Yes, remove them: it can't be undone" }
                button.plain #forget-button type="submit" { "Remove them" }
            }
        }
    }
}

/// The page on which the plan is changed.
pub fn change_page(site: &Site, over: &Handover<'_>, form: &PlanForm<'_>) -> String {
    let body = html! {
        div.title {
            p.small { a href=(over.home()) { "Charter" } ": " (over.line(site)) }
            h1 { "Change the plan" }
        }
        (charters::change_form(site, over.charter.as_str(), form))
    };
    desk_page(site, "Change the plan", Desk::Charters, &body)
}
