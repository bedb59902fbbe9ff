//! What hands do to a boat and what she does in turn: step lists run, proven and searched, and what slips do.
//!
//! [`Model::new`] makes a compiled boat ready; every question is then asked of the model:
//! [`run()`] follows a step list, [`prove()`] finds everything that is wrong with all of them, [`slips()`] plays what
//! people get wrong, [`way()`] finds the shortest safe way to what is wanted, [`traps()`] the stands without one.

mod belief;
mod model;
mod narrow;
mod pddl;
mod planning;
mod possible;
mod prove;
mod rehearse;
mod run;
mod say;
mod slips;
mod stand;
mod timed;
mod traps;
mod way;
mod why_not;
mod words;
mod world;

pub use model::Model;
pub use pddl::Part;
pub use prove::{ProcedureProof, Proof, prove, prove_procedure};
pub use run::{Change, End, ReadingChange, StepOutcome, StepTrace, Trace, cautions, run, run_from};
pub use say::{event_words, step_words};
pub use search::Budget;
pub use slips::{
    Back, Class, Notice, Rate, Read, Slip, SlipKind, Slips, Use, all_slips, rates, slips, weight,
};
pub use stand::Stand;
pub use traps::{Covered, Trap, Traps, traps};
pub use way::{Answer, NoWay, Pilot, Way, way};
pub use world::Event;
