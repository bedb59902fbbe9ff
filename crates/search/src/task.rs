//! The planning task as its maker builds it: variables, derived facts, operators, events, what is forbidden, the goal.

use std::fmt;

use crate::{DerivedId, EventId, Formula, OpId, VarId};

/// A planning task over finite-domain variables with derived facts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Task {
    /// The variables with their number of values and value at the start.
    pub variables: Vec<Variable>,
    /// Facts which follow from the variables and from other facts.
    pub derived: Vec<Derived>,
    /// What can be done.
    pub operators: Vec<Operator>,
    /// What happens by itself after each operator; see [`Event`].
    pub events: Vec<Event>,
    /// States which no plan may enter: judged after an operator and the events that follow it.
    /// The state a search starts from may lie in it, but the last state of a plan may not.
    pub forbidden: Formula,
    /// What is to be reached.
    pub goal: Formula,
}

/// A finite-domain variable.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Variable {
    /// Its name, for messages.
    pub name: String,
    /// Number of values, 1 to 255; the values are `0..size`.
    pub size: u8,
    /// Value in the initial state.
    pub initial: u8,
}

/// A derived fact: it holds exactly when its body does. Bodies may use facts of the same stratum, also recursively
/// (the least fixpoint is meant), and the negation of facts of lower strata.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Derived {
    /// Its name, for messages.
    pub name: String,
    /// When it holds. Several rules for one fact are one [`Formula::Any`].
    pub body: Formula,
}

/// Something that can be done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Operator {
    /// Its name, for messages.
    pub name: String,
    /// Cost of doing it once, 0 to 1,000,000.
    pub cost: u32,
    /// When it can be done.
    pub precondition: Formula,
    /// What it changes.
    pub effects: Vec<Effect>,
}

/// A change that happens by itself. After every operator the events are gone through in their order; each whose
/// condition holds and whose effects change something fires at once; this is repeated until none fires.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Event {
    /// Its name, for messages.
    pub name: String,
    /// When it happens.
    pub condition: Formula,
    /// What it changes.
    pub effects: Vec<Effect>,
}

/// `condition => variable := value`. All conditions of one operator are judged in the state before it; of two
/// effects on one variable that both apply, the later one wins.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Effect {
    /// When the effect applies.
    pub condition: Formula,
    /// The variable that is set.
    pub variable: VarId,
    /// Its new value.
    pub value: u8,
}

impl Effect {
    /// `variable := value`, always.
    pub fn set(variable: VarId, value: u8) -> Self {
        Self { condition: Formula::True, variable, value }
    }

    /// `condition => variable := value`.
    pub fn when(condition: Formula, variable: VarId, value: u8) -> Self {
        Self { condition, variable, value }
    }
}

impl Default for Task {
    fn default() -> Self {
        Self::new()
    }
}

impl Task {
    /// A task with nothing in it: nothing forbidden, and a goal that always holds.
    pub fn new() -> Self {
        Self {
            variables: Vec::new(),
            derived: Vec::new(),
            operators: Vec::new(),
            events: Vec::new(),
            forbidden: Formula::False,
            goal: Formula::True,
        }
    }

    /// Adds a variable with values `0..size`.
    pub fn variable(&mut self, name: impl Into<String>, size: u8, initial: u8) -> VarId {
        self.variables.push(Variable { name: name.into(), size, initial });
        VarId::new(self.variables.len() - 1)
    }

    /// Adds a derived fact. For recursive facts, add them with `Formula::False` and [`define`](Self::define) later.
    pub fn fact(&mut self, name: impl Into<String>, body: Formula) -> DerivedId {
        self.derived.push(Derived { name: name.into(), body });
        DerivedId::new(self.derived.len() - 1)
    }

    /// Replaces the body of a derived fact.
    ///
    /// # Panics
    /// If the fact is not one of this task.
    pub fn define(&mut self, fact: DerivedId, body: Formula) {
        self.derived[fact.index()].body = body;
    }

    /// Adds an operator.
    pub fn operator(
        &mut self,
        name: impl Into<String>,
        cost: u32,
        precondition: Formula,
        effects: Vec<Effect>,
    ) -> OpId {
        self.operators.push(Operator { name: name.into(), cost, precondition, effects });
        OpId::new(self.operators.len() - 1)
    }

    /// Adds an event behind those there are.
    pub fn event(&mut self, name: impl Into<String>, condition: Formula, effects: Vec<Effect>) -> EventId {
        self.events.push(Event { name: name.into(), condition, effects });
        EventId::new(self.events.len() - 1)
    }
}

/// Why a task or a condition cannot be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TaskError {
    /// A condition or effect names a variable the task does not have.
    UnknownVariable(VarId),
    /// A condition names a derived fact the task does not have.
    UnknownFact(DerivedId),
    /// A value is not among those of its variable.
    ValueOutOfRange {
        /// The variable.
        variable: VarId,
        /// The value asked for.
        value: u8,
        /// The number of values the variable has.
        size: u8,
    },
    /// A variable has no values at all.
    EmptyVariable(VarId),
    /// An operator costs more than 1,000,000.
    CostTooHigh(OpId),
    /// A list of values is not as long as the task has variables.
    WrongLength {
        /// The number of values given.
        given: usize,
        /// The number of variables.
        wanted: usize,
    },
    /// Derived facts depend on each other's negation in a circle, so their meaning is not defined.
    NotStratified(Vec<DerivedId>),
}

impl fmt::Display for TaskError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::UnknownVariable(id) => write!(f, "The task has no variable with index {}.", id.index()),
            Self::UnknownFact(id) => write!(f, "The task has no derived fact with index {}.", id.index()),
            Self::ValueOutOfRange { variable, value, size } => write!(
                f,
                "Value {value} is not one of the {size} values (counted from 0) of the variable with index {}.",
                variable.index()
            ),
            Self::EmptyVariable(id) => {
                write!(f, "The variable with index {} has no values; give it at least one.", id.index())
            }
            Self::CostTooHigh(id) => write!(
                f,
                "The operator with index {} costs more than 1000000; count costs in a larger unit.",
                id.index()
            ),
            Self::WrongLength { given, wanted } => {
                write!(f, "{given} values were given for {wanted} variables; give one value for each.")
            }
            Self::NotStratified(facts) => {
                let list: Vec<String> = facts.iter().map(|fact| fact.index().to_string()).collect();
                write!(
                    f,
                    "The derived facts with indices {} depend on each other through a negation, which has no clear \
                     meaning. Take the negation out of the circle.",
                    list.join(", ")
                )
            }
        }
    }
}

impl std::error::Error for TaskError {}
