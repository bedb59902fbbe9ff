//! The almanac against outside tables, and what holds on every day and in every place.
#![allow(clippy::disallowed_methods, reason = "the tests read the reference data")]
#![allow(clippy::unwrap_used, reason = "the helpers of a test end it where something is not as it should be")]

mod position;
mod reference;
mod sky;
mod sun;
mod tide;
mod tide_m1;
mod tide_text;
