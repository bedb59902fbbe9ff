//! Sun, sky and tide of a place: when it is light, how high the sun stands, what a level panel could catch, and
//! how high the water is.
//!
//! ```
//! use almanac::{Position, sky, sun};
//! use quantity::{Power, Temperature};
//!
//! let anchorage = Position::parse("43.9 N 69.6 W")?;
//! let date = jiff::civil::date(2026, 7, 17);
//! let sun::Daylight::Ordinary { rise, set } = sun::day(anchorage, date) else { panic!("no polar day in Maine") };
//! assert!(rise < set);
//!
//! let noon = sun::noon(anchorage, date);
//! let height = sun::height(anchorage, noon);
//! assert!(height.elevation.as_degrees() > 60.0);
//!
//! // A 100 W panel flat on the deck gives less than its rating, even at noon under a clear sky.
//! let light = sky::clear(anchorage, noon, sky::Turbidity::FAIR);
//! let power = sky::Panel::rated(Power::watts(100.0)).power(light, Temperature::celsius(22.0));
//! assert!(power > Power::watts(70.0) && power < Power::watts(100.0));
//! # Ok::<(), almanac::PositionError>(())
//! ```
//!
//! Moments are UTC ([`jiff::Timestamp`]); this crate knows no clock and no time zones. A date is a day of the
//! place's own sun, see [`sun::day`].

mod moment;
mod position;
pub mod sky;
pub mod sun;
pub mod tide;

pub use position::{Position, PositionError};
