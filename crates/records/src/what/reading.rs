//! What meters and gauges show.

use quantity::{Mass, Ratio, Time, Voltage, Volume};
use serde::{Deserialize, Serialize};

use crate::wire;

/// A meter or gauge of a boat, by the thing that it tells of.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Meter {
    /// Hours of an engine (an item).
    EngineHours(String),
    /// Level of a tank (a store).
    Tank(String),
    /// Voltage of a battery bank (a store).
    Voltage(String),
    /// State of charge of a battery bank (a store).
    Charge(String),
    /// Gas left in bottles (a store).
    Gas(String),
}

/// How full a tank is.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Level {
    /// As a part of what it holds.
    Part(#[serde(with = "wire")] Ratio),
    /// As a volume.
    Volume(#[serde(with = "wire")] Volume),
}

/// What a meter or gauge showed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "meter", rename_all = "snake_case")]
pub enum Reading {
    /// Hours of an engine.
    EngineHours {
        /// The engine (an item).
        engine: String,
        /// What its meter showed.
        #[serde(with = "wire")]
        hours: Time,
    },
    /// Level of a tank.
    Tank {
        /// The tank (a store).
        store: String,
        /// How full it was.
        level: Level,
    },
    /// Voltage of a battery bank.
    Voltage {
        /// The bank (a store).
        store: String,
        /// The voltage at rest or under load, as it was.
        #[serde(with = "wire")]
        voltage: Voltage,
    },
    /// State of charge of a battery bank.
    Charge {
        /// The bank (a store).
        store: String,
        /// The part of its capacity that the monitor showed.
        #[serde(with = "wire")]
        charge: Ratio,
    },
    /// Gas left, by weight, without the bottle.
    Gas {
        /// The bottles (a store).
        store: String,
        /// The weight of the gas.
        #[serde(with = "wire")]
        mass: Mass,
    },
}

impl Reading {
    /// The meter or gauge that was read.
    pub fn meter(&self) -> Meter {
        match self {
            Self::EngineHours { engine, .. } => Meter::EngineHours(engine.clone()),
            Self::Tank { store, .. } => Meter::Tank(store.clone()),
            Self::Voltage { store, .. } => Meter::Voltage(store.clone()),
            Self::Charge { store, .. } => Meter::Charge(store.clone()),
            Self::Gas { store, .. } => Meter::Gas(store.clone()),
        }
    }
}
