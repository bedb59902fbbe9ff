//! What a crew must be told and shown before they sail, in the time there is.
//!
//! [`Briefing::new`] gathers the topics of a boat: those that her file writes, and those that follow from it (a step
//! list, a caution, a thing to find in an emergency, an open defect, a rule, a line of a published list that no written
//! topic covers). [`Briefing::plan`] then chooses what is shown, what is told in short and what is left to reading, by
//! the risk that each minute takes away, and puts it in an order with one start of the engine and little walking.
//! [`Briefing::cover`] tells which topic covers each line of a published list.
//!
//! What is left out of a plan is never lost: it is in [`Plan::reading`].

mod arrange;
mod choose;
mod cover;
mod engine;
mod gather;
mod plan;
mod played;
mod risk;
mod topic;

pub use choose::Depth;
pub use cover::{Cover, Covered};
pub use gather::{Flaw, Given, Law, Line};
pub use plan::{Ask, Plan, Stop};
pub use played::{Played, played};
pub use risk::{Experience, Risk, Source, Trip, sources};
pub use topic::{Always, Briefing, Engine, Origin, Topic};
