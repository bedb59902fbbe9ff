//! The form: the verdict on top, what could be done otherwise, then the trip itself.

use boat::model::{Boat, StoreKind};
use maud::{Markup, html};

use super::ask::{AIR, ForecastAsk, MOST_DAYS, MOST_MOTOR, MOST_SAIL, NIGHTS, SKY, inlet};
use super::outlook::Outlook;
use super::{danger, head, verdict, what_if, words};
use crate::links::Room;
use crate::vessel::Vessel;

pub(super) fn form(vessel: &Vessel, ask: &ForecastAsk, outlook: &Outlook) -> Markup {
    let boat = &vessel.boat;
    html! {
        form.trip method="get" action=(vessel.link(Room::Forecast)) data-live-form="350" {
            div data-live-region="verdict" { (verdict::section(vessel, ask, outlook)) }
            section.block.no-print aria-labelledby="what-if" {
                (head("what-if", "What if"))
                p.soft { "Tick what you could do otherwise. The verdict above is told again, before and after." }
                div data-live-region="switches" data-live-keep { (what_if::switches(boat, ask, outlook.planned.as_ref())) }
                div data-live-region="charging" {
                    @if outlook.told().is_some_and(danger::charges) { (danger::charging()) }
                }
                (buttons(vessel))
            }
            section.block.no-print aria-labelledby="trip" {
                (head("trip", "Your trip"))
                @if ask.plan().is_some() { (planned_by_text(vessel, ask)) } @else { (fields(boat, ask)) }
            }
        }
    }
}

fn buttons(vessel: &Vessel) -> Markup {
    html! {
        p.actions {
            button type="submit" { "Show the forecast" }
            a.button.plain href=(vessel.link(Room::Forecast)) { "Start anew" }
        }
    }
}

fn planned_by_text(vessel: &Vessel, ask: &ForecastAsk) -> Markup {
    html! {
        input type="hidden" name="plan" value=(ask.plan().unwrap_or_default());
        p { "This trip is the one " a href="#plan" { "written as text" } ". "
            a href=(vessel.link(Room::Forecast)) { "Plan with the form instead" } "." }
    }
}

fn fields(boat: &Boat, ask: &ForecastAsk) -> Markup {
    html! {
        div.filters {
            (number(ask, "crew", "People aboard", ("1", "40", "1")))
            (first_day(ask))
            (number(ask, "days", "Days, first and last included", ("1", &MOST_DAYS.to_string(), "1")))
            (number(ask, "motor", "Hours under engine a day", ("0", &format!("{MOST_MOTOR}"), "0.5")))
            (number(ask, "sail", "Hours under sail a day", ("0", &format!("{MOST_SAIL}"), "0.5")))
            (choice(ask, "air", "The air", &AIR.map(|(key, name, low, high)| (key, format!("{name}: {low:.0} to {high:.0} \u{b0}C")))))
            (choice(ask, "sky", "The sky", &SKY.map(|(key, name, cloud)| (key, format!("{name}: {:.0} % clouded", cloud * 100.0)))))
        }
        details #nights open[wrong_in(ask, "night.")] {
            summary { "Where you lie each night" }
            div.filters data-live-region="nights" data-live-keep {
                @for night in 1..ask.days() { (night_field(boat, ask, night)) }
                @if ask.days() < 2 { p { "A trip of one day has no night." } }
            }
        }
        details #levels open[wrong_in(ask, "level.")] {
            summary { "How full she is at the start" }
            p.hint { "Left empty: batteries, water, fuel and gas full, waste tanks empty." }
            div.filters { @for store in &boat.stores { (level_field(ask, store)) } }
        }
        p.actions { button type="submit" { "Show the forecast" } }
    }
}

/// Whether a field of a group that is folded away is wrong.
fn wrong_in(ask: &ForecastAsk, group: &str) -> bool {
    ask.faults.iter().any(|fault| fault.field.starts_with(group))
}

fn error(ask: &ForecastAsk, key: &str) -> Option<String> {
    ask.faults.iter().find(|fault| fault.field == key).map(|fault| fault.what.clone())
}

/// A field with its label and what is wrong with it; `control` gets the id of the words that say so.
fn field(
    ask: &ForecastAsk,
    key: &str,
    label: &Markup,
    control: impl FnOnce(Option<&str>) -> Markup,
) -> Markup {
    let wrong = error(ask, key);
    let described = wrong.as_ref().map(|_| format!("{}-wrong", id(key)));
    html! {
        div.field.wrong[wrong.is_some()] {
            label for=(id(key)) { (label) }
            (control(described.as_deref()))
            @if let (Some(what), Some(described)) = (&wrong, &described) { p.wrong-words id=(described) { (what) } }
        }
    }
}

/// The id of a field: its name without points.
fn id(key: &str) -> String {
    format!("f-{}", key.replace('.', "-"))
}

fn number(ask: &ForecastAsk, key: &str, label: &str, (least, most, step): (&str, &str, &str)) -> Markup {
    field(ask, key, &html! { (label) }, |wrong| {
        html! {
            input id=(id(key)) name=(key) type="number" inputmode="decimal" min=(least) max=(most) step=(step)
                value=(ask.value(key)) aria-invalid=[wrong.map(|_| "true")] aria-describedby=[wrong];
        }
    })
}

fn first_day(ask: &ForecastAsk) -> Markup {
    field(ask, "starts", &html! { "First day" }, |wrong| {
        html! {
            input id=(id("starts")) name="starts" type="date" value=(ask.value("starts"))
                aria-invalid=[wrong.map(|_| "true")] aria-describedby=[wrong];
        }
    })
}

fn choice<const N: usize>(ask: &ForecastAsk, key: &str, label: &str, rows: &[(&str, String); N]) -> Markup {
    let chosen = ask.value(key);
    field(ask, key, &html! { (label) }, |wrong| {
        html! {
            select id=(id(key)) name=(key) aria-invalid=[wrong.map(|_| "true")] aria-describedby=[wrong] {
                @for (value, words) in rows { option value=(value) selected[chosen == *value] { (words) } }
            }
        }
    })
}

fn night_field(boat: &Boat, ask: &ForecastAsk, night: u32) -> Markup {
    let key = format!("night.{night}");
    let chosen = ask.value(&key);
    let label = html! { "After " (words::day(&ask.value("starts"), night - 1)) };
    let shore = inlet(boat).is_some();
    field(ask, &key, &label, |wrong| {
        html! {
            select id=(id(&key)) name=(key) aria-invalid=[wrong.map(|_| "true")] aria-describedby=[wrong] {
                @for (value, words, _) in NIGHTS {
                    @let words = if value == "alongside" && !shore { "Alongside: water, pump-out" } else { words };
                    option value=(value) selected[chosen == value] { (words) }
                }
            }
        }
    })
}

fn level_field(ask: &ForecastAsk, store: &boat::model::Store) -> Markup {
    let key = format!("level.{}", store.id);
    let holds = match &store.kind {
        StoreKind::Battery(facts) => crate::words::quantity(facts.capacity.into()),
        StoreKind::Tank(_, volume) => crate::words::quantity((*volume).into()),
        StoreKind::Bottle(mass) => crate::words::quantity((*mass).into()),
    };
    let label = html! { (store.name) " " span.soft { "(" (holds) "), %" } };
    field(ask, &key, &label, |wrong| {
        html! {
            input id=(id(&key)) name=(key) type="number" inputmode="decimal" min="0" max="100" step="1"
                value=(ask.value(&key)) aria-invalid=[wrong.map(|_| "true")] aria-describedby=[wrong];
        }
    })
}
