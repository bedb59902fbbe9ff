//! The tests of this crate in one program.
#![allow(clippy::unwrap_used, reason = "a test that can't go on has failed")]

mod aid;
mod answers;
mod boats;
mod clocks;
mod closing;
mod comparing;
mod defects;
mod dues;
mod ids;
mod json;
mod life;
mod money;
mod order;
mod persons;
mod readings;
mod reports;
mod rules;
