//! What a base charges for, as exact prices.

use quantity::{Mass, Money, Ratio, Time, Volume};

use crate::charges::ChargeError;

/// A price of so many litres; prices of a litre often have more decimals than coins have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PerVolume {
    /// The price.
    pub price: Money,
    /// Of so many litres, one or more.
    pub litres: u32,
}

/// A price of so many kilograms.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PerMass {
    /// The price.
    pub price: Money,
    /// Of so many kilograms, one or more.
    pub kilograms: u32,
}

/// A price of so many minutes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PerTime {
    /// The price.
    pub price: Money,
    /// Of so many minutes, one or more.
    pub minutes: u32,
}

/// What a base charges for. What is absent is not charged. Missing kit has its price in the boat file.
#[derive(Debug, Clone, PartialEq)]
pub struct Tariff {
    /// Nothing, in the currency of the bill.
    pub nothing: Money,
    /// What the crew has left with the base.
    pub deposit: Option<Money>,
    /// Diesel that is missing, to a tenth of a litre.
    pub fuel: Option<PerVolume>,
    /// The work of filling up, once, if any diesel is missing.
    pub filling: Option<Money>,
    /// Water that is missing, to a tenth of a litre.
    pub water: Option<PerVolume>,
    /// Gas that is missing, to the gram.
    pub gas: Option<PerMass>,
    /// Each waste tank that came back fuller than it may.
    pub pump_out: Option<Money>,
    /// How full a waste tank may come back.
    pub waste_allowed: Ratio,
    /// Engine hours over those that are free, to the minute.
    pub hours: Option<PerTime>,
    /// Hours of each engine that are free on the charter.
    pub free_hours: Time,
    /// Coming back late, to the minute.
    pub late: Option<PerTime>,
    /// How late nobody minds; beyond it all of the lateness is charged.
    pub grace: Time,
    /// Cleaning, on every charter; where she is left clean it is waived, with that reason.
    pub cleaning: Option<Money>,
    /// The most that all damage of a charter together is charged.
    pub damage_at_most: Option<Money>,
}

impl Tariff {
    /// A tariff that charges for nothing but missing kit and damage; nothing if `currency` is not three capitals.
    pub fn bare(currency: &str) -> Option<Self> {
        Some(Self {
            nothing: Money::from_minor(0, currency)?,
            deposit: None,
            fuel: None,
            filling: None,
            water: None,
            gas: None,
            pump_out: None,
            waste_allowed: Ratio::ZERO,
            hours: None,
            free_hours: Time::ZERO,
            late: None,
            grace: Time::ZERO,
            cleaning: None,
            damage_at_most: None,
        })
    }
}

impl PerVolume {
    pub(crate) fn of(self, volume: Volume) -> Result<Money, ChargeError> {
        share(self.price, whole(volume.as_litres() * 10.0)?, u64::from(self.litres) * 10)
    }
}

impl PerMass {
    pub(crate) fn of(self, mass: Mass) -> Result<Money, ChargeError> {
        share(self.price, whole(mass.as_grams())?, u64::from(self.kilograms) * 1000)
    }
}

impl PerTime {
    pub(crate) fn of(self, time: Time) -> Result<Money, ChargeError> {
        share(self.price, whole(time.as_minutes())?, u64::from(self.minutes))
    }
}

/// A measured amount in whole steps: what comes of a gauge is rounded once, here, and is exact from then on.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "held between nothing and 2^53 before"
)]
fn whole(steps: f64) -> Result<u64, ChargeError> {
    let rounded = steps.round();
    if (0.0..=9e15).contains(&rounded) { Ok(rounded as u64) } else { Err(ChargeError::OutOfRange) }
}

/// So many parts of a price, to the nearest coin; a half is rounded up.
///
/// # Errors
/// If it does not fit, or the price is of no amount at all.
fn share(price: Money, parts: u64, of: u64) -> Result<Money, ChargeError> {
    let (minor, parts, of) = (i128::from(price.minor_units()), i128::from(parts), i128::from(of));
    let share = (2 * minor * parts + of).checked_div_euclid(2 * of);
    let minor = share.and_then(|share| i64::try_from(share).ok()).ok_or(ChargeError::OutOfRange)?;
    Money::from_minor(minor, price.currency()).ok_or(ChargeError::OutOfRange)
}
