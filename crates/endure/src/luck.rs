//! What a plan leaves to chance: habits, weather, age of batteries, gauges. One drawing is one way in which the trip
//! may go.

use quantity::{Ratio, TemperatureDifference};
use rand::SeedableRng;
use rand_distr::{Beta, Distribution, StandardNormal};
use rand_pcg::Pcg64Mcg;

use crate::voyage::{Voyage, clouds_leave};

/// How far the health of a bank is from what was measured, and from what is usual where nobody measured it
/// (standard deviations; our judgement).
const HEALTH_MEASURED: f64 = 0.03;
const HEALTH_UNKNOWN: f64 = 0.07;
/// How far a forecast of the air is off over a trip, in kelvin (our judgement from usual errors of forecasts).
const AIR: f64 = 2.0;
/// How closely a day's clouds keep to the forecast: the sum of the Beta distribution's parameters (our judgement).
const CLOUDS: f64 = 4.0;
/// How far crews run the engine longer or shorter than planned, as a part (our judgement).
const ENGINE: f64 = 0.15;

/// One way in which a trip may go: factors on what is planned.
#[derive(Debug, Clone, PartialEq)]
pub struct Luck {
    /// On what each load takes.
    pub lines: Vec<f64>,
    /// On what each source gives.
    pub feeds: Vec<f64>,
    /// The health of each bank.
    pub health: Vec<Ratio>,
    /// How full each bank really is at the start.
    pub banks: Vec<Ratio>,
    /// How full each ledger really is at the start, as a part.
    pub ledgers: Vec<f64>,
    /// How much warmer the air is.
    pub air: TemperatureDifference,
    /// The part of a clear sky's light that each day's clouds leave.
    pub sky: Vec<f64>,
    /// On the hours that the engine runs.
    pub engine: f64,
}

impl Luck {
    /// All as planned.
    pub fn middle(voyage: &Voyage) -> Self {
        Self {
            lines: vec![1.0; voyage.lines.len()],
            feeds: vec![1.0; voyage.feeds.len()],
            health: voyage.banks.iter().map(|bank| bank.spec.health).collect(),
            banks: voyage.banks.iter().map(|bank| bank.start).collect(),
            ledgers: voyage.ledger_start.clone(),
            air: TemperatureDifference::kelvin(0.0),
            sky: voyage.cloud.iter().map(|cover| clouds_leave(*cover)).collect(),
            engine: 1.0,
        }
    }

    /// The drawing of this number under a seed: the same on every machine, whatever else is drawn.
    pub fn draw(voyage: &Voyage, seed: u64, number: u64) -> Self {
        Self::of_scores(voyage, &Scores::draw(voyage, seed, number))
    }

    /// The drawing that these scores make.
    pub fn of_scores(voyage: &Voyage, scores: &Scores) -> Self {
        let mut in_turn = scores.normal.iter();
        let mut normal = || -> f64 { in_turn.next().copied().unwrap_or_default() };
        let own: Vec<f64> = voyage.lines.iter().map(|line| factor(line.spread, normal())).collect();
        let lines = voyage.lines.iter().map(|line| own[line.with]).collect();
        let feeds = voyage.feeds.iter().map(|feed| factor(feed.spread, normal()).min(1.25)).collect();
        let health = voyage
            .banks
            .iter()
            .map(|bank| {
                let spread = if bank.health_known { HEALTH_MEASURED } else { HEALTH_UNKNOWN };
                Ratio::plain((bank.spec.health.as_plain() + spread * normal()).clamp(0.3, 1.05))
            })
            .collect();
        let banks = voyage
            .banks
            .iter()
            .map(|bank| Ratio::plain(near(bank.start.as_plain(), bank.gauge_error / 2.0, normal())))
            .collect();
        let ledgers = voyage
            .ledgers
            .iter()
            .zip(&voyage.ledger_start)
            .map(|(ledger, start)| near(*start, ledger.gauge_error / 2.0, normal()))
            .collect();
        let air = TemperatureDifference::kelvin(AIR * normal());
        let engine = factor(ENGINE, normal());
        Self { lines, feeds, health, banks, ledgers, air, sky: scores.sky.clone(), engine }
    }
}

/// What a drawing is made from: standard normal scores, and the skies of its days.
#[derive(Debug, Clone, PartialEq)]
pub struct Scores {
    /// One for each line, source, bank (its health, then how full it is) and ledger, for the air and the engine.
    pub normal: Vec<f64>,
    /// The part of a clear sky's light that each day's clouds leave.
    pub sky: Vec<f64>,
}

impl Scores {
    /// The scores of the drawing of this number under a seed.
    pub fn draw(voyage: &Voyage, seed: u64, number: u64) -> Self {
        // Neighbouring numbers must not give neighbouring drawings: the generator's seeding mixes them.
        let mut chance = Pcg64Mcg::seed_from_u64(seed ^ number.wrapping_mul(0x9E37_79B9_7F4A_7C15));
        let count = voyage.lines.len() + voyage.feeds.len() + 2 * voyage.banks.len() + voyage.ledgers.len();
        let normal = (0..count + 2).map(|_| StandardNormal.sample(&mut chance)).collect();
        let sky = voyage.cloud.iter().map(|cover| clouds_leave(cloud(*cover, &mut chance))).collect();
        Self { normal, sky }
    }
}

/// A factor with median one: the logarithm is normal.
fn factor(spread: f64, normal: f64) -> f64 {
    libm::exp(spread * normal)
}

/// A level near what was said; a full or an empty one can only be off to one side.
fn near(level: f64, spread: f64, normal: f64) -> f64 {
    let off = spread * normal;
    let found = if level >= 1.0 {
        level - off.abs()
    } else if level <= 0.0 {
        off.abs()
    } else {
        level + off
    };
    found.clamp(0.0, 1.0)
}

/// A day's cloud cover with this mean.
fn cloud(cover: f64, chance: &mut Pcg64Mcg) -> f64 {
    let mean = cover.clamp(0.02, 0.98);
    Beta::new(CLOUDS * mean, CLOUDS * (1.0 - mean)).map_or(cover, |beta| beta.sample(chance))
}
