//! How the boat stands: one value for every control and state.

use boat::model::{Boat, Id, Value, VarId};

/// The value of every control and state of one boat.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Stand(pub(crate) Box<[u8]>);

impl Stand {
    /// The boat at rest: every control and state as she is to be left.
    pub fn at_rest(boat: &Boat) -> Self {
        Self(boat.vars.iter().map(|var| var.rest.0).collect())
    }

    /// The value of a control or state.
    pub fn get(&self, var: VarId) -> Value {
        Value(self.0[var.index()])
    }

    /// The same stand with one value set by hand; nothing follows from it.
    #[must_use]
    pub fn with(mut self, var: VarId, value: Value) -> Self {
        self.0[var.index()] = value.0;
        self
    }

    /// The values in the order of [`Boat::vars`].
    pub fn values(&self) -> impl ExactSizeIterator<Item = (VarId, Value)> + '_ {
        self.0.iter().enumerate().map(|(at, value)| (VarId::at(at), Value(*value)))
    }

    /// The controls and states whose values differ, with the value here and the value there.
    pub fn changes<'a>(&'a self, to: &'a Stand) -> impl Iterator<Item = (VarId, Value, Value)> + 'a {
        self.values().zip(to.values()).filter(|(a, b)| a.1 != b.1).map(|(a, b)| (a.0, a.1, b.1))
    }
}
