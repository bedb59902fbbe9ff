//! The part of a task that a question is asked of: all of it, or only what can matter for a goal.

use crate::OpId;
use crate::condition::Condition;
use crate::rules::Group;

/// Operators, events, derived facts and forbidden states to be looked at.
#[derive(Debug, Clone)]
pub(crate) struct Scope {
    /// Operators, ascending.
    pub(crate) operators: Vec<OpId>,
    /// Indices of events, ascending.
    pub(crate) events: Vec<usize>,
    /// Derived facts, in the order in which they are worked out.
    pub(crate) rules: Vec<Group>,
    /// States that may not be entered.
    pub(crate) forbidden: Condition,
    /// Bits of the state words that matter; the others keep the value they had at the start.
    pub(crate) keep: Vec<u64>,
    /// Whether derived facts must be known after an operator, for events or forbidden states.
    pub(crate) facts_after: bool,
}
