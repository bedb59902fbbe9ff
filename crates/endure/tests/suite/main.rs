//! The stores engine against outside tables, laws that must hold, and bad input.
#![allow(clippy::disallowed_methods, reason = "the tests read the reference data")]

mod battery;
mod budgets;
mod fuel;
mod laws;
mod meter;
mod refusals;
mod remedy;
mod tackle;
