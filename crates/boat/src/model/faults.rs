//! How items fail: how often, what it looks like, how it is checked and mended.

use quantity::Time;

use super::{Assign, ConditionId, Hazard, ItemId, ProcedureId, Who};

/// A way in which an item fails.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// The name used in the file.
    pub id: String,
    /// What is wrong, in words.
    pub name: String,
    /// The item that fails.
    pub item: ItemId,
    /// What a person sees of it.
    pub seen: String,
    /// How often in a boat's charter year (season); nothing or more.
    pub per_year: f64,
    /// How much that rate weighs against records, in failures seen; more than 0, and 1 if the file says nothing.
    pub weight: f64,
    /// The conditions that don't hold while it is so: as the file says, else every condition that needs the item
    /// sound, but none if the fault is a value of a control or state ([`Fault::means`]).
    pub stops: Vec<ConditionId>,
    /// The position or value that is this fault, if it is one: then it is not something beside that value.
    pub means: Option<Assign>,
    /// How to check whether it is so.
    pub check: Option<String>,
    /// How long the check takes.
    pub check_takes: Option<Time>,
    /// Who may check it; always the base if there is a [`Fault::danger`].
    pub check_who: Who,
    /// How surely the check tells, as a part of 1: the chance that it says rightly whether it is so. More than 0.5,
    /// at most 1, and 0.95 if the file says nothing.
    pub sure: f64,
    /// Tools for checking and mending it.
    pub tools: Vec<String>,
    /// How to mend it.
    pub mend: Option<String>,
    /// The step list that mends it.
    pub mend_by: Option<ProcedureId>,
    /// How long mending takes.
    pub mend_takes: Option<Time>,
    /// Who may mend it; always the base if there is a [`Fault::danger`].
    pub mend_who: Who,
    /// What is dangerous about checking or mending it.
    pub danger: Option<Hazard>,
    /// The emergency list to follow at once when it is so; it is one ([`super::Procedure::emergency`]).
    pub emergency: Option<ProcedureId>,
    /// Spare parts used to mend it.
    pub parts: Vec<String>,
    /// Where its facts come from.
    pub source: Option<String>,
}
