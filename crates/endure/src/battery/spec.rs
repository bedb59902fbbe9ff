//! The facts of a bank, and what is wrong with them.

use quantity::{Charge, Ratio, Resistance, Temperature, Time, Voltage};

use super::bank::Bank;
use super::charging::Charging;
use super::defaults::Chemistry;

/// The facts of a bank; what is absent has the chemistry's default.
#[derive(Debug, Clone, PartialEq)]
pub struct BankSpec {
    /// What it is made of.
    pub chemistry: Chemistry,
    /// Nominal voltage: 12, 24 ... V (of lithium also 12.8, 25.6 ... V).
    pub nominal: Voltage,
    /// Rated capacity at the 20 hour rate, as new.
    pub capacity: Charge,
    /// The part of the rated capacity that it still has.
    pub health: Ratio,
    /// The most that it takes: amperes as a part of the Ah that it still has.
    pub accepts: Option<Ratio>,
    /// The voltage that charging rises to and holds.
    pub bulk: Option<Voltage>,
    /// The voltage that keeps it full.
    pub float: Option<Voltage>,
    /// Ah put in for each Ah taken out.
    pub in_per_out: Option<f64>,
    /// Inner resistance when full, as it is today. It sets how far loads pull the voltage down (lithium: also how far
    /// charging lifts it).
    pub resistance: Option<Resistance>,
    /// How it resists being charged, where that was measured.
    pub charging: Option<Charging>,
    /// Below this it takes no charge.
    pub least_charge: Option<Temperature>,
    /// The part of the charge that goes by itself in a month at 20 °C.
    pub self_discharge: Option<Ratio>,
    /// The share of its charge at which its own protection switches it off; only lithium has one. Without it, only
    /// the voltage switches it off.
    pub switches_off: Option<Ratio>,
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
    pub const fn new(chemistry: Chemistry, capacity: Charge) -> Self {
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
            charging: None,
            least_charge: None,
            self_discharge: None,
            switches_off: None,
        }
    }

    /// Makes the bank ready for steps of one length at one temperature.
    ///
    /// # Errors
    /// If a figure makes no sense; see [`BankSpec::check`].
    pub fn at(&self, temperature: Temperature, step: Time) -> Result<Bank, SpecError> {
        self.check()?;
        if !(step.is_finite() && step > Time::ZERO) {
            return fault(format!("A step can't last {step}."), "Use a step such as 1 min.");
        }
        if !temperature.is_finite() {
            return fault(
                "A bank can't be that warm or cold.".to_owned(),
                "Write its temperature, such as 20 °C.",
            );
        }
        Ok(Bank::new(self, temperature, step))
    }

    /// How many times 12 V (four cells of lithium) stand in series.
    pub(super) fn twelves(&self) -> f64 {
        // 12.4 V lies between what lead and lithium call twelve volts; a 6 V bank is half of one.
        let halves = (self.nominal.as_volts() / 6.2).round();
        if halves > 1.0 { (halves / 2.0).round() } else { halves / 2.0 }
    }

    /// Finds what makes no sense.
    ///
    /// # Errors
    /// The first figure that can't be, in full sentences.
    pub fn check(&self) -> Result<(), SpecError> {
        self.check_size()?;
        self.check_voltages()?;
        self.check_parts()
    }

    fn check_size(&self) -> Result<(), SpecError> {
        if !sound(self.capacity.as_amp_hours()) {
            return fault(
                format!("A bank can't hold {}.", self.capacity),
                "Write its Ah at the 20 hour rate, as on its label.",
            );
        }
        if !(sound(self.health.as_plain()) && self.health <= Ratio::plain(1.2)) {
            return fault(
                format!("A bank can't have {} of its rated capacity left.", self.health),
                "Write what a capacity test found, such as 80 %.",
            );
        }
        if let Some(resistance) = self.resistance.filter(|ohms| !sound(ohms.as_ohms())) {
            return fault(
                format!("A bank can't resist by {resistance}."),
                "Leave it out if it was not measured.",
            );
        }
        if self.charging.is_some_and(|form| !(sound(form.drop) && sound(form.crowding))) {
            return fault(
                "A bank resists being charged by something more than nothing.".to_owned(),
                "Leave it out if it was not measured.",
            );
        }
        if let Some(least) = self.least_charge.filter(|least| !least.is_finite()) {
            return fault(
                format!("A bank can't be at {least}."),
                "Write the least temperature for charging, such as 0 °C.",
            );
        }
        Ok(())
    }

    fn check_voltages(&self) -> Result<(), SpecError> {
        let (volts, twelves) = (self.nominal.as_volts(), self.twelves());
        let near = sound(volts) && twelves > 0.0 && (volts / twelves - 12.4).abs() <= 1.2;
        if !near || volts > 100.0 {
            return fault(
                format!("A bank can't be of {}.", self.nominal),
                "Write 12 V, 24 V or what is on its label.",
            );
        }
        let (least, most) = if self.chemistry.is_lead() { (12.9, 16.5) } else { (13.2, 14.8) };
        for held in [self.bulk, self.float].into_iter().flatten() {
            let per_twelve = held.as_volts() / twelves;
            if !(per_twelve >= least && per_twelve <= most) {
                return fault(
                    format!("A {} bank of this kind is not charged at {held}.", self.nominal),
                    "Write what the battery's maker says, or leave it out.",
                );
            }
        }
        if self.bulk.zip(self.float).is_some_and(|(bulk, float)| float > bulk) {
            return fault(
                "A bank is not kept full at a higher voltage than it is charged with.".to_owned(),
                "Exchange `bulk` and `float`.",
            );
        }
        Ok(())
    }

    fn check_parts(&self) -> Result<(), SpecError> {
        if let Some(accepts) =
            self.accepts.filter(|part| !(sound(part.as_plain()) && *part <= Ratio::plain(10.0)))
        {
            return fault(
                format!("A bank can't accept {accepts} of its Ah."),
                "Write the most amperes as a part of the Ah, such as 25 %.",
            );
        }
        if let Some(ratio) = self.in_per_out.filter(|ratio| !(*ratio >= 1.0 && *ratio <= 3.0)) {
            return fault(
                format!("A bank can't take {ratio} Ah for each Ah that it gives."),
                "Write a number a little above 1, such as 1.1.",
            );
        }
        let part = |part: &Ratio| !(*part >= Ratio::ZERO && *part < Ratio::plain(1.0));
        if let Some(leaks) = self.self_discharge.filter(part) {
            return fault(
                format!("A bank can't lose {leaks} by itself in a month."),
                "Write a part such as 3 %.",
            );
        }
        if let Some(share) = self.switches_off.filter(part) {
            return fault(format!("A bank can't switch off at {share}."), "Write a part such as 10 %.");
        }
        if self.switches_off.is_some() && self.chemistry.is_lead() {
            return fault(
                "A lead-acid battery has no protection that switches it off.".to_owned(),
                "Leave it out.",
            );
        }
        Ok(())
    }
}

fn sound(value: f64) -> bool {
    value.is_finite() && value > 0.0
}

fn fault<T>(what: String, mend: &'static str) -> Result<T, SpecError> {
    Err(SpecError { what, mend })
}
