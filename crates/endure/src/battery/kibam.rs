//! The kinetic battery model: two wells of charge, of which one is at hand and the other follows.
//!
//! Source: J. F. Manwell, J. G. McGowan, "Lead acid battery storage model for hybrid energy systems", Solar Energy 50
//! (1993) 399. The step is exact for constant current.

use quantity::{Charge, Current, Time};

/// The charge of the two wells.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Wells {
    /// At hand.
    pub available: Charge,
    /// Bound; it flows into the other well with time.
    pub bound: Charge,
}

impl Wells {
    /// All charge.
    pub fn held(self) -> Charge {
        self.available + self.bound
    }
}

/// The constants of a battery.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kibam {
    /// The part of the charge that is at hand at rest.
    pub c: f64,
    /// How fast charge flows between the wells, in one hour.
    pub k: f64,
    /// All that it holds.
    pub most: Charge,
}

/// Why constants could not be found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FitError;

impl std::fmt::Display for FitError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(
            "These capacities fit no kinetic model: they must be more than nothing and grow with the time over which \
             the battery is emptied. Look at the maker's table again.",
        )
    }
}

impl std::error::Error for FitError {}

impl Kibam {
    /// Finds the constants from three capacities, each with the time over which it was drawn, shortest first.
    ///
    /// # Errors
    /// If no constants give them.
    pub fn fit(rated: [(Charge, Time); 3]) -> Result<Self, FitError> {
        let [short, middle, long] = rated.map(|(charge, time)| (charge.as_amp_hours(), time.as_hours()));
        let rising = short.0 > 0.0 && short.0 < middle.0 && middle.0 < long.0;
        if !(rising && short.1 > 0.0 && short.1 < middle.1 && middle.1 < long.1) {
            return Err(FitError);
        }
        let gap = |k: f64| {
            share(short.0 / long.0, short.1, long.1, k) - share(middle.0 / long.0, middle.1, long.1, k)
        };
        let k = root(gap).ok_or(FitError)?;
        let c = share(short.0 / long.0, short.1, long.1, k);
        if !(c > 0.0 && c < 1.0) {
            return Err(FitError);
        }
        let drained = 1.0 - libm::exp(-long.1 * k);
        let most = long.0 * (drained * (1.0 - c) + k * c * long.1) / (k * c * long.1);
        Ok(Self { c, k, most: Charge::amp_hours(most) })
    }

    /// What it gives when emptied at constant current over this time.
    pub fn capacity(&self, over: Time) -> Charge {
        let t = over.as_hours();
        let drained = 1.0 - libm::exp(-self.k * t);
        self.most * (self.k * self.c * t / (drained * (1.0 - self.c) + self.k * self.c * t))
    }

    /// At rest with so much charge.
    pub fn rest(&self, held: Charge) -> Wells {
        Wells { available: held * self.c, bound: held * (1.0 - self.c) }
    }

    /// Makes steps of this length.
    pub fn over(&self, step: Time) -> Stride {
        let (c, k, t) = (self.c, self.k, step.as_hours());
        let flow = -libm::expm1(-k * t);
        let slow = k * t - flow;
        Stride {
            keep: 1.0 - flow,
            available: c * flow,
            bound: (1.0 - c) * flow,
            from_available: (flow + c * slow) / k,
            from_bound: (1.0 - c) * slow / k,
            room: self.most.as_amp_hours() * c,
        }
    }
}

/// The share `c` that gives this ratio of the capacity of a short time to that of a long one, at some `k`.
fn share(ratio: f64, short: f64, long: f64, k: f64) -> f64 {
    let a = ratio * -libm::expm1(-k * short) * long + libm::expm1(-k * long) * short;
    a / (a - k * ratio * short * long + k * short * long)
}

/// The rate `k` between 0.001 and 20 an hour at which the two ratios agree.
fn root(gap: impl Fn(f64) -> f64) -> Option<f64> {
    let knots = (0..=400).map(|at| 0.001 * libm::exp(f64::from(at) / 400.0 * libm::log(20_000.0)));
    let mut last: Option<(f64, f64)> = None;
    for k in knots {
        let value = gap(k);
        if let Some((before, old)) = last {
            if old * value <= 0.0 && (old - value).abs() < 1.0 {
                return Some(bisect(&gap, before, k));
            }
        }
        last = Some((k, value));
    }
    None
}

fn bisect(gap: &impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    let rising = gap(low) < gap(high);
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if (gap(middle) < 0.0) == rising {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// Steps of one length of one battery, worked out before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stride {
    keep: f64,
    available: f64,
    bound: f64,
    /// Hours by which a current empties the available well, and the bound one.
    from_available: f64,
    from_bound: f64,
    /// All that the available well holds, in Ah.
    room: f64,
}

impl Stride {
    /// The most current that can be drawn for the whole step.
    #[inline]
    pub fn most_drawn(&self, wells: Wells) -> Current {
        let left = wells.available * self.keep + wells.held() * self.available;
        Current::amps((left.as_amp_hours() / self.from_available).max(0.0))
    }

    /// The most current that can be put in for the whole step.
    #[inline]
    pub fn most_taken(&self, wells: Wells) -> Current {
        let left = wells.available * self.keep + wells.held() * self.available;
        Current::amps(((self.room - left.as_amp_hours()) / self.from_available).max(0.0))
    }

    /// The wells after a step with so much current into the battery (out of it if negative).
    #[inline]
    #[must_use]
    pub fn step(&self, wells: Wells, into: Current) -> Wells {
        let held = wells.held();
        let amps = into.as_amps();
        Wells {
            available: wells.available * self.keep
                + held * self.available
                + Charge::amp_hours(amps * self.from_available),
            bound: wells.bound * self.keep + held * self.bound + Charge::amp_hours(amps * self.from_bound),
        }
    }
}
