//! A figure that cannot be worked with, and how to mend it.

use std::fmt;

/// A figure that was refused. `Display` says what is wrong and how to mend it, in full sentences.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Fault {
    /// The figure is not a number, or is infinite.
    NotANumber {
        /// What the figure is of: "The depth".
        what: &'static str,
    },
    /// The figure is below zero.
    BelowZero {
        /// What the figure is of.
        what: &'static str,
        /// The figure as given.
        found: String,
    },
    /// The figure is zero or below, where something is needed.
    NotAboveZero {
        /// What the figure is of.
        what: &'static str,
        /// The figure as given.
        found: String,
    },
    /// The figure is less than can be.
    TooSmall {
        /// What the figure is of.
        what: &'static str,
        /// The figure as given.
        found: String,
        /// The least that it may be, and why: "3 mm, the thinnest in the table".
        least: String,
    },
    /// The figure is more than can be.
    TooLarge {
        /// What the figure is of.
        what: &'static str,
        /// The figure as given.
        found: String,
        /// The most that it may be, and why: "3000 rpm, where the engine is rated".
        most: String,
    },
    /// A figure that is needed is not known.
    Missing {
        /// What is not known.
        what: &'static str,
        /// How to find it: a full sentence.
        mend: &'static str,
    },
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotANumber { what } => {
                write!(f, "{what} is not a number that can be worked with. Give an ordinary figure.")
            }
            Self::BelowZero { what, found } => {
                write!(f, "{what} is given as {found}. It cannot be below zero. Give zero or more.")
            }
            Self::NotAboveZero { what, found } => {
                write!(
                    f,
                    "{what} is given as {found}. Nothing can be worked out from that. Give more than zero."
                )
            }
            Self::TooSmall { what, found, least } => {
                write!(f, "{what} is given as {found}. Give at least {least}.")
            }
            Self::TooLarge { what, found, most } => {
                write!(f, "{what} is given as {found}. Give at most {most}.")
            }
            Self::Missing { what, mend } => write!(f, "{what} is not known. {mend}"),
        }
    }
}

impl std::error::Error for Fault {}

/// Refuses what is not a finite number; `size` is the figure in any unit.
pub(crate) fn number(what: &'static str, size: f64) -> Result<(), Fault> {
    if size.is_finite() { Ok(()) } else { Err(Fault::NotANumber { what }) }
}

/// Refuses what is not a number or is below zero; `said` is the figure as people write it.
pub(crate) fn zero_or_more(what: &'static str, size: f64, said: impl fmt::Display) -> Result<(), Fault> {
    number(what, size)?;
    if size < 0.0 { Err(Fault::BelowZero { what, found: said.to_string() }) } else { Ok(()) }
}

/// Refuses what is not a number, is zero or is below it.
pub(crate) fn above_zero(what: &'static str, size: f64, said: impl fmt::Display) -> Result<(), Fault> {
    number(what, size)?;
    if size > 0.0 { Ok(()) } else { Err(Fault::NotAboveZero { what, found: said.to_string() }) }
}
