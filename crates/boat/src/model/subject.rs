//! What a briefing's topic, or a line of a published list for handing a boat over, is about.

/// What a topic is about, as the key `about` says it.
///
/// Published lists for handing a boat over are held against these: a line is covered if a topic is about one of its
/// subjects. That is why it is said in the file and never guessed from the words of a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Subject {
    /// Agreement, signatures, certificates and manuals.
    Papers,
    /// Who may be in charge, and behaviour.
    Competence,
    /// Alcohol.
    Alcohol,
    /// What is aboard, and in what condition.
    Inventory,
    /// Names and numbers to call.
    Contacts,
    /// Where she may go.
    SailingArea,
    /// Where the safety gear is, and how it is used.
    SafetyEquipment,
    /// Lifejackets.
    Lifejackets,
    /// Fire and extinguishers.
    Fire,
    /// Flares, beacon and other distress signals.
    DistressSignals,
    /// The radio.
    Radio,
    /// Somebody in the water, and getting back aboard.
    ManOverboard,
    /// What cold water does.
    ColdWater,
    /// Water coming in.
    Flooding,
    /// Carbon monoxide.
    CarbonMonoxide,
    /// Cooking gas.
    Gas,
    /// The engine: checks, starting, stopping.
    Engine,
    /// Fuel and fuelling.
    Fuel,
    /// Steering, stopping and how she handles.
    Handling,
    /// How many and how much she carries, and stability.
    Capacity,
    /// Coming alongside and leaving.
    Docking,
    /// Sails and reefing.
    Sails,
    /// Anchor and windlass.
    Anchor,
    /// Towing people or boats.
    Towing,
    /// The dinghy and its outboard.
    Dinghy,
    /// Batteries, panel and shore power.
    Electrics,
    /// Plotter, instruments and autopilot.
    Electronics,
    /// Drinking water and tanks.
    Water,
    /// Heads and the holding tank.
    Heads,
    /// What may not go overboard.
    Waste,
    /// Seacocks.
    Seacocks,
    /// Bilge and bilge pumps.
    Bilge,
    /// What guests keep up.
    Upkeep,
    /// Labels and placards.
    Labels,
    /// Moving about safely.
    MovingAbout,
    /// Lights and being seen.
    Lights,
    /// The rules of the road at sea.
    CollisionRules,
    /// Buoys and marks.
    Buoys,
    /// Rocks, bars, bridges and local rules.
    LocalHazards,
    /// Weather.
    Weather,
    /// Tides and currents.
    Tides,
    /// Cooker, refrigerator and heating.
    Galley,
}

impl Subject {
    /// All, in the order in which the format lists their words.
    pub const ALL: [Self; 42] = [
        Self::Papers,
        Self::Competence,
        Self::Alcohol,
        Self::Inventory,
        Self::Contacts,
        Self::SailingArea,
        Self::SafetyEquipment,
        Self::Lifejackets,
        Self::Fire,
        Self::DistressSignals,
        Self::Radio,
        Self::ManOverboard,
        Self::ColdWater,
        Self::Flooding,
        Self::CarbonMonoxide,
        Self::Gas,
        Self::Engine,
        Self::Fuel,
        Self::Handling,
        Self::Capacity,
        Self::Docking,
        Self::Sails,
        Self::Anchor,
        Self::Towing,
        Self::Dinghy,
        Self::Electrics,
        Self::Electronics,
        Self::Water,
        Self::Heads,
        Self::Waste,
        Self::Seacocks,
        Self::Bilge,
        Self::Upkeep,
        Self::Labels,
        Self::MovingAbout,
        Self::Lights,
        Self::CollisionRules,
        Self::Buoys,
        Self::LocalHazards,
        Self::Weather,
        Self::Tides,
        Self::Galley,
    ];

    /// The word for it in a file.
    pub fn word(self) -> &'static str {
        crate::format::SUBJECTS[self as usize].0
    }

    /// The words for people.
    pub fn words(self) -> &'static str {
        crate::format::SUBJECTS[self as usize].1
    }

    /// The one of a word.
    pub fn find(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|subject| subject.word() == word)
    }
}
