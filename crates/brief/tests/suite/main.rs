//! The briefing of the demo boats: what must be in is in, in an order that can be walked.

mod boats;
mod gather;
mod plan;
