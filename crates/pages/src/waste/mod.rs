//! What may go overboard: where she is, and everywhere at a glance.

mod ask;
mod data;
mod glance;

pub use ask::WasteAsk;
pub use data::waste_data;

use boat::model::{Boat, Liquid, StoreKind};
use maud::{Markup, html};
use quantity::System;
use rules::{Answer, Authority, Verdict, Waters, ZoneKind, words as say};

use crate::authority::{self, source};
use crate::frame::{Aboard, Site, page};
use crate::given::{self, Kind, choose, field};
use crate::links::{self, Room};
use crate::vessel::Vessel;
use crate::{caution, words};

/// The page: where she is, what may go overboard there, and below it the whole table.
pub fn waste_page(site: &Site, vessel: &Vessel, ask: &WasteAsk) -> String {
    let chain = ask.whose.chain();
    let body = html! {
        div.title {
            h1 { "Waste" }
            p.lead { "What may go overboard, and where. What is not known stays aboard." }
        }
        (given::trouble(&ask.given, "Nothing can be looked up yet"))
        (given::folded(&ask.given, &form(vessel, ask)))
        @if ask.is_sound() {
            (here(ask))
            (caution::titled_panel(boat::model::SignalWord::Caution, boat::model::Hazard::Gear, "what this list is not", &[say::WASTE_CAUTION]))
            (tanks(vessel))
            @for authority in &chain { (glance::table(authority)) (zones(authority)) }
            (authority::duties(&chain, true))
            (authority::coverage(&chain))
        }
    };
    let aboard = Aboard { slug: &vessel.slug, name: &vessel.boat.particulars.name, room: Room::Waste };
    page(site, "Waste", Some(aboard), &body)
}

fn form(vessel: &Vessel, ask: &WasteAsk) -> Markup {
    let has_rules = |one: &Authority| !one.discharges.is_empty() || one.within.is_some();
    let waters: Vec<(&str, &str)> =
        [Waters::Coastal, Waters::Inland].iter().map(|waters| (waters.word(), waters.words())).collect();
    let zones = ZoneKind::ALL.map(|zone| (zone.word(), zone.words()));
    html! {
        form.law-ask.no-print method="get" action=(format!("{}#here", vessel.link(Room::Waste))) {
            fieldset {
                legend { "Where is she?" }
                div.filters {
                    (authority::chooser(&ask.given, &ask.whose, &vessel.boat, has_rules))
                    (choose(&ask.given, "waters", "Waters", "Not said", &waters))
                    (field(&ask.given, "off", "Distance from the nearest land (nautical miles)", "From the chart, at every point around her.", Kind::Number))
                    (choose(&ask.given, "zone", "Waters with rules of their own", "In none that is known", &zones))
                }
            }
            p.actions { button type="submit" { "What may go overboard" } }
        }
    }
}

/// The answers at one place.
fn here(ask: &WasteAsk) -> Markup {
    let chain = ask.whose.chain();
    let Some(waters) = ask.waters else {
        return html! {
            section.verdict #here aria-labelledby="here-head" {
                h2 #here-head.vh { "Here" }
                p.big role="status" {
                    @match ask.whose.unknown() {
                        Some(words) => (words),
                        None => "Say where she is, and what may go overboard there stands here.",
                    }
                }
                p { "Until that is known, keep everything aboard." }
            }
        };
    };
    html! {
        section #here aria-labelledby="here-head" {
            div.verdict {
                h2 #here-head { "Here" }
                p role="status" { (place_words(ask, waters)) }
                @if let Some(words) = ask.whose.unknown() { p.big { (words) } p { "Keep everything aboard." } }
            }
            @for authority in chain.iter().filter(|one| !one.discharges.is_empty()) {
                h3 { "Rules: " (authority.name) }
                ul.law-list.waste-here {
                    @for (what, answer) in ask.answers(authority).unwrap_or_default() {
                        li.law {
                            h4 { (what.words()) " " (verdict_tag(&answer)) }
                            p { (answer.words) }
                            @if let Some(citation) = &answer.citation { (source(authority, citation)) }
                        }
                    }
                }
            }
        }
    }
}

fn place_words(ask: &WasteAsk, waters: Waters) -> String {
    let zone = ask.zone.map(|zone| format!(", in: {}", zone.words().to_lowercase())).unwrap_or_default();
    let off = match ask.off {
        Some(off) => format!("{} nautical miles from land", words::trimmed(off.as_nautical_miles())),
        None => "how far from land is not said".to_owned(),
    };
    format!("{}{zone}; {off}.", waters.words())
}

/// The verdict in words, with a shape of its own so that it is not told by colour alone.
fn verdict_tag(answer: &Answer) -> Markup {
    let (class, mark, _) = looks(answer.verdict);
    html! { span.tag.verdict-tag.(class) { span aria-hidden="true" { (mark) " " } (answer.verdict.words()) } }
}

/// The same in a table.
fn verdict_mark(verdict: Verdict) -> Markup {
    let (class, mark, word) = looks(verdict);
    html! { span.verdict-mark.(class) { span aria-hidden="true" { (mark) "\u{a0}" } (word) } }
}

fn looks(verdict: Verdict) -> (&'static str, &'static str, &'static str) {
    match verdict {
        Verdict::Forbidden => ("forbidden", "\u{2715}", "forbidden"),
        Verdict::Conditions => ("conditions", "!", "conditions"),
        Verdict::NotKnown => ("not-known", "?", "not known"),
    }
}

/// Her waste tanks: how much they take is what must last.
fn tanks(vessel: &Vessel) -> Markup {
    let boat: &Boat = &vessel.boat;
    let holds = |kind: &StoreKind| match kind {
        StoreKind::Tank(Liquid::Waste, volume) => Some(*volume),
        _ => None,
    };
    let tanks: Vec<_> =
        boat.stores.iter().filter_map(|store| holds(&store.kind).map(|volume| (store, volume))).collect();
    html! {
        section.block aria-labelledby="tanks" {
            h2 #tanks { "Her holding tanks" }
            @if tanks.is_empty() { p { "The boat file has no holding tank." } }
            @else { ul.plainly { @for (tank, volume) in tanks { li { strong { (tank.name) } ": " (volume.display(System::Metric)) } } } }
            p {
                "A tank must last from the last place where it may be emptied to the next one, or to a pump-out. In a strait or a fjord of less than 6 nautical miles from shore to shore no place is 3 miles off. "
                a.no-print href=(links::room(&vessel.slug, Room::Forecast)) { "Will it last?" }
            }
        }
    }
}

/// Places by name that have rules of their own.
fn zones(authority: &Authority) -> Markup {
    html! {
        @if !authority.zones.is_empty() {
            section.block {
                h2 { "Places with rules of their own: " (authority.name) }
                @for zone in &authority.zones {
                    h3 { (zone.kind.words()) }
                    p { (zone.names.join("; ")) "." }
                    p { strong { (words::sentence(&zone.words)) } }
                    (source(authority, &zone.citation))
                }
            }
        }
    }
}
