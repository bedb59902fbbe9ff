//! The trip plan: what a crew means to do with the boat, day by day, and what it read on the way.
//!
//! A small TOML text of its own, read with the same care as a boat file: every fault has a place and how to mend
//! it. [`compile`] gives a [`Trip`]; whether the boat can do what it says is for the engine that reckons with it.

mod day;
mod keys;
mod read;
mod write;

use quantity::{Angle, Current, Length, Ratio, RotationalSpeed, Temperature, Time, Voltage, Volume};

use crate::diagnostic::Diagnostic;
use crate::model::Activity;
use crate::source::{Sources, Span};

pub use keys::reference;
pub use read::compile;
pub use write::write;

/// A time of day, in minutes since midnight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Clock(u16);

impl Clock {
    /// A time of day.
    ///
    /// # Panics
    /// If there is no such time.
    pub const fn at(hour: u16, minute: u16) -> Self {
        assert!(hour < 24 && minute < 60, "a day has 24 hours of 60 minutes");
        Self(hour * 60 + minute)
    }

    /// Reads `16:00` or `7:30`.
    pub fn parse(text: &str) -> Option<Self> {
        let (hour, minute) = text.trim().split_once(':')?;
        let figures = |part: &str, least: usize| {
            let good = (least..=2).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
            good.then(|| part.parse::<u16>().ok()).flatten()
        };
        let (hour, minute) = (figures(hour, 1)?, figures(minute, 2)?);
        (hour < 24 && minute < 60).then_some(Self(hour * 60 + minute))
    }

    /// Minutes since midnight.
    pub const fn minutes(self) -> u32 {
        self.0 as u32
    }
}

impl std::fmt::Display for Clock {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:02}:{:02}", self.0 / 60, self.0 % 60)
    }
}

/// The air and the sky of a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weather {
    /// Coldest, before dawn.
    pub low: Temperature,
    /// Warmest, in the afternoon.
    pub high: Temperature,
    /// The part of the sky that is clouded.
    pub cloud: Ratio,
}

/// What the crew uses, each person on a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Habits {
    /// Fresh water each, if the plan says it; else as the boat file's loads say.
    pub water_each: Option<Volume>,
    /// Flushes each.
    pub flushes_each: f64,
    /// Hot meals.
    pub meals: f64,
}

/// A stretch of a day under way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leg {
    /// Sailing, or motoring.
    pub activity: Activity,
    /// When it begins.
    pub from: Clock,
    /// How long it lasts.
    pub lasts: Time,
    /// The engine's speed; the boat file's usual one if absent.
    pub rpm: Option<RotationalSpeed>,
}

/// The engine run for the batteries while the boat lies still.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EngineRun {
    /// When it begins.
    pub from: Clock,
    /// How long it lasts.
    pub lasts: Time,
    /// The engine's speed; the boat file's usual one if absent.
    pub rpm: Option<RotationalSpeed>,
}

/// What a dock gives.
#[allow(clippy::struct_excessive_bools, reason = "each service is had or not, whatever the others are")]
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Dock {
    /// What the pedestal gives, if shore power is used.
    pub pedestal: Option<Current>,
    /// Whether the plan says that there is none.
    pub no_pedestal: bool,
    /// Water tanks are filled.
    pub water: bool,
    /// Waste tanks are pumped out.
    pub pump_out: bool,
    /// Diesel is filled.
    pub fuel: bool,
    /// Empty bottles are changed.
    pub gas: bool,
}

/// One day of the trip, with the night after it.
#[derive(Debug, Clone, PartialEq)]
pub struct Day {
    /// Under way, in the order of the day.
    pub legs: Vec<Leg>,
    /// Engine for the batteries.
    pub engine: Vec<EngineRun>,
    /// Where she lies when she is not under way, and for the night: anchored, moored or alongside.
    pub night: Activity,
    /// What the dock gives; a call at a dock in passing is written the same way.
    pub dock: Dock,
    /// Chain let out at anchor.
    pub chain: Option<Length>,
    /// The weather, where it differs from the trip's.
    pub weather: Option<Weather>,
    /// Where it was written.
    pub span: Span,
}

/// How full a store is at the start.
#[derive(Debug, Clone, PartialEq)]
pub struct Level {
    /// The store's id.
    pub store: String,
    /// How full.
    pub level: Ratio,
    /// Where it was written.
    pub span: Span,
}

/// What a crew read from a gauge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sight {
    /// A bank's voltage.
    Voltage(Voltage),
    /// A level as a part of the whole.
    Level(Ratio),
    /// Engine hours run since the start.
    EngineHours(Time),
}

/// A reading on the way.
#[derive(Debug, Clone, PartialEq)]
pub struct Sighting {
    /// The day, from 1.
    pub day: u32,
    /// When.
    pub at: Clock,
    /// The store's id; nothing for engine hours.
    pub store: Option<String>,
    /// What was read.
    pub sight: Sight,
    /// Where it was written.
    pub span: Span,
}

/// A load that the crew does without.
#[derive(Debug, Clone, PartialEq)]
pub struct Saving {
    /// The load's id.
    pub load: String,
    /// Where it was written.
    pub span: Span,
}

/// A trip plan.
#[derive(Debug, Clone)]
pub struct Trip {
    /// The boat's name, if the plan says it.
    pub boat: Option<String>,
    /// People aboard.
    pub crew: u32,
    /// The first day, `YYYY-MM-DD`.
    pub starts: String,
    /// When the crew takes her over.
    pub from: Clock,
    /// When she is back on the last day.
    pub until: Clock,
    /// The last day of the charter, if the plan says it.
    pub ends: Option<String>,
    /// No engine from this time of the evening.
    pub quiet_from: Clock,
    /// Nor before this time of the morning.
    pub quiet_until: Clock,
    /// The usual weather.
    pub weather: Weather,
    /// What the crew uses.
    pub habits: Habits,
    /// How far the clocks aboard are ahead of UTC; from the longitude if absent.
    pub utc_offset: Option<Time>,
    /// Where she sails; the boat's base if absent.
    pub latitude: Option<Angle>,
    /// Where she sails; the boat's base if absent.
    pub longitude: Option<Angle>,
    /// How full she leaves; full (waste empty) if not said.
    pub levels: Vec<Level>,
    /// Loads switched off at night.
    pub off_at_night: Vec<Saving>,
    /// Loads not used at all.
    pub off: Vec<Saving>,
    /// The days.
    pub days: Vec<Day>,
    /// What was read on the way.
    pub readings: Vec<Sighting>,
    /// Where `[plan]` was written.
    pub span: Span,
}

/// A trip plan read: the trip, if it is well formed, and all there is to say about the text.
#[derive(Debug, Clone)]
pub struct CompiledTrip {
    /// The trip; `None` if there is an error.
    pub trip: Option<Trip>,
    /// What is wrong, in the order of the text.
    pub diagnostics: Vec<Diagnostic>,
    /// The text that the diagnostics point at.
    pub sources: Sources,
}
