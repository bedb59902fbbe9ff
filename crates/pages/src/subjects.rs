//! Under which heading a step list stands.

use boat::model::{Boat, Item, Procedure};

use crate::say;

/// A heading of the list of step lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Subject {
    /// For an emergency.
    Emergency,
    /// Batteries, switches, charging.
    Current,
    /// Engines, fuel, thrusters.
    Engine,
    /// Fresh water.
    Water,
    /// Toilets and waste.
    Toilets,
    /// Gas, stove, heating, cooling.
    Galley,
    /// Anchor, sails, lines, dinghy.
    Deck,
    /// Radio, lights, instruments.
    Bridge,
    /// Bilge pumps, seacocks, fire.
    Safety,
    /// The rest.
    Other,
}

impl Subject {
    /// All headings in order.
    pub(crate) const ALL: [Self; 10] = [
        Self::Emergency,
        Self::Current,
        Self::Engine,
        Self::Water,
        Self::Toilets,
        Self::Galley,
        Self::Deck,
        Self::Bridge,
        Self::Safety,
        Self::Other,
    ];

    /// Its words.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Emergency => "In an emergency",
            Self::Current => "Batteries and current",
            Self::Engine => "Engine and steering",
            Self::Water => "Fresh water",
            Self::Toilets => "Toilets and waste",
            Self::Galley => "Gas, cooking, heating, cooling",
            Self::Deck => "Anchor, sails, dinghy",
            Self::Bridge => "Radio, lights, instruments",
            Self::Safety => "Water and fire",
            Self::Other => "Everything else",
        }
    }
}

/// Words in the name of a kind of item that tell the subject; the first that fits counts.
const SIGNS: [(Subject, &[&str]); 8] = [
    (Subject::Toilets, &["head", "toilet", "holding", "macerator", "waste", "diverter", "deck_outlet"]),
    (Subject::Safety, &["bilge", "seacock", "extinguisher", "fire", "liferaft", "flare", "epirb", "alarm", "detector"]),
    (Subject::Galley, &["gas", "lpg", "stove", "oven", "heater_diesel", "diesel_heater", "cabin_heater", "fridge", "refrigerator", "freezer", "grill", "barbecue"]),
    (Subject::Deck, &["windlass", "anchor", "sail", "furl", "main", "winch", "halyard", "dinghy", "outboard", "davit", "mast", "jib", "genoa", "reef", "mooring", "line"]),
    (Subject::Engine, &["engine", "saildrive", "fuel", "thruster", "shaft", "stern_gland", "raw_water", "throttle", "rudder", "steering", "tiller", "autopilot"]),
    (Subject::Bridge, &["vhf", "radio", "nav", "light", "plotter", "instrument", "ais", "radar"]),
    (Subject::Water, &["water", "shower", "tap", "watermaker", "deck_wash", "tank"]),
    (Subject::Current, &["battery", "switch", "breaker", "panel", "charger", "inverter", "alternator", "shore", "solar", "meter"]),
];

/// The heading of a step list: from the kinds of the items whose controls it sets, the most frequent first.
pub(crate) fn of(boat: &Boat, procedure: &Procedure) -> Subject {
    if procedure.emergency {
        return Subject::Emergency;
    }
    let items = procedure.steps.iter().filter_map(|step| say::step_item(boat, step));
    let mut tally: Vec<(Subject, usize)> = Vec::new();
    for subject in items.filter_map(|id| of_item(&boat.items[id])) {
        match tally.iter_mut().find(|(known, _)| *known == subject) {
            Some((_, count)) => *count += 1,
            None => tally.push((subject, 1)),
        }
    }
    // Current is what most lists begin with; it only counts if there is nothing else.
    tally.sort_by_key(|(subject, count)| (*subject == Subject::Current, std::cmp::Reverse(*count)));
    tally.first().map_or(Subject::Other, |(subject, _)| *subject)
}

fn of_item(item: &Item) -> Option<Subject> {
    let fits = |text: &str| {
        let text = text.to_lowercase().replace(' ', "_");
        SIGNS.iter().find(|(_, words)| words.iter().any(|word| text.contains(word))).map(|(subject, _)| *subject)
    };
    item.class.as_deref().and_then(fits).or_else(|| fits(&item.name))
}
