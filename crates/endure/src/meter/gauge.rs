//! What a reading is worth: how far each gauge may be off, and what it can show at all.

use boat::trip::Sight;

use crate::voyage::{Gauge, Voyage};

/// How far a boat's voltmeter is off, always the same way (stated for common panel meters: a digit and a little).
const VOLTMETER: f64 = 0.05;
/// How far the reckoned voltage of a 12 V bank is off from a real one under its momentary load (our judgement).
const VOLTAGE_MODEL: f64 = 0.08;
/// An hour meter shows tenths.
const HOUR_METER: f64 = 0.1;
/// The part of readings that is simply wrong: the other tank's gauge, a slip of the pen (our judgement).
pub(super) const SLIPS: f64 = 0.03;

/// What a reading is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Kind {
    /// Volts of a bank, by its place.
    Volts(usize),
    /// The level of a bank, by its place.
    Charge(usize),
    /// The level of a tank or a set of bottles: its ledger's place, and its own in that ledger.
    Level(usize, usize),
    /// Engine hours.
    Hours,
}

impl Kind {
    /// The place in the forecast; nothing for engine hours.
    pub(super) fn place(self, voyage: &Voyage) -> Option<usize> {
        match self {
            Self::Volts(bank) | Self::Charge(bank) => Some(bank),
            Self::Level(ledger, _) => Some(voyage.banks.len() + ledger),
            Self::Hours => None,
        }
    }
}

/// A reading with its errors, in volts, parts or hours.
#[derive(Debug, Clone)]
pub(super) struct Gauged {
    /// Its place in the voyage's readings.
    pub(super) at: usize,
    pub(super) number: usize,
    pub(super) step: usize,
    pub(super) minute: u32,
    pub(super) kind: Kind,
    pub(super) seen: f64,
    /// The error of this reading alone.
    pub(super) own: f64,
    /// The error that all readings of the gauge share, and which gauge that is.
    pub(super) shared: f64,
    pub(super) gauge: usize,
    /// What the gauge could show, from end to end.
    pub(super) range: f64,
    /// Engine hours planned until then.
    pub(super) hours: f64,
}

impl Gauged {
    /// The logarithm of the density of what was seen, where `shown` was expected: a normal error, but for slips.
    pub(super) fn log_likelihood(&self, shown: f64) -> f64 {
        let by = (self.seen - shown) / self.own;
        let sound = libm::exp(-by * by / 2.0) / (self.own * std::f64::consts::TAU.sqrt());
        libm::log((1.0 - SLIPS) * sound + SLIPS / self.range)
    }

    /// The chance that this reading is no slip, where `shown` was expected.
    pub(super) fn sound(&self, shown: f64) -> f64 {
        1.0 - SLIPS / self.range / libm::exp(self.log_likelihood(shown))
    }
}

/// The readings in the order in which they are judged: by time; those of one time in an order that does not hang on
/// the order in the plan.
pub(super) fn gauged(voyage: &Voyage) -> Vec<Gauged> {
    let mut found: Vec<Gauged> = (0..voyage.readings.len()).filter_map(|at| one(voyage, at)).collect();
    found.sort_by(|a, b| {
        (a.step, a.kind).cmp(&(b.step, b.kind)).then(a.seen.total_cmp(&b.seen)).then(a.number.cmp(&b.number))
    });
    let mut kinds: Vec<Kind> = found.iter().map(|one| one.kind).collect();
    kinds.sort_unstable();
    kinds.dedup();
    for one in &mut found {
        one.gauge = kinds.iter().position(|kind| *kind == one.kind).unwrap_or(0);
    }
    found
}

/// How many gauges were read.
pub(super) fn gauges(readings: &[Gauged]) -> usize {
    readings.iter().map(|one| one.gauge + 1).max().unwrap_or(0)
}

fn one(voyage: &Voyage, at: usize) -> Option<Gauged> {
    let reading = &voyage.readings[at];
    let (kind, seen) = match (reading.of, reading.sight) {
        (Some(Gauge::Bank(bank)), Sight::Voltage(volts)) => (Kind::Volts(bank), volts.as_volts()),
        (Some(Gauge::Bank(bank)), Sight::Level(level)) => (Kind::Charge(bank), level.as_plain()),
        (Some(Gauge::Ledger(at)), Sight::Level(level)) => {
            let own = voyage.ledgers[at].stores.iter().position(|store| Some(*store) == reading.store);
            (Kind::Level(at, own.unwrap_or(0)), level.as_plain())
        }
        (None, Sight::EngineHours(hours)) => (Kind::Hours, hours.as_hours()),
        _ => return None,
    };
    let hours = planned_hours(voyage, reading.step);
    // What a gauge is said to be off by is two standard deviations, as it is for the levels at the start: its float and
    // the tank's shape are always the same; as much again is new at each reading.
    let off = |error: f64| (error / 2.0).max(1e-3);
    let (own, shared, range) = match kind {
        Kind::Volts(bank) => {
            let twelves = voyage.banks[bank].spec.nominal.as_volts() / 12.0;
            (VOLTAGE_MODEL * twelves, VOLTMETER * twelves, 5.0 * twelves)
        }
        Kind::Charge(bank) => (off(voyage.banks[bank].gauge_error), off(voyage.banks[bank].gauge_error), 1.0),
        Kind::Level(at, _) => (off(voyage.ledgers[at].gauge_error), off(voyage.ledgers[at].gauge_error), 1.0),
        Kind::Hours => (HOUR_METER, 0.0, (2.0 * hours).max(2.0)),
    };
    let (number, step, minute) = (reading.number, reading.step, reading.minute);
    Some(Gauged { at, number, step, minute, kind, seen, own, shared, gauge: 0, range, hours })
}

/// Engine hours planned until the end of a step.
fn planned_hours(voyage: &Voyage, step: usize) -> f64 {
    let steps: usize = voyage
        .segments
        .iter()
        .filter(|segment| segment.engine && segment.from <= step)
        .map(|segment| segment.to.min(step + 1) - segment.from)
        .sum();
    steps as f64 * voyage.step.as_hours()
}

/// What a gauge would show: of one tank of several, its own level, when all of them hold `level` of the whole and are
/// used in their order.
pub(super) fn on_gauge(voyage: &Voyage, kind: Kind, level: f64) -> f64 {
    let Kind::Level(at, own) = kind else { return level };
    let ledger = &voyage.ledgers[at];
    if ledger.stores.len() < 2 || ledger.capacity <= 0.0 {
        return level;
    }
    let usable = ledger.usable / ledger.capacity;
    // What has gone out of full tanks, or come into empty ones; past what is usable, all of them share the rest.
    let gone = if ledger.fills() { level } else { 1.0 - level } * ledger.capacity;
    let mut left = gone.min(ledger.usable);
    let beyond = (gone - ledger.usable).max(0.0) / (ledger.capacity - ledger.usable).max(1e-9);
    let (mut held, mut size) = (0.0, 0.0);
    for (store, part) in &ledger.parts {
        let here = left.min(part * usable);
        left -= here;
        if *store == ledger.stores[own] {
            held += here + beyond * part * (1.0 - usable);
            size += part;
        }
    }
    let part = if size > 0.0 { held / size } else { 0.0 };
    if ledger.fills() { part } else { 1.0 - part }
}
