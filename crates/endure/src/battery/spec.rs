//! The facts of a bank, and what is wrong with them.

use quantity::{Charge, Ratio, Resistance, Temperature, Time, Voltage};

use super::bank::Bank;
use super::defaults::Chemistry;

/// The facts of a bank; what is absent has the chemistry's default.
#[derive(Debug, Clone, PartialEq)]
pub struct BankSpec {
    /// What it is made of.
    pub chemistry: Chemistry,
    /// Nominal voltage: 12, 24 ... V.
    pub nominal: Voltage,
    /// Rated capacity at the 20 hour rate.
    pub capacity: Charge,
    /// The part of the rated capacity that it still has.
    pub health: Ratio,
    /// The most that it takes: amperes as a part of its rated Ah.
    pub accepts: Option<Ratio>,
    /// The voltage that charging rises to and holds.
    pub bulk: Option<Voltage>,
    /// The voltage that keeps it full.
    pub float: Option<Voltage>,
    /// Ah put in for each Ah taken out.
    pub in_per_out: Option<f64>,
    /// Inner resistance when full.
    pub resistance: Option<Resistance>,
    /// Below this it takes no charge.
    pub least_charge: Option<Temperature>,
}

/// What is wrong with the facts of a bank.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SpecError {
    /// What, a full sentence.
    pub what: String,
    /// How to mend it, a full sentence.
    pub mend: &'static str,
}

impl std::fmt::Display for SpecError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} {}", self.what, self.mend)
    }
}

impl std::error::Error for SpecError {}

impl BankSpec {
    /// A 12 V bank as new.
    pub fn new(chemistry: Chemistry, capacity: Charge) -> Self {
        Self {
            chemistry,
            nominal: Voltage::volts(12.0),
            capacity,
            health: Ratio::plain(1.0),
            accepts: None,
            bulk: None,
            float: None,
            in_per_out: None,
            resistance: None,
            least_charge: None,
        }
    }

    /// Makes the bank ready for steps of one length at one temperature.
    ///
    /// # Errors
    /// If a figure makes no sense.
    pub fn at(&self, temperature: Temperature, step: Time) -> Result<Bank, SpecError> {
        self.check(temperature, step)?;
        Ok(Bank::new(self, temperature, step))
    }

    fn check(&self, temperature: Temperature, step: Time) -> Result<(), SpecError> {
        let fault = |what: String, mend| Err(SpecError { what, mend });
        let positive = |value: f64| value.is_finite() && value > 0.0;
        if !positive(self.capacity.as_amp_hours()) {
            return fault(
                format!("A bank can't hold {}.", self.capacity),
                "Write its Ah at the 20 hour rate.",
            );
        }
        if !(positive(self.health.as_plain()) && self.health <= Ratio::plain(1.2)) {
            return fault(
                format!("A bank can't have {} of its capacity left.", self.health),
                "Write a part such as 80 %.",
            );
        }
        if !positive(self.nominal.as_volts()) {
            return fault(
                format!("A bank can't be of {}.", self.nominal),
                "Write 12 V, 24 V or what is on its label.",
            );
        }
        if !positive(step.as_seconds()) || !temperature.is_finite() {
            return fault(
                "A step must be some time at some temperature.".to_owned(),
                "Use a step of a minute.",
            );
        }
        if self.in_per_out.is_some_and(|ratio| !(ratio.is_finite() && ratio >= 1.0)) {
            return fault(
                "No battery gives back more than was put in.".to_owned(),
                "Write a number from 1, such as 1.1.",
            );
        }
        let voltages = [self.bulk, self.float].into_iter().flatten();
        if voltages.into_iter().any(|volts| !positive(volts.as_volts())) {
            return fault(
                "A charging voltage must be more than nothing.".to_owned(),
                "Write it as on the charger.",
            );
        }
        if self.accepts.is_some_and(|part| !positive(part.as_plain()))
            || self.resistance.is_some_and(|ohms| !positive(ohms.as_ohms()))
        {
            return fault(
                "What a bank accepts, and its resistance, must be more than nothing.".to_owned(),
                "Leave it out if it is not known.",
            );
        }
        Ok(())
    }
}
