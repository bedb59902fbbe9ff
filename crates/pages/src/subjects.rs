//! Under which heading a step list stands.

use boat::model::{Boat, Item, ItemId, Procedure};
use trace::{About, Symptom};

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
    /// Anchor, mooring, sails, dinghy.
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
            Self::Deck => "Anchor, mooring, sails, dinghy",
            Self::Bridge => "Radio, lights, instruments",
            Self::Safety => "Water and fire",
            Self::Other => "Everything else",
        }
    }
}

/// Words that tell the subject, in the name of a step list or of a kind of item; the first that fits counts.
const SIGNS: [(Subject, &[&str]); 8] = [
    (
        Subject::Bridge,
        &["vhf", "radio", "nav", "navigation", "light", "lamp", "plotter", "instrument", "ais", "radar"],
    ),
    (Subject::Toilets, &["head", "toilet", "holding", "macerator", "waste", "diverter"]),
    (
        Subject::Safety,
        &[
            "bilge",
            "seacock",
            "extinguisher",
            "fire",
            "liferaft",
            "flare",
            "epirb",
            "alarm",
            "detector",
            "flooding",
        ],
    ),
    (
        Subject::Galley,
        &[
            "gas",
            "lpg",
            "stove",
            "oven",
            "bake",
            "burner",
            "heat",
            "heater",
            "refrigerator",
            "fridge",
            "freezer",
            "grill",
            "barbecue",
        ],
    ),
    (
        Subject::Deck,
        &[
            "windlass",
            "anchor",
            "sail",
            "mainsail",
            "furl",
            "furler",
            "winch",
            "halyard",
            "dinghy",
            "outboard",
            "davit",
            "mast",
            "jib",
            "genoa",
            "reef",
            "mooring",
            "dock",
            "alongside",
            "platform",
            "passerelle",
        ],
    ),
    (Subject::Water, &["water", "shower", "tap", "watermaker", "wash"]),
    (
        Subject::Engine,
        &[
            "engine",
            "saildrive",
            "fuel",
            "diesel",
            "thruster",
            "shaft",
            "impeller",
            "coolant",
            "strainer",
            "raw",
            "throttle",
            "rudder",
            "steering",
            "steer",
            "tiller",
            "autopilot",
        ],
    ),
    (
        Subject::Current,
        &[
            "battery",
            "switch",
            "breaker",
            "panel",
            "charger",
            "inverter",
            "alternator",
            "shore",
            "solar",
            "meter",
            "outlet",
            "house",
        ],
    ),
];

/// What is looked for first when seconds count: words in the name of an emergency list, the most urgent first.
const URGENT: [&[&str]; 6] = [
    &["overboard"],
    &["fire", "burning"],
    &["coming in", "flood", "leak"],
    &["gas"],
    &["mayday", "distress"],
    &["bilge", "overheats"],
];

/// How far down an emergency list stands: lists of no known urgency come last, in the order of the file.
pub(crate) fn urgency(procedure: &Procedure) -> usize {
    let name = procedure.name.to_lowercase();
    URGENT.iter().position(|words| words.iter().any(|word| name.contains(word))).unwrap_or(URGENT.len())
}

/// The heading of a step list: from its own name if that tells, else from the kinds of the items that it uses.
pub(crate) fn of(boat: &Boat, procedure: &Procedure) -> Subject {
    if procedure.emergency {
        return Subject::Emergency;
    }
    if let Some(subject) = fits(&procedure.id).or_else(|| fits(&procedure.name)) {
        return subject;
    }
    let items = procedure.steps.iter().filter_map(|step| boat.step_item(step));
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

/// The heading under which something that seems to be wrong stands: that of its item, else of its step list, else of
/// its own words.
pub(crate) fn of_symptom(boat: &Boat, symptom: &Symptom) -> Subject {
    if matches!(symptom.about, About::Emergency(_)) {
        return Subject::Emergency;
    }
    symptom
        .item
        .and_then(|item| of_item(&boat.items[item]))
        .or_else(|| symptom.followed.map(|list| of(boat, &boat.procedures[list])))
        .or_else(|| fits(&symptom.words))
        .unwrap_or(Subject::Other)
}

fn of_item(item: &Item) -> Option<Subject> {
    item.class.as_deref().and_then(fits).or_else(|| fits(&item.name))
}

/// The subject of a text by its words, each alone or as a plural.
fn fits(text: &str) -> Option<Subject> {
    let text = text.to_lowercase();
    let words: Vec<&str> =
        text.split(|c: char| !c.is_alphanumeric()).map(|word| word.trim_end_matches('s')).collect();
    let tells = |signs: &[&str]| {
        words.iter().any(|word| signs.iter().any(|sign| sign.trim_end_matches('s') == *word))
    };
    SIGNS.iter().find(|(_, signs)| tells(signs)).map(|(subject, _)| *subject)
}

/// What tells a step list from others of its name: the first thing that it uses and not all of them do, with its place. A
/// boat with three extinguishers has three lists for them. Nothing if its name is its own.
pub(crate) fn told_apart(boat: &Boat, list: &Procedure) -> Option<String> {
    let twins: Vec<&Procedure> =
        boat.procedures.iter().filter(|other| other.name == list.name && other.id != list.id).collect();
    let items = |list: &Procedure| -> Vec<ItemId> {
        list.steps.iter().filter_map(|step| boat.step_item(step)).collect()
    };
    let others: Vec<Vec<ItemId>> = twins.into_iter().map(items).collect();
    let own = items(list).into_iter().find(|item| others.iter().any(|other| !other.contains(item)))?;
    let (name, place) = (&boat.items[own].name, &boat.places[boat.items[own].place].name);
    let said = name.to_lowercase().contains(&place.to_lowercase());
    (!others.is_empty()).then(|| if said { name.clone() } else { format!("{name}, {place}") })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_tell_the_subject_and_parts_of_words_do_not() {
        assert_eq!(fits("lights_under_power"), Some(Subject::Bridge));
        assert_eq!(fits("Start the engine"), Some(Subject::Engine));
        assert_eq!(fits("use_toilets"), Some(Subject::Toilets));
        assert_eq!(fits("go ahead slowly"), None, "ahead is no head");
    }

    #[test]
    fn lists_of_one_name_are_told_apart_by_what_they_use() {
        let twin = |id: &str, control: &str, to: &str| {
            format!(
                "[procedures.{id}]\nname = \"Make her safe\"\ngoal = \"{control} is {to}\"\nsteps = [{{ set = \"{control}\", to = \"{to}\" }}]\n"
            )
        };
        let text = include_str!("../tests/wader.toml").to_owned()
            + &twin("dark", "house_switch", "off")
            + &twin("shut", "gas_bottle", "shut");
        let compiled = boat::compile("wader.toml", &text);
        let boat = compiled.boat.unwrap_or_else(|| panic!("{:?}", compiled.diagnostics));
        let apart = |id: &str| told_apart(&boat, &boat.procedures[boat.procedure(id).expect("it is there")]);
        let (dark, shut) = (apart("dark").expect("a twin"), apart("shut").expect("a twin"));
        let item = |control: &str| {
            let (var, ..) = boat.controls().find(|(_, row, _)| row.id == control).expect("a control");
            &boat.items[boat.var_item(var).expect("an item")].name
        };
        assert!(dark.starts_with(item("house_switch")), "{dark}");
        assert!(shut.starts_with(item("gas_bottle")), "{shut}");
        assert_eq!(apart("light_stove"), None, "its name is its own");
    }
}
