//! The kinetic battery model: two wells of charge, of which one is at hand and the other follows.
//!
//! Source: J. F. Manwell, J. G. McGowan, "Lead acid battery storage model for hybrid energy systems", Solar Energy 50
//! (1993) 399. With q₁ at hand, q₂ bound and I drawn: dq₁/dt = −I − k(1−c) q₁ + k c q₂, dq₂/dt = k(1−c) q₁ − k c q₂.
//! The step is the exact solution for a constant current.

mod fit;

use quantity::{Charge, Current, Time};

pub use fit::FitError;

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
    /// The part of the charge that is at hand at rest, above 0 and at most 1.
    pub c: f64,
    /// How fast charge flows between the wells: the rate k of the paper, in one hour.
    pub k: f64,
    /// All that the wells hold, q max of the paper: what a battery gives when emptied for ever so long.
    pub most: Charge,
}

impl Kibam {
    /// Finds the constants from three capacities, each with the time over which it was drawn, shortest time first.
    ///
    /// # Errors
    /// If no constants give them.
    pub fn fit(rated: [(Charge, Time); 3]) -> Result<Self, FitError> {
        fit::fit(rated)
    }

    /// What a full battery gives when emptied at constant current over this time.
    pub fn capacity(&self, over: Time) -> Charge {
        let t = over.as_hours();
        let drained = -libm::expm1(-self.k * t);
        self.most * (self.k * self.c * t / (drained * (1.0 - self.c) + self.k * self.c * t))
    }

    /// At rest with so much charge: both wells stand equally high.
    pub fn rest(&self, held: Charge) -> Wells {
        Wells { available: held * self.c, bound: held * (1.0 - self.c) }
    }

    /// Makes steps of this length.
    pub fn over(&self, step: Time) -> Stride {
        let (c, k, t) = (self.c, self.k, step.as_hours());
        let evened = -libm::expm1(-k * t);
        Stride {
            keep: 1.0 - evened,
            levelled: c * evened,
            hours: (evened + c * (k * t - evened)) / k,
            length: t,
            room: self.most.as_amp_hours() * c,
        }
    }
}

/// Steps of one length of one battery, worked out before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stride {
    /// The part of the available well that stays as it was.
    pub(super) keep: f64,
    /// The part of all charge that levelling puts at hand.
    pub(super) levelled: f64,
    /// Hours by which a current moves the available well.
    pub(super) hours: f64,
    /// Hours of the step.
    pub(super) length: f64,
    /// Ah of the available well when full.
    room: f64,
}

impl Stride {
    /// The most current that can be drawn for the whole step.
    #[inline]
    pub fn most_drawn(&self, wells: Wells) -> Current {
        Current::amps((self.left_alone(wells) / self.hours).max(0.0))
    }

    /// The most current that can be put in for the whole step.
    #[inline]
    pub fn most_taken(&self, wells: Wells) -> Current {
        Current::amps(((self.room - self.left_alone(wells)) / self.hours).max(0.0))
    }

    /// The wells after a step with so much current into the battery (out of it if negative).
    #[inline]
    #[must_use]
    pub fn step(&self, wells: Wells, into: Current) -> Wells {
        let amps = into.as_amps();
        let available = self.left_alone(wells) + amps * self.hours;
        let held = wells.held().as_amp_hours() + amps * self.length;
        Wells { available: Charge::amp_hours(available), bound: Charge::amp_hours(held - available) }
    }

    /// Ah at hand after a step in which nothing is drawn.
    #[inline]
    fn left_alone(&self, wells: Wells) -> f64 {
        wells.available.as_amp_hours() * self.keep + wells.held().as_amp_hours() * self.levelled
    }
}
