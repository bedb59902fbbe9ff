//! The boat and the berth, as far as an anchor cares.

use quantity::{Area, Length, Speed};

use super::scope::Conditions;
use super::wind;
use crate::cable::Fault;

/// What kind of boat she is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum HullKind {
    /// One hull, with a mast.
    Sail,
    /// One hull, with an engine alone.
    Power,
    /// Two or three hulls.
    Multihull,
}

/// A boat's sizes; what is not known stays unknown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hull {
    /// What kind of boat she is.
    pub kind: HullKind,
    /// Length overall.
    pub length: Length,
    /// Greatest beam.
    pub beam: Option<Length>,
    /// From the water to the deck.
    pub freeboard: Option<Length>,
    /// From the water to the lowest point.
    pub draught: Option<Length>,
    /// The area that the wind meets, if someone measured it.
    pub windage: Option<Area>,
}

impl Hull {
    /// Makes a hull of which only kind and length are known.
    pub const fn new(kind: HullKind, length: Length) -> Self {
        Self { kind, length, beam: None, freeboard: None, draught: None, windage: None }
    }

    pub(crate) fn check(&self) -> Result<(), Fault> {
        wind::check(self)
    }
}

/// What the bottom is, where it is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Bottom {
    /// Sand.
    Sand,
    /// Firm mud or clay.
    Mud,
    /// Soft mud.
    SoftMud,
    /// Weed.
    Weed,
    /// Shingle or gravel.
    Shingle,
    /// Rock.
    Rock,
}

impl Bottom {
    /// What to expect of it: common practice, in a full sentence.
    pub const fn advice(self) -> &'static str {
        match self {
            Self::Sand => "Most anchors dig into sand well.",
            Self::Mud => "Most anchors dig into firm mud or clay well. It may come up with the anchor.",
            Self::SoftMud => {
                "In soft mud an anchor may plough. Let it sink for some minutes before you pull."
            }
            Self::Weed => "Weed can stop an anchor from digging in. Look for a patch of sand.",
            Self::Shingle => "Shingle holds poorly. Pull hard before you trust it.",
            Self::Rock => {
                "On rock an anchor does not dig in. It may hold by chance, or jam. Look for another place."
            }
        }
    }
}

/// Where she is to lie, and through what.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Berth {
    /// The depth now, from the surface.
    pub depth: Length,
    /// How far the tide will still rise.
    pub rise: Length,
    /// How far the tide will fall below the depth now.
    pub fall: Length,
    /// The strongest wind, gusts too, that is forecast through the stay.
    pub wind: Speed,
    /// Conditions that are known to be worse than the wind says, such as swell.
    pub conditions: Option<Conditions>,
    /// What the bottom is, if it is known.
    pub bottom: Option<Bottom>,
    /// Room to keep beyond the swing, since nobody knows to a metre where the anchor lies.
    pub margin: Length,
}

impl Berth {
    /// Makes a berth without tide or margin, on an unknown bottom.
    pub const fn new(depth: Length, wind: Speed) -> Self {
        Self {
            depth,
            rise: Length::ZERO,
            fall: Length::ZERO,
            wind,
            conditions: None,
            bottom: None,
            margin: Length::ZERO,
        }
    }
}
