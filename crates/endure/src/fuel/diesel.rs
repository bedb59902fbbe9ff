//! What a diesel burns, from its rating or from one known figure.

use std::fmt;

use quantity::{Energy, Length, Power, RotationalSpeed, Speed, Volume, VolumeRate};

use crate::cable::{Fault, above_zero, zero_or_more};

/// Idle burn for each kilowatt of rating, in litres an hour: common practice, no measured curve.
pub const IDLE_PER_RATED_KILOWATT: f64 = 0.02;
/// Idle burn of a yacht's engine whose rating is not known: common practice, no measured curve.
pub const IDLE_UNKNOWN_ENGINE: VolumeRate = VolumeRate::litres_per_hour(0.5);

/// Fuel for a unit of work at the shaft; held in grams per kilowatt-hour.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct SpecificConsumption(f64);

impl SpecificConsumption {
    /// A good engine, 0.325 lb/bhp h. Source: `reference/oracles/fuels.csv`.
    pub const LOW: Self = Self::pounds_per_horsepower_hour(0.325);
    /// A usual engine, 0.355 lb/bhp h. Source: `reference/oracles/fuels.csv`.
    pub const AVERAGE: Self = Self::pounds_per_horsepower_hour(0.355);
    /// A small yacht diesel, 268 g/kWh. Source: an engine manual, `reference/trade-facts.md` section 8d.
    pub const SMALL_ENGINE: Self = Self::grams_per_kilowatt_hour(268.0);
    /// A poor engine, 0.450 lb/bhp h. Source: `reference/oracles/fuels.csv`.
    pub const HIGH: Self = Self::pounds_per_horsepower_hour(0.450);

    /// Makes a value from a number of grams per kilowatt-hour.
    pub const fn grams_per_kilowatt_hour(value: f64) -> Self {
        Self(value)
    }

    /// Makes a value from a number of grams per metric horsepower-hour.
    pub const fn grams_per_metric_horsepower_hour(value: f64) -> Self {
        Self(value / Power::metric_horsepower(1.0).as_kilowatts())
    }

    /// Makes a value from a number of pounds per horsepower-hour.
    pub const fn pounds_per_horsepower_hour(value: f64) -> Self {
        Self(value * quantity::Mass::pounds(1.0).as_grams() / Power::horsepower(1.0).as_kilowatts())
    }

    /// Returns the value as a number of grams per kilowatt-hour.
    pub const fn as_grams_per_kilowatt_hour(self) -> f64 {
        self.0
    }

    /// Returns the fuel for some work at the shaft.
    pub fn fuel(self, work: Energy, density: Density) -> Volume {
        Volume::litres(self.0 * work.as_kilowatt_hours() / 1000.0 / density.0)
    }

    /// Returns the burn at some power at the shaft.
    pub fn burn(self, power: Power, density: Density) -> VolumeRate {
        VolumeRate::litres_per_hour(self.0 * power.as_kilowatts() / 1000.0 / density.0)
    }
}

impl fmt::Display for SpecificConsumption {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} g/kWh", self.0)
    }
}

/// How heavy a fuel is; held in kilograms per litre.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Density(f64);

impl Density {
    /// Diesel: 0.84 kg/L. Source: `reference/trade-facts.md` section 8d; the upper row in
    /// `reference/oracles/fuels.csv`.
    pub const DIESEL: Self = Self(0.84);

    /// Makes a value from a number of kilograms per litre.
    pub const fn kilograms_per_litre(value: f64) -> Self {
        Self(value)
    }

    /// Returns the value as a number of kilograms per litre.
    pub const fn as_kilograms_per_litre(self) -> f64 {
        self.0
    }
}

impl fmt::Display for Density {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} kg/L", self.0)
    }
}

/// The power of the engine's speed by which the propeller's demand grows.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Exponent(f64);

impl Exponent {
    /// A displacement hull: the cube, the default.
    ///
    /// Source: "burn halves at about 80 % of maximum speed", a boat diesel text in
    /// `reference/trade-facts.md` section 8d (0.8 cubed is 0.512); the cube is also the propeller curve of
    /// the test cycle E3 of ISO 8178-4 (from memory).
    pub const DISPLACEMENT_HULL: Self = Self(3.0);
    /// The flatter curve that some makers print, which gives more burn at part speed: common practice.
    pub const MAKERS_CURVE: Self = Self(2.5);

    /// Makes an exponent; from 1 to 4.
    pub fn new(value: f64) -> Result<Self, Fault> {
        above_zero("The exponent of the propeller law", value, value)?;
        if !(1.0..=4.0).contains(&value) {
            let (what, found) = ("The exponent of the propeller law", value.to_string());
            return Err(if value < 1.0 {
                Fault::TooSmall { what, found, least: "1, where burn grows as the speed does".to_owned() }
            } else {
                Fault::TooLarge { what, found, most: "4, which is steeper than any propeller".to_owned() }
            });
        }
        Ok(Self(value))
    }

    /// Returns the exponent as a plain number.
    pub const fn as_plain(self) -> f64 {
        self.0
    }
}

/// What is known of the engine.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Basis {
    Rated { power: Power, consumption: SpecificConsumption, density: Density },
    Known(VolumeRate),
}

/// A diesel that turns a propeller: its burn at any speed, by the propeller law.
///
/// Real boats differ from the law by a fifth either way: a foul bottom, wind and sea cost more. Measure by
/// dipping the tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Engine {
    basis: Basis,
    /// The speed at which the basis holds.
    at: RotationalSpeed,
    exponent: Exponent,
    stated_idle: Option<VolumeRate>,
}

impl Engine {
    /// Makes an engine from its rated power, the speed at which it gives it, and what it burns for it.
    pub fn rated(power: Power, at: RotationalSpeed, consumption: SpecificConsumption) -> Result<Self, Fault> {
        above_zero("The rated power", power.as_watts(), power)?;
        above_zero("The specific consumption", consumption.0, consumption)?;
        Self::new(Basis::Rated { power, consumption, density: Density::DIESEL }, at)
    }

    /// Makes an engine from one known burn under way, and the speed of the engine there.
    pub fn known(burn: VolumeRate, at: RotationalSpeed) -> Result<Self, Fault> {
        above_zero("The known burn", burn.as_litres_per_hour(), burn)?;
        Self::new(Basis::Known(burn), at)
    }

    fn new(basis: Basis, at: RotationalSpeed) -> Result<Self, Fault> {
        above_zero("The speed of the engine", at.as_rpm(), at)?;
        Ok(Self { basis, at, exponent: Exponent::DISPLACEMENT_HULL, stated_idle: None })
    }

    /// Takes another exponent than the cube.
    #[must_use]
    pub const fn with_exponent(self, exponent: Exponent) -> Self {
        Self { exponent, ..self }
    }

    /// Takes another density than that of diesel; it matters only to a rated engine.
    pub fn with_density(self, density: Density) -> Result<Self, Fault> {
        above_zero("The density of the fuel", density.0, density)?;
        let basis = match self.basis {
            Basis::Rated { power, consumption, .. } => Basis::Rated { power, consumption, density },
            known @ Basis::Known(_) => known,
        };
        Ok(Self { basis, ..self })
    }

    /// Takes a measured idle burn in place of the common one.
    pub fn with_idle(self, idle: VolumeRate) -> Result<Self, Fault> {
        above_zero("The idle burn", idle.as_litres_per_hour(), idle)?;
        let full = self.burn_at_basis();
        if idle > full {
            let most = format!("{full}, which it burns at {}", self.at);
            return Err(Fault::TooLarge { what: "The idle burn", found: idle.to_string(), most });
        }
        Ok(Self { stated_idle: Some(idle), ..self })
    }

    /// Returns the least that it burns while it runs.
    pub fn idle(&self) -> VolumeRate {
        let common = match self.basis {
            Basis::Rated { power, .. } => {
                VolumeRate::litres_per_hour(IDLE_PER_RATED_KILOWATT * power.as_kilowatts())
            }
            Basis::Known(_) => IDLE_UNKNOWN_ENGINE,
        };
        self.stated_idle.unwrap_or(common).min(self.burn_at_basis())
    }

    /// Returns the power at the shaft at some engine speed; none if the rating is not known.
    pub fn shaft_power(&self, speed: RotationalSpeed) -> Result<Option<Power>, Fault> {
        let part = self.part(speed)?;
        Ok(match self.basis {
            Basis::Rated { power, .. } => Some(power * part),
            Basis::Known(_) => None,
        })
    }

    /// Returns the burn under way at some engine speed, never less than at idle; nothing if it is stopped.
    ///
    /// A speed above the rated one is refused, since the governor holds the engine below it.
    pub fn burn(&self, speed: RotationalSpeed) -> Result<VolumeRate, Fault> {
        let by_law = self.burn_at_basis() * self.part(speed)?;
        Ok(if speed > RotationalSpeed::ZERO { by_law.max(self.idle()) } else { VolumeRate::ZERO })
    }

    /// Returns the burn out of gear, with some power taken at the shaft: an alternator, a compressor.
    ///
    /// Idle and load are added. Where the rating is not known the load is reckoned as of a small engine.
    pub fn burn_out_of_gear(&self, shaft: Power) -> Result<VolumeRate, Fault> {
        zero_or_more("The power taken at the shaft", shaft.as_watts(), shaft)?;
        let (consumption, density) = match self.basis {
            Basis::Rated { consumption, density, .. } => (consumption, density),
            Basis::Known(_) => (SpecificConsumption::SMALL_ENGINE, Density::DIESEL),
        };
        Ok(self.idle() + consumption.burn(shaft, density))
    }

    /// Says what the figures rest on.
    pub fn assumptions(&self) -> Vec<String> {
        let law = format!(
            "The burn grows as the engine's speed to the power of {}, the propeller law. A foul bottom, \
             wind and sea cost more: real boats differ by a fifth.",
            self.exponent.0
        );
        let basis = match self.basis {
            Basis::Rated { power, consumption, density } => format!(
                "The engine gives {power} at {}, and burns {consumption} of fuel of {density} at every \
                 speed.",
                self.at
            ),
            Basis::Known(burn) => format!(
                "One burn is known: {burn} at {}. The further from that speed, the less the figures can \
                 be trusted.",
                self.at
            ),
        };
        let idle = match self.stated_idle {
            Some(idle) => format!("It burns at least {idle} while it runs, as stated."),
            None => format!(
                "It burns at least {} while it runs. That is common practice; the engine's own figure is \
                 not known.",
                self.idle()
            ),
        };
        vec![law, basis, idle]
    }

    fn burn_at_basis(&self) -> VolumeRate {
        match self.basis {
            Basis::Rated { power, consumption, density } => consumption.burn(power, density),
            Basis::Known(burn) => burn,
        }
    }

    /// The part of power and burn at the basis that the law gives at some speed.
    fn part(&self, speed: RotationalSpeed) -> Result<f64, Fault> {
        zero_or_more("The speed of the engine", speed.as_rpm(), speed)?;
        if matches!(self.basis, Basis::Rated { .. }) && speed > self.at {
            let most = format!("{}, where the engine is rated", self.at);
            return Err(Fault::TooLarge { what: "The speed of the engine", found: speed.to_string(), most });
        }
        Ok(libm::pow(speed / self.at, self.exponent.0))
    }
}

/// Returns the speed past which a displacement hull asks for far more power, from its waterline's length.
///
/// Knots are `factor` times the root of the feet: 1.34 at the limit, 1.2 for easy cruising.
/// Source: `reference/trade-facts.md` section 8d.
pub fn hull_speed(waterline: Length, factor: f64) -> Result<Speed, Fault> {
    above_zero("The length of the waterline", waterline.as_metres(), waterline)?;
    above_zero("The factor of the hull speed", factor, factor)?;
    Ok(Speed::knots(factor * waterline.as_feet().sqrt()))
}
