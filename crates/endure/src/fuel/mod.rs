//! Diesel, gas and heat: how fast they go, and how long they last. Water and waste are in [`supply`].
//!
//! ```
//! use endure::fuel::{Engine, Reserve, endurance};
//! use quantity::{RotationalSpeed, Volume, VolumeRate};
//!
//! // The base knows one thing: she burns 2.3 litres an hour at 2000 revolutions.
//! let engine = Engine::known(VolumeRate::litres_per_hour(2.3), RotationalSpeed::rpm(2000.0))?;
//! let slower = engine.burn(RotationalSpeed::rpm(1600.0))?;
//! assert!((slower.as_litres_per_hour() - 1.1776).abs() < 1e-9);
//! let tank = Volume::litres(150.0);
//! let lasts = endurance(tank, slower, Reserve::ThirdOf(tank))?;
//! assert_eq!(lasts.usable, Volume::litres(100.0));
//! # Ok::<(), endure::fuel::Fault>(())
//! ```

mod diesel;
mod gas;
mod heat;
mod range;
pub mod supply;

pub use crate::cable::Fault;
pub use diesel::{
    Density, Engine, Exponent, IDLE_PER_RATED_KILOWATT, IDLE_UNKNOWN_ENGINE, SpecificConsumption, hull_speed,
};
pub use gas::{Gas, Rating, bottle_may_hold, burner_rate, daily_use, days_left, gas_energy, hours_left};
pub use heat::{
    HEATER_ROWS, HeaterRow, btu_per_hour, diesel_energy, energy_to_warm, heater_burn, time_to_warm,
};
pub use range::{Endurance, Reserve, endurance};
