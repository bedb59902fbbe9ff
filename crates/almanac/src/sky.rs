//! What the sun sends down on a level surface under a clear sky, and what a level panel makes of it.
//!
//! Clouds, shade of sails and rigging, salt and dust are not in it: a clear sky is the most to hope for.

mod course;
mod irradiance;
mod panel;

use jiff::Timestamp;

pub use course::Course;
pub use irradiance::Irradiance;
pub use panel::Panel;

use crate::Position;
use crate::moment::Moment;
use crate::sun;

/// Sunlight on a surface facing the sun, outside the air, at the earth's mean distance, in W/m².
///
/// The nominal total solar irradiance of IAU 2015 Resolution B3 (arXiv:1510.07674). Older work uses 1366.
const SOLAR_CONSTANT: f64 = 1361.0;

/// How hazy a cloudless sky is: the Linke turbidity, a plain number.
///
/// It counts how many atmospheres of clean dry air would dim the sun as much: 1 is clean dry air itself.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Turbidity(f64);

impl Turbidity {
    /// A fair day at sea: 3. Cold clean air has about 2, warm moist air 4 to 5 (common practice).
    pub const FAIR: Self = Self(3.0);

    /// Makes a turbidity from a Linke number; none if it is below 1 or no finite number.
    pub fn linke(number: f64) -> Option<Self> {
        (number >= 1.0 && number.is_finite()).then_some(Self(number))
    }

    /// Returns the Linke number, 1 or more.
    pub const fn as_linke(self) -> f64 {
        self.0
    }
}

/// Sunlight on a level surface outside the air; nil while the centre of the sun is below the level.
pub fn top_of_atmosphere(position: Position, at: Timestamp) -> Irradiance {
    let moment = Moment::of(at);
    level_outside(sun::sine_of_elevation(position, moment), moment)
}

/// Sunlight on a level surface at sea level under a clear sky, direct and from the sky together.
///
/// The model is that of Ineichen and Perez, “A new airmass independent formulation for the Linke turbidity
/// coefficient”, Solar Energy 73 (2002) 151, with the air mass of Kasten and Young, Applied Optics 28 (1989)
/// 4735, and no enhancement near the horizon. It is nil while the centre of the sun is below the level, though
/// there is then still some twilight.
pub fn clear(position: Position, at: Timestamp, turbidity: Turbidity) -> Irradiance {
    let moment = Moment::of(at);
    level_clear(sun::sine_of_elevation(position, moment), moment, turbidity)
}

/// Sunlight on a level surface outside the air, by the sine of the geometric elevation.
fn level_outside(sine: f64, moment: Moment) -> Irradiance {
    let distance = distance(moment);
    Irradiance::watts_per_square_metre(SOLAR_CONSTANT / (distance * distance) * sine.max(0.0))
}

/// Sunlight on a level surface under a clear sky, by the sine of the geometric elevation.
fn level_clear(sine: f64, moment: Moment, turbidity: Turbidity) -> Irradiance {
    // Ineichen and Perez 2002, for height zero above the sea; there both of their height factors are 1.
    const A1: f64 = 0.868;
    const A2: f64 = 0.0387;
    if sine <= 0.0 {
        return Irradiance::ZERO;
    }
    let elevation = libm::asin(sine.min(1.0)).to_degrees();
    let through = A1 * libm::exp(-A2 * air_mass(sun::apparent(elevation)) * turbidity.as_linke());
    level_outside(sine, moment) * through
}

/// How many times the air overhead the light has come through: Kasten and Young 1989.
///
/// `apparent` is the elevation that is seen, 0 degrees or more.
fn air_mass(apparent: f64) -> f64 {
    let sine = libm::sin(apparent.to_radians());
    1.0 / (sine + 0.50572 * libm::pow(apparent + 6.07995, -1.6364))
}

/// The distance of the sun, in astronomical units, within a ten-thousandth from 1800 to 2200.
///
/// US Naval Observatory, “Computing Approximate Solar Coordinates”.
fn distance(moment: Moment) -> f64 {
    let days = moment.day - 2_451_545.0;
    let anomaly = (357.529 + 0.985_600_28 * days).to_radians();
    1.00014 - 0.01671 * libm::cos(anomaly) - 0.00014 * libm::cos(2.0 * anomaly)
}
