//! Whether readings fit: each against what the readings before it foretell, and all readings of a store together.
//!
//! The place of a reading in its prior predictive distribution is uniform if the model is right (Rosenblatt, Annals of
//! Mathematical Statistics 23 (1952) 470; Box, Journal of the Royal Statistical Society A 143 (1980) 383). A slow
//! drift shows in no single reading: the normal scores of a store's readings are added up (Stouffer et al., The
//! American Soldier, 1949). Many readings are many chances to be alarmed for nothing: the overall verdict counts them
//! (Bonferroni's inequality).

use super::gauge::Gauged;
use super::pool::Pool;
use crate::forecast::Band;

/// Whether a reading fits what was expected.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fit {
    /// As expected.
    Well,
    /// So far off only once in twenty times if all is as the plan says.
    Doubtful,
    /// So far off only once in a hundred times.
    NotAtAll,
}

impl Fit {
    /// By the chance of being so far off.
    pub fn of(tail: f64) -> Self {
        if tail < 0.01 {
            Self::NotAtAll
        } else if tail < 0.05 {
            Self::Doubtful
        } else {
            Self::Well
        }
    }
}

/// One reading judged: what was expected, the part of all chances below it, and what its gauge shares.
#[derive(Debug, Clone, Copy)]
pub(super) struct Judged {
    pub(super) expected: Band,
    /// The chance of a lower reading.
    pub(super) below: f64,
}

impl Judged {
    pub(super) fn tail(&self) -> f64 {
        (2.0 * self.below.min(1.0 - self.below)).clamp(0.0, 1.0)
    }
}

/// A reading against drawings weighed by the readings before it.
pub(super) fn judge(pool: &Pool<'_>, weights: &[f64], at: usize, reading: &Gauged) -> Judged {
    let below = |value: f64| -> f64 {
        pool.members
            .iter()
            .zip(weights)
            .map(|(member, weight)| weight * normal_below((value - member.seen[at]) / reading.own))
            .sum()
    };
    Judged { expected: band(pool, at, reading, &below), below: below(reading.seen) }
}

fn band(pool: &Pool<'_>, at: usize, reading: &Gauged, below: &impl Fn(f64) -> f64) -> Band {
    let ends = pool.members.iter().map(|member| member.seen[at]);
    let (least, most) =
        ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), one| (least.min(one), most.max(one)));
    let part = |part: f64| {
        let (mut low, mut high) = (least - 5.0 * reading.own, most + 5.0 * reading.own);
        for _ in 0..24 {
            let middle = f64::midpoint(low, high);
            if below(middle) < part { low = middle } else { high = middle }
        }
        #[allow(clippy::cast_possible_truncation, reason = "for people")]
        let found = f64::midpoint(low, high) as f32;
        found
    };
    Band { low: part(0.1), middle: part(0.5), high: part(0.9) }
}

/// All readings of a store together, from the chances of lower readings with their steps. Readings of one time count as
/// one. The chance that as one-sided a course is seen or more so, and whether it is low.
pub(super) fn together(readings: &[(usize, f64)]) -> (f64, bool) {
    let mut times: Vec<usize> = readings.iter().map(|one| one.0).collect();
    times.dedup();
    let sum: f64 = times
        .iter()
        .map(|time| {
            let scores: Vec<f64> =
                readings.iter().filter(|one| one.0 == *time).map(|one| normal_score(one.1)).collect();
            scores.iter().sum::<f64>() / scores.len() as f64
        })
        .sum();
    let score = sum / (times.len().max(1) as f64).sqrt();
    ((2.0 * normal_below(-score.abs())).min(1.0), score < 0.0)
}

/// The chance of a standard normal value below this.
pub(super) fn normal_below(score: f64) -> f64 {
    0.5 * libm::erfc(-score / std::f64::consts::SQRT_2)
}

/// The standard normal value with this chance below it, kept within eight.
fn normal_score(below: f64) -> f64 {
    let (mut low, mut high) = (-8.0, 8.0);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if normal_below(middle) < below { low = middle } else { high = middle }
    }
    f64::midpoint(low, high)
}
