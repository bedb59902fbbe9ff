//! Batteries: how they give and take current, what their voltage shows, how much they really hold.
//!
//! A lead-acid bank is the kinetic model of Manwell and McGowan (1993): two wells of charge, of which one is at hand
//! and the other follows in its own time, so that a bank gives less when it is emptied fast and recovers at rest.
//! On it stand a rest voltage by the well at hand, an inner resistance, and charging that is limited by what the
//! bank accepts, by the room in the well at hand, and by the voltage that the regulator holds. A bank of lithium iron
//! phosphate counts charge, follows its voltage curve, and is switched off by its own protection.
//!
//! The public interface uses words for directions (drawn, offered, taken). Where a current has a sign, positive is
//! into the bank.
//!
//! # How far off
//!
//! The charging form has two constants for lead-acid, fitted to one line of a bench test of one AGM battery
//! (95.7 Ah; reference/trade-facts.md, section 9c): at 0.4 A per Ah from half full, 14.35 V is reached at 63.3 %, and
//! full after 5.5 h. What it then predicts, beside what the bench found:
//!
//! | | bench | model |
//! |---|---|---|
//! | 0.4 A per Ah, after 1 h | 84.9 % | 78.7 %: 6 points too little |
//! | 0.2 A per Ah, voltage reached at | 77.4 % | 76.1 %: 1 point too early |
//! | 0.2 A per Ah, full after | 5.5 h, 12 min from the other | 5.9 h, 25 min from the other |
//!
//! The error is on the side of caution: less charge after an hour of engine. The same constants serve flooded and gel
//! batteries, for which no bench test was found; they are not checked there. Charging in the cold is not slowed for
//! lead-acid (no figures were found), only the capacity shrinks.

mod bank;
mod curve;
mod defaults;
pub mod kibam;
pub mod peukert;
mod spec;
mod state;
mod step;

pub use bank::Bank;
pub use defaults::{Chemistry, Defaults};
pub use spec::{BankSpec, SpecError};
pub use state::{Charged, Flow, Stage};
