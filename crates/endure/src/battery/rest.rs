//! Rest voltages by the charge that is missing, as tables for quick look-up.

/// A point of a curve: the part of the 20 hour capacity that is left, and the volts of a 12 V battery at rest.
type Point = (f64, f64);

/// Lead: section 9c of reference/trade-facts.md (common practice); at 0 from memory. Makers of AGM and gel often give
/// up to 0.1 V more.
const LEAD: [Point; 5] = [(0.0, 11.8), (0.25, 12.0), (0.5, 12.2), (0.75, 12.4), (1.0, 12.7)];
/// With nothing at hand: where the test of the 20 hour capacity ends, 1.75 V a cell.
const LEAD_DRAINED: f64 = 10.5;
/// Four lithium cells: four times reference/oracles/lfp_pybamm_voltage_curve.csv, model DFN, 100 h, with the last
/// point from common practice (the simulated cell comes straight from its charger).
const LITHIUM: [Point; 24] = [
    (0.0, 10.0),
    (0.025, 11.05),
    (0.05, 11.565),
    (0.075, 11.863),
    (0.1, 12.121),
    (0.125, 12.377),
    (0.15, 12.561),
    (0.175, 12.654),
    (0.2, 12.699),
    (0.25, 12.761),
    (0.3, 12.852),
    (0.35, 12.953),
    (0.4, 13.02),
    (0.45, 13.05),
    (0.5, 13.063),
    (0.6, 13.073),
    (0.675, 13.083),
    (0.7, 13.097),
    (0.725, 13.128),
    (0.75, 13.176),
    (0.775, 13.216),
    (0.8, 13.237),
    (0.975, 13.34),
    (1.0, 13.6),
];

/// Entries for each whole of the 20 hour capacity: every point of the curves lies on one.
const TO_WHOLE: usize = 200;
/// The most that can be missing: what two wells hold beyond the 20 hour capacity lies within it.
const MOST_MISSING: f64 = 1.15;
const ENTRIES: usize = 232;

/// The rest voltage of a 12 V battery by the part of its 20 hour capacity that is missing.
#[derive(Debug)]
pub(super) struct Rest([f64; ENTRIES]);

impl Rest {
    /// Of lead batteries whose wells hold `most` 20 hour capacities in all.
    pub(super) const fn lead(most: f64) -> Self {
        let drained = (1.0 - most, LEAD_DRAINED);
        Self::through(&[drained, LEAD[0], LEAD[1], LEAD[2], LEAD[3], LEAD[4]])
    }

    /// Of lithium iron phosphate.
    pub(super) const fn lithium() -> Self {
        Self::through(&LITHIUM)
    }

    const fn through(points: &[Point]) -> Self {
        let mut table = [0.0; ENTRIES];
        let mut at = 0;
        while at < ENTRIES {
            table[at] = line(points, 1.0 - at as f64 / TO_WHOLE as f64);
            at += 1;
        }
        Self(table)
    }

    /// Volts where nothing is missing.
    #[inline]
    pub(super) const fn full(&self) -> f64 {
        self.0[0]
    }

    /// Volts where this part of the 20 hour capacity, nothing or more, is missing.
    #[inline]
    pub(super) fn volts(&self, missing: f64) -> f64 {
        let place = missing.min(MOST_MISSING) * TO_WHOLE as f64;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from 0 to 230")]
        let at = (place as u32 as usize).min(ENTRIES - 2);
        let (low, high) = (self.0[at], self.0[at + 1]);
        low + (high - low) * (place - at as f64)
    }
}

/// A straight line between points, level beyond them.
const fn line(points: &[Point], part: f64) -> f64 {
    if part <= points[0].0 {
        return points[0].1;
    }
    let mut at = 1;
    while at < points.len() {
        let ((from, low), (to, high)) = (points[at - 1], points[at]);
        if part <= to {
            return low + (high - low) * (part - from) / (to - from);
        }
        at += 1;
    }
    points[points.len() - 1].1
}
