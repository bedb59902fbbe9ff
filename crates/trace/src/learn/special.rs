//! Incomplete gamma and beta integrals and the inverses of such distributions.
//!
//! Written out here, since they must give the same digits on every machine, which wants every logarithm to come from one
//! library, and since quantiles are wanted to more digits than ready-made ones give.
//!
//! # Source
//! NIST Digital Library of Mathematical Functions, 8.11.4 (series), 8.9.2 (continued fraction), 5.11.1 (Stirling's
//! series), 8.17.22 (continued fraction of the beta integral); W. Lentz, Applied Optics 15 (1976) 668.

/// From here on the remainder of Stirling's series, cut after five terms, is below 1e-15.
const LARGE: f64 = 15.0;
const TINY: f64 = 1e-300;
const MOST_TERMS: usize = 200_000;
const ENOUGH: f64 = 1e-16;

/// What a logarithm of the gamma function has beyond Stirling's formula.
fn stirling_rest(z: f64) -> f64 {
    let inverse = 1.0 / (z * z);
    let series = inverse * (1.0 / 1680.0 - inverse / 1188.0);
    (1.0 / 12.0 - inverse * (1.0 / 360.0 - inverse * (1.0 / 1260.0 - series))) / z
}

/// The gamma distribution at `x`, for shape `a` and rate one.
#[derive(Debug, Clone, Copy)]
pub(super) struct GammaAt {
    /// The chance of at most `x`.
    pub(super) below: f64,
    /// The chance of more.
    pub(super) above: f64,
    /// The density over the logarithm of `x`.
    pub(super) density: f64,
}

pub(super) fn gamma_at(a: f64, x: f64) -> GammaAt {
    if x <= 0.0 {
        return GammaAt { below: 0.0, above: 1.0, density: 0.0 };
    }
    // x^a e^-x / Gamma(a + 1)
    let front = if a < LARGE {
        libm::exp(a * libm::log(x) - x - libm::lgamma(a + 1.0))
    } else {
        let off = (x - a) / a;
        let exponent = a * (off - libm::log1p(off)) + stirling_rest(a);
        libm::exp(-exponent) / (core::f64::consts::TAU * a).sqrt()
    };
    if x < a + 1.0 {
        let below = (front * rising_series(a, x)).min(1.0);
        GammaAt { below, above: 1.0 - below, density: front * a }
    } else {
        let above = (front * a * upper_fraction(a, x)).min(1.0);
        GammaAt { below: 1.0 - above, above, density: front * a }
    }
}

/// `1 + x/(a+1) + x^2/((a+1)(a+2)) + ...`
fn rising_series(a: f64, x: f64) -> f64 {
    let (mut term, mut sum, mut next) = (1.0, 1.0, a + 1.0);
    for _ in 0..MOST_TERMS {
        term *= x / next;
        sum += term;
        next += 1.0;
        if term < sum * ENOUGH {
            break;
        }
    }
    sum
}

/// `1/(x+1-a- 1(1-a)/(x+3-a- 2(2-a)/(x+5-a- ...)))`
fn upper_fraction(a: f64, x: f64) -> f64 {
    let mut term = x + 1.0 - a;
    let mut fraction = Fraction { front: 1.0 / TINY, back: 1.0 / away_from_zero(term) };
    let mut value = fraction.back;
    let mut at = 1.0;
    for _ in 0..MOST_TERMS {
        term += 2.0;
        let step = fraction.step(at * (a - at), term);
        value *= step;
        at += 1.0;
        if (step - 1.0).abs() < ENOUGH * 4.0 {
            break;
        }
    }
    value
}

/// A continued fraction on its way, by Lentz's method: the last two convergents' numerators and denominators, each as
/// the ratio of one to the other.
struct Fraction {
    front: f64,
    back: f64,
}

impl Fraction {
    /// Takes in one more partial numerator and denominator, and gives what the value is to be multiplied by.
    fn step(&mut self, numerator: f64, term: f64) -> f64 {
        self.back = 1.0 / away_from_zero(term + numerator * self.back);
        self.front = away_from_zero(term + numerator / self.front);
        self.front * self.back
    }
}

fn away_from_zero(number: f64) -> f64 {
    if number.abs() < TINY { TINY } else { number }
}

/// The logarithm of the beta function, without the loss of digits that differences of large logarithms bring.
fn log_beta(a: f64, b: f64) -> f64 {
    let (small, large) = (a.min(b), a.max(b));
    if large < LARGE {
        return libm::lgamma(small) + libm::lgamma(large) - libm::lgamma(small + large);
    }
    let both = small + large;
    let grown = (large - 0.5) * libm::log1p(small / large) + small * (libm::log(both) - 1.0);
    libm::lgamma(small) - grown - stirling_rest(both) + stirling_rest(large)
}

/// The beta distribution at `x`: the chance of at most `x`, of more, and the density over the logarithm of `x`.
pub(super) fn beta_at(a: f64, b: f64, x: f64) -> (f64, f64, f64) {
    if x <= 0.0 || x >= 1.0 {
        return if x <= 0.0 { (0.0, 1.0, 0.0) } else { (1.0, 0.0, 0.0) };
    }
    let front = libm::exp(a * libm::log(x) + b * libm::log1p(-x) - log_beta(a, b));
    let density = front / (1.0 - x);
    if x < (a + 1.0) / (a + b + 2.0) {
        let below = (front * beta_fraction(a, b, x) / a).min(1.0);
        (below, 1.0 - below, density)
    } else {
        let above = (front * beta_fraction(b, a, 1.0 - x) / b).min(1.0);
        (1.0 - above, above, density)
    }
}

fn beta_fraction(a: f64, b: f64, x: f64) -> f64 {
    let mut fraction = Fraction { front: 1.0, back: 1.0 / away_from_zero(1.0 - (a + b) * x / (a + 1.0)) };
    let mut value = fraction.back;
    let mut at = 1.0;
    for _ in 0..MOST_TERMS {
        let place = a + 2.0 * at;
        value *= fraction.step(at * (b - at) * x / ((place - 1.0) * place), 1.0);
        let step = fraction.step(-(a + at) * (a + b + at) * x / (place * (place + 1.0)), 1.0);
        value *= step;
        at += 1.0;
        if (step - 1.0).abs() < ENOUGH * 4.0 {
            break;
        }
    }
    value
}

/// The smallest logarithm that is looked at: below it everything is nothing.
const LOWEST: f64 = -700.0;

/// The value below which a positive quantity is with probability `part`, by its distribution.
///
/// `at` gives for a value the chance of at most it, of more than it, and the density over its logarithm. Newton's steps
/// on the logarithm of the smaller chance, held between bounds that are halved where a step would leave them.
pub(super) fn quantile(at: impl Fn(f64) -> (f64, f64, f64), part: f64, start: f64) -> f64 {
    // How far the logarithm of the chance is off at the logarithm of a value, and how it grows there.
    let off = |y: f64| {
        let (below, above, density) = at(libm::exp(y));
        if part <= 0.5 {
            (libm::log(below) - libm::log(part), density / below)
        } else {
            (libm::log1p(-part) - libm::log(above), density / above)
        }
    };
    let mut y = libm::log(start).max(LOWEST);
    let (mut low, mut high) = (LOWEST, -LOWEST);
    let mut step = 1.0;
    for _ in 0..400 {
        let (wrong, growth) = off(y);
        if wrong > 0.0 {
            high = y;
        } else {
            low = y;
        }
        if high - low < 1e-14 * y.abs().max(1.0) {
            break;
        }
        let newton = y - wrong / growth;
        let next = if newton > low && newton < high && newton.is_finite() {
            newton
        } else if low <= LOWEST || high >= -LOWEST {
            // One side is not known yet: walk there in growing steps.
            step *= 2.0;
            if wrong > 0.0 { (y - step).max(LOWEST) } else { (y + step).min(-LOWEST) }
        } else {
            f64::midpoint(low, high)
        };
        if (next - y).abs() < 1e-15 * y.abs().max(1.0) {
            y = next;
            break;
        }
        y = next;
    }
    if y <= LOWEST { 0.0 } else { libm::exp(y) }
}

#[cfg(test)]
#[path = "special_tests.rs"]
mod tests;
