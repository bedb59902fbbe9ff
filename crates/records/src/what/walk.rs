//! The occasions on which a boat is gone over, and how things are found then.

use quantity::{Mass, Volume};
use serde::{Deserialize, Serialize};

use crate::wire;

/// The occasion on which something was counted, read or looked at. It is said by whoever does it, because clocks
/// can't tell the end of one occasion from the beginning of the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Walk {
    /// The base makes the boat ready.
    Readying,
    /// The crew takes her over.
    CheckOut,
    /// She is out with a crew.
    UnderWay,
    /// The base takes her back.
    HandBack,
    /// She lies at the base, and no charter is concerned.
    Between,
}

/// How an item was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Look {
    /// As it should be.
    Ok,
    /// Not as it should be.
    NotOk,
    /// Nobody looked.
    NotLookedAt,
}

/// How a subject of the briefing was gone through, from least to most.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Showing {
    /// It was left out.
    NotDone,
    /// The crew read it by themselves, and said so.
    Read,
    /// The crew heard it.
    ToldOnly,
    /// The crew did it themselves.
    Shown,
}

/// What went into a tank or bottle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Amount {
    /// Liquid.
    Volume(#[serde(with = "wire")] Volume),
    /// Gas.
    Mass(#[serde(with = "wire")] Mass),
}
