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
///
/// Most steps only compare charges and contents with what is kept here; levels, which cost a division, are made at
/// the hours, at the ends of stretches, and near the limits.
#[derive(Debug)]
pub struct Marker<'a> {
    voyage: &'a Voyage,
    marks: Marks,
    an_hour: usize,
    banks: Vec<BankMark>,
    ledgers: Vec<LedgerMark>,
    /// The step at whose end there is something to write down.
    next: usize,
}

/// What is kept of a bank.
#[derive(Debug, Clone, Copy)]
struct BankMark {
    /// Where it was lowest since the worst was last brought up, and the charge that it held there.
    lowest: Charged,
    held: Charge,
    /// With no less charge than this, it is not below what may be used of it.
    surely: Charge,
    wanting: f32,
    spent: Option<u32>,
}

/// What is kept of a ledger.
#[derive(Debug, Clone, Copy)]
struct LedgerMark {
    /// With no less than this, it is not spent (of waste: with no more; all with the other sign).
    surely: f64,
    /// 1, of waste -1.
    sign: f64,
    wanting: f32,
    spent: Option<u32>,
}

/// More than any bank holds.
const MORE: Charge = Charge::amp_hours(f64::INFINITY);
/// A level is rounded by far less than this.
const ROUNDING: f64 = 1e-9;

impl<'a> Marker<'a> {
    /// Ready for one trip.
    pub fn new(voyage: &'a Voyage) -> Self {
        let (banks, ledgers) = (voyage.banks.len(), voyage.ledgers.len());
        let hours = voyage.steps / voyage.steps_an_hour();
        let room = |count: usize| (0..count).map(|_| Vec::with_capacity(hours + 1)).collect();
        let fills = |at: usize| at >= banks && voyage.ledgers[at - banks].fills();
        let bank =
            BankMark { lowest: Charged::default(), held: MORE, surely: MORE, wanting: 0.0, spent: None };
        Self {
            voyage,
            an_hour: voyage.steps_an_hour(),
            banks: vec![bank; banks],
            ledgers: voyage.ledgers.iter().map(LedgerMark::new).collect(),
            next: 0,
            marks: Marks {
                levels: room(banks + ledgers),
                volts: room(banks),
                spent: Vec::new(),
                worst: (0..banks + ledgers).map(|at| if fills(at) { 0.0 } else { 1.0 }).collect(),
                wanting: Vec::new(),
                at_readings: vec![0.0; voyage.readings.len()],
            },
        }
    }

    /// What was kept.
    pub fn into_marks(self) -> Marks {
        let (banks, ledgers) = (self.banks.iter(), self.ledgers.iter());
        Marks {
            spent: banks
                .clone()
                .map(|kept| kept.spent)
                .chain(ledgers.clone().map(|kept| kept.spent))
                .collect(),
            wanting: banks.map(|kept| kept.wanting).chain(ledgers.map(|kept| kept.wanting)).collect(),
            ..self.marks
        }
    }
}

impl LedgerMark {
    fn new(ledger: &Ledger) -> Self {
        // The check itself allows for rounding; only what is well on the right side of it is passed over.
        let sign = if ledger.fills() { -1.0 } else { 1.0 };
        let limit = if ledger.fills() { ledger.usable } else { ledger.capacity - ledger.usable };
        Self { surely: sign * limit + ROUNDING * ledger.capacity, sign, wanting: 0.0, spent: None }
    }
}

impl Watch for Marker<'_> {
    #[inline]
    fn step(&mut self, moment: &Moment<'_>) {
        let banks = moment.banks.iter().zip(moment.charged).zip(moment.flows);
        for (at, (kept, ((bank, charged), flow))) in self.banks.iter_mut().zip(banks).enumerate() {
            let held = bank.held(charged);
            if held < kept.held {
                (kept.held, kept.lowest) = (held, *charged);
            }
            if held < kept.surely || flow.unmet > Current::ZERO {
                kept.look(self.voyage, moment, at);
            }
        }
        let ledgers = moment.ledgers.iter().zip(moment.wanting);
        for (at, (kept, (held, wanting))) in self.ledgers.iter_mut().zip(ledgers).enumerate() {
            if kept.sign * held < kept.surely || *wanting > 0.0 {
                kept.look(self.voyage, moment, at);
            }
        }
        if moment.at >= self.next || moment.at + 1 == moment.segment.to {
            self.write(moment);
        }
    }
}

#[allow(clippy::cast_possible_truncation, reason = "levels for people, and steps of some weeks")]
impl BankMark {
    /// Near its limit, or wanting.
    fn look(&mut self, voyage: &Voyage, moment: &Moment<'_>, at: usize) {
        self.wanting += (moment.flows[at].unmet.as_amps() * voyage.step.as_hours()) as f32;
        if self.spent.is_some() {
            return;
        }
        if moment.bank_is_spent(voyage, at) {
            self.spent = Some(moment.at as u32);
            self.surely = Charge::ZERO;
        } else {
            let bank = &moment.banks[at];
            let least = 1.0 - voyage.banks[at].usable.as_plain() + ROUNDING;
            self.surely = bank.held(&bank.with_share(Ratio::plain(least)));
        }
    }
}

#[allow(clippy::cast_possible_truncation, reason = "levels for people, and steps of some weeks")]
impl LedgerMark {
    /// Near its limit, or wanting.
    fn look(&mut self, voyage: &Voyage, moment: &Moment<'_>, at: usize) {
        self.wanting += moment.wanting[at] as f32;
        if self.spent.is_none() && moment.ledger_is_spent(voyage, at) {
            self.spent = Some(moment.at as u32);
            self.surely = f64::NEG_INFINITY;
        }
    }
}

#[allow(clippy::cast_possible_truncation, reason = "levels for people")]
impl Marker<'_> {
    /// Writes down what is due at the end of this step, and finds when something is due again.
    fn write(&mut self, moment: &Moment<'_>) {
        let after = moment.at + 1;
        self.worst(moment);
        if after % self.an_hour == 0 {
            self.hour(moment);
        }
        for (number, reading) in self.voyage.readings.iter().enumerate() {
            if reading.step == moment.at {
                self.marks.at_readings[number] = shown(moment, self.voyage, reading);
            }
        }
        let readings = self.voyage.readings.iter().map(|reading| reading.step);
        let hour = (after / self.an_hour + 1) * self.an_hour - 1;
        self.next = readings.filter(|step| *step >= after).fold(hour, usize::min);
    }

    /// Brings the worst levels up to this step. Within a stretch a ledger only falls (waste only rises).
    fn worst(&mut self, moment: &Moment<'_>) {
        let (banks, ledgers) = self.marks.worst.split_at_mut(self.banks.len());
        for ((worst, kept), bank) in banks.iter_mut().zip(&mut self.banks).zip(moment.banks) {
            *worst = worst.min(bank.share(&kept.lowest).as_plain() as f32);
            kept.held = MORE;
        }
        for ((worst, held), ledger) in ledgers.iter_mut().zip(moment.ledgers).zip(&self.voyage.ledgers) {
            let level = level(*held, ledger) as f32;
            *worst = if ledger.fills() { worst.max(level) } else { worst.min(level) };
        }
    }

    /// Writes down the levels of a whole hour.
    fn hour(&mut self, moment: &Moment<'_>) {
        let banks = self.banks.len();
        for at in 0..banks {
            self.marks.levels[at].push(moment.level(at) as f32);
            self.marks.volts[at].push(moment.flows[at].voltage.as_volts() as f32);
        }
        for (at, ledger) in self.voyage.ledgers.iter().enumerate() {
            self.marks.levels[banks + at].push(level(moment.ledgers[at], ledger) as f32);
        }
    }
}

/// The part of all that a ledger holds.
fn level(held: f64, ledger: &Ledger) -> f64 {
    if ledger.capacity > 0.0 { held / ledger.capacity } else { 0.0 }
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
