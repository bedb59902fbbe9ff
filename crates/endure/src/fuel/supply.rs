//! Water and waste: what people use in a day, and the tanks that this asks for.
//!
//! Figures are from `reference/trade-facts.md`, sections 8a and 8b, where each has its source.

use quantity::{Charge, Current, Ratio, Time, Volume};

use crate::cable::{Fault, above_zero, zero_or_more};

/// From the least to the most that was found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// The least.
    pub least: Volume,
    /// The most; plan with it.
    pub most: Volume,
}

const fn litres(least: f64, most: f64) -> Span {
    Span { least: Volume::litres(least), most: Volume::litres(most) }
}

/// How a crew lives with its water.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum WaterHabit {
    /// Drinking and cooking only, as when racing.
    Racing,
    /// Careful but comfortable.
    Careful,
    /// The common figure of charter bases.
    Charter,
    /// A cruising holiday with showers.
    Holiday,
    /// As at home.
    AsAshore,
}

impl WaterHabit {
    /// What one person uses in a day.
    ///
    /// Source: a sailing article; `Charter` is common practice.
    pub const fn a_person_a_day(self) -> Span {
        match self {
            Self::Racing => litres(5.0, 5.0),
            Self::Careful => litres(25.0, 25.0),
            Self::Charter => litres(25.0, 35.0),
            Self::Holiday => litres(75.0, 75.0),
            Self::AsAshore => litres(150.0, 150.0),
        }
    }
}

/// All-in use of a person in a day on long-range cruisers: 3.7 US gallons. Source: a handbook's survey.
pub const LONG_RANGE_WATER: Volume = Volume::us_gallons(3.7);
/// A careful shower: 8 to 15 litres. Source: two texts.
pub const CAREFUL_SHOWER: Span = litres(8.0, 15.0);
/// The least tank for each berth: 15 US gallons. Source: a handbook.
pub const TANK_PER_BERTH: Volume = Volume::us_gallons(15.0);

/// Returns the water for a crew over some time, with a reserve on top (30 % is usual).
pub fn water_needed(
    people: u32,
    time: Time,
    a_person_a_day: Volume,
    reserve: Ratio,
) -> Result<Volume, Fault> {
    zero_or_more("The reserve of water", reserve.as_plain(), reserve)?;
    Ok(used(people, time, a_person_a_day)? * (1.0 + reserve.as_plain()))
}

/// Returns how long some water lasts a crew.
pub fn water_lasts(left: Volume, people: u32, a_person_a_day: Volume) -> Result<Time, Fault> {
    zero_or_more("What is left in the tank", left.as_litres(), left)?;
    above_zero("What one person uses in a day", a_person_a_day.as_litres(), a_person_a_day)?;
    lasts(left, people, a_person_a_day)
}

fn lasts(amount: Volume, people: u32, a_person_a_day: Volume) -> Result<Time, Fault> {
    above_zero("The number of people", f64::from(people), people)?;
    Ok(Time::days(amount / (a_person_a_day * f64::from(people))))
}

/// Returns the least fresh-water tank for some berths.
pub fn least_water_tank(berths: u32) -> Volume {
    TANK_PER_BERTH * f64::from(berths)
}

/// A kind of toilet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Toilet {
    /// Pumped by hand.
    Manual,
    /// Pumped by a motor.
    Electric,
    /// The thriftiest found.
    LowWater,
    /// Emptied by vacuum.
    Vacuum,
}

impl Toilet {
    /// What goes into the tank at a flush.
    pub const fn flush(self) -> Span {
        match self {
            Self::Manual => litres(4.0, 8.0),
            Self::Electric => litres(6.0, 11.0),
            Self::LowWater => litres(0.5, 0.7),
            Self::Vacuum => litres(0.95, 1.0),
        }
    }
}

/// Flushes by one person in a day, least and most: common practice; often five.
pub const FLUSHES: (f64, f64) = (4.0, 6.0);
/// The least waste of one person in a day: 3 US gallons. Source: a boating agency.
pub const LEAST_WASTE: Volume = Volume::us_gallons(3.0);
/// What the holding tank is made larger by, since it counts as full at three quarters. Source: a wiki.
pub const HOLDING_TANK_FACTOR: f64 = 1.4;
/// The part of a tank that took waste before it was full, in an owner's test: 16 of 25 gallons.
pub const USABLE_PART: Ratio = Ratio::percent(64.0);

/// Returns what an electric toilet takes from the bank at a flush: 10 A for 30 s. Source: a magazine.
pub fn flush_charge() -> Charge {
    Current::amps(10.0) * Time::seconds(30.0)
}

/// Returns the waste of one person in a day from the flushes.
pub fn waste_a_person_a_day(flushes: f64, flush: Volume) -> Result<Volume, Fault> {
    zero_or_more("The number of flushes", flushes, flushes)?;
    zero_or_more("What goes in at a flush", flush.as_litres(), flush)?;
    Ok(flush * flushes)
}

/// Returns the holding tank for a crew over some time: 1.4 × people × days × what each makes in a day.
pub fn holding_tank_needed(people: u32, time: Time, a_person_a_day: Volume) -> Result<Volume, Fault> {
    Ok(used(people, time, a_person_a_day)? * HOLDING_TANK_FACTOR)
}

/// Returns how long a crew takes to fill what is free in the holding tank; `part` of it can really be used.
pub fn holding_lasts(free: Volume, part: Ratio, people: u32, a_person_a_day: Volume) -> Result<Time, Fault> {
    zero_or_more("The part of the tank that can be used", part.as_plain(), part)?;
    zero_or_more("What is free in the holding tank", free.as_litres(), free)?;
    above_zero("What one person makes in a day", a_person_a_day.as_litres(), a_person_a_day)?;
    lasts(free * part, people, a_person_a_day)
}

/// A toilet that needs little water, for sizing by berths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Thrifty {
    /// Flushed with fresh water: 10 litres for each berth and day.
    FreshWater,
    /// With its own liquid going round: 2 litres for each berth and day.
    Recirculating,
}

/// Returns the holding tank for berths with a thrifty toilet. Source: a surveyor's note.
pub fn thrifty_tank(kind: Thrifty, berths: u32, time: Time) -> Result<Volume, Fault> {
    let a_day = if kind == Thrifty::FreshWater { 10.0 } else { 2.0 };
    used(berths, time, Volume::litres(a_day))
}

fn used(people: u32, time: Time, a_person_a_day: Volume) -> Result<Volume, Fault> {
    zero_or_more("The time", time.as_seconds(), time)?;
    zero_or_more("What one person uses in a day", a_person_a_day.as_litres(), a_person_a_day)?;
    Ok(a_person_a_day * (f64::from(people) * time.as_days()))
}
