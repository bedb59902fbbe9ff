//! How much a bank takes from a charger, and how much of that it keeps.

/// How a 12 V bank resists being charged.
///
/// At a charging voltage U above its rest voltage E, with the part m of its 20 hour capacity missing, it takes
///
/// ```text
/// (U - E) / (drop + crowding / m)    amperes for each Ah of its capacity
/// ```
///
/// so that near full the current is in proportion to what is missing, the old ampere-hour rule of charging.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Charging {
    /// Volts at a current of one hour's Ah.
    pub drop: f64,
    /// Volts more at that current with all of the capacity missing; twice as many with half of it, and so on.
    pub crowding: f64,
}

impl Charging {
    /// Lead: fitted to the run at 0.4 C of the AGM bench test in section 9c of reference/trade-facts.md. Flooded and
    /// gel have the same, for want of a test of theirs.
    pub const LEAD: Self = Self { drop: 1.02, crowding: 1.43 };
    /// Lithium: the drop as when discharging; the crowding from reference/oracles/lfp_pybamm_cccv.csv, where the
    /// current falls only in the last hundredth.
    pub const LITHIUM: Self = Self { drop: 0.36, crowding: 0.005 };

    /// Volts above the rest voltage for each ampere that each missing Ah takes.
    #[inline]
    pub(super) fn resists(self, missing: f64) -> f64 {
        self.drop * missing + self.crowding
    }
}

/// Above this part of its capacity a lead battery gasses, and less of the current is stored the fuller it is (common
/// practice; bulk charging ends near 75 % by the battery text in section 9c of reference/trade-facts.md).
const GASSES: f64 = 0.8;

/// The part of the current at the terminals that is stored, by the part of the capacity that is missing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Keeps {
    most: f64,
    /// How much less for each part of the capacity above that at which it gasses.
    falls: f64,
}

impl Keeps {
    /// Of a lead battery that takes `in_per_out` Ah for each Ah when charged from half to full: it keeps all until it
    /// gasses, then evenly less and less.
    pub(super) fn lead(in_per_out: f64) -> Self {
        // With the part `lost` at the end, the mean toll while it gasses is -ln(1 - lost) / lost. Newton's steps from
        // above the root, which they do not leave.
        let gassing = 1.0 - GASSES;
        let mean = 1.0 + (in_per_out - 1.0) * 0.5 / gassing;
        let mut lost = 1.0 - libm::exp(-mean);
        for _ in 0..12 {
            let over = -libm::log1p(-lost) - mean * lost;
            let slope = 1.0 / (1.0 - lost) - mean;
            if over <= 0.0 || slope <= 0.0 {
                break;
            }
            lost -= over / slope;
        }
        Self { most: 1.0, falls: if mean > 1.0 { lost / gassing } else { 0.0 } }
    }

    /// The same at any charge.
    pub(super) const fn even(in_per_out: f64) -> Self {
        Self { most: 1.0 / in_per_out, falls: 0.0 }
    }

    #[inline]
    pub(super) fn at(self, missing: f64) -> f64 {
        self.most - self.falls * ((1.0 - GASSES) - missing).max(0.0)
    }
}

/// The mean over a step of a current that dies away, as a part of that at the step's beginning.
///
/// `decay` is the part that the current would lose if it fell as fast all through the step as at its beginning. The
/// exact mean is (1 − exp(−decay)) / decay; this lies below it by 3 % at most, by 0.3 % for a decay of one half, and
/// always below 1 / decay, so that no step takes in more than is missing.
#[inline]
pub(super) fn mean_of_decay(decay: f64) -> f64 {
    let square = decay * decay;
    // The series of the fraction below: quicker, and as good for steps of minutes.
    if decay < 0.05 {
        return (1.0 - decay / 2.0) + square * (1.0 / 6.0 - decay / 12.0);
    }
    let third = square / 6.0;
    (1.0 + decay / 2.0 + third) / (1.0 + decay + square / 2.0 + third * decay)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mean_is_near_the_exact_one_and_never_overshoots() {
        for tenth in 1..10_000 {
            let decay = f64::from(tenth) / 100.0;
            let exact = -libm::expm1(-decay) / decay;
            let found = mean_of_decay(decay);
            let bound = if decay <= 0.5 { 0.003 } else { 0.03 };
            assert!(
                found <= exact * (1.0 + 1e-12) && found > exact * (1.0 - bound),
                "{decay}: {found}, {exact}"
            );
            assert!(found * decay < 1.0);
        }
        assert!((mean_of_decay(0.0) - 1.0).abs() < 1e-15);
        assert!((mean_of_decay(0.05) - mean_of_decay(0.05 - 1e-9)).abs() < 1e-6, "no jump");
    }

    #[test]
    fn from_half_to_full_it_takes_what_was_written() {
        for in_per_out in [1.0, 1.1, 1.18, 2.0, 3.0] {
            let keeps = Keeps::lead(in_per_out);
            let place = |at: i32| (f64::from(at) + 0.5) / 1_000_000.0;
            let put_in: f64 = (0..500_000).map(|at| 1.0 / keeps.at(place(at))).sum::<f64>() / 500_000.0;
            assert!((put_in / in_per_out - 1.0).abs() < 1e-4, "{put_in} for {in_per_out}");
            assert!((keeps.at(0.3) - 1.0).abs() < 1e-15 && keeps.at(0.0) > 0.0);
        }
    }
}
