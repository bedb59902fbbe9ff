//! What flows through a thing, as a small coloured mark with its word.
//!
//! # Source
//! ISO 14726 main colours for pipes on ships (from memory): fresh water blue, sea water green, fuel brown, flammable
//! gases yellow ochre, waste black.

use boat::model::Item;
use maud::{Markup, html};

/// What flows through a thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Medium {
    FreshWater,
    SeaWater,
    Fuel,
    Gas,
    Waste,
}

/// The mark of an item through which one of the marked media flows.
pub(crate) fn mark(item: &Item) -> Markup {
    let Some((class, word)) = item.class.as_deref().and_then(of_class).map(words) else {
        return Markup::default();
    };
    html! { span.medium { span class=(class) aria-hidden="true" {} (word) } }
}

fn of_class(class: &str) -> Option<Medium> {
    match class {
        "water_tank" | "fresh_water_pump" | "tank_selector" | "water_heater" => Some(Medium::FreshWater),
        "raw_water_pump" | "raw_water_strainer" | "seacock" | "deck_wash" => Some(Medium::SeaWater),
        "fuel_tank" | "fuel_filter" | "fuel_shutoff" => Some(Medium::Fuel),
        "gas_bottle" | "gas_solenoid" | "gas_valve" | "stove" => Some(Medium::Gas),
        "holding_tank" | "diverter_valve" | "vacuum_head" | "manual_head" => Some(Medium::Waste),
        _ => None,
    }
}

fn words(medium: Medium) -> (&'static str, &'static str) {
    match medium {
        Medium::FreshWater => ("swatch fresh", "fresh water"),
        Medium::SeaWater => ("swatch sea", "sea water"),
        Medium::Fuel => ("swatch fuel", "fuel"),
        Medium::Gas => ("swatch gas", "cooking gas"),
        Medium::Waste => ("swatch waste", "waste"),
    }
}
