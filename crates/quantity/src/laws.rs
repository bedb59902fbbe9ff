//! The products and quotients that have meaning; every other mixture is refused by the compiler.
//!
//! ```
//! use quantity::{Current, Energy, Power, Time, Voltage};
//! let energy: Energy = Power::watts(60.0) * Time::minutes(90.0);
//! assert_eq!(energy, Energy::watt_hours(90.0));
//! let current: Current = Power::watts(60.0) / Voltage::volts(12.0);
//! assert_eq!(current, Current::amps(5.0));
//! assert_eq!(energy / Power::watts(45.0), Time::hours(2.0));
//! ```
//!
//! Like goes with like; a charge and a voltage cannot be added:
//! ```
//! use quantity::Charge;
//! let sum = Charge::amp_hours(1.0) + Charge::milliamp_hours(500.0);
//! ```
//! ```compile_fail,E0308
//! use quantity::{Charge, Voltage};
//! let sum = Charge::amp_hours(1.0) + Voltage::volts(1.0);
//! ```
//!
//! nor compared:
//! ```
//! use quantity::Energy;
//! let more = Energy::watt_hours(1.0) < Energy::joules(4000.0);
//! ```
//! ```compile_fail,E0308
//! use quantity::{Energy, Power};
//! let more = Energy::watt_hours(1.0) < Power::watts(4000.0);
//! ```
//!
//! A product has the dimension that physics gives it and no other:
//! ```
//! use quantity::{Charge, Current, Time};
//! let drawn: Charge = Current::amps(5.0) * Time::hours(2.0);
//! ```
//! ```compile_fail,E0308
//! use quantity::{Current, Energy, Time};
//! let drawn: Energy = Current::amps(5.0) * Time::hours(2.0);
//! ```
//!
//! A product without meaning does not exist:
//! ```
//! use quantity::{Time, VolumeRate};
//! let moved = VolumeRate::litres_per_hour(3.5) * Time::hours(2.0);
//! ```
//! ```compile_fail,E0277
//! use quantity::{Time, Volume};
//! let moved = Volume::litres(3.5) * Time::hours(2.0);
//! ```
//!
//! A bare number is not a quantity, neither in a sum nor as an argument:
//! ```
//! use quantity::Volume;
//! let full = Volume::litres(400.0) + Volume::litres(20.0);
//! let half: Volume = full * 0.5;
//! ```
//! ```compile_fail,E0308
//! use quantity::Volume;
//! let full = Volume::litres(400.0) + 20.0;
//! ```
//! ```compile_fail,E0308
//! use quantity::Volume;
//! let half: Volume = 200.0;
//! ```
//!
//! Temperatures step by differences; they are not doubled or added:
//! ```
//! use quantity::{Temperature, TemperatureDifference};
//! let warmer = Temperature::celsius(10.0) + TemperatureDifference::kelvin(5.0);
//! let step: TemperatureDifference = warmer - Temperature::celsius(10.0);
//! ```
//! ```compile_fail,E0308
//! use quantity::Temperature;
//! let warmer = Temperature::celsius(10.0) + Temperature::celsius(5.0);
//! ```
//! ```compile_fail,E0369
//! use quantity::Temperature;
//! let twice = Temperature::celsius(10.0) * 2.0;
//! ```

use std::ops::{Div, Mul};

use crate::types::{
    Area, Charge, Current, Energy, Length, Mass, MassRate, Power, Resistance, Speed, Time, Voltage, Volume,
    VolumeRate,
};

/// Seconds in an hour: times are held in seconds, many other canonical units count hours.
const HOUR: f64 = 3600.0;
/// Metres in a nautical mile.
const NAUTICAL_MILE: f64 = 1852.0;

/// Writes `a * b = c`, both ways round, and the two divisions that undo it.
///
/// The product of the canonical numbers times `times` over `over` is the canonical number of `c`.
macro_rules! law {
    ($a:ident * $b:ident = $c:ident, $times:expr, $over:expr) => {
        impl Mul<$b> for $a {
            type Output = $c;
            fn mul(self, other: $b) -> $c {
                $c(self.0 * other.0 * $times / $over)
            }
        }

        impl Mul<$a> for $b {
            type Output = $c;
            fn mul(self, other: $a) -> $c {
                other * self
            }
        }

        impl Div<$a> for $c {
            type Output = $b;
            fn div(self, other: $a) -> $b {
                $b(self.0 * $over / $times / other.0)
            }
        }

        impl Div<$b> for $c {
            type Output = $a;
            fn div(self, other: $b) -> $a {
                $a(self.0 * $over / $times / other.0)
            }
        }
    };
}

law!(Power * Time = Energy, 1.0, HOUR);
law!(Voltage * Current = Power, 1.0, 1.0);
law!(Current * Time = Charge, 1.0, HOUR);
law!(Charge * Voltage = Energy, 1.0, 1.0);
law!(Current * Resistance = Voltage, 1.0, 1.0);
law!(VolumeRate * Time = Volume, 1.0, HOUR);
law!(MassRate * Time = Mass, 1.0, HOUR);
law!(Speed * Time = Length, NAUTICAL_MILE, HOUR);

impl Mul for Length {
    type Output = Area;
    fn mul(self, other: Self) -> Area {
        Area(self.0 * other.0)
    }
}

impl Div<Length> for Area {
    type Output = Length;
    fn div(self, other: Length) -> Length {
        Length(self.0 / other.0)
    }
}
