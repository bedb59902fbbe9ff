//! The form: where, which days, at what moment, over what depth.

use almanac::tide;
use maud::{Markup, html};
use quantity::System;

use super::ask::TidesAsk;
use super::miles;
use crate::given::{Kind, choose, field};
use crate::links;
use crate::vessel::Vessel;

pub(super) fn form(vessel: Option<&Vessel>, ask: &TidesAsk) -> Markup {
    let mut given = ask.given.clone();
    given.usual("from", ask.first.to_string());
    given.usual("days", ask.days.to_string());
    given.usual("station", ask.station.id.as_deref().unwrap_or(&ask.station.name));
    if let Some(vessel) = vessel {
        given.usual("draught", vessel.boat.particulars.draught.display(System::Metric));
    }
    let stations: Vec<(&str, String)> = match &ask.place {
        Some((place, _)) => tide::nearest(*place)
            .into_iter()
            .map(|(station, away)| {
                (
                    station.id.as_deref().unwrap_or(&station.name),
                    format!("{}, {} nautical miles off", station.name, miles(away)),
                )
            })
            .collect(),
        None => tide::stations()
            .iter()
            .map(|station| (station.id.as_deref().unwrap_or(&station.name), station.name.clone()))
            .collect(),
    };
    let stations: Vec<(&str, &str)> = stations.iter().map(|(id, words)| (*id, words.as_str())).collect();
    let near = ask.place.as_ref().map_or_else(
        || "Such as 43.9 N 69.6 W.".to_owned(),
        |(_, whence)| format!("Such as 43.9 N 69.6 W. If nothing stands here, distances are from {whence}."),
    );
    html! {
        form.law-ask.no-print method="get" action=(format!("{}#tide", links::TIDES)) {
            @if let Some(vessel) = vessel { input type="hidden" name="boat" value=(vessel.slug); }
            fieldset {
                legend { "Where and when" }
                div.filters {
                    (choose(&given, "station", "Station, the nearest first", "The nearest", &stations))
                    (field(&given, "near", "Your position", &near, Kind::Words))
                    (field(&given, "from", "First day", "", Kind::Day))
                    (field(&given, "days", "How many days", "1 to 31.", Kind::Number))
                }
            }
            details.ask-more open[given.has("at") || given.has("until") || given.has("depth")] {
                summary { "At a moment, for a stay, over a shoal" }
                div.filters {
                    (field(&given, "at", "Height at", "Now, if nothing stands here.", Kind::DayAndClock))
                    (field(&given, "until", "She stays until", "For anchoring: what the tide still rises and falls.", Kind::DayAndClock))
                    (field(&given, "depth", "Depth on the chart (m)", "Below nothing for what dries, such as \u{2212}0.5.", Kind::Number))
                    (field(&given, "draught", "Draught (m)", "", Kind::Number))
                    (field(&given, "clearance", "Water to keep below the keel (m)", "For swell, weather and the doubt of the chart.", Kind::Number))
                }
            }
            p.actions { button type="submit" { "Show the tide" } }
        }
    }
}
