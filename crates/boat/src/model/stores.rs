//! What fills and empties: batteries, tanks and bottles, their sources and loads, what the boat is doing, ground tackle.

use quantity::{
    Charge, Current, Force, Length, Mass, MassRate, Power, Ratio, Resistance, RotationalSpeed, Temperature,
    Time, Voltage, Volume, VolumeRate,
};

use super::{Assign, Expr, ItemId, StoreId};

/// What a lead or lithium battery is made of; the engine's defaults hang on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Chemistry {
    /// Lead plates in liquid acid.
    Flooded,
    /// Lead plates, the acid held in glass mat.
    Agm,
    /// Lead plates, the acid set to a gel.
    Gel,
    /// Lithium iron phosphate.
    Lfp,
}

/// What a tank holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Liquid {
    /// Fresh water.
    Water,
    /// What the heads make.
    Waste,
    /// Diesel fuel.
    Diesel,
}

/// The facts of a battery bank beyond its capacity; what is absent has the chemistry's default.
#[derive(Debug, Clone, PartialEq)]
pub struct BankFacts {
    /// Rated capacity at the 20 hour rate, all batteries of the bank together.
    pub capacity: Charge,
    /// What it is made of.
    pub chemistry: Chemistry,
    /// Nominal voltage.
    pub voltage: Voltage,
    /// The capacity that is left of the rated one.
    pub health: Option<Ratio>,
    /// The most that it takes: amperes as a part of its Ah.
    pub accepts: Option<Ratio>,
    /// The voltage that charging rises to and holds.
    pub bulk: Option<Voltage>,
    /// The voltage that keeps it full.
    pub float: Option<Voltage>,
    /// Ah put in for each Ah taken out.
    pub in_per_out: Option<f64>,
    /// Inner resistance when full.
    pub resistance: Option<Resistance>,
}

/// What a store holds, and how much of it at most.
#[derive(Debug, Clone, PartialEq)]
pub enum StoreKind {
    /// A battery bank.
    Battery(BankFacts),
    /// A tank.
    Tank(Liquid, Volume),
    /// A gas bottle, by the mass of its filling.
    Bottle(Mass),
}

impl StoreKind {
    /// The word used in boat files.
    pub fn word(&self) -> &'static str {
        let at = match self {
            Self::Battery(_) => 0,
            Self::Tank(liquid, _) => 1 + *liquid as usize,
            Self::Bottle(_) => 4,
        };
        crate::format::STORE_KINDS[at]
    }
}

/// A battery bank, a tank, or a set of bottles.
#[derive(Debug, Clone, PartialEq)]
pub struct Store {
    /// The name used in the file.
    pub id: String,
    /// The name for people.
    pub name: String,
    /// What it is.
    pub item: Option<ItemId>,
    /// What it holds.
    pub kind: StoreKind,
    /// How many alike, used one after the other.
    pub count: u32,
    /// The part that may be used (of waste: filled) before it counts as spent.
    pub usable: Ratio,
    /// How to read what is left.
    pub gauge: Option<String>,
    /// How far its gauge may be off, as a part of the capacity.
    pub gauge_error: Option<Ratio>,
    /// Where its facts come from.
    pub source: Option<String>,
}

impl Store {
    /// The facts of a battery bank.
    pub fn bank(&self) -> Option<&BankFacts> {
        match &self.kind {
            StoreKind::Battery(facts) => Some(facts),
            StoreKind::Tank(..) | StoreKind::Bottle(_) => None,
        }
    }

    /// What a tank holds.
    pub fn liquid(&self) -> Option<Liquid> {
        match &self.kind {
            StoreKind::Tank(liquid, _) => Some(*liquid),
            StoreKind::Battery(_) | StoreKind::Bottle(_) => None,
        }
    }
}

/// What a source is, with its rating.
#[derive(Debug, Clone, PartialEq)]
pub enum SourceKind {
    /// A generator on an engine, by its rated current.
    Alternator(Current),
    /// A charger on shore power, by its rated current on the battery's side.
    Charger(Current),
    /// A solar panel, by its rated power.
    Solar(Power),
    /// The shore inlet, by the current that it bears.
    Shore(Current),
    /// Mains from a bank, by the power that it gives.
    Inverter(Power),
    /// A relay or diode that lets one bank charge another, by the current that it bears.
    Combiner(Current),
}

/// What fills a battery, or feeds mains.
#[derive(Debug, Clone, PartialEq)]
pub struct Source {
    /// The name used in the file.
    pub id: String,
    /// The name for people.
    pub name: String,
    /// What it is.
    pub item: Option<ItemId>,
    /// Its kind and rating.
    pub kind: SourceKind,
    /// What is left of the rating in use.
    pub share: Option<Ratio>,
    /// The banks that it fills; the first battery of the file if empty.
    pub into: Vec<StoreId>,
    /// The bank that it takes from; for an inverter the first battery of the file if empty.
    pub from: Vec<StoreId>,
    /// The voltage that it is set to, or that shore power has.
    pub voltage: Option<Voltage>,
    /// The voltage from which a combiner joins.
    pub closes: Option<Voltage>,
    /// What an inverter draws with nothing plugged in.
    pub idle: Option<Power>,
    /// It can give while this holds.
    pub when: Expr,
    /// How far the figure may be off.
    pub give_or_take: Option<Ratio>,
    /// Where its facts come from.
    pub source: Option<String>,
}

/// What a load uses.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LoadKind {
    /// Current of a bank.
    Electric,
    /// Mains, of the shore or of an inverter.
    Mains,
    /// Fresh water.
    Water,
    /// It fills a waste tank.
    Waste,
    /// Diesel.
    Diesel,
    /// Cooking gas.
    Gas,
}

/// How much of its kind a load uses while it runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rate {
    /// Amperes.
    Current(Current),
    /// Watts.
    Power(Power),
    /// Litres in an hour.
    Volume(VolumeRate),
    /// Kilograms in an hour.
    Mass(MassRate),
}

/// How long a load runs, or how much it uses at once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// It runs so long, at its rate.
    Time(Time),
    /// So many litres.
    Volume(Volume),
    /// So many kilograms.
    Mass(Mass),
}

/// When in the day something is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum DayPart {
    /// While people are up.
    Waking,
    /// In the middle of the day.
    Day,
    /// From dusk until people turn in.
    Evening,
    /// Around breakfast, lunch and supper.
    Meals,
}

/// What happens now and then.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Event {
    /// A head is flushed.
    Flush,
    /// A metre of chain comes up.
    ChainMetre,
    /// The boat goes alongside or leaves.
    Berthing,
    /// An engine is started.
    EngineStart,
    /// A litre of water is pumped.
    Litre,
    /// A hot meal is cooked.
    Meal,
}

/// How a load is used.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Runs {
    /// Whenever it can, this part of the time.
    Steady(Ratio),
    /// So much a day, and so much more for each person.
    Daily {
        /// For the boat.
        boat: Option<Amount>,
        /// For each person.
        each: Option<Amount>,
        /// When in the day.
        part: DayPart,
    },
    /// From sunset to sunrise.
    Dark,
    /// By its thermostat: it keeps `inside` against the air around it.
    Thermostat {
        /// The part of the time in which it runs when the air is at `duty_at`.
        duty: Ratio,
        /// The air at which it has that duty.
        duty_at: Temperature,
        /// What it keeps.
        inside: Temperature,
        /// How long it takes, switched off, to come to within 1/e of the air around.
        time_constant: Time,
    },
    /// At each event.
    Event {
        /// Which.
        per: Event,
        /// How long it runs for each, or what it uses.
        takes: Amount,
    },
    /// By the speed of an engine, by the propeller's law through this point.
    Engine(RotationalSpeed),
}

/// When a crew can do without a load.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Without {
    /// Switched off for the night.
    AtNight,
    /// Not used at all.
    Altogether,
}

/// What the boat is doing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Activity {
    /// Under sail, engine stopped.
    Sailing,
    /// Under engine.
    Motoring,
    /// At anchor.
    Anchored,
    /// On a mooring buoy.
    Moored,
    /// At a dock.
    Alongside,
    /// At anchor or on a buoy with the engine running for the batteries.
    Charging,
}

impl Activity {
    /// All of them, in the order of the format's table.
    pub const ALL: [Self; 6] =
        [Self::Sailing, Self::Motoring, Self::Anchored, Self::Moored, Self::Alongside, Self::Charging];

    /// The word used in boat files and plans.
    pub fn word(self) -> &'static str {
        crate::format::ACTIVITIES[self as usize]
    }
}

/// What empties a store, or fills a waste tank.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// The name used in the file.
    pub id: String,
    /// The name for people.
    pub name: String,
    /// What it is.
    pub item: Option<ItemId>,
    /// What it uses.
    pub kind: LoadKind,
    /// How much while it runs.
    pub rate: Option<Rate>,
    /// How it is used.
    pub runs: Runs,
    /// The stores that it empties or fills, in the order used. If empty: of current the first battery of the file,
    /// else all of its kind.
    pub stores: Vec<StoreId>,
    /// It can run while this holds.
    pub when: Expr,
    /// What the boat is doing while it is used; anything if empty.
    pub during: Vec<Activity>,
    /// Whether a crew can switch it off to save.
    pub do_without: Option<Without>,
    /// The resistance of its cable, there and back.
    pub cable: Option<Resistance>,
    /// The voltage at its own end below which it stops.
    pub cuts_out: Option<Voltage>,
    /// How far the figure may be off.
    pub give_or_take: Option<Ratio>,
    /// Where its facts come from.
    pub source: Option<String>,
}

/// How the boat stands while she does something.
#[derive(Debug, Clone, PartialEq)]
pub struct Mode {
    /// What she does.
    pub activity: Activity,
    /// The name for people.
    pub name: String,
    /// How controls and states stand.
    pub holds: Vec<Assign>,
    /// The engine's usual speed.
    pub rpm: Option<RotationalSpeed>,
    /// Where it comes from.
    pub source: Option<String>,
}

/// An anchor with its chain and rope.
#[derive(Debug, Clone, PartialEq)]
pub struct GroundTackle {
    /// The name used in the file.
    pub id: String,
    /// The name for people.
    pub name: String,
    /// What it is.
    pub item: Option<ItemId>,
    /// Length of the chain.
    pub chain: Option<Length>,
    /// Diameter of the chain's links.
    pub chain_size: Option<Length>,
    /// Length of the rope behind it.
    pub rope: Option<Length>,
    /// Diameter of the rope.
    pub rope_size: Option<Length>,
    /// Height of the bow roller above the water.
    pub bow_height: Option<Length>,
    /// What the anchor holds, if it is known.
    pub holds: Option<Force>,
    /// Where it comes from.
    pub source: Option<String>,
}
