//! Loads that a thermostat switches: refrigerators and heaters.

use quantity::{Current, Power, Voltage};

use super::steady::LEAST_VOLTS;
use crate::battery::Flow;
use crate::luck::Luck;
use crate::voyage::{Account, Habit, Segment, Take, Voyage};

/// How far a thermostat lets it go either way, in kelvin (common practice).
const SWING: f64 = 1.0;

/// A load that a thermostat switches, ready for steps of one length.
#[derive(Debug)]
pub(super) struct Thermostat {
    /// Its line.
    pub(super) line: usize,
    /// What it takes while it runs.
    pub(super) takes: Takes,
    /// Degrees Celsius that it keeps, and that it has now.
    keeps: f64,
    inside: f64,
    begins: f64,
    /// Kelvin by which it pulls away from the air as planned, and in this drawing.
    planned: f64,
    pull: f64,
    /// The part of its way to the air that it goes in one step.
    drifts: f64,
    /// The bank's voltage below which it stops.
    stops_below: Option<(usize, Voltage)>,
    pub(super) allowed: bool,
    running: bool,
}

/// What a thermostat's load takes in a step in which it runs.
#[derive(Debug, Clone, Copy)]
pub(super) enum Takes {
    /// Of a bank.
    Amps(usize, Current),
    /// Of a bank, and the least voltage at which watts become amperes.
    Watts(usize, Power, Voltage),
    /// Litres or kilograms of a ledger.
    Ledger(usize, f64),
    /// Nothing that is kept count of.
    Nothing,
}

impl Thermostat {
    /// All of a voyage, by line.
    pub(super) fn all(voyage: &Voyage) -> Vec<Self> {
        (0..voyage.lines.len()).filter_map(|line| Self::new(voyage, line)).collect()
    }

    fn new(voyage: &Voyage, number: usize) -> Option<Self> {
        let line = &voyage.lines[number];
        let Habit::Thermostat { inside, pull, time_constant, .. } = line.habit else { return None };
        let takes = match (line.account, line.take) {
            (Account::Bank(bank), Take::Current(current)) => Takes::Amps(bank, current),
            (Account::Bank(bank), Take::Power(power)) => {
                Takes::Watts(bank, power, voyage.banks[bank].spec.nominal * LEAST_VOLTS)
            }
            (Account::Ledger(ledger), Take::Hourly(rate)) => {
                Takes::Ledger(ledger, rate * voyage.step.as_hours())
            }
            _ => Takes::Nothing,
        };
        let stops_below = match (line.account, line.stops_below) {
            (Account::Bank(bank), Some(least)) => Some((bank, least)),
            _ => None,
        };
        Some(Self {
            line: number,
            takes,
            keeps: inside.as_celsius(),
            inside: inside.as_celsius(),
            begins: inside.as_celsius(),
            planned: pull,
            pull,
            drifts: 1.0 - libm::exp(-(voyage.step / time_constant)),
            stops_below,
            allowed: false,
            running: false,
        })
    }

    /// As it stands at take-over.
    pub(super) fn begin(&mut self) {
        self.inside = self.begins;
        self.running = false;
    }

    /// What a stretch and a drawing ask of it.
    pub(super) fn settle(&mut self, segment: &Segment, luck: &Luck) {
        self.allowed = segment.thermostats.contains(&self.line);
        self.running &= self.allowed;
        self.pull = self.planned / luck.lines[self.line];
    }

    /// Whether it may take something from a ledger in this stretch.
    pub(super) fn may_take(&self, number: usize) -> bool {
        self.allowed && matches!(self.takes, Takes::Ledger(ledger, _) if ledger == number)
    }

    /// One step in air of so many degrees Celsius in which it may run; tells whether it does.
    #[inline]
    pub(super) fn step(&mut self, air: f64, flows: &[Flow]) -> bool {
        // A refrigerator is warm above what it keeps, a heater's cabin cold below it.
        let off_by = if self.pull > 0.0 { self.inside - self.keeps } else { self.keeps - self.inside };
        let runs = off_by > if self.running { -SWING } else { SWING };
        // It stops for want of voltage at its end of the cable.
        let runs = runs && !self.stops_below.is_some_and(|(bank, least)| flows[bank].voltage < least);
        self.running = runs;
        self.drift(if runs { air - self.pull } else { air });
        runs
    }

    /// Comes nearer to a temperature for one step.
    #[inline]
    pub(super) fn drift(&mut self, goes_to: f64) {
        self.inside += self.drifts * (goes_to - self.inside);
    }
}
