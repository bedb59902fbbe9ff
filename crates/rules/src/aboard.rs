//! Whom and what a rule is asked about: the boat, her crew, the dates, and what is aboard.

use std::collections::BTreeMap;

use boat::model::{Boat, Gear};
use jiff::civil::Date;
use quantity::{Length, Mass};
use serde::{Deserialize, Serialize};

/// In which waters she is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Waters {
    /// The sea and what belongs to it.
    Coastal,
    /// Rivers, canals and lakes.
    Inland,
    /// A river, canal or lake on which she is never more than 1 nautical mile from shore.
    InlandNearShore,
}

impl Waters {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Coastal, Self::Inland, Self::InlandNearShore];

    /// Its name in addresses and tables.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Coastal => "coastal",
            Self::Inland => "inland",
            Self::InlandNearShore => "inland_near_shore",
        }
    }

    /// The one of a name.
    pub fn find(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.word() == word)
    }

    /// The words for it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Coastal => "The sea and what belongs to it",
            Self::Inland => "Rivers, canals and lakes",
            Self::InlandNearShore => "Rivers, canals and lakes, never more than 1 nautical mile from shore",
        }
    }
}

/// What a rule may depend on beside length and waters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Fact {
    /// She has an engine.
    Engine,
    /// Her engine is built in.
    InboardEngine,
    /// She has a fixed fuel tank.
    FixedFuelTank,
    /// Something aboard burns fuel to cook, heat or cool.
    FuelAppliance,
    /// The climb from the water to the deck is over 0.5 m.
    HighClimb,
    /// She is used between sunset and sunrise.
    Night,
    /// She is used between sunset and sunrise or in restricted visibility.
    NightOrFog,
    /// She is used otherwise than in limited traffic, daylight and fair conditions.
    BusyDarkOrFoul,
    /// She is mostly not of metal.
    NotMetal,
    /// She can trap vapour: not an open boat with an outboard.
    TrapsVapour,
    /// She has a machinery space.
    MachinerySpace,
    /// She goes out on the ocean.
    OceanGoing,
    /// She has a galley and berths.
    GalleyAndBerths,
}

impl Fact {
    /// All of them.
    pub const ALL: [Self; 13] = [
        Self::Engine,
        Self::InboardEngine,
        Self::FixedFuelTank,
        Self::FuelAppliance,
        Self::HighClimb,
        Self::Night,
        Self::NightOrFog,
        Self::BusyDarkOrFoul,
        Self::NotMetal,
        Self::TrapsVapour,
        Self::MachinerySpace,
        Self::OceanGoing,
        Self::GalleyAndBerths,
    ];

    /// Its name in addresses and tables.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Engine => "engine",
            Self::InboardEngine => "inboard_engine",
            Self::FixedFuelTank => "fixed_fuel_tank",
            Self::FuelAppliance => "fuel_appliance",
            Self::HighClimb => "high_climb",
            Self::Night => "night",
            Self::NightOrFog => "night_or_fog",
            Self::BusyDarkOrFoul => "busy_dark_or_foul",
            Self::NotMetal => "not_metal",
            Self::TrapsVapour => "traps_vapour",
            Self::MachinerySpace => "machinery_space",
            Self::OceanGoing => "ocean_going",
            Self::GalleyAndBerths => "galley_and_berths",
        }
    }

    /// The one of a name.
    pub fn find(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.word() == word)
    }

    /// The question, so that “yes” says that it is so.
    pub const fn question(self) -> &'static str {
        match self {
            Self::Engine => "Has she an engine?",
            Self::InboardEngine => "Has she an inboard engine?",
            Self::FixedFuelTank => "Has she a fixed fuel tank?",
            Self::FuelAppliance => "Does a cooker, heater or refrigerator aboard burn fuel?",
            Self::HighClimb => "Is the climb from the water to the deck over 0.5 m?",
            Self::Night => "Is she used between sunset and sunrise?",
            Self::NightOrFog => {
                "Is she used between sunset and sunrise, or in fog, rain or other poor sight?"
            }
            Self::BusyDarkOrFoul => "Is she used in busy waters, in the dark or in foul weather?",
            Self::NotMetal => "Is she mostly of something other than metal?",
            Self::TrapsVapour => "Can she trap vapour: is she other than an open boat with an outboard?",
            Self::MachinerySpace => "Has she a machinery space?",
            Self::OceanGoing => "Does she go out on the ocean?",
            Self::GalleyAndBerths => "Has she a galley and berths?",
        }
    }

    /// What is asked, to follow “Not said:”.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Engine => "whether she has an engine",
            Self::InboardEngine => "whether she has an inboard engine",
            Self::FixedFuelTank => "whether she has a fixed fuel tank",
            Self::FuelAppliance => "whether she has a cooker, heater or refrigerator that burns fuel",
            Self::HighClimb => "whether the climb from the water to the deck is over 0.5 m",
            Self::Night => "whether she is used between sunset and sunrise",
            Self::NightOrFog => "whether she is used between sunset and sunrise or in restricted visibility",
            Self::BusyDarkOrFoul => "whether she keeps to limited traffic, daylight and fair conditions",
            Self::NotMetal => "whether she is mostly of metal",
            Self::TrapsVapour => "whether she can trap vapour",
            Self::MachinerySpace => "whether she has a machinery space",
            Self::OceanGoing => "whether she goes out on the ocean",
            Self::GalleyAndBerths => "whether she has a galley and berths",
        }
    }
}

/// The boat, as far as rules ask.
#[derive(Debug, Clone, PartialEq)]
pub struct Vessel {
    /// Her name.
    pub name: String,
    /// Length over all. How an authority measures length may differ: mind it near a bound.
    pub length: Length,
    /// What is said of her and her use; what is not in it is not said.
    pub facts: BTreeMap<Fact, bool>,
    /// How many entrances there are to spaces with a fuel-burning appliance, to sleeping spaces and to the machinery
    /// space, if it is said.
    pub entrances: Option<u32>,
}

impl Vessel {
    /// A boat of which nothing but the length is said.
    pub fn new(name: &str, length: Length) -> Self {
        Self { name: name.to_owned(), length, facts: BTreeMap::new(), entrances: None }
    }

    /// What the boat file says: the length, and what its items count as. Her use (night, traffic, ocean), the climb and
    /// the entrances are not in it.
    pub fn of(boat: &Boat) -> Self {
        let counts = |gear| boat.items.iter().any(|item| item.counts_as.contains(&gear));
        let mut vessel = Self::new(&boat.particulars.name, boat.particulars.length);
        let inboard = counts(Gear::InboardEngine);
        // What is not said to be there is not said to be missing either.
        for (fact, so) in [
            (Fact::Engine, inboard || boat.particulars.engine.is_some()),
            (Fact::InboardEngine, inboard),
            (Fact::TrapsVapour, inboard),
            (Fact::MachinerySpace, inboard),
            (Fact::FixedFuelTank, counts(Gear::FixedFuelTank)),
            (Fact::FuelAppliance, counts(Gear::FuelAppliance)),
        ] {
            if so {
                vessel.facts.insert(fact, true);
            }
        }
        vessel
    }

    /// The same with one fact more.
    #[must_use]
    pub fn with(mut self, fact: Fact, so: bool) -> Self {
        self.facts.insert(fact, so);
        self
    }

    /// Whether something is so, if it is said or follows from what is said.
    pub fn says(&self, fact: Fact) -> Option<bool> {
        let follows = match fact {
            Fact::Engine => self.facts.get(&Fact::InboardEngine),
            Fact::NightOrFog | Fact::BusyDarkOrFoul => self.facts.get(&Fact::Night),
            _ => None,
        };
        self.facts.get(&fact).copied().or(follows.copied().filter(|so| *so))
    }
}

/// The people aboard.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Crew {
    /// Adults.
    pub adults: u32,
    /// The weight of each child.
    pub children: Vec<Mass>,
}

impl Crew {
    /// How many there are.
    pub fn persons(&self) -> u32 {
        self.adults + u32::try_from(self.children.len()).unwrap_or(u32::MAX)
    }
}

/// The days of a charter, both included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Dates {
    first: Date,
    last: Date,
}

impl Dates {
    /// From the first day to the last, whichever way round they are given.
    pub fn new(first: Date, last: Date) -> Self {
        Self { first: first.min(last), last: last.max(first) }
    }

    /// The first day.
    pub const fn first(self) -> Date {
        self.first
    }

    /// The last day.
    pub const fn last(self) -> Date {
        self.last
    }
}

/// Something aboard that counts.
#[derive(Debug, Clone, PartialEq)]
pub struct Carried {
    /// The name used in the boat file, such as `kit.flares_hand` or `items.compass`.
    pub id: String,
    /// The name for people.
    pub name: String,
    /// Where it is, in words.
    pub place: String,
    /// How many pieces.
    pub count: u32,
    /// What each piece counts as.
    pub counts_as: Vec<Gear>,
    /// The last day on which it may be used.
    pub expires: Option<Date>,
    /// The least weight of a person that it fits.
    pub fits_from: Option<Mass>,
    /// The greatest weight of a person that it fits.
    pub fits_to: Option<Mass>,
}

impl Carried {
    /// All that the boat file says to count.
    ///
    /// A kit line counts its pieces. An item counts once, but not as what a kit line counts already, for the kit line
    /// counts what the item points at. Anchors count by their chain and rope, from the ground tackle.
    pub fn of(boat: &Boat) -> Vec<Self> {
        let mut found: Vec<Self> = boat
            .kit
            .iter()
            .filter(|line| !line.counts_as.is_empty())
            .map(|line| Self {
                id: format!("kit.{}", line.id),
                name: line.name.clone(),
                place: boat.places[line.place].name.clone(),
                count: line.count,
                counts_as: line.counts_as.clone(),
                expires: line.expires.as_deref().and_then(|text| text.parse().ok()),
                fits_from: line.fits_from,
                fits_to: line.fits_to,
            })
            .collect();
        let in_kit: Vec<Gear> = found.iter().flat_map(|line| line.counts_as.iter().copied()).collect();
        for item in &boat.items {
            let counts_as: Vec<Gear> =
                item.counts_as.iter().copied().filter(|gear| !in_kit.contains(gear)).collect();
            if !counts_as.is_empty() {
                let place = boat.places[item.place].name.clone();
                found.push(Self::piece(format!("items.{}", item.id), &item.name, place, counts_as));
            }
        }
        for tackle in &boat.tackle {
            let rode: Length = [tackle.chain, tackle.rope].into_iter().flatten().sum();
            let sizes = [(50.0, Gear::Anchor50), (30.0, Gear::Anchor30), (15.0, Gear::Anchor15)];
            if let Some((_, gear)) = sizes.iter().find(|(least, _)| rode >= Length::metres(*least)) {
                found.push(Self::piece(
                    format!("tackle.{}", tackle.id),
                    &tackle.name,
                    String::new(),
                    vec![*gear],
                ));
            }
        }
        found
    }

    fn piece(id: String, name: &str, place: String, counts_as: Vec<Gear>) -> Self {
        Self {
            id,
            name: name.to_owned(),
            place,
            count: 1,
            counts_as,
            expires: None,
            fits_from: None,
            fits_to: None,
        }
    }
}
