//! Cooking gas: what a burner takes, and how long a bottle lasts.

use quantity::{Energy, Mass, MassRate, Power, Time};

use crate::cable::{Fault, above_zero, zero_or_more};

/// A gas in bottles.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Gas {
    /// Propane, which also gives gas in the cold.
    Propane,
    /// Butane, which gives none near freezing.
    Butane,
}

/// Which heat a burner's plate counts; it differs by market.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Rating {
    /// The gross heat (higher heating value).
    Gross,
    /// The net heat (lower heating value). A burner so rated takes 8 to 9 % more gas for the same figure;
    /// reckon with it where the plate does not say.
    Net,
}

impl Gas {
    /// Megajoules in a kilogram.
    ///
    /// Source: a thermodynamics textbook's table, `reference/oracles/fuels.csv`.
    const fn megajoules_per_kilogram(self, rating: Rating) -> f64 {
        match (self, rating) {
            (Self::Propane, Rating::Gross) => 50.33,
            (Self::Propane, Rating::Net) => 46.34,
            (Self::Butane, Rating::Gross) => 49.15,
            (Self::Butane, Rating::Net) => 45.37,
        }
    }
}

/// Returns the heat in some gas.
pub fn gas_energy(gas: Gas, rating: Rating, mass: Mass) -> Energy {
    Energy::megajoules(gas.megajoules_per_kilogram(rating) * mass.as_kilograms())
}

/// Returns what a burner takes at its full input.
pub fn burner_rate(input: Power, gas: Gas, rating: Rating) -> Result<MassRate, Fault> {
    zero_or_more("The input of the burner", input.as_watts(), input)?;
    let kilograms = input.as_kilowatts() * 3.6 / gas.megajoules_per_kilogram(rating);
    Ok(MassRate::kilograms_per_hour(kilograms))
}

/// Returns how long a bottle feeds burners that take `rate` together.
pub fn hours_left(left: Mass, rate: MassRate) -> Result<Time, Fault> {
    zero_or_more("What is left in the bottle", left.as_kilograms(), left)?;
    above_zero("What the burners take", rate.as_kilograms_per_hour(), rate)?;
    Ok(left / rate)
}

/// Returns what was used in a day of 24 hours, from what went in some time.
pub fn daily_use(used: Mass, over: Time) -> Result<Mass, Fault> {
    zero_or_more("What was used", used.as_kilograms(), used)?;
    above_zero("The time", over.as_seconds(), over)?;
    Ok(used / over.as_days())
}

/// Returns how long a bottle lasts at a daily use.
pub fn days_left(left: Mass, a_day: Mass) -> Result<Time, Fault> {
    zero_or_more("What is left in the bottle", left.as_kilograms(), left)?;
    above_zero("What is used in a day", a_day.as_kilograms(), a_day)?;
    Ok(Time::days(left / a_day))
}

/// Returns the least and the most that a freshly filled bottle may hold; only weighing tells.
///
/// Under the rule that a bottle is filled to four fifths, one sold as 20 lb was found with 15 to 20 lb.
/// Source: a cruising log, `reference/trade-facts.md` section 8c.
pub fn bottle_may_hold(sold_as: Mass) -> (Mass, Mass) {
    (sold_as * 0.75, sold_as)
}
