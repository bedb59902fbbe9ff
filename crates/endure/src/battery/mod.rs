//! Batteries: how they give and take current, what their voltage shows, how much they really hold.
//!
//! Lead-acid is the kinetic two-well model of Manwell and McGowan (1993) with an open-circuit voltage, an inner
//! resistance, and charging limited by acceptance and by the charger's voltage. Lithium iron phosphate counts charge
//! and follows its voltage curve, with the limits of its protection.

mod bank;
mod defaults;
pub mod kibam;
mod spec;

pub use bank::{Bank, Charged, Flow, Stage};
pub use defaults::{Chemistry, Defaults};
pub use spec::{BankSpec, SpecError};
