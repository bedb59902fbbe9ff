//! The plan as text: shown, changed, and asked again; and what was found in it.

use boat::diagnostic::Severity;
use maud::{Markup, html};

use super::ask::ForecastAsk;
use super::head;
use super::outlook::Outlook;
use super::what_if;
use crate::findings;
use crate::links::Room;
use crate::vessel::Vessel;

pub(super) fn section(vessel: &Vessel, ask: &ForecastAsk, outlook: &Outlook) -> Markup {
    let told = outlook.planned.is_some();
    html! {
        @if told && !outlook.found.is_empty() {
            section.block #findings aria-labelledby="findings-head" {
                (head("findings-head", "What to know about this plan"))
                @for found in &outlook.found { (findings::finding(&outlook.sources, found)) }
            }
        }
        section.block.no-print #plan aria-labelledby="plan-head" {
            (head("plan-head", "The plan as text"))
            p { "The same trip as a text that you can keep, send, and change line by line: other hours each day, calls at docks, what you read from the gauges." }
            details open[ask.plan().is_some() || wrong(outlook)] #plan-text {
                summary { "Show and change the text" }
                (editor(vessel, ask, outlook))
            }
        }
    }
}

fn wrong(outlook: &Outlook) -> bool {
    outlook.found.iter().any(|found| found.severity == Severity::Error)
}

fn editor(vessel: &Vessel, ask: &ForecastAsk, outlook: &Outlook) -> Markup {
    let text = ask.plan().unwrap_or(&outlook.text);
    html! {
        form.plan-form method="get" action=(vessel.link(Room::Forecast)) {
            @for key in what_if::keys(&vessel.boat) {
                @if let Some(value) = ask.given(&key) { input type="hidden" name=(key) value=(value); }
            }
            label for="plan-lines" { "The plan" }
            textarea #plan-lines name="plan" rows=(text.lines().count().clamp(12, 40)) spellcheck="false" autocapitalize="off" {
                // A line feed right after the tag is not part of the text.
                "\n" (text)
            }
            @if !outlook.changes.is_empty() { p.hint { "What you ticked above is done on top of this text." } }
            details #plan-how {
                summary { "How to write it" }
                ul.plainly {
                    li { "Each " code { "[[days]]" } " is a day with the night after it: " code { "night = \"anchored\"" } ", " code { "\"moored\"" } " or " code { "\"alongside\"" } "." }
                    li { "Under way: " code { "legs = [{ by = \"sail\", from = \"10:00\", for = \"4 h\" }]" } ", by " code { "\"sail\"" } " or " code { "\"motor\"" } "." }
                    li { "At a dock: " code { "water = true" } ", " code { "pump_out = true" } ", " code { "fuel = true" } ", " code { "gas = true" } ", " code { "pedestal = \"30 A\"" } "." }
                    li { "What you read from a gauge: a heading " code { "[[readings]]" } " with " code { "day = 2" } ", " code { "at = \"08:00\"" } ", " code { "store = \"house\"" } " and " code { "voltage = \"12.4 V\"" } " or " code { "level = \"60 %\"" } "." }
                }
                p { "The names of her stores: "
                    @for (at, store) in vessel.boat.stores.iter().enumerate() {
                        @if at > 0 { ", " } code { (store.id) } " (" (store.name) ")"
                    }
                    "." }
            }
            p.actions { button type="submit" { "Ask with this plan" } }
        }
    }
}
