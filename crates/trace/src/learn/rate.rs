//! How often something fails: a rate, and what is known of one.

use quantity::{Ratio, Time};

use super::special::{beta_at, gamma_at, quantile};

/// How often something happens: so many times in a time.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Rate {
    per_hour: f64,
}

impl Rate {
    /// So many times in this time.
    pub fn of(times: f64, over: Time) -> Self {
        Self { per_hour: times / over.as_hours() }
    }

    pub(super) fn per_hour(per_hour: f64) -> Self {
        Self { per_hour }
    }

    /// How many times it is expected in this time.
    pub fn times_in(self, time: Time) -> f64 {
        self.per_hour * time.as_hours()
    }

    /// How far apart two times are on average.
    pub fn apart(self) -> Time {
        Time::hours(1.0 / self.per_hour)
    }

    /// The chance that it does not happen in this time, if this is the rate for certain.
    pub fn spared(self, time: Time) -> Ratio {
        Ratio::plain(libm::exp(-self.times_in(time)))
    }
}

/// What is known of a rate, as if so many failures had been seen in so much time in use: a gamma distribution.
///
/// # Source
/// H. Dezfuli et al., "Bayesian Inference for NASA Probabilistic Risk and Reliability Analysis", NASA/SP-2009-569,
/// section 4.2.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gamma {
    failures: f64,
    exposure: Time,
}

impl Gamma {
    /// As if so many failures (more than none, not necessarily whole) had been seen in so much time.
    ///
    /// # Panics
    /// If either is not more than nothing.
    pub fn new(failures: f64, exposure: Time) -> Self {
        assert!(failures > 0.0 && failures.is_finite(), "what is known weighs more than nothing");
        assert!(exposure > Time::ZERO && exposure.is_finite(), "what is known comes from some time");
        Self { failures, exposure }
    }

    /// A rate that is known about as well as from so many failures.
    ///
    /// # Panics
    /// If the rate or the weight is not more than nothing.
    pub fn about(rate: Rate, weight: f64) -> Self {
        Self::new(weight, Time::hours(weight / rate.per_hour))
    }

    /// The failures it is worth (the shape).
    pub fn failures(&self) -> f64 {
        self.failures
    }

    /// The time in use it is worth.
    pub fn exposure(&self) -> Time {
        self.exposure
    }

    /// What is known after so many failures were seen in so much time in use.
    #[must_use]
    pub fn update(&self, failures: u32, exposure: Time) -> Self {
        Self { failures: self.failures + f64::from(failures), exposure: self.exposure + exposure }
    }

    /// The expected rate.
    pub fn mean(&self) -> Rate {
        Rate::of(self.failures, self.exposure)
    }

    /// The rate that the true one does not exceed with this probability.
    ///
    /// # Panics
    /// If that is not between zero and one, both left out.
    pub fn quantile(&self, part: Ratio) -> Rate {
        let part = inside(part);
        let at = |x: f64| {
            let at = gamma_at(self.failures, x);
            (at.below, at.above, at.density)
        };
        Rate::of(quantile(at, part, self.failures), self.exposure)
    }

    /// The chance that there is no failure in a time, whatever the rate is: `(e / (e + t))^f`. It is more than that at
    /// the expected rate, since a low rate spares more than a high one costs.
    pub fn spared(&self, time: Time) -> Ratio {
        Ratio::plain(libm::exp(-self.failures * libm::log1p(time / self.exposure)))
    }
}

/// What is known of failures on demand, as if so many had been seen and so many had gone well: a beta distribution.
///
/// # Source
/// As for [`Gamma`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beta {
    failures: f64,
    good: f64,
}

impl Beta {
    /// As if so many failures and so many good ones had been seen (more than none each, not necessarily whole).
    ///
    /// # Panics
    /// If either is not more than nothing.
    pub fn new(failures: f64, good: f64) -> Self {
        let some = |number: f64| number > 0.0 && number.is_finite();
        assert!(some(failures) && some(good), "what is known weighs more than nothing");
        Self { failures, good }
    }

    /// What is known after so many failures in so many demands.
    ///
    /// # Panics
    /// If there were more failures than demands.
    #[must_use]
    pub fn update(&self, failures: u32, demands: u32) -> Self {
        assert!(failures <= demands, "no more failures than demands");
        Self {
            failures: self.failures + f64::from(failures),
            good: self.good + f64::from(demands - failures),
        }
    }

    /// The failures and the good ones that it is worth.
    pub fn worth(&self) -> (f64, f64) {
        (self.failures, self.good)
    }

    /// The expected chance of failing on demand.
    pub fn mean(&self) -> Ratio {
        Ratio::plain(self.failures / (self.failures + self.good))
    }

    /// The chance of failing that the true one does not exceed with this probability.
    ///
    /// # Panics
    /// If that is not between zero and one, both left out.
    pub fn quantile(&self, part: Ratio) -> Ratio {
        let at = |x: f64| beta_at(self.failures, self.good, x);
        Ratio::plain(quantile(at, inside(part), self.mean().as_plain()))
    }
}

/// The plain number of a probability that is neither none nor certain.
pub(super) fn inside(part: Ratio) -> f64 {
    let part = part.as_plain();
    assert!(part > 0.0 && part < 1.0, "a probability between zero and one");
    part
}
