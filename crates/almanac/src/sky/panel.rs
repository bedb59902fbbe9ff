//! What a solar panel makes of the light.

use quantity::{Power, Ratio, Temperature};

use super::Irradiance;

/// A solar panel lying level, by the figures on its data sheet.
///
/// What it gives is before the charge controller and the cable, clean and wholly in the sun.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Panel {
    /// Power in 1000 W/m² with cells at 25 °C: the power that it is sold by.
    pub rating: Power,
    /// The temperature of the cells in 800 W/m², air of 20 °C and a wind of 1 m/s, with the back open.
    ///
    /// A panel glued to the deck gets hotter than that.
    pub noct: Temperature,
    /// What the power changes by for each kelvin that the cells are warmer: a negative part of the rating.
    pub per_kelvin: Ratio,
}

impl Panel {
    /// A panel of this rating with cells of 45 °C (`noct`) and -0.4 % per kelvin, as is common practice for
    /// silicon; the data sheet is better.
    pub const fn rated(rating: Power) -> Self {
        Self { rating, noct: Temperature::celsius(45.0), per_kelvin: Ratio::percent(-0.4) }
    }

    /// The temperature of the cells in this light and this air.
    pub fn cells(&self, light: Irradiance, air: Temperature) -> Temperature {
        let in_test = self.noct - Temperature::celsius(20.0);
        air + in_test * (light.as_watts_per_square_metre() / 800.0)
    }

    /// The power in this light and this air; never less than nil.
    pub fn power(&self, light: Irradiance, air: Temperature) -> Power {
        let watts_per_square_metre = light.as_watts_per_square_metre();
        if watts_per_square_metre <= 0.0 {
            return Power::ZERO;
        }
        let warmer = self.cells(light, air) - Temperature::celsius(25.0);
        let kept = 1.0 + self.per_kelvin.as_plain() * warmer.as_kelvin();
        if kept <= 0.0 {
            return Power::ZERO;
        }
        self.rating * (watts_per_square_metre / 1000.0) * kept
    }
}
