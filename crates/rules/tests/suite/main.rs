//! The rules against what the trade facts say, and what holds for any boat, crew and kit.
#![allow(clippy::disallowed_methods, reason = "the tests read the reference data")]
#![allow(clippy::unwrap_used, reason = "the helpers of a test end it where something is not as it should be")]

mod cases;
mod dates;
mod demo;
mod fit;
mod read;
mod rows;
mod waste;
