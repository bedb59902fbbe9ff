//! What is kept of each reckoned trip for the forecast: levels at every hour, and when a store was spent.

use quantity::{Charge, Current, Ratio};

use crate::battery::Charged;
use crate::run::{Moment, Watch};
use crate::voyage::{Gauge, Ledger, Reading, Voyage};

/// A store of the forecast: banks first, then ledgers.
pub type Place = usize;

/// The course of one trip, at every whole hour.
#[derive(Debug, Clone, PartialEq)]
pub struct Marks {
    /// Levels as parts of the whole, by store and hour.
    pub levels: Vec<Vec<f32>>,
    /// Volts, by bank and hour.
    pub volts: Vec<Vec<f32>>,
    /// The step in which each store was first past its limit.
    pub spent: Vec<Option<u32>>,
    /// The lowest level of each store (of waste: the highest).
    pub worst: Vec<f32>,
    /// What was asked for and not there, in Ah, litres or kilograms.
    pub wanting: Vec<f32>,
    /// Levels at the readings of the plan, as parts; volts for voltage readings; by reading.
    pub at_readings: Vec<f64>,
}

/// Keeps marks of one trip while it is reckoned.
#[derive(Debug)]
pub struct Marker<'a> {
    voyage: &'a Voyage,
    marks: Marks,
    an_hour: usize,
    banks: Vec<BankMark>,
    ledgers: Vec<LedgerMark>,
    /// The step of the next reading.
    awaits: usize,
}

/// What is kept of a bank until the next mark: a level costs a division, so most steps only compare charges.
#[derive(Debug, Clone, Copy)]
struct BankMark {
    lowest: Charged,
    held: Charge,
    /// With no less than this, it is not below what may be used of it.
    surely: Charge,
}

/// What is kept of a ledger until the next mark.
#[derive(Debug, Clone, Copy)]
struct LedgerMark {
    /// The least that it held, in litres or kilograms (of waste: the most).
    furthest: f64,
}

/// Far more than any bank holds.
const MORE_THAN_ANY: Charge = Charge::amp_hours(f64::INFINITY);
/// A level is rounded by far less than this.
const ROUNDING: f64 = 1e-9;

impl LedgerMark {
    fn new(fills: bool) -> Self {
        Self { furthest: if fills { f64::NEG_INFINITY } else { f64::INFINITY } }
    }
}

impl<'a> Marker<'a> {
    /// Ready for one trip.
    pub fn new(voyage: &'a Voyage) -> Self {
        let (banks, ledgers) = (voyage.banks.len(), voyage.ledgers.len());
        let hours = voyage.steps / voyage.steps_an_hour();
        let room = |count: usize| (0..count).map(|_| Vec::with_capacity(hours + 1)).collect();
        let fills = |at: usize| at >= banks && voyage.ledgers[at - banks].fills();
        let bank = BankMark { lowest: Charged::default(), held: MORE_THAN_ANY, surely: MORE_THAN_ANY };
        Self {
            voyage,
            an_hour: voyage.steps_an_hour(),
            banks: vec![bank; banks],
            ledgers: voyage.ledgers.iter().map(|ledger| LedgerMark::new(ledger.fills())).collect(),
            awaits: next_reading(voyage, 0),
            marks: Marks {
                levels: room(banks + ledgers),
                volts: room(banks),
                spent: vec![None; banks + ledgers],
                worst: (0..banks + ledgers).map(|at| if fills(at) { 0.0 } else { 1.0 }).collect(),
                wanting: vec![0.0; banks + ledgers],
                at_readings: vec![0.0; voyage.readings.len()],
            },
        }
    }

    /// What was kept.
    pub fn into_marks(self) -> Marks {
        self.marks
    }
}

impl Watch for Marker<'_> {
    #[inline]
    fn step(&mut self, moment: &Moment<'_>) {
        let hours = self.voyage.step.as_hours();
        for at in 0..self.banks.len() {
            self.bank(at, moment, hours);
        }
        for at in 0..self.ledgers.len() {
            self.ledger(at, moment);
        }
        let mark = (moment.at + 1) % self.an_hour == 0;
        if mark || moment.at + 1 == moment.segment.to {
            self.worst(moment);
        }
        if mark {
            self.mark(moment);
        }
        if moment.at >= self.awaits {
            self.read(moment);
        }
    }
}

impl Marker<'_> {
    #[allow(clippy::cast_possible_truncation, reason = "levels for people, and steps of some weeks")]
    #[inline]
    fn bank(&mut self, at: usize, moment: &Moment<'_>, hours: f64) {
        let (bank, charged) = (&moment.banks[at], &moment.charged[at]);
        let (held, unmet) = (bank.held(charged), moment.flows[at].unmet);
        let kept = &mut self.banks[at];
        if held < kept.held {
            (kept.held, kept.lowest) = (held, *charged);
        }
        if unmet > Current::ZERO {
            self.marks.wanting[at] += (unmet.as_amps() * hours) as f32;
        }
        if (held < kept.surely || unmet > Current::ZERO) && self.marks.spent[at].is_none() {
            let least = 1.0 - self.voyage.banks[at].usable.as_plain();
            kept.surely = bank.held(&bank.with_share(Ratio::plain(least + ROUNDING)));
            if moment.bank_is_spent(self.voyage, at) {
                self.marks.spent[at] = Some(moment.at as u32);
            }
        }
    }

    #[allow(clippy::cast_possible_truncation, reason = "levels for people, and steps of some weeks")]
    #[inline]
    fn ledger(&mut self, at: usize, moment: &Moment<'_>) {
        let place = self.banks.len() + at;
        let (held, wanting) = (moment.ledgers[at], moment.wanting[at]);
        let kept = &mut self.ledgers[at];
        kept.furthest =
            if self.voyage.ledgers[at].fills() { kept.furthest.max(held) } else { kept.furthest.min(held) };
        if wanting > 0.0 {
            self.marks.wanting[place] += wanting as f32;
        }
        if self.marks.spent[place].is_none() && moment.ledger_is_spent(self.voyage, at) {
            self.marks.spent[place] = Some(moment.at as u32);
        }
    }

    /// Brings the worst levels up to this step.
    #[allow(clippy::cast_possible_truncation, reason = "levels for people")]
    fn worst(&mut self, moment: &Moment<'_>) {
        let (banks, ledgers) = self.marks.worst.split_at_mut(self.banks.len());
        for ((worst, kept), bank) in banks.iter_mut().zip(&mut self.banks).zip(moment.banks) {
            *worst = worst.min(bank.share(&kept.lowest).as_plain() as f32);
            kept.held = MORE_THAN_ANY;
        }
        for ((worst, kept), ledger) in ledgers.iter_mut().zip(&mut self.ledgers).zip(&self.voyage.ledgers) {
            let level = level(kept.furthest, ledger) as f32;
            *worst = if ledger.fills() { worst.max(level) } else { worst.min(level) };
            *kept = LedgerMark::new(ledger.fills());
        }
    }

    /// Writes down the levels of a whole hour.
    #[allow(clippy::cast_possible_truncation, reason = "levels for people")]
    fn mark(&mut self, moment: &Moment<'_>) {
        let banks = self.banks.len();
        for at in 0..banks {
            self.marks.levels[at].push(moment.level(at) as f32);
            self.marks.volts[at].push(moment.flows[at].voltage.as_volts() as f32);
        }
        for (at, ledger) in self.voyage.ledgers.iter().enumerate() {
            self.marks.levels[banks + at].push(level(moment.ledgers[at], ledger) as f32);
        }
    }

    fn read(&mut self, moment: &Moment<'_>) {
        for (number, reading) in self.voyage.readings.iter().enumerate() {
            if reading.step == moment.at {
                self.marks.at_readings[number] = shown(moment, self.voyage, reading);
            }
        }
        self.awaits = next_reading(self.voyage, moment.at + 1);
    }
}

/// The part of all that a ledger holds.
fn level(held: f64, ledger: &Ledger) -> f64 {
    if ledger.capacity > 0.0 { held / ledger.capacity } else { 0.0 }
}

/// The step of the first reading from this step on.
fn next_reading(voyage: &Voyage, from: usize) -> usize {
    let steps = voyage.readings.iter().map(|reading| reading.step);
    steps.filter(|step| *step >= from).min().unwrap_or(usize::MAX)
}

/// What a gauge without error would show at the end of a step: volts, or a level as a part; nothing (`NaN`) for
/// engine hours.
pub(crate) fn shown(moment: &Moment<'_>, voyage: &Voyage, reading: &Reading) -> f64 {
    use boat::trip::Sight;
    match (reading.of, reading.sight) {
        (Some(Gauge::Bank(bank)), Sight::Voltage(_)) => moment.flows[bank].voltage.as_volts(),
        (Some(Gauge::Bank(bank)), _) => moment.banks[bank].share(&moment.charged[bank]).as_plain(),
        (Some(Gauge::Ledger(ledger)), _) => moment.ledgers[ledger] / voyage.ledgers[ledger].capacity,
        (None, _) => f64::NAN,
    }
}
