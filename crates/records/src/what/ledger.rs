//! Parts in stock, and what a charge is for.

use serde::{Deserialize, Serialize};

use quantity::Money;

use crate::ids::EventId;
use crate::wire;

/// Where parts are kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Held {
    /// On the boat of the event.
    Aboard,
    /// In the base's store, for all boats.
    Ashore,
}

/// So many of a part.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Pieces {
    /// The part, in the words of the boat file.
    pub part: String,
    /// How many.
    pub count: u32,
    /// Where they are kept.
    pub held: Held,
}

/// So many of a part, with what they cost together.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Priced {
    /// Which part, how many, where they are kept.
    #[serde(flatten)]
    pub pieces: Pieces,
    /// What they cost together.
    #[serde(default, with = "wire::maybe", skip_serializing_if = "Option::is_none")]
    pub cost: Option<Money>,
}

impl From<Pieces> for Priced {
    /// Of which nobody said what they cost.
    fn from(pieces: Pieces) -> Self {
        Self { pieces, cost: None }
    }
}

/// What a charge is for. A waiver names what it waives by this.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ChargeKey {
    /// Missing pieces of a kit line.
    Kit(String),
    /// What is missing from a diesel tank.
    Fuel(String),
    /// The work of filling up.
    Filling,
    /// What is missing from a gas bottle.
    Gas(String),
    /// A waste tank that came back with something in it.
    PumpOut(String),
    /// Water that is missing from a tank.
    Water(String),
    /// Engine hours over those that are free, by engine.
    Hours(String),
    /// Cleaning.
    Cleaning,
    /// Coming back late.
    Late,
    /// Damage, by the event that told of it.
    Damage(EventId),
    /// What a hand added, by that event.
    Added(EventId),
}
