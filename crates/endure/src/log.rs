//! Where everything went on one trip: what each load took of each store, what each source gave.

use quantity::Power;

use crate::run::{Moment, Watch, inverted};
use crate::voyage::{Account, Draw, Habit, Take, Voyage};

/// What one trip took and gave.
#[derive(Debug, Clone, PartialEq)]
pub struct Ledgered {
    /// Ah, litres or kilograms by line, until the first time that its store was spent (or the end).
    pub until_spent: Vec<f64>,
    /// The same over the whole trip.
    pub whole: Vec<f64>,
    /// Ah taken up by each bank from all its sources over the whole trip.
    pub taken: Vec<f64>,
    /// Hours that an engine ran.
    pub engine_hours: f64,
    /// The step in which each store was first past its limit, banks first.
    pub spent: Vec<Option<usize>>,
    /// Hours in which all mains together asked for more than the pedestal gives.
    pub overloaded_hours: f64,
}

/// Keeps the log of one trip while it is reckoned with all as planned.
#[derive(Debug)]
pub struct Logger<'a> {
    voyage: &'a Voyage,
    log: Ledgered,
    /// Volts of each bank after the step before, at which watts become amperes.
    volts: Vec<Option<f64>>,
}

impl<'a> Logger<'a> {
    /// Ready for one trip.
    pub fn new(voyage: &'a Voyage) -> Self {
        let stores = voyage.banks.len() + voyage.ledgers.len();
        Self {
            voyage,
            volts: vec![None; voyage.banks.len()],
            log: Ledgered {
                until_spent: vec![0.0; voyage.lines.len()],
                whole: vec![0.0; voyage.lines.len()],
                taken: vec![0.0; voyage.banks.len()],
                engine_hours: 0.0,
                spent: vec![None; stores],
                overloaded_hours: 0.0,
            },
        }
    }

    /// The log.
    pub fn into_log(self) -> Ledgered {
        self.log
    }

    fn add(&mut self, line: usize, place: usize, amount: f64) {
        self.log.whole[line] += amount;
        if self.log.spent[place].is_none() {
            self.log.until_spent[line] += amount;
        }
    }
}

impl Watch for Logger<'_> {
    fn step(&mut self, moment: &Moment<'_>) {
        let voyage = self.voyage;
        let hours = voyage.step.as_hours();
        let segment = moment.segment;
        if segment.engine {
            self.log.engine_hours += hours;
        }
        let volts: Vec<f64> = (0..voyage.banks.len())
            .map(|bank| {
                let before = self.volts[bank].unwrap_or(moment.flows[bank].voltage.as_volts());
                before.max(voyage.banks[bank].spec.nominal.as_volts() * 0.7)
            })
            .collect();
        for (line, bank, draw) in &segment.draws {
            let amps = match draw {
                Draw::Current(current) => current.as_amps(),
                Draw::Power(power) => power.as_watts() / volts[*bank],
            };
            self.add(*line, *bank, amps * hours);
        }
        if let Some((feed, bank)) = segment.inverter {
            // What the inverter draws for itself is shared out among those who use it.
            let mains: Power = segment.mains.iter().map(|(_, power)| *power).sum();
            let drawn = inverted(&voyage.feeds[feed].kind, mains).as_watts() / mains.as_watts().max(1e-9);
            for (line, power) in &segment.mains {
                self.add(*line, bank, power.as_watts() * drawn / volts[bank] * hours);
            }
        }
        if let Some(shore) = segment.shore {
            let mains: f64 = segment.mains.iter().map(|(_, power)| power.as_watts()).sum();
            if mains > shore.most.as_watts() {
                self.log.overloaded_hours += hours;
            }
        }
        for (line, ledger, rate) in &segment.flows {
            self.add(*line, voyage.banks.len() + *ledger, rate * hours);
        }
        for (at, line) in voyage.lines.iter().enumerate() {
            if !(moment.running[at] && matches!(line.habit, Habit::Thermostat { .. })) {
                continue;
            }
            match (line.account, line.take) {
                (Account::Bank(bank), Take::Current(current)) => {
                    self.add(at, bank, current.as_amps() * hours);
                }
                (Account::Bank(bank), Take::Power(power)) => {
                    self.add(at, bank, power.as_watts() / volts[bank] * hours);
                }
                (Account::Ledger(ledger), Take::Hourly(rate)) => {
                    self.add(at, voyage.banks.len() + ledger, rate * hours);
                }
                _ => {}
            }
        }
        self.spent(moment);
        for (volts, flow) in self.volts.iter_mut().zip(moment.flows) {
            *volts = Some(flow.voltage.as_volts());
        }
    }
}

impl Logger<'_> {
    fn spent(&mut self, moment: &Moment<'_>) {
        let voyage = self.voyage;
        let hours = voyage.step.as_hours();
        for at in 0..voyage.banks.len() {
            self.log.taken[at] += moment.flows[at].taken.as_amps() * hours;
            if moment.bank_is_spent(voyage, at) {
                self.log.spent[at].get_or_insert(moment.at);
            }
        }
        for at in 0..voyage.ledgers.len() {
            if moment.ledger_is_spent(voyage, at) {
                self.log.spent[voyage.banks.len() + at].get_or_insert(moment.at);
            }
        }
    }
}
