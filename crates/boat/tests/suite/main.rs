//! Tests of the crate from outside, one module a subject.

#![allow(clippy::unwrap_used, reason = "a test helper that cannot go on fails the test")]
#![allow(clippy::disallowed_methods, reason = "the tests read their cases from files")]

mod broken;
mod cases;
mod demo;
mod edit;
mod facts;
mod faults;
mod library;
mod properties;
mod random_boat;
mod round_trip;
mod spans;
mod tape;
mod trip;
