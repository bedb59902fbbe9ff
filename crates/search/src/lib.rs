//! Optimal plans in finite-domain planning tasks with derived facts, forced events and forbidden states.
//!
//! A [`Task`] is built once and compiled into a [`Planner`], which answers many questions about it: what follows
//! from a state, what an operator does, the cheapest way to a goal.

mod apply;
mod astar;
mod bits;
mod budget;
mod condition;
mod formula;
mod heuristic;
mod ids;
pub mod order;
pub mod pddl;
mod planner;
mod reach;
mod relevance;
mod rules;
mod scope;
mod state;
mod stubborn;
mod symbolic;
mod table;
mod task;
mod traps;

pub use apply::{Done, Refusal};
pub use astar::{Answer, EventLoop, Method, Outcome, Plan, Statistics};
pub use budget::Budget;
pub use condition::Condition;
pub use formula::Formula;
pub use ids::{DerivedId, EventId, OpId, VarId};
pub use planner::{Goal, Planner};
pub use reach::{Reach, Way};
pub use state::{Facts, State};
pub use symbolic::Survey;
pub use task::{Derived, Effect, Event, Operator, Task, TaskError, Variable};
pub use traps::{Trap, Traps};
