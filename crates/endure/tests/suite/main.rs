//! The stores engine against outside tables, laws that must hold, and bad input.
#![allow(clippy::disallowed_methods, reason = "the tests read the reference data")]

mod battery;
mod fuel;
mod tackle;
mod remedy;
mod meter;
mod laws;
mod budgets;
mod refusals;
