//! The stores engine against outside tables, laws that must hold, and bad input.
#![allow(clippy::disallowed_methods, reason = "the tests read the reference data")]
#![allow(clippy::unwrap_used, reason = "a panic is how a test fails")]
#![allow(clippy::format_push_string, clippy::format_collect, reason = "the tests make small texts")]

mod battery;
mod budgets;
mod fuel;
mod laws;
mod meter;
mod refusals;
mod remedy;
mod tackle;
