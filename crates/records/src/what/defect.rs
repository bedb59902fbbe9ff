//! What is wrong with a boat.

use serde::{Deserialize, Serialize};

use crate::ids::ContentHash;

/// How bad a defect is, from least to most.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// It is only seen.
    Cosmetic,
    /// Something can't be used, or not as it should be.
    Hinders,
    /// Someone could be hurt, or the boat lost.
    Safety,
}

/// Something is wrong with the boat. Who found it is whoever made the event.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Defect {
    /// The item.
    pub item: String,
    /// What was seen.
    pub words: String,
    /// How bad it is.
    pub severity: Severity,
    /// Photos.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub photos: Vec<ContentHash>,
    /// The fault, as the boat file names it, if it is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fault: Option<String>,
}
