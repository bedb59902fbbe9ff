//! The life of a charter: planned, readied, checked out, out, handed back, settled.

use serde::{Deserialize, Serialize};

/// A stage in a charter's life, in its order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Stage {
    /// It was promised.
    Planned,
    /// The boat is ready for it.
    Readied,
    /// The crew has the boat.
    CheckedOut,
    /// The boat has left. Nobody has to tell that; a call or a reading under way tells it too.
    Out,
    /// The base has the boat again.
    HandedBack,
    /// All that is owed is agreed.
    Settled,
}

impl Stage {
    /// All of them, in order.
    pub const ALL: [Self; 6] =
        [Self::Planned, Self::Readied, Self::CheckedOut, Self::Out, Self::HandedBack, Self::Settled];

    /// Whether a later stage may be come to without this one having been told.
    pub fn may_be_untold(self) -> bool {
        self == Self::Out
    }

    /// The last stage of an unbroken row, and the first one missing before `furthest`, by which stages were told.
    ///
    /// A stage is come to when every stage before it was told, so that it does not matter in which order they were
    /// told, nor by which clocks.
    pub(crate) fn reached(told: impl Fn(Self) -> bool) -> (Option<Self>, Option<Self>) {
        let mut reached = None;
        for stage in Self::ALL {
            if told(stage) {
                reached = Some(stage);
            } else if !stage.may_be_untold() {
                return (reached, Some(stage));
            }
        }
        (reached, None)
    }
}

/// Where a charter stands in its life.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Life {
    /// Events name it, but its plan has not come.
    Unknown,
    /// It has come to this stage, and to all before it.
    At(Stage),
    /// It will not take place.
    Cancelled,
}

impl Life {
    /// Whether nothing is to be done for the charter any more: it is settled, or does not take place.
    pub fn is_over(self) -> bool {
        matches!(self, Self::At(Stage::Settled) | Self::Cancelled)
    }
}
