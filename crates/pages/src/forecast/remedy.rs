//! What would make it last, at least cost: asked for by a link, since it is looked for among very many choices.

use boat::trip::Trip;
use endure::change::{Change, apply_all};
use endure::forecast::Sort;
use endure::remedy::{Costs, Remedy};
use endure::words::{SURE, of_a_hundred};
use maud::{Markup, html};

use super::ask::ForecastAsk;
use super::outlook::{Outlook, Told};
use super::{danger, head};
use crate::findings;
use crate::links::{self, Room};
use crate::vessel::Vessel;

pub(super) fn section(vessel: &Vessel, ask: &ForecastAsk, outlook: &Outlook, told: &Told) -> Markup {
    if outlook.remedy.is_none() && told.forecast.all_last >= SURE {
        return Markup::default();
    }
    html! {
        section.block.no-print[outlook.remedy.is_none()] #remedy aria-labelledby="remedy-head" {
            (head("remedy-head", "What would make it last, at least cost"))
            @match &outlook.remedy {
                None => (offer(vessel, ask)),
                Some(Err(faults)) => {
                    p { "No remedy can be looked for." }
                    @for fault in faults { (findings::finding(&outlook.sources, fault)) }
                },
                Some(Ok(remedy)) => (found(vessel, told, remedy)),
            }
        }
    }
}

fn offer(vessel: &Vessel, ask: &ForecastAsk) -> Markup {
    let pairs = ask.shortest(&vessel.boat);
    let mut pairs: Vec<(&str, &str)> =
        pairs.iter().map(|(key, value)| (key.as_str(), value.as_str())).collect();
    pairs.push(("remedy", "1"));
    let address = format!("{}#remedy", links::query(&vessel.link(Room::Forecast), &pairs));
    html! {
        p { "Becket can look through nights in a marina, hours of engine, stops at docks and savings for the least trouble with which everything lasts in 90 of 100 trips. It takes some seconds." }
        p.actions.no-print { a.button href=(address) { "Look for it" } }
    }
}

fn found(vessel: &Vessel, told: &Told, remedy: &Remedy) -> Markup {
    html! {
        div.answer {
            @for note in &remedy.notes { p { (note) } }
            @if !remedy.changes.is_empty() {
                ol.remedies {
                    @for (change, sentence) in remedy.changes.iter().zip(&remedy.sentences) {
                        li { (sentence) " " a.no-print href=(with(vessel, &told.trip, std::slice::from_ref(change))) { "Only this" } }
                    }
                }
                p.actions.no-print { a.button href=(with(vessel, &told.trip, &remedy.changes)) { "Plan with all of it" } }
                p { "All lasts in " strong { (of_a_hundred(remedy.lasts)) } " trips with it, in "
                    (of_a_hundred(remedy.before)) " without." }
            }
            p.small.soft { (price(remedy)) }
        }
        @if remedy.changes.iter().any(|change| matches!(change, Change::Engine { .. })) { (danger::charging()) }
        @for sort in sorts(&remedy.changes) { (danger::of_store(sort)) }
    }
}

/// The page with the plan changed so.
fn with(vessel: &Vessel, trip: &Trip, changes: &[Change]) -> String {
    let text = boat::trip::write(&apply_all(trip, changes));
    links::query(&vessel.link(Room::Forecast), &[("plan", &text)])
}

fn price(remedy: &Remedy) -> String {
    let costs = Costs::default();
    let bound = if remedy.gap > 0.0 {
        format!(", and none costs less than {:.0}", remedy.lower_bound)
    } else {
        String::new()
    };
    format!(
        "It costs {:.0} points{bound}. Points weigh money, time and comfort as we judge them: a night in a marina \
         {:.0}, an hour of engine at anchor {:.0}, a stop at a dock {:.0}, being careful with water {:.0} a day. {} \
         trips were searched and {} others checked.",
        remedy.cost,
        costs.marina_night,
        costs.engine_hour,
        costs.dock_call,
        costs.careful_water,
        remedy.drawings,
        remedy.checks
    )
}

/// The stores that are handled while doing this, each once.
fn sorts(changes: &[Change]) -> Vec<Sort> {
    let mut sorts: Vec<Sort> = changes
        .iter()
        .filter_map(|change| match change {
            Change::PumpOut(_) => Some(Sort::Waste),
            Change::Fuel(_) => Some(Sort::Diesel),
            Change::Gas(_) => Some(Sort::Gas),
            _ => None,
        })
        .collect();
    sorts.sort_unstable();
    sorts.dedup();
    sorts
}
