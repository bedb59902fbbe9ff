//! Each store: its course, why, when the crew changes tanks, what its gauge should show, and what to mind.

use endure::forecast::{Sort, StoreForecast};
use endure::words::{moment, of_a_hundred};
use maud::{Markup, html};

use super::chart::{drawing, minute};
use super::outlook::Told;
use super::verdict::mark;
use super::words::{self, Sure};
use super::{danger, head};
use crate::links;
use crate::say;
use crate::vessel::Vessel;

/// Loads named one by one; the rest are told together.
const NAMED: usize = 6;
/// The hours at which people look.
const LOOKED_AT: [u32; 2] = [8, 20];
/// When a crew compares the voltmeter: before anyone is up and before the engine runs.
const AT_REST: u32 = 7 * 60;

pub(super) fn sections(vessel: &Vessel, told: &Told) -> Markup {
    html! {
        section.block aria-labelledby="courses" {
            (head("courses", "The course of each store"))
            p.soft { "The line is the middle: half of the trips are above it, half below. "
                "Eight of ten trips lie in the band. The dashed line is the limit." }
            @for (at, store) in told.forecast.stores.iter().enumerate() { (section(vessel, told, at, store)) }
        }
    }
}

fn section(vessel: &Vessel, told: &Told, at: usize, store: &StoreForecast) -> Markup {
    let id = format!("store-{at}");
    html! {
        section.store aria-labelledby=(id) {
            h3 id=(id) {
                (store.name) " "
                span.medium { span class=(format!("swatch {}", words::class(store.sort))) aria-hidden="true" {} (words::sort(store.sort)) }
            }
            p { (mark(Sure::of(store.lasts))) " It lasts in " strong { (of_a_hundred(store.lasts)) } " trips. "
                @if store.usual.is_some() { (words::when_spent(store, &told.trip.starts)) }
                @else { "In none that was reckoned is it " (endure::words::spent(store.sort)) "." } }
            figure.course-sheet { (drawing(told, store)) }
            (figures(told, store, at))
            div.reasons {
                (why(store))
                div {
                    (gauges(vessel, told, store))
                    (change_overs(vessel, told, store))
                    (danger::of_store(store.sort))
                    @if store.sort == Sort::Waste {
                        p { a href=(crate::links::room(&vessel.slug, crate::links::Room::Waste)) { "What may go overboard, and where" } }
                    }
                }
            }
        }
    }
}

fn why(store: &StoreForecast) -> Markup {
    let verb = if store.sort == Sort::Waste { "What fills it" } else { "What takes it" };
    let rest: f64 = store.uses.iter().skip(NAMED).map(|row| row.share).sum();
    let rest_amount: f64 = store.uses.iter().skip(NAMED).map(|row| row.amount).sum();
    let others = store.uses.len().saturating_sub(NAMED);
    html! {
        div {
            h4 { (verb) }
            @if store.uses.is_empty() { p { "Nothing in this trip." } }
            ul.shares {
                @for row in store.uses.iter().take(NAMED) { (share(&row.name, row.share, row.amount, store)) }
                @if others > 0 { (share(&crate::words::count(others, "other thing", "other things"), rest, rest_amount, store)) }
            }
            @if !store.uses.is_empty() { p.small.soft { (share_basis(store)) } }
        }
    }
}

fn share_basis(store: &StoreForecast) -> &'static str {
    if store.planned.is_some() {
        "Shares up to the moment when it is spent, with all as planned; amounts over the whole trip."
    } else {
        "With all as planned, over the whole trip."
    }
}

fn share(name: &str, part: f64, amount: f64, store: &StoreForecast) -> Markup {
    html! {
        li {
            span { (name) } span.figures { (words::percent(part)) ", " (words::amount(amount, store.unit)) }
            svg.share-bar width="100%" height="10" aria-hidden="true" focusable="false" {
                rect class="share-track" width="100%" height="10" {}
                rect class=(format!("share of-{}", words::class(store.sort))) width=(format!("{:.1}%", (part * 100.0).clamp(0.0, 100.0))) height="10" {}
            }
        }
    }
}

/// How to read what is left, from the boat file, and the voltage to compare.
fn gauges(vessel: &Vessel, told: &Told, store: &StoreForecast) -> Markup {
    let boat = &vessel.boat;
    let morning = rest_voltage(told, store);
    html! {
        h4 { "How to see it" }
        @for id in &store.stores {
            @let row = &boat.stores[*id];
            p {
                @if store.stores.len() > 1 { strong { (row.name) ": " } }
                @match &row.gauge {
                    Some(gauge) => (say::prose(boat, gauge)),
                    None => "The boat file does not say how to read what is left. Ask the base.",
                }
                @if let Some(error) = row.gauge_error { " It may be off by " (words::percent(error.as_plain())) "." }
                @if let Some(item) = row.item { " " a href=(links::item(&vessel.slug, &boat.items[item].id)) { "Where it is" } "." }
            }
        }
        @if let Some((when, low, high)) = morning {
            p.look-for { "On " (when) " expect " strong { (volts(low, high)) }
                " on its voltmeter. If it shows less, the bank is emptier or older than reckoned: believe the gauge." }
        }
    }
}

fn volts(low: f32, high: f32) -> String {
    let (low, high) = (format!("{low:.1}"), format!("{high:.1}"));
    if low == high { format!("about {low} V") } else { format!("{low} to {high} V") }
}

/// The voltage of a bank on the second morning: of the first whole hour that falls on it.
fn rest_voltage(told: &Told, store: &StoreForecast) -> Option<(String, f32, f32)> {
    let morning = 1440 + AT_REST;
    let (hour, band) = store.volts.iter().enumerate().find(|(hour, _)| minute(told, *hour) >= morning)?;
    Some((moment(&told.trip.starts, minute(told, hour)), band.low, band.high))
}

fn change_overs(vessel: &Vessel, told: &Told, store: &StoreForecast) -> Markup {
    let boat = &vessel.boat;
    html! {
        @if !store.change_overs.is_empty() {
            h4 { "When to change over" }
            ul.plainly {
                @for change in &store.change_overs {
                    li { "About " (moment(&told.trip.starts, change.minute)) ": from "
                        strong { (boat.stores[change.from].name) } " to " strong { (boat.stores[change.to].name) } "." }
                }
            }
        }
    }
}

/// The figures of the drawing, at the hours at which people look.
fn figures(told: &Told, store: &StoreForecast, at: usize) -> Markup {
    let shown = (0..store.hours.len())
        .map(|hour| (hour, minute(told, hour)))
        .filter(|(_, minute)| LOOKED_AT.contains(&(minute % 1440 / 60)));
    let banked = !store.volts.is_empty();
    html! {
        details id=(format!("figures-{at}")) {
            summary { "The figures of " (store.name) ", morning and evening" }
            div.scroll tabindex="0" role="region" aria-label=(format!("Figures of {}", store.name)) {
                table.figures {
                    thead { tr {
                        th scope="col" { "When" } th scope="col" { "Lowest" } th scope="col" { "Usual" } th scope="col" { "Highest" }
                        @if banked { th scope="col" { "Its voltmeter" } }
                    } }
                    tbody {
                        @for (hour, minute) in shown {
                            @let band = store.hours[hour];
                            tr {
                                th scope="row" { (moment(&told.trip.starts, minute)) }
                                td.number { (words::percent(band.low)) }
                                td.number { (words::percent(band.middle)) }
                                td.number { (words::percent(band.high)) }
                                @if let Some(band) = store.volts.get(hour) { td.number { (volts(band.low, band.high)) } }
                            }
                        }
                    }
                }
            }
            p.small.soft { "Lowest and highest: one trip in ten is below, one in ten above." }
        }
    }
}
