//! The verdict: one sentence, before and after, and all stores in a table.

use boat::diagnostic::Severity;
use endure::words::{of_a_hundred, verdict};
use maud::{Markup, html};

use super::ask::ForecastAsk;
use super::outlook::{Outlook, Told};
use super::words::{self, Sure};
use super::{head, what_if};
use crate::findings;
use crate::vessel::Vessel;

pub(super) fn section(vessel: &Vessel, ask: &ForecastAsk, outlook: &Outlook) -> Markup {
    let Some(told) = outlook.told() else { return trouble(ask, outlook) };
    html! {
        section.verdict aria-labelledby="verdict" {
            h2 #verdict.vh { "The verdict" }
            p.big role="status" data-announce { (sentence(told)) }
            p.soft { (trip_words(told)) }
        }
        @if let (Some(planned), Some(changed)) = (&outlook.planned, &outlook.changed) {
            (before_and_after(vessel, outlook, planned, changed))
        }
        @if outlook.changed.is_none() && !outlook.changes.is_empty() {
            p.wrong-words role="alert" { "What you ticked cannot be reckoned on this trip; the forecast is without it. " a href="#findings" { "Why" } "." }
        }
        nav.jumps.no-print aria-label="On this page" {
            a href="#what-if" { "What if" }
            a href="#trip" { "Your trip" }
            a href="#days" { "Day by day" }
            a href="#courses" { "Each store" }
            a href="#plan" { "As text" }
        }
        @if !told.forecast.stores.is_empty() { (table(told, outlook.planned.as_ref().filter(|_| outlook.changed.is_some()))) }
    }
}

fn sentence(told: &Told) -> String {
    verdict(&told.voyage, &told.forecast, &told.trip.starts)
}

/// What can't be understood, and where.
fn trouble(ask: &ForecastAsk, outlook: &Outlook) -> Markup {
    let errors = outlook.found.iter().filter(|found| found.severity == Severity::Error).count();
    html! {
        section.verdict.trouble aria-labelledby="verdict" {
            h2 #verdict { "There is no forecast yet" }
            div role="alert" data-announce {
                @if ask.faults.is_empty() {
                    p { "The plan has " (crate::words::count(errors, "fault", "faults")) ". Nothing was lost: mend the text below, and ask again." }
                } @else {
                    p { "Mend this, and ask again. Everything else you wrote is kept." }
                    ul.plainly { @for fault in &ask.faults { li { (fault.what) } } }
                }
            }
        }
        @if ask.faults.is_empty() {
            @for found in &outlook.found { (findings::finding(&outlook.sources, found)) }
        }
    }
}

/// "4 people, 8 days from Sat, 10 July 2027. Under way 35 h ..."
fn trip_words(told: &Told) -> String {
    let trip = &told.trip;
    let people = crate::words::count(trip.crew as usize, "person", "people");
    let days = crate::words::count(trip.days.len(), "day", "days");
    let engine = told.forecast.engine_hours;
    format!(
        "For {people}, {days} from {}, {}. The engine runs {engine:.0} h in all.",
        words::weekday(&trip.starts, 0),
        crate::words::date(&trip.starts)
    )
}

fn before_and_after(vessel: &Vessel, outlook: &Outlook, planned: &Told, changed: &Told) -> Markup {
    html! {
        section.versus aria-labelledby="versus" {
            h2 #versus { "Before and after" }
            div.sides {
                div.side-of {
                    h3 { "As planned" }
                    p { (sentence(planned)) }
                    p.chance { "All lasts in " strong { (of_a_hundred(planned.forecast.all_last)) } " trips." }
                }
                div.side-of.chosen {
                    h3 { "With what you changed" }
                    p { (sentence(changed)) }
                    p.chance { "All lasts in " strong { (of_a_hundred(changed.forecast.all_last)) } " trips." }
                    (moved(planned, changed))
                    h4 { "What you changed" }
                    ul.plainly.small { @for words in what_if::told(&vessel.boat, &planned.trip, &outlook.changes) { li { (words) } } }
                }
            }
        }
    }
}

/// The stores whose chance moved.
fn moved(planned: &Told, changed: &Told) -> Markup {
    let pairs = planned.forecast.stores.iter().zip(&changed.forecast.stores);
    let moved: Vec<(&str, String, String)> = pairs
        .map(|(was, is)| (is.name.as_str(), of_a_hundred(was.lasts), of_a_hundred(is.lasts)))
        .filter(|(_, was, is)| was != is)
        .collect();
    html! {
        @if moved.is_empty() { p { "No store lasts in more or fewer trips." } }
        @else {
            ul.plainly { @for (name, was, is) in moved { li { (name) " lasts in " strong { (is) } ", before in " (was) } } }
        }
    }
}

fn table(told: &Told, before: Option<&Told>) -> Markup {
    let starts = &told.trip.starts;
    html! {
        section.block aria-labelledby="stores" {
            (head("stores", "All stores"))
            table.list.stores {
                thead { tr {
                    th scope="col" { "Store" }
                    th scope="col" { "Holds" }
                    th scope="col" { "It lasts in" }
                    th scope="col" { "When it is spent" }
                    th scope="col" { "What takes most" }
                } }
                tbody {
                    @for (at, store) in told.forecast.stores.iter().enumerate() {
                        @let sure = Sure::of(store.lasts);
                        tr {
                            th scope="row" { a href=(format!("#store-{at}")) { (store.name) } }
                            td.number.holds data-name="Holds" { (words::amount(store.capacity, store.unit)) }
                            td data-name="It lasts in" {
                                span.odds { (of_a_hundred(store.lasts)) " trips" } " " (mark(sure))
                                @if let Some(was) = before.and_then(|before| before.forecast.stores.get(at)) {
                                    span.before.small.soft { "before: " (of_a_hundred(was.lasts)) }
                                }
                            }
                            td.none[sure == Sure::Lasts && store.usual.is_none()] data-name="When it is spent" { (words::when_spent(store, starts)) }
                            td.none[sure == Sure::Lasts && store.usual.is_none()] data-name="What takes most" {
                                @match store.uses.first() {
                                    Some(most) => { (most.name) ", " (words::percent(most.share)) },
                                    None => "Nothing in this trip",
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// How sure it is, as a mark with its word.
pub(super) fn mark(sure: Sure) -> Markup {
    let path = match sure {
        Sure::Lasts => "M4 12.5 9.5 18 20 6.5",
        Sure::InDoubt => "M12 3 22 20.5H2zM12 9.5v5M12 17.5v.5",
        Sure::Fails => "M5 5l14 14M19 5 5 19",
    };
    html! {
        span class=(sure.class()) {
            svg.icon viewBox="0 0 24 24" aria-hidden="true" focusable="false" { path d=(path) {} }
            (sure.word())
        }
    }
}
