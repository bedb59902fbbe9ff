//! The boat as a planning problem in PDDL, the open planning language, so that general planners can check the ways.
//!
//! A planner that may not trust its estimates (no estimate of the common ones is known to be safe with derived facts)
//! must go through states one by one, and a whole boat has far too many. So a part of her is exported: the controls
//! and states nearest to the goal move, everything else stays as it stands at the start, and its values are folded
//! into every condition. Both planners are asked about the same part: [`Part::task`] for ours, [`Part::domain`] and
//! [`Part::problem`] for the other. The shortest way on the part is never shorter than on the whole boat, as whatever
//! can be done on the part can be done on her.

mod part;
mod write;

pub use part::Part;
