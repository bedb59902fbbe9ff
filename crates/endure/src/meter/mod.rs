//! The meter check: readings on the way correct the forecast and show whether something is amiss.
//!
//! A reading neither replaces the forecast nor starts it anew: every way in which the trip may go is weighed by how
//! well it agrees with all readings so far (Gelman et al., Bayesian Data Analysis, third edition, 2013, chapter 1).
//! Each gauge has an error that it always makes and one that is new at each reading; a few readings are slips.

mod gauge;
mod judge;
mod learned;
mod linear;
mod pool;
mod suspect;
mod words;

use boat::model::Boat;

use crate::forecast::{Band, Forecast, reckon};
use crate::luck::Luck;
use crate::marks::{Marker, Marks};
use crate::run::Runner;
use crate::voyage::Voyage;
use gauge::Gauged;
pub use judge::Fit;
use judge::{Judged, judge};
use pool::{Pool, cut, effective};
pub use suspect::{Cause, Suspect};

/// One reading judged.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadingJudged {
    /// Its place in the plan, from zero.
    pub number: usize,
    /// What was expected of it from the plan and the readings before it, gauge errors counted: volts, a part of the
    /// whole, or hours.
    pub expected: Band,
    /// What was read, in the same unit.
    pub seen: f64,
    /// The chance of a reading so far off, either way, if all is as the plan says.
    pub tail: f64,
    /// Whether it fits.
    pub fit: Fit,
    /// What it says, for the crew.
    pub words: String,
}

/// All readings of one store together.
#[derive(Debug, Clone, PartialEq)]
pub struct StoreJudged {
    /// Its place in the forecast; nothing for engine hours.
    pub place: Option<usize>,
    /// Its name.
    pub name: String,
    /// How many readings.
    pub readings: usize,
    /// Whether they lie lower than expected.
    pub low: bool,
    /// The chance of readings so far to one side if all is as the plan says, taken together.
    pub together: f64,
    /// How many times likelier they are with one of the faults that were tried than with none; 1 if none was tried.
    pub times: f64,
    /// The chance of something so far off, by any of these, if all is as the plan says.
    pub tail: f64,
    /// Whether they fit.
    pub fit: Fit,
    /// For the crew: what may be amiss. Empty if they fit.
    pub crew: String,
    /// For the base: the same with figures. Empty if they fit.
    pub base: String,
    /// What to look at next, in order.
    pub next: Vec<&'static str>,
    /// What would explain them, the likeliest first; only of readings that do not fit.
    pub suspects: Vec<Suspect>,
}

/// The ways in which the trip may go, weighed by the readings.
#[derive(Debug, Clone, Default)]
pub struct Posterior {
    /// The drawings.
    pub lucks: Vec<Luck>,
    /// Their weights; they add up to 1.
    pub weights: Vec<f64>,
}

/// What readings say.
#[derive(Debug, Clone)]
pub struct Checked {
    /// The forecast with the readings.
    pub forecast: Forecast,
    /// The forecast without them.
    pub before: Forecast,
    /// The readings, in the order of the plan.
    pub readings: Vec<ReadingJudged>,
    /// The stores that were read, in the order of the forecast.
    pub stores: Vec<StoreJudged>,
    /// The worst of the stores, counted for how many were read.
    pub fit: Fit,
    /// How many equal drawings the corrected forecast is worth.
    pub effective: f64,
    /// What has been learned, in full sentences.
    pub learned: Vec<String>,
    /// What to keep in mind about the check itself.
    pub notes: Vec<String>,
    /// The weighed drawings.
    pub posterior: Posterior,
}

/// Checks the readings of a plan, from this many drawings.
pub fn check(boat: &Boat, voyage: &Voyage, seed: u64, drawings: u64) -> Checked {
    check_marks(boat, voyage, seed, &reckon(voyage, seed, 0..drawings))
}

/// Checks the readings of a plan, from drawings that are reckoned already: numbers from 0 on, under this seed.
pub fn check_marks(boat: &Boat, voyage: &Voyage, seed: u64, marks: &[Marks]) -> Checked {
    let before = Forecast::of(boat, voyage, marks);
    let readings = gauge::gauged(voyage);
    if readings.is_empty() || marks.is_empty() {
        return unread(before, marks.len());
    }
    let short = cut(voyage);
    let mut runner = Runner::new(&short);
    let mut pool = Pool::new(voyage, &readings, seed, marks);
    let (judged, weights) = go_through(&mut pool, &readings, marks.len(), &mut runner);
    let worth = effective(&weights);
    let forecast = if pool.redrawn() {
        again(boat, voyage, marks, &pool, &weights)
    } else {
        Forecast::weighed(boat, voyage, marks, &weights)
    };
    let lucks: Vec<Luck> = pool.members.iter().map(|member| member.luck.clone()).collect();
    let stores: Vec<StoreJudged> = words::courses(voyage, &readings, &judged)
        .into_iter()
        .map(|course| {
            let place = course.place.filter(|_| course.suspicious(voyage));
            let why = place.map(|place| suspect::suspects(voyage, &pool, &readings, seed, place));
            course.judged(boat, voyage, why.unwrap_or((Vec::new(), 1.0)))
        })
        .collect();
    let fit = words::overall(&stores);
    let mut judged: Vec<ReadingJudged> = readings
        .iter()
        .zip(&judged)
        .map(|(reading, judged)| words::reading(boat, voyage, reading, judged))
        .collect();
    judged.sort_by_key(|judged| judged.number);
    Checked {
        learned: learned::learned(boat, voyage, &lucks, &weights, marks.len()),
        notes: words::notes(worth, fit, &stores),
        posterior: Posterior { lucks, weights },
        readings: judged,
        effective: worth,
        forecast,
        before,
        stores,
        fit,
    }
}

fn unread(before: Forecast, drawings: usize) -> Checked {
    Checked {
        forecast: before.clone(),
        before,
        readings: Vec::new(),
        stores: Vec::new(),
        fit: Fit::Well,
        effective: drawings as f64,
        learned: Vec::new(),
        notes: vec!["The plan has no readings: this is the forecast as it was before she left.".to_owned()],
        posterior: Posterior::default(),
    }
}

/// How many drawings a judgement needs, and a forecast for each of its own drawings.
const TO_JUDGE: f64 = 60.0;
const TO_FORECAST: f64 = 0.2;

/// Takes the readings in by their times: each is judged by those before it.
fn go_through(
    pool: &mut Pool<'_>,
    readings: &[Gauged],
    drawings: usize,
    runner: &mut Runner<'_>,
) -> (Vec<Judged>, Vec<f64>) {
    let more = (drawings / 4).clamp(64, 500);
    let mut judged = Vec::with_capacity(readings.len());
    let mut weights = pool.weights(0);
    let mut from = 0;
    while let Some(first) = readings.get(from) {
        let to = from + readings[from..].iter().take_while(|one| one.step == first.step).count();
        judged.extend((from..to).map(|at| judge(pool, &weights, at, &readings[at])));
        let enough =
            if to == readings.len() { (TO_FORECAST * drawings as f64).max(TO_JUDGE) } else { TO_JUDGE };
        weights = pool.settle(to, enough, more, runner);
        from = to;
    }
    (judged, weights)
}

/// The forecast from drawings picked by their weights: each is picked as often as it weighs, to the nearest whole
/// (systematic resampling: Kitagawa, Journal of Computational and Graphical Statistics 5 (1996) 1).
fn again(boat: &Boat, voyage: &Voyage, marks: &[Marks], pool: &Pool<'_>, weights: &[f64]) -> Forecast {
    let picks = (marks.len() / 2).max(marks.len().min(200));
    let mut runner = Runner::new(voyage);
    let (mut kept, mut times) = (Vec::new(), Vec::new());
    let (mut sum, mut picked) = (0.0, 0);
    for (member, weight) in pool.members.iter().zip(weights) {
        sum += weight * picks as f64;
        let mut here = 0;
        while picked < picks && (picked as f64) + 0.5 < sum {
            picked += 1;
            here += 1;
        }
        if here == 0 {
            continue;
        }
        times.push(f64::from(here));
        kept.push(if let Some(number) = member.own {
            marks[number].clone()
        } else {
            let mut marker = Marker::new(voyage);
            runner.run(&member.luck, &mut marker);
            marker.into_marks()
        });
    }
    Forecast::weighed(boat, voyage, &kept, &times)
}
