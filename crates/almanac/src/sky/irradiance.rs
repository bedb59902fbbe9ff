//! Sunlight on a surface.

use std::fmt;
use std::ops::Mul;

use quantity::Ratio;

/// Power of light on an area; held in watts per square metre.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Irradiance(f64);

impl Irradiance {
    /// Darkness.
    pub const ZERO: Self = Self(0.0);

    /// Makes an irradiance from a number of watts per square metre.
    pub const fn watts_per_square_metre(value: f64) -> Self {
        Self(value)
    }

    /// Returns the irradiance in watts per square metre.
    pub const fn as_watts_per_square_metre(self) -> f64 {
        self.0
    }
}

impl Mul<f64> for Irradiance {
    type Output = Self;
    fn mul(self, by: f64) -> Self {
        Self(self.0 * by)
    }
}

/// What is left of it, as behind clouds.
impl Mul<Ratio> for Irradiance {
    type Output = Self;
    fn mul(self, part: Ratio) -> Self {
        Self(self.0 * part.as_plain())
    }
}

/// Prints whole watts per square metre, or as many decimals as are asked for.
impl fmt::Display for Irradiance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.*} W/m²", f.precision().unwrap_or(0), self.0)
    }
}
