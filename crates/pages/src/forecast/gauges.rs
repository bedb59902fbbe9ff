//! What the gauges say: the readings of the plan against what was expected, and what may be amiss.

use boat::model::{Hazard, SignalWord};
use endure::meter::{Checked, Fit};
use endure::words::of_a_hundred;
use maud::{Markup, html};

use super::head;
use super::outlook::Told;
use crate::caution::titled_panel;

pub(super) fn section(told: &Told) -> Markup {
    let Some(checked) = &told.checked else { return Markup::default() };
    let amiss: Vec<&str> =
        checked.stores.iter().map(|store| store.crew.as_str()).filter(|words| !words.is_empty()).collect();
    html! {
        section.block #gauges aria-labelledby="gauges-head" {
            (head("gauges-head", "What the gauges say"))
            p { strong { (overall(checked.fit)) } " The forecast on this page counts the readings: all lasts in "
                strong { (of_a_hundred(told.forecast.all_last)) } " trips; before them it was " (of_a_hundred(checked.before.all_last)) "." }
            @if checked.fit == Fit::NotAtAll && !amiss.is_empty() { (titled_panel(SignalWord::Caution, Hazard::Gear, "something may be amiss", &amiss)) }
            @else { @for words in &amiss { p { (words) } } }
            (table(checked))
            (next(checked))
            @if !checked.learned.is_empty() {
                h3 { "What the readings tell" }
                ul.plainly { @for words in &checked.learned { li { (words) } } }
            }
            (for_the_base(checked))
            @for note in &checked.notes { p.small.soft { (note) } }
        }
    }
}

fn overall(fit: Fit) -> &'static str {
    match fit {
        Fit::Well => "What you read fits what was expected.",
        Fit::Doubtful => "Something that you read is a little off.",
        Fit::NotAtAll => "Something that you read does not fit.",
    }
}

/// How a reading fits, as a word with its mark.
fn fit(fit: Fit) -> Markup {
    let (class, word, path) = match fit {
        Fit::Well => ("sure lasts", "fits", "M4 12.5 9.5 18 20 6.5"),
        Fit::Doubtful => ("sure doubt", "a little off", "M12 3 22 20.5H2zM12 9.5v5M12 17.5v.5"),
        Fit::NotAtAll => ("sure fails", "does not fit", "M5 5l14 14M19 5 5 19"),
    };
    html! { span class=(class) { svg.icon viewBox="0 0 24 24" aria-hidden="true" focusable="false" { path d=(path) {} } (word) } }
}

fn table(checked: &Checked) -> Markup {
    html! {
        table.list {
            thead { tr { th scope="col" { "Reading" } th scope="col" { "Does it fit?" } } }
            tbody {
                @for reading in &checked.readings {
                    tr { th scope="row" { (reading.words) } td data-name="Does it fit?" { (fit(reading.fit)) } }
                }
            }
        }
    }
}

/// What to look at, where something does not fit.
fn next(checked: &Checked) -> Markup {
    html! {
        @for store in checked.stores.iter().filter(|store| !store.next.is_empty()) {
            h3 { (store.name) ": what to look at next" }
            ol.plainly { @for words in &store.next { li { (words) } } }
        }
    }
}

fn for_the_base(checked: &Checked) -> Markup {
    let told: Vec<&str> =
        checked.stores.iter().map(|store| store.base.as_str()).filter(|words| !words.is_empty()).collect();
    html! {
        @if !told.is_empty() {
            details #for-the-base {
                summary { "For the base, with figures" }
                @for words in &told { p { (words) } }
                @for store in &checked.stores {
                    @if !store.suspects.is_empty() {
                        ul.plainly { @for suspect in &store.suspects { li { (suspect.words) } } }
                    }
                }
            }
        }
    }
}
