//! How heavy chain is, in air and in the sea.

use std::fmt;

use quantity::{Force, Length, Mass};

use crate::cable::{Fault, above_zero};

/// Standard gravity, metres per second squared.
pub(crate) const GRAVITY: f64 = 9.80665;
/// What is left of the weight of steel (7850 kg/m³) in sea water (1025 kg/m³).
pub(crate) const IN_SEA_WATER: f64 = 1.0 - 1025.0 / 7850.0;

/// Nominal short-link chain: millimetres of diameter and kilograms per metre.
///
/// Source: 8 and 10 mm from `reference/trade-facts.md` section 10, 13 mm from
/// `reference/oracles/catenary.csv`.
const NOMINAL: [(f64, f64); 3] = [(8.0, 1.40), (10.0, 2.25), (13.0, 3.8)];
/// Millimetres; thinner and thicker chain is not on boats that this is for.
const DIAMETERS: (f64, f64) = (5.0, 20.0);

/// What a length of chain weighs in air; held in kilograms per metre.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct ChainWeight(f64);

impl ChainWeight {
    /// Makes a weight from a number of kilograms per metre.
    pub const fn kilograms_per_metre(value: f64) -> Self {
        Self(value)
    }

    /// Makes a weight from a number of pounds per foot.
    pub const fn pounds_per_foot(value: f64) -> Self {
        Self(value * Mass::pounds(1.0).as_kilograms() / Length::feet(1.0).as_metres())
    }

    /// Returns the weight as a number of kilograms per metre.
    pub const fn as_kilograms_per_metre(self) -> f64 {
        self.0
    }

    /// Returns what short-link steel chain of a diameter usually weighs; 5 to 20 mm.
    ///
    /// Chains of one diameter differ by a few hundredths: the maker's sheet or a pair of scales is better.
    pub fn nominal(diameter: Length) -> Result<Self, Fault> {
        let what = "The diameter of the chain";
        above_zero(what, diameter.as_metres(), diameter)?;
        let thick = diameter.as_millimetres();
        let found = diameter.to_string();
        if thick < DIAMETERS.0 {
            let least = format!("{} mm, or state what a metre of it weighs", DIAMETERS.0);
            return Err(Fault::TooSmall { what, found, least });
        }
        if thick > DIAMETERS.1 {
            let most = format!("{} mm, or state what a metre of it weighs", DIAMETERS.1);
            return Err(Fault::TooLarge { what, found, most });
        }
        Ok(Self(thick * thick * for_square_millimetre(thick)))
    }

    /// Returns the mass of a length of it, in air.
    pub fn mass(self, length: Length) -> Mass {
        Mass::kilograms(self.0 * length.as_metres())
    }

    /// Returns the force with which a length of it, hung in sea water, pulls down.
    pub fn pull_in_sea_water(self, length: Length) -> Force {
        Force::newtons(self.newtons_per_metre() * length.as_metres())
    }

    /// Newtons by which a metre pulls down in sea water.
    pub(crate) fn newtons_per_metre(self) -> f64 {
        self.0 * GRAVITY * IN_SEA_WATER
    }

    pub(crate) fn check(self) -> Result<Self, Fault> {
        above_zero("The weight of the chain", self.0, self)?;
        Ok(self)
    }
}

impl fmt::Display for ChainWeight {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} kg/m", self.0)
    }
}

/// Kilograms per metre over the diameter squared, between the nominal rows and held beyond them.
fn for_square_millimetre(thick: f64) -> f64 {
    let each = |(diameter, weight): (f64, f64)| weight / (diameter * diameter);
    let [thin, middle, heavy] = NOMINAL;
    let (below, above) = if thick < middle.0 { (thin, middle) } else { (middle, heavy) };
    let part = ((thick - below.0) / (above.0 - below.0)).clamp(0.0, 1.0);
    each(below) + part * (each(above) - each(below))
}
