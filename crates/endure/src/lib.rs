//! Will it last: power, water, waste, diesel and gas over a trip, minute by minute.

pub mod battery;
pub mod cable;
pub mod change;
pub mod check;
pub mod forecast;
pub mod fuel;
pub mod log;
pub mod luck;
pub mod marks;
pub mod meter;
pub mod plan;
pub mod remedy;
pub mod run;
pub mod stance;
pub mod tackle;
pub mod voyage;
pub mod words;

pub use forecast::{Forecast, reckon};
pub use voyage::Voyage;
