//! The boat's parts and papers: particulars, places, items, cautions, kit, upkeep, topics.

use quantity::{Angle, Length, Mass, Money, RotationalSpeed, Time};

use super::{CautionId, Gear, ItemId, Limit, PlaceId, ProcedureId, Restated, Subject, TopicId};

/// What kind of hull the plan drawing shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hull {
    /// One hull.
    Monohull,
    /// Two hulls with a bridge deck.
    Catamaran,
}

/// Name, hull, rig and measures of a boat.
#[derive(Debug, Clone, PartialEq)]
pub struct Particulars {
    /// The boat's name.
    pub name: String,
    /// One hull or two.
    pub hull: Hull,
    /// What she is in a few words, such as "13 m sloop".
    pub model: String,
    /// Sloop, cutter, ketch ...
    pub rig: String,
    /// Length over all.
    pub length: Length,
    /// Greatest beam.
    pub beam: Length,
    /// Draught, with keel down.
    pub draught: Length,
    /// Height of the masthead (with aerials) above the water.
    pub air_draught: Option<Length>,
    /// Berths for sleeping.
    pub berths: u32,
    /// Year of building.
    pub built: Option<u32>,
    /// Engine in words.
    pub engine: Option<String>,
    /// Engine speed not to be passed, if known.
    pub most_rpm: Option<RotationalSpeed>,
    /// Battery system in words.
    pub batteries: Option<String>,
    /// Latitude of her base, north positive.
    pub latitude: Option<Angle>,
    /// Longitude of her base, east positive.
    pub longitude: Option<Angle>,
    /// How far the clocks at her base are ahead of UTC in the season.
    pub utc_offset: Option<Time>,
    /// Flag, in words.
    pub flag: Option<String>,
    /// Waters where she is let out, in words.
    pub waters: Option<String>,
    /// Anything else worth a line.
    pub notes: Vec<String>,
}

/// On which level of the boat a place lies; the plan has one drawing for each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// Ashore, beside the boat.
    Dock,
    /// Up the mast.
    Aloft,
    /// On deck and in the cockpit.
    Deck,
    /// In the cabins.
    Below,
    /// Under the floorboards and behind the linings.
    Bilge,
}

/// What it takes to reach a place, from least to most.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reach {
    /// Stand there and reach out.
    AtHand,
    /// Open a lid, a door or a locker.
    Lid,
    /// Lift a floorboard or a bunk base.
    Boards,
    /// Crawl or lie down in a narrow space.
    Crawl,
    /// Climb, or lean outboard.
    Climb,
    /// Tools are needed to open it.
    Tools,
}

/// A space of the boat.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// The name used in the file.
    pub id: String,
    /// The name for people.
    pub name: String,
    /// The space that holds it.
    pub within: Option<PlaceId>,
    /// On which level it lies.
    pub level: Level,
    /// Its middle's distance from the bow, aft.
    pub aft: Length,
    /// Its middle's distance from the centreline: starboard positive, port negative.
    pub starboard: Length,
    /// Its measure fore and aft.
    pub long: Length,
    /// Its measure athwartships.
    pub wide: Length,
    /// What it takes to reach it.
    pub reach: Reach,
    /// How to get there, in words.
    pub way: Option<String>,
}

/// A spare part carried for an item.
#[derive(Debug, Clone, PartialEq)]
pub struct Spare {
    /// What it is.
    pub name: String,
    /// Where it is stowed.
    pub place: Option<PlaceId>,
}

/// A thing that can be pointed at.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// The name used in the file.
    pub id: String,
    /// The name for people.
    pub name: String,
    /// The class that it is of, if any.
    pub class: Option<String>,
    /// Where it is.
    pub place: PlaceId,
    /// How to find it, in words.
    pub find: Option<String>,
    /// Other words that people use for it.
    pub also: Vec<String>,
    /// File name of its picture.
    pub picture: Option<String>,
    /// Words of the label stuck on it.
    pub label: Option<String>,
    /// Spares carried.
    pub spares: Vec<Spare>,
    /// Whether the crew must find it in an emergency.
    pub emergency: bool,
    /// What equipment rules count it as.
    pub counts_as: Vec<Gear>,
    /// Limits that hold whatever is done with it.
    pub limits: Vec<Limit>,
    /// Where its facts come from.
    pub source: Option<String>,
}

/// The signal word of a caution.
///
/// # Source
/// ANSI Z535.4 and ISO 3864-2: danger, warning and caution rank injury; notice is for things.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SignalWord {
    /// Not about injury.
    Notice,
    /// Could cause minor or moderate injury.
    Caution,
    /// Could cause death or serious injury.
    Warning,
    /// Will cause death or serious injury.
    Danger,
}

impl SignalWord {
    /// The word, in small letters.
    pub fn word(self) -> &'static str {
        match self {
            Self::Danger => "danger",
            Self::Warning => "warning",
            Self::Caution => "caution",
            Self::Notice => "notice",
        }
    }
}

/// What kind of danger a caution speaks of; it chooses the sign beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hazard {
    /// Cooking gas, heavier than air.
    Gas,
    /// Fire and burning things.
    Fire,
    /// Petrol, diesel and their vapour.
    Fuel,
    /// Mains voltage.
    Mains,
    /// Battery current and acid.
    Battery,
    /// Water coming in.
    Flooding,
    /// Falling overboard, or people in the water.
    Overboard,
    /// Exhaust gas and carbon monoxide.
    Fumes,
    /// Hot surfaces, hot water and steam.
    Hot,
    /// Crushing and moving parts.
    Crush,
    /// Falling and heavy things.
    Fall,
    /// Harm to the water and what lives in it.
    Sea,
    /// Damage to gear.
    Gear,
}

/// Words of warning, shown wherever the danger is.
#[derive(Debug, Clone, PartialEq)]
pub struct Caution {
    /// The name used in the file.
    pub id: String,
    /// How grave it is.
    pub word: SignalWord,
    /// What kind of danger it is.
    pub hazard: Hazard,
    /// What to mind and what to do, in full sentences.
    pub text: String,
    /// Limits that its text says again.
    pub restates: Vec<Restated>,
    /// Where it comes from.
    pub source: Option<String>,
}

/// A line of the count at check-out and hand-back.
#[derive(Debug, Clone, PartialEq)]
pub struct KitLine {
    /// The name used in the file.
    pub id: String,
    /// The name for people.
    pub name: String,
    /// How many there are.
    pub count: u32,
    /// Where it is stowed.
    pub place: PlaceId,
    /// The last day on which it may be used, `YYYY-MM-DD`.
    pub expires: Option<String>,
    /// The price if it is lost.
    pub price: Option<Money>,
    /// What to look at when it is counted.
    pub check: Option<String>,
    /// What equipment rules count each piece as.
    pub counts_as: Vec<Gear>,
    /// The least weight of a person that it fits, if it is worn.
    pub fits_from: Option<Mass>,
    /// The greatest weight of a person that it fits, if it is worn.
    pub fits_to: Option<Mass>,
}

/// When an upkeep line is due: whichever comes first.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Interval {
    /// After so many engine hours.
    pub engine_hours: Option<Time>,
    /// After so many days.
    pub days: Option<u32>,
    /// After so many charters.
    pub charters: Option<u32>,
    /// On this day, `YYYY-MM-DD`.
    pub date: Option<String>,
}

/// A line of the service plan.
#[derive(Debug, Clone, PartialEq)]
pub struct UpkeepLine {
    /// The name used in the file.
    pub id: String,
    /// What is done.
    pub name: String,
    /// On what.
    pub item: Option<ItemId>,
    /// When it is due.
    pub every: Interval,
    /// Parts used, in words with their number.
    pub parts: Vec<String>,
    /// How long it takes.
    pub takes: Option<Time>,
    /// Who can do it: hand, skipper, mechanic, electrician, rigger, diver.
    pub skill: Option<String>,
    /// Where the interval comes from.
    pub source: Option<String>,
}

/// A subject of the briefing.
#[derive(Debug, Clone, PartialEq)]
pub struct Topic {
    /// The name used in the file.
    pub id: String,
    /// The name for people.
    pub name: String,
    /// What to say.
    pub words: String,
    /// Where to stand.
    pub place: Option<PlaceId>,
    /// The step lists that it teaches.
    pub procedures: Vec<ProcedureId>,
    /// The items that it points at.
    pub items: Vec<ItemId>,
    /// The cautions that it gives.
    pub cautions: Vec<CautionId>,
    /// How long it takes to show.
    pub takes: Option<Time>,
    /// Whether the crew must do it themselves, not only hear it.
    pub shown: bool,
    /// Whether it is in every briefing, however short.
    pub always: bool,
    /// What it is about.
    pub about: Vec<Subject>,
    /// The topics that must be shown before it; never in a circle.
    pub after: Vec<TopicId>,
    /// Limits that its words say again.
    pub restates: Vec<Restated>,
    /// Where it comes from.
    pub source: Option<String>,
}
