//! What is wrong: from a symptom to its cause, the next best check, and what the records teach.
//!
//! Health of items and positions of controls are the unknowns, the boat file's conditions are the logic, what a crew
//! says and sees are the observations. [`symptoms`] are derived from the boat file; a [`Case`] takes a symptom and
//! answers, and says what is suspected, how surely, and what to do next.

mod ask;
mod bits;
mod case;
pub mod diagnose;
pub mod fleet;
mod ground;
mod guide;
mod hope;
pub mod infer;
mod layout;
pub mod learn;
mod names;
mod next;
pub mod order;
mod rates;
pub mod spares;
mod standing;
mod symptom;
pub mod system;
pub mod trial;
pub mod words;
pub mod worlds;

pub use ask::{Ask, Reply, Told, restores};
pub use case::{CALL_MINUTES, Case, FACT_SURE, KNOWN_SAVES, MEND_SURE, POSITION_SURE, SPOILS, Terms};
pub use guide::{Guide, GuideNode};
pub use hope::{Hope, hope};
pub use layout::Cause;
pub use names::{BoxEnd, BoxNames};
pub use next::{Next, Step, Why};
pub use rates::{
    MOVED, Rates, SET_WRONG, STATE_OTHERWISE, UNKNOWN_CAUSE, UNLISTED_ITEM, WEEKS_A_YEAR, within_a_week,
};
pub use standing::{Suspect, Together};
pub use symptom::{About, Symptom, by_id, find, symptoms};
