//! Typed units for a boat: charge, voltage, volume, length, time and the rest.
//!
//! Each dimension is its own type, made by constructors that say the unit and read by getters that say
//! it ([`Charge::amp_hours`], [`Charge::as_amp_hours`]). Only arithmetic that has meaning compiles. What
//! people write ("230 Ah", "1 h 30 min", "5 ft 6 in") is read by [`Quantity::parse`] or by the `parse` of
//! a type; what is printed by `Display` reads back as exactly the same value. One public table of units
//! ([`units`]) drives reading and printing.
//!
//! ```
//! use quantity::{Charge, Energy, System, Voltage, Volume};
//!
//! let bank = Charge::parse("230 Ah")?;
//! let stored: Energy = bank * Voltage::volts(12.5);
//! assert_eq!(stored.to_string(), "2.875 kWh");
//! assert_eq!(Volume::litres(400.0).display(System::UsCustomary), "105.7 gal");
//! let fault = Charge::parse("230 V").unwrap_err();
//! assert_eq!(fault.to_string(), "230 V is a voltage; a charge is wanted here, such as 230 Ah.");
//! # Ok::<(), quantity::ParseError>(())
//! ```
//!
//! [`Money`] is exact: whole minor units and a currency, not the binary numbers of physical quantities.

mod dimension;
mod error;
mod laws;
mod money;
mod parse;
mod print;
mod quantity;
mod table;
mod temperature;
mod typed;
mod types;
mod unit;

pub use dimension::Dimension;
pub use error::{ErrorKind, ParseError, WrongDimension};
pub use money::{Money, MoneyError};
pub use quantity::Quantity;
pub use temperature::{Temperature, TemperatureDifference};
pub use types::{
    Angle, Area, Charge, Current, Energy, Force, Frequency, Length, Mass, MassRate, Power, Pressure, Ratio,
    Resistance, RotationalSpeed, Speed, Time, Voltage, Volume, VolumeRate,
};
pub use unit::{System, Unit, find_unit, units};
