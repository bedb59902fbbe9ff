//! Temperature, which has scales rather than amounts, and the difference between two temperatures.

use std::ops::{Add, Sub};

use crate::typed::{amount, dimension};

dimension! {
    /// A temperature on a scale; held in degrees Celsius.
    ///
    /// Twice 10 °C means nothing, nor does 10 °C plus 5 °C, so neither compiles. The step from one
    /// temperature to another is a [`TemperatureDifference`].
    Temperature {
        CELSIUS: celsius, as_celsius, "degrees Celsius";
        FAHRENHEIT: fahrenheit, as_fahrenheit, "degrees Fahrenheit";
        KELVIN: kelvin, as_kelvin, "kelvin";
    }
}

/// The step from one temperature to another; held in kelvin, which are as large as degrees Celsius.
///
/// It is not read from text: "5 °C" there is always a temperature.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct TemperatureDifference(f64);

impl TemperatureDifference {
    /// Makes a difference from a number of kelvin, which is also a number of Celsius steps.
    pub const fn kelvin(value: f64) -> Self {
        Self(value)
    }

    /// Returns the difference in kelvin.
    pub const fn as_kelvin(self) -> f64 {
        self.0
    }

    /// Makes a difference from a number of Fahrenheit steps, five ninths of a kelvin each.
    pub const fn fahrenheit_steps(value: f64) -> Self {
        Self(value * 5.0 / 9.0)
    }

    /// Returns the difference in Fahrenheit steps.
    pub const fn as_fahrenheit_steps(self) -> f64 {
        self.0 * 9.0 / 5.0
    }
}

amount!(TemperatureDifference);

impl Sub for Temperature {
    type Output = TemperatureDifference;
    fn sub(self, other: Self) -> TemperatureDifference {
        TemperatureDifference(self.0 - other.0)
    }
}

impl Add<TemperatureDifference> for Temperature {
    type Output = Self;
    fn add(self, step: TemperatureDifference) -> Self {
        Self(self.0 + step.0)
    }
}

impl Sub<TemperatureDifference> for Temperature {
    type Output = Self;
    fn sub(self, step: TemperatureDifference) -> Self {
        Self(self.0 - step.0)
    }
}
