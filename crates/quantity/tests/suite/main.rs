//! Tests of the crate from outside, one module a subject.

#![allow(clippy::unwrap_used, reason = "a test helper that cannot go on fails the test")]
#![allow(clippy::float_cmp, reason = "these figures are exact in binary and must come out exactly")]

mod factors;
mod faults;
mod laws;
mod people;
mod printing;
mod properties;
mod reading;
mod table;
mod types;
