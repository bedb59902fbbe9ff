//! Rates of failure from records, and the spares to hold.
//!
//! [`Gamma`] and [`Beta`] are what is known of one rate; [`Fleet`] learns from many boats at once; [`Demand`] tells how
//! many pieces will be wanted.

mod demand;
mod fleet;
mod grid;
mod rate;
mod special;

pub use demand::{Demand, MOST_PIECES};
pub use fleet::{Before, Fleet, Learned, Level, Record, Spread, Whose};
pub use rate::{Beta, Gamma, Rate};
