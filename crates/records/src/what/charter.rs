//! A charter as it was promised, and who put their name to what.

use serde::{Deserialize, Serialize};

use super::Walk;
use crate::ids::{ContentHash, PersonId};
use crate::moment::Local;

/// A charter as it was promised.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Plan {
    /// From when the crew has the boat.
    pub from: Local,
    /// Until when.
    pub until: Local,
    /// How many people sail; nothing if the base has not been told yet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub crew: Option<u32>,
    /// The record of whoever booked; the name itself stands in no event, so that it can be removed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub booked: Option<PersonId>,
}

/// As what someone signs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// The one of the crew who is in charge.
    Skipper,
    /// Another of the crew.
    Crew,
    /// The base's own people.
    Base,
    /// The manager of the base.
    Manager,
}

/// One stroke of a pen on the glass: points in thousandths of the field's width, from its upper left corner.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Stroke(pub Vec<(u16, u16)>);

/// What someone drew as their signature.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Strokes {
    /// The strokes themselves.
    Points(Vec<Stroke>),
    /// A picture that is kept elsewhere.
    Picture(ContentHash),
    /// They were removed on request.
    Removed,
}

/// Someone put their name to an occasion.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Signature {
    /// To which.
    pub walk: Walk,
    /// As what.
    pub role: Role,
    /// The record that holds their name.
    pub person: PersonId,
    /// What they drew.
    pub strokes: Strokes,
}
