//! Published lists for handing a boat over, and what each line is about.

use serde::{Deserialize, Serialize};

use crate::authority::Citation;

/// A published list for handing a boat over.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Checklist {
    /// A short name, unlike any other's.
    pub id: String,
    /// The name for people.
    pub title: String,
    /// Where it comes from.
    #[serde(flatten)]
    pub citation: Citation,
    /// Its lines, in order.
    #[serde(rename = "line")]
    pub lines: Vec<ChecklistLine>,
}

/// A line of such a list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ChecklistLine {
    /// A short name, unlike any other's in the list.
    pub id: String,
    /// What it says.
    pub words: String,
    /// Which subjects of a briefing cover it: at least one.
    pub about: Vec<Subject>,
}

macro_rules! subjects {
    ($($(#[$doc:meta])* $name:ident = $words:literal;)*) => {
        /// What a topic of a briefing, or a line of a list, is about.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(rename_all = "snake_case")]
        pub enum Subject {
            $($(#[$doc])* $name,)*
        }

        impl Subject {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$name,)*];

            /// The words for people.
            pub const fn words(self) -> &'static str {
                match self {
                    $(Self::$name => $words,)*
                }
            }
        }
    };
}

subjects! {
    /// Agreement, signatures, certificates and manuals.
    Papers = "papers and signatures";
    /// Who may be in charge, and behaviour.
    Competence = "who may be in charge";
    /// Alcohol.
    Alcohol = "alcohol";
    /// What is aboard, and in what condition.
    Inventory = "the inventory";
    /// Names and numbers to call.
    Contacts = "whom to call";
    /// Where she may go.
    SailingArea = "where she may go";
    /// Where the safety gear is, and how it is used.
    SafetyEquipment = "the safety gear";
    /// Lifejackets.
    Lifejackets = "lifejackets";
    /// Fire and extinguishers.
    Fire = "fire";
    /// Flares, beacon and other distress signals.
    DistressSignals = "distress signals";
    /// The radio.
    Radio = "the radio";
    /// Somebody in the water, and getting back aboard.
    ManOverboard = "somebody overboard";
    /// What cold water does.
    ColdWater = "cold water";
    /// Water coming in.
    Flooding = "water coming in";
    /// Carbon monoxide.
    CarbonMonoxide = "carbon monoxide";
    /// Cooking gas.
    Gas = "cooking gas";
    /// The engine: checks, starting, stopping.
    Engine = "the engine";
    /// Fuel and fuelling.
    Fuel = "fuel";
    /// Steering, stopping and how she handles.
    Handling = "how she handles";
    /// How many and how much she carries, and stability.
    Capacity = "load and stability";
    /// Coming alongside and leaving.
    Docking = "coming alongside";
    /// Sails and reefing.
    Sails = "sails";
    /// Anchor and windlass.
    Anchor = "anchoring";
    /// Towing people or boats.
    Towing = "towing";
    /// The dinghy and its outboard.
    Dinghy = "the dinghy";
    /// Batteries, panel and shore power.
    Electrics = "electricity";
    /// Plotter, instruments and autopilot.
    Electronics = "instruments";
    /// Drinking water and tanks.
    Water = "fresh water";
    /// Heads and the holding tank.
    Heads = "the heads";
    /// What may not go overboard.
    Waste = "waste";
    /// Seacocks.
    Seacocks = "seacocks";
    /// Bilge and bilge pumps.
    Bilge = "bilge pumps";
    /// What guests keep up.
    Upkeep = "daily upkeep";
    /// Labels and placards.
    Labels = "labels aboard";
    /// Moving about safely.
    MovingAbout = "moving about on board";
    /// Lights and being seen.
    Lights = "lights";
    /// The rules of the road at sea.
    CollisionRules = "the rules of the road";
    /// Buoys and marks.
    Buoys = "buoys and marks";
    /// Rocks, bars, bridges and local rules.
    LocalHazards = "local dangers";
    /// Weather.
    Weather = "weather";
    /// Tides and currents.
    Tides = "tides";
    /// Cooker, refrigerator and heating.
    Galley = "galley and heating";
}

impl Checklist {
    pub(crate) fn sound(&self) -> Result<(), String> {
        for (at, line) in self.lines.iter().enumerate() {
            if line.about.is_empty() {
                return Err(format!("Line “{}” of checklist “{}” is about nothing.", line.id, self.id));
            }
            if self.lines[..at].iter().any(|other| other.id == line.id) {
                return Err(format!("Line “{}” of checklist “{}” is given twice.", line.id, self.id));
            }
        }
        Ok(())
    }

    /// The lines of which no subject is among those that a briefing covers.
    pub fn uncovered<'a>(&'a self, covered: &'a [Subject]) -> impl Iterator<Item = &'a ChecklistLine> {
        self.lines.iter().filter(|line| !line.about.iter().any(|subject| covered.contains(subject)))
    }
}
