//! What is kept of each reckoned trip for the forecast: levels at every hour, and when a store was spent.

use crate::run::{Moment, Watch};
use crate::voyage::Voyage;

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
}

impl<'a> Marker<'a> {
    /// Ready for one trip.
    pub fn new(voyage: &'a Voyage) -> Self {
        let (banks, ledgers) = (voyage.banks.len(), voyage.ledgers.len());
        let hours = voyage.steps / voyage.steps_an_hour();
        let room = |count: usize| (0..count).map(|_| Vec::with_capacity(hours + 1)).collect();
        let fills = |at: usize| at >= banks && voyage.ledgers[at - banks].fills();
        Self {
            voyage,
            an_hour: voyage.steps_an_hour(),
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
    #[allow(clippy::cast_possible_truncation, reason = "levels for people, and steps of some weeks")]
    fn step(&mut self, moment: &Moment<'_>) {
        let voyage = self.voyage;
        let mark = (moment.at + 1) % self.an_hour == 0;
        let hours = voyage.step.as_hours();
        for at in 0..voyage.banks.len() {
            let level = moment.level(at);
            let unmet = moment.flows[at].unmet.as_amps();
            let past = moment.bank_is_spent(voyage, at);
            self.note(at, moment.at, level, past, unmet * hours, false);
            if mark {
                self.marks.levels[at].push(level as f32);
                self.marks.volts[at].push(moment.flows[at].voltage.as_volts() as f32);
            }
        }
        for (at, ledger) in voyage.ledgers.iter().enumerate() {
            let held = moment.ledgers[at];
            let level = if ledger.capacity > 0.0 { held / ledger.capacity } else { 0.0 };
            let past = moment.ledger_is_spent(voyage, at);
            let place = voyage.banks.len() + at;
            self.note(place, moment.at, level, past, moment.wanting[at], ledger.fills());
            if mark {
                self.marks.levels[place].push(level as f32);
            }
        }
        self.read(moment);
    }
}

impl Marker<'_> {
    #[allow(clippy::cast_possible_truncation, reason = "levels for people, and steps of some weeks")]
    fn note(&mut self, place: Place, at: usize, level: f64, past: bool, wanting: f64, fills: bool) {
        let worst = &mut self.marks.worst[place];
        *worst = if fills { worst.max(level as f32) } else { worst.min(level as f32) };
        self.marks.wanting[place] += wanting as f32;
        if past && self.marks.spent[place].is_none() {
            self.marks.spent[place] = Some(at as u32);
        }
    }

    fn read(&mut self, moment: &Moment<'_>) {
        use crate::voyage::Gauge;
        use boat::trip::Sight;
        for (number, reading) in self.voyage.readings.iter().enumerate() {
            if reading.step != moment.at {
                continue;
            }
            self.marks.at_readings[number] = match (reading.of, reading.sight) {
                (Some(Gauge::Bank(bank)), Sight::Voltage(_)) => moment.flows[bank].voltage.as_volts(),
                (Some(Gauge::Bank(bank)), _) => moment.banks[bank].share(&moment.charged[bank]).as_plain(),
                (Some(Gauge::Ledger(ledger)), _) => {
                    moment.ledgers[ledger] / self.voyage.ledgers[ledger].capacity
                }
                (None, _) => f64::NAN,
            };
        }
    }
}
