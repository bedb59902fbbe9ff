//! What would explain readings that do not fit: a bank that holds less, or something that draws and is not in the list.
//!
//! Each cause is tried in several sizes. How likely the store's readings are then, against how likely with nothing
//! amiss, is a Bayes factor, the chances of the plan averaged out (Kass and Raftery, JASA 90 (1995) 773). With nothing
//! amiss its mean is 1, so that it is above a number k at most once in k times (Markov's inequality; Vovk and Wang,
//! E-values, Annals of Statistics 49 (2021) 1736): its reciprocal stands beside the tails of the readings.

use quantity::{Current, Ratio};
use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64Mcg;

use super::gauge::{Gauged, on_gauge};
use super::pool::{Pool, cut, glance, mean_of_exponentials};
use super::words;
use crate::luck::Luck;
use crate::run::Runner;
use crate::voyage::{Account, Draw, Habit, Line, Take, Voyage};

/// What may be amiss.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cause {
    /// The bank holds only this part of its rated capacity.
    Holds(Ratio),
    /// So many amperes, litres an hour or kilograms an hour more go out (of waste: come in) all the time.
    Draws(f64),
}

/// A cause that would explain readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspect {
    /// What, in the size that explains them best.
    pub cause: Cause,
    /// How many times likelier the readings are with it.
    pub times: f64,
    /// In a full sentence.
    pub words: String,
}

/// Drawings for each size.
const DRAWINGS: u64 = 32;
/// Numbers of drawings from here on are those of suspects.
const APART: u64 = 1 << 41;
/// Causes that make the readings less than so many times likelier are not named (Kass and Raftery: positive evidence).
const WORTH: f64 = 3.0;
const HEALTHS: [f64; 6] = [0.35, 0.45, 0.55, 0.65, 0.75, 0.85];
/// Draws as parts of what empties the store in 20 hours.
const DRAWS: [f64; 7] = [0.03, 0.06, 0.1, 0.15, 0.22, 0.33, 0.5];

/// What would explain the readings of a store, the likeliest first, and how many times likelier they are with one of
/// the causes tried, in one of the sizes tried, all of them alike.
pub(super) fn suspects(
    voyage: &Voyage,
    pool: &Pool<'_>,
    readings: &[Gauged],
    seed: u64,
    place: usize,
) -> (Vec<Suspect>, f64) {
    let Some((short, line, whole)) = with_unknown(voyage, place) else { return (Vec::new(), 1.0) };
    let own: Vec<usize> =
        (0..readings.len()).filter(|at| readings[*at].kind.place(voyage) == Some(place)).collect();
    let sound = pool.evidence(&own);
    let own: Vec<Gauged> = own.iter().map(|at| readings[*at].clone()).collect();
    let mut trial =
        Trial { voyage, short: &short, runner: Runner::new(&short), readings: &own, seed, line, place };
    let mut families = vec![DRAWS.iter().map(|part| Cause::Draws(part * whole / 20.0)).collect::<Vec<_>>()];
    if let Some(bank) = voyage.banks.get(place) {
        let most = bank.spec.health.as_plain() - 0.05;
        let healths = HEALTHS.iter().filter(|health| **health < most);
        families.push(healths.map(|health| Cause::Holds(Ratio::plain(*health))).collect());
    }
    families.retain(|family| !family.is_empty());
    let (mut found, mut times) = (Vec::new(), Vec::new());
    for family in &families {
        let tried: Vec<(Cause, f64)> =
            family.iter().map(|cause| (*cause, trial.likely(*cause) - sound)).collect();
        let logs: Vec<f64> = tried.iter().map(|one| one.1).collect();
        let mean = mean_of_exponentials(&logs).min(200.0);
        times.push(mean);
        let cause = between(&tried, logs.iter().copied().fold(f64::NEG_INFINITY, f64::max));
        if mean >= libm::log(WORTH) {
            found.push(Suspect { cause, times: libm::exp(mean), words: words::cause(voyage, place, cause) });
        }
    }
    found.sort_by(|a, b| b.times.total_cmp(&a.times));
    (found, libm::exp(mean_of_exponentials(&times)))
}

/// The size between those tried, weighed by how likely each makes the readings.
fn between(tried: &[(Cause, f64)], most: f64) -> Cause {
    let (mut sum, mut total, mut health) = (0.0, 0.0, false);
    for (cause, log) in tried {
        let weight = libm::exp(log - most);
        let size = match cause {
            Cause::Holds(part) => {
                health = true;
                part.as_plain()
            }
            Cause::Draws(rate) => *rate,
        };
        sum += weight * size;
        total += weight;
    }
    if health { Cause::Holds(Ratio::plain(sum / total)) } else { Cause::Draws(sum / total) }
}

struct Trial<'a> {
    voyage: &'a Voyage,
    short: &'a Voyage,
    runner: Runner<'a>,
    readings: &'a [Gauged],
    seed: u64,
    line: usize,
    place: usize,
}

impl Trial<'_> {
    /// The logarithm of how likely the readings are with a cause, the plan's chances averaged out.
    fn likely(&mut self, cause: Cause) -> f64 {
        let logs: Vec<f64> = (0..DRAWINGS).map(|number| self.one(APART + number, cause)).collect();
        mean_of_exponentials(&logs)
    }

    fn one(&mut self, number: u64, cause: Cause) -> f64 {
        let mut luck = Luck::draw(self.voyage, self.seed, number);
        luck.lines.push(0.0);
        match cause {
            Cause::Holds(part) => luck.health[self.place] = part,
            Cause::Draws(rate) => luck.lines[self.line] = rate,
        }
        let shown = glance(self.short, &luck, &mut self.runner);
        let mut chance = Pcg64Mcg::seed_from_u64(self.seed ^ number.wrapping_mul(0xA24B_AED4_963E_E407));
        let gauges = self.readings.iter().map(|reading| reading.gauge + 1).max().unwrap_or(0);
        let off: Vec<f64> = (0..gauges).map(|_| StandardNormal.sample(&mut chance)).collect();
        self.readings
            .iter()
            .map(|reading| {
                let gauge = on_gauge(self.voyage, reading.kind, shown[reading.at]);
                reading.log_likelihood(gauge + reading.shared * off[reading.gauge])
            })
            .sum()
    }
}

/// The trip up to its last reading with one line more, of one ampere, litre or kilogram an hour all the time; that
/// line, and all that the store holds. Nothing if the boat has no loads at all.
fn with_unknown(voyage: &Voyage, place: usize) -> Option<(Voyage, usize, f64)> {
    let mut short = cut(voyage);
    let line = voyage.lines.len();
    let load = voyage.lines.first()?.load;
    let (account, take, whole) = if let Some(bank) = voyage.banks.get(place) {
        (Account::Bank(place), Take::Current(Current::amps(1.0)), bank.spec.capacity.as_amp_hours())
    } else {
        let ledger = place - voyage.banks.len();
        (Account::Ledger(ledger), Take::Hourly(1.0), voyage.ledgers[ledger].capacity)
    };
    short.lines.push(Line {
        load,
        account,
        take,
        habit: Habit::Steady(1.0),
        spread: 0.0,
        with: line,
        allowed: [true; 6],
        off_at_night: false,
        stops_below: None,
    });
    for segment in &mut short.segments {
        match account {
            Account::Bank(bank) => segment.draws.push((line, bank, Draw::Current(Current::amps(1.0)))),
            Account::Ledger(ledger) => segment.flows.push((line, ledger, 1.0)),
            Account::Mains => {}
        }
    }
    Some((short, line, whole))
}
