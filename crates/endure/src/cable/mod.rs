//! What a cable takes from the voltage between the bank and what it feeds.
//!
//! ```
//! use endure::cable::{self, Form};
//! use quantity::{Current, Length, Voltage};
//!
//! // A refrigerator of 5 A, 12 m of cable there and back, 1.5 mm².
//! let area = cable::square_millimetres(1.5);
//! let arrives = cable::at_load(Voltage::volts(11.6), Current::amps(5.0), Length::metres(12.0), area)?;
//! assert!(arrives < Voltage::volts(11.0));
//! let needed = cable::area_needed(
//!     Form::CircularMils,
//!     Current::amps(5.0),
//!     Length::metres(12.0),
//!     cable::Circuit::Critical.permitted_drop(Voltage::volts(12.0)),
//! )?;
//! assert_eq!(cable::gauge_for(needed).map(cable::Gauge::name), Some("12"));
//! # Ok::<(), endure::cable::Fault>(())
//! ```
//!
//! Two forms of the same law are in use. They differ by nine hundredths, since one reckons with warmer
//! copper; what must be one of the two here is the more cautious.

mod fault;
mod loss;
mod size;

pub use fault::Fault;
pub(crate) use fault::{above_zero, number, zero_or_more};
pub use loss::{Circuit, Form, HEAT_CAUTION, area_needed, at_load, at_source, drop, resistance, say_cut_out};
pub use size::{
    GAUGES, Gauge, METRIC_SIZES, as_circular_mils, as_square_millimetres, circular_mils, gauge_for,
    metric_for, square_millimetres,
};
