//! A quantity whose dimension is known only when the program runs.

use std::cmp::Ordering;
use std::fmt;
use std::str::FromStr;

use crate::dimension::Dimension;
use crate::error::{ParseError, WrongDimension};
use crate::unit::{System, Unit};
use crate::{parse, print};

/// A value of any dimension, as read from a file or a form.
///
/// It remembers what it measures and how much, not the unit it was written in. `Display` prints it so that
/// it reads back as exactly the same value. Two quantities of different dimensions are never equal and have
/// no order.
///
/// ```
/// use quantity::{Charge, Dimension, Quantity};
///
/// let found = Quantity::parse("230000 mAh")?;
/// assert_eq!(found.dimension(), Dimension::Charge);
/// assert_eq!(found.to_string(), "230 Ah");
/// assert_eq!(Charge::try_from(found), Ok(Charge::amp_hours(230.0)));
/// # Ok::<(), quantity::ParseError>(())
/// ```
#[derive(Clone, Copy, PartialEq)]
pub struct Quantity {
    dimension: Dimension,
    canonical: f64,
}

impl Quantity {
    /// Reads what a person wrote: a number and a unit, or several in descending units ("1 h 30 min").
    ///
    /// A number without a unit is a [`Ratio`](crate::Ratio).
    pub fn parse(text: &str) -> Result<Self, ParseError> {
        parse::parse(text, None)
    }

    /// Reads what a person wrote and refuses it unless it measures `wanted`.
    ///
    /// A number without a unit is accepted only if a ratio is wanted.
    pub fn parse_as(text: &str, wanted: Dimension) -> Result<Self, ParseError> {
        parse::parse(text, Some(wanted))
    }

    /// Makes a quantity from a number of some unit.
    pub const fn new(value: f64, unit: &Unit) -> Self {
        Self { dimension: unit.dimension(), canonical: unit.to_canonical(value) }
    }

    /// What the quantity measures.
    pub const fn dimension(self) -> Dimension {
        self.dimension
    }

    /// Returns the value as a number of `unit`, if the unit measures the same thing.
    pub fn as_unit(self, unit: &Unit) -> Result<f64, WrongDimension> {
        self.canonical_as(unit.dimension()).map(|canonical| unit.reading(canonical))
    }

    /// Returns the value for people, rounded to about four digits, in the units of `system`.
    pub fn display(self, system: System) -> String {
        print::for_people(self.dimension, self.canonical, system)
    }

    /// Tells whether the value is a number and not infinite.
    pub const fn is_finite(self) -> bool {
        self.canonical.is_finite()
    }

    pub(crate) const fn from_canonical(dimension: Dimension, canonical: f64) -> Self {
        Self { dimension, canonical }
    }

    pub(crate) const fn canonical(self) -> f64 {
        self.canonical
    }

    pub(crate) fn canonical_as(self, wanted: Dimension) -> Result<f64, WrongDimension> {
        if self.dimension == wanted {
            Ok(self.canonical)
        } else {
            Err(WrongDimension { found: self.dimension, wanted })
        }
    }
}

impl PartialOrd for Quantity {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        let like = self.dimension == other.dimension;
        like.then(|| self.canonical.partial_cmp(&other.canonical)).flatten()
    }
}

/// Prints the quantity so that it reads back as exactly the same value.
impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&print::exact(self.dimension, self.canonical))
    }
}

impl fmt::Debug for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Quantity({self})")
    }
}

impl FromStr for Quantity {
    type Err = ParseError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}
