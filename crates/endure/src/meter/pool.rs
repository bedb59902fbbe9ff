//! Drawings and their weights: importance sampling from a mixture of all that was proposed.
//!
//! Weights are posterior over proposal (Bishop, Pattern Recognition and Machine Learning, 2006, section 11.1.4), where
//! the proposal is the mixture of everything that drawings were taken from (Veach and Guibas, SIGGRAPH 1995; Cornuet,
//! Marin, Mira and Robert, Scandinavian Journal of Statistics 39 (2012) 798). The plan's own chances are always part
//! of it, so no weight runs away (Owen and Zhou, Journal of the American Statistical Association 95 (2000) 135).
//! Readings come in by their times (Chopin, Biometrika 89 (2002) 539; Doucet and Johansen 2011): where too few
//! drawings carry the weight, new ones are drawn around where it lies.

use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64Mcg;

use super::gauge::{Gauged, Kind, gauges, on_gauge};
use super::linear::{Affine, Proposal};
use crate::luck::{Luck, Scores};
use crate::marks::{Marks, shown};
use crate::run::{Moment, Runner, Watch};
use crate::voyage::Voyage;

/// Numbers of drawings from here on are not those of a forecast.
const APART: u64 = 1 << 40;

/// One way in which the trip may go.
#[derive(Debug, Clone)]
pub(super) struct Member {
    /// Its place among the forecast's own drawings, if it is one.
    pub(super) own: Option<usize>,
    pub(super) luck: Luck,
    /// The scores of its luck, then of each gauge.
    scores: Vec<f64>,
    /// What each gauge would show, its own lasting error counted.
    pub(super) seen: Vec<f64>,
    /// The logarithm of each proposal's density over that of the plan's chances.
    ratios: Vec<f64>,
}

/// All drawings.
pub(super) struct Pool<'a> {
    voyage: &'a Voyage,
    readings: &'a [Gauged],
    seed: u64,
    pub(super) members: Vec<Member>,
    /// How many drawings came from the plan's chances, and from each proposal.
    counts: Vec<usize>,
    proposals: Vec<Proposal>,
}

impl<'a> Pool<'a> {
    /// The forecast's own drawings.
    pub(super) fn new(voyage: &'a Voyage, readings: &'a [Gauged], seed: u64, marks: &[Marks]) -> Self {
        let mut pool = Self {
            voyage,
            readings,
            seed,
            members: Vec::new(),
            counts: vec![marks.len()],
            proposals: Vec::new(),
        };
        for (number, marks) in marks.iter().enumerate() {
            let (scores, sky, _) = pool.chance(number as u64);
            let member = pool.member(Some(number), scores, sky, |_| marks.at_readings.clone());
            pool.members.push(member);
        }
        pool
    }

    /// Standard scores of luck and gauges, the skies, and an error for each reading.
    fn chance(&self, number: u64) -> (Vec<f64>, Vec<f64>, Vec<f64>) {
        let mut drawn = Scores::draw(self.voyage, self.seed, number);
        let mix = number.wrapping_add(1).wrapping_mul(0xD1B5_4A32_D192_ED03);
        let mut chance = Pcg64Mcg::seed_from_u64(self.seed.rotate_left(17) ^ mix);
        let mut normals =
            |count: usize| -> Vec<f64> { (0..count).map(|_| StandardNormal.sample(&mut chance)).collect() };
        drawn.normal.extend(normals(gauges(self.readings)));
        (drawn.normal, drawn.sky, normals(self.readings.len()))
    }

    fn member(
        &self,
        own: Option<usize>,
        scores: Vec<f64>,
        sky: Vec<f64>,
        run: impl FnOnce(&Luck) -> Vec<f64>,
    ) -> Member {
        let lucky = scores.len() - gauges(self.readings);
        let luck = Luck::of_scores(self.voyage, &Scores { normal: scores[..lucky].to_vec(), sky });
        let at = run(&luck);
        let voyage = self.voyage;
        let seen = self
            .readings
            .iter()
            .map(|reading| {
                let shows = match reading.kind {
                    Kind::Hours => luck.engine * reading.hours,
                    kind => on_gauge(voyage, kind, at[reading.at]),
                };
                shows + reading.shared * scores[lucky + reading.gauge]
            })
            .collect();
        let ratios = self.proposals.iter().map(|proposal| proposal.log_ratio(&scores)).collect();
        Member { own, luck, scores, seen, ratios }
    }

    /// Weights that add up to 1, given the first so many readings.
    pub(super) fn weights(&self, given: usize) -> Vec<f64> {
        let mut logs: Vec<f64> = self
            .members
            .iter()
            .map(|member| {
                let likely: f64 = self.readings[..given]
                    .iter()
                    .zip(&member.seen)
                    .map(|(reading, seen)| reading.log_likelihood(*seen))
                    .sum();
                likely - self.log_mixed(member)
            })
            .collect();
        to_weights(&mut logs);
        logs
    }

    /// The logarithm of how likely these of the readings are, the plan's chances averaged out.
    pub(super) fn evidence(&self, of: &[usize]) -> f64 {
        let logs: Vec<f64> = self
            .members
            .iter()
            .map(|member| {
                let likely: f64 =
                    of.iter().map(|at| self.readings[*at].log_likelihood(member.seen[*at])).sum();
                likely - self.log_mixed(member)
            })
            .collect();
        mean_of_exponentials(&logs)
    }

    /// The logarithm of the density of all that was proposed over that of the plan's chances.
    fn log_mixed(&self, member: &Member) -> f64 {
        let all: usize = self.counts.iter().sum();
        let mut mixed = self.counts[0] as f64;
        for (ratio, count) in member.ratios.iter().zip(&self.counts[1..]) {
            mixed += *count as f64 * libm::exp(ratio.min(600.0));
        }
        libm::log(mixed / all as f64)
    }

    /// Draws more until the weight, given the first so many readings, lies on enough drawings; or gives up.
    pub(super) fn settle(
        &mut self,
        given: usize,
        enough: f64,
        more: usize,
        runner: &mut Runner<'_>,
    ) -> Vec<f64> {
        let mut weights = self.weights(given);
        let (tries, mut best) = (if given == self.readings.len() { TRIES } else { TRIES / 2 }, 0.0);
        for attempt in 0..tries {
            let worth = effective(&weights);
            // Two in a row, a bold and a wary one, must help.
            if worth >= enough || (attempt % 2 == 0 && attempt > 0 && worth < 1.2 * best) {
                break;
            }
            best = if attempt % 2 == 0 { worth } else { best };
            let proposal = self.propose(given, &weights, attempt % 2 == 1);
            self.draw(proposal, more, runner);
            weights = self.weights(given);
        }
        weights
    }

    /// A proposal around where the weight lies. A reading that looks like a slip counts for less if `wary`.
    fn propose(&self, given: usize, weights: &[f64], wary: bool) -> Proposal {
        let size = self.members.first().map_or(0, |member| member.scores.len());
        let flat = flattened(weights, 1.5 * size as f64);
        let scores: Vec<&[f64]> = self.members.iter().map(|member| member.scores.as_slice()).collect();
        let seen: Vec<&[f64]> = self.members.iter().map(|member| &member.seen[..given]).collect();
        let affine = Affine::fit(&scores, &seen, &flat, effective(&flat));
        let readings = &self.readings[..given];
        let noise = readings
            .iter()
            .enumerate()
            .map(|(at, reading)| {
                let sound: f64 = self
                    .members
                    .iter()
                    .zip(&flat)
                    .map(|(member, weight)| weight * reading.sound(member.seen[at]))
                    .sum();
                let trust = if wary { sound.max(0.01) } else { 1.0 };
                (reading.own * reading.own * WIDER + affine.left[at]) / trust
            })
            .collect();
        let targets: Vec<f64> = readings.iter().map(|reading| reading.seen).collect();
        Proposal::new(&affine, &targets, noise)
    }

    fn draw(&mut self, proposal: Proposal, more: usize, runner: &mut Runner<'_>) {
        for member in &mut self.members {
            member.ratios.push(proposal.log_ratio(&member.scores));
        }
        self.proposals.push(proposal);
        for _ in 0..more {
            let number = APART + self.members.len() as u64;
            let (scores, sky, errors) = self.chance(number);
            let drawn = self.proposals.last().map(|proposal| proposal.draw(&scores, &errors));
            let member =
                self.member(None, drawn.unwrap_or(scores), sky, |luck| glance(self.voyage, luck, runner));
            self.members.push(member);
        }
        self.counts.push(more);
    }

    /// How many proposals were needed beyond the plan's chances.
    pub(super) fn redrawn(&self) -> bool {
        !self.proposals.is_empty()
    }
}

/// How often new drawings are tried for the last time of readings; for others half as often.
const TRIES: usize = 6;
/// How much wider than the gauge's own error a proposal is, in variances.
const WIDER: f64 = 1.3;

/// What gauges without errors would show on one trip.
pub(super) fn glance(voyage: &Voyage, luck: &Luck, runner: &mut Runner<'_>) -> Vec<f64> {
    let mut glance = Glance { voyage, seen: vec![f64::NAN; voyage.readings.len()] };
    runner.run(luck, &mut glance);
    glance.seen
}

struct Glance<'a> {
    voyage: &'a Voyage,
    seen: Vec<f64>,
}

impl Watch for Glance<'_> {
    fn step(&mut self, moment: &Moment<'_>) {
        for (reading, seen) in self.voyage.readings.iter().zip(&mut self.seen) {
            if reading.step == moment.at {
                *seen = shown(moment, self.voyage, reading);
            }
        }
    }
}

/// The trip up to its last reading.
pub(super) fn cut(voyage: &Voyage) -> Voyage {
    let end = voyage.readings.iter().map(|reading| reading.step + 1).max().unwrap_or(0);
    let mut short = voyage.clone();
    short.segments.retain(|segment| segment.from < end);
    if let Some(last) = short.segments.last_mut() {
        last.to = last.to.min(end);
    }
    short
}

/// How many equal drawings the weights are worth (Kong, Liu and Wong, JASA 89 (1994) 278).
pub(super) fn effective(weights: &[f64]) -> f64 {
    let squares: f64 = weights.iter().map(|weight| weight * weight).sum();
    if squares > 0.0 { 1.0 / squares } else { 0.0 }
}

/// The logarithm of the mean of what these are logarithms of.
pub(super) fn mean_of_exponentials(logs: &[f64]) -> f64 {
    let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    most + libm::log(logs.iter().map(|log| libm::exp(log - most)).sum::<f64>() / logs.len() as f64)
}

/// Logarithms become weights that add up to 1.
fn to_weights(logs: &mut [f64]) {
    let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    for log in logs.iter_mut() {
        *log = libm::exp(*log - most);
    }
    let total: f64 = logs.iter().sum();
    for weight in logs.iter_mut() {
        *weight /= total;
    }
}

/// Weights to a power below 1, so that they are worth at least so many drawings, if that many are there.
fn flattened(weights: &[f64], least: f64) -> Vec<f64> {
    let to = |power: f64| {
        let mut flat: Vec<f64> = weights.iter().map(|weight| power * libm::log(weight.max(1e-300))).collect();
        to_weights(&mut flat);
        flat
    };
    let (mut low, mut high) = (0.0, 1.0);
    if effective(weights) >= least {
        return weights.to_vec();
    }
    for _ in 0..20 {
        let middle = f64::midpoint(low, high);
        if effective(&to(middle)) >= least { low = middle } else { high = middle }
    }
    to(low)
}
