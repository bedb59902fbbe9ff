//! How many of a part will be wanted, and how many to hold.

use quantity::{Ratio, Time};

use super::Gamma;

/// The most pieces that are told apart; the chance of more is kept as one.
pub const MOST_PIECES: usize = 2_000;

/// Chances below this are left off at the end.
pub(super) const LEFT_OFF: f64 = 1e-15;

/// How likely each number of pieces is wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// By number of pieces; what lacks to one is the chance of more.
    chance: Vec<f64>,
    mean: f64,
}

impl Demand {
    /// Failures at a known rate: so many expected. The number is Poisson's.
    ///
    /// # Panics
    /// If that is negative, infinite or no number.
    pub fn expected(mean: f64) -> Self {
        assert!(mean >= 0.0 && mean.is_finite(), "a number of pieces");
        let log_mean = libm::log(mean);
        let term = |k: f64| {
            if k > 0.0 { libm::exp(k * log_mean - mean - libm::lgamma(k + 1.0)) } else { libm::exp(-mean) }
        };
        Self { chance: terms(term, mean, LEFT_OFF, MOST_PIECES), mean }
    }

    /// Failures in a time at a rate of which this is known. The number is negative binomial: rates that are not known
    /// well make many at once likelier.
    pub fn over(known: &Gamma, time: Time) -> Self {
        let ratio = time / known.exposure();
        Self { chance: mixed(known.failures(), ratio, LEFT_OFF, MOST_PIECES), mean: known.failures() * ratio }
    }

    /// The demand of several boats for the same part, if each fails by its own: the sum of independent demands, by
    /// adding up all ways to come to a number. Boats of one fleet are not independent as long as the fleet's rate is
    /// not known; [`Fleet::demand`](super::Fleet::demand) keeps that.
    #[must_use]
    pub fn and(&self, other: &Self) -> Self {
        Self { chance: convolved(&self.chance, &other.chance, MOST_PIECES), mean: self.mean + other.mean }
    }

    pub(super) fn of(chance: Vec<f64>, mean: f64) -> Self {
        Self { chance, mean }
    }

    /// How many pieces are wanted on average.
    pub fn mean(&self) -> f64 {
        self.mean
    }

    /// The chance that just so many are wanted.
    pub fn exactly(&self, pieces: usize) -> Ratio {
        Ratio::plain(self.chance.get(pieces).copied().unwrap_or(0.0))
    }

    /// The chance that no more than so many are wanted.
    pub fn at_most(&self, pieces: usize) -> Ratio {
        Ratio::plain(self.chance.iter().take(pieces.saturating_add(1)).sum::<f64>().min(1.0))
    }

    /// The least number of pieces that will do with at least this probability; nothing if more than
    /// [`MOST_PIECES`] would be needed, or a certainty is asked for.
    pub fn stock(&self, service: Ratio) -> Option<usize> {
        let wanted = service.as_plain();
        let mut so_far = 0.0;
        self.chance.iter().position(|chance| {
            so_far += chance;
            so_far >= wanted
        })
    }

    /// How many of the wanted pieces are there on average, if so many are held.
    pub fn served(&self, stock: usize) -> f64 {
        let (mut so_far, mut served) = (0.0, 0.0);
        for pieces in 0..stock {
            so_far += self.chance.get(pieces).copied().unwrap_or(0.0);
            served += (1.0 - so_far).max(0.0);
        }
        served
    }
}

/// Chances by number, until what is left is as little as `left_off` and the average is passed.
fn terms(term: impl Fn(f64) -> f64, mean: f64, left_off: f64, most: usize) -> Vec<f64> {
    let (mut chance, mut so_far) = (Vec::new(), 0.0);
    while chance.len() <= most {
        let next = term(chance.len() as f64);
        so_far += next;
        chance.push(next);
        // Rounding may keep the sum from one by a little; single terms don't lie.
        if chance.len() as f64 > mean && (1.0 - so_far < left_off || next < left_off * 1e-3) {
            break;
        }
    }
    chance
}

/// The negative binomial chances of so many failures in a time that is `ratio` of what the knowledge is worth.
pub(super) fn mixed(failures: f64, ratio: f64, left_off: f64, most: usize) -> Vec<f64> {
    let log_none = -failures * libm::log1p(ratio);
    let log_more = -libm::log1p(1.0 / ratio);
    if ratio <= 0.0 {
        return vec![1.0];
    }
    if log_none > -600.0 {
        // From one number to the next, which is quick and exact to rounding.
        let more = libm::exp(log_more);
        let (mut next, mut so_far) = (libm::exp(log_none), 0.0);
        let mut chance = Vec::new();
        while chance.len() <= most {
            so_far += next;
            chance.push(next);
            let k = chance.len() as f64;
            if k > failures * ratio && (1.0 - so_far < left_off || next < left_off * 1e-3) {
                break;
            }
            next *= more * (failures + k - 1.0) / k;
        }
        return chance;
    }
    let base = libm::lgamma(failures);
    let term = |k: f64| {
        libm::exp(libm::lgamma(failures + k) - base - libm::lgamma(k + 1.0) + log_none + k * log_more)
    };
    terms(term, failures * ratio, left_off, most)
}

/// The chances of a sum of two numbers.
pub(super) fn convolved(one: &[f64], other: &[f64], most: usize) -> Vec<f64> {
    let length = (one.len() + other.len()).saturating_sub(1).min(most + 1);
    let mut sum = vec![0.0; length];
    for (i, a) in one.iter().enumerate().take(length) {
        for (to, b) in sum[i..].iter_mut().zip(other) {
            *to += a * b;
        }
    }
    sum
}
