//! Voltage by the height of the available well, at rest and while charging, as tables ready for use.
//!
//! While charging with a current I above a small one I₀, a lead-acid bank shows E(h) + V₀ + I R(h), with R growing
//! without bound as the well fills: the form C X / (D − X) of the kinetic model's paper. V₀ is the step by which any
//! charging lifts the voltage; below I₀ it shrinks with the current. The current that a held voltage gives is then
//! the greater of two straight lines in that voltage, which is why the tables hold lines.

/// Rest voltages of a 12 V lead bank by its share of the 20 hour capacity: section 9c of reference/trade-facts.md
/// (common practice); at 0 from memory. Makers of AGM and gel often give up to 0.1 V more.
const LEAD_REST: [(f64, f64); 5] = [(0.0, 11.8), (0.25, 12.0), (0.5, 12.2), (0.75, 12.4), (1.0, 12.7)];
/// With nothing at hand: the end of the capacity test, 1.75 V a cell.
const LEAD_EMPTY: f64 = 10.5;
/// Four lithium cells: four times reference/oracles/lfp_pybamm_voltage_curve.csv, model DFN, 100 h, with the last
/// point from common practice (the simulated cell starts straight from its charger).
const LFP_REST: [(f64, f64); 24] = [
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

/// Volts at a current of one hour's Ah by which a 12 V lead bank resists charging at height h: `RESISTS` / (`FULL` − h).
///
/// Fitted, with [`LEVELS_FASTER`], to the 0.4 A line of the AGM bench test alone (see the module's head).
const RESISTS: f64 = 1.026;
/// A little above 1, so that a full well still lets a trace of current in.
const FULL: f64 = 1.02;
/// How many times faster the wells level while charging; the other fitted constant.
pub(super) const LEVELS_FASTER: f64 = 2.5;
/// The step V₀ of a 12 V lead bank: from memory of charts of charging voltages.
const STEP: f64 = 0.5;
/// The current I₀ as a part of one hour's Ah: our judgement.
pub(super) const STEP_FROM: f64 = 0.02;

const KNOTS: usize = 128;

/// Volts and the two charging lines at one height of the well.
#[derive(Debug, Clone, Copy, Default)]
struct Knot {
    rest: f64,
    /// Above I₀: I = V `steep` − `steep_less`.
    steep: f64,
    steep_less: f64,
    /// Below I₀: I = V `flat` − `flat_less`.
    flat: f64,
    flat_less: f64,
}

/// A bank's voltages.
#[derive(Debug, Clone)]
pub(super) struct Curve {
    knots: [Knot; KNOTS + 1],
    /// The current I₀ in amperes; 0 for lithium.
    step_from: f64,
}

impl Curve {
    /// A lead bank of so many 12 V in series; `most` is all that its wells hold.
    pub(super) fn lead(twelves: f64, capacity_ah: f64, most: f64) -> Self {
        let step_from = STEP_FROM * capacity_ah;
        Self::new(step_from, |height| {
            let share = 1.0 - (1.0 - height) * most / capacity_ah;
            let empty = LEAD_REST[0].1 + (LEAD_EMPTY - LEAD_REST[0].1) * share / (1.0 - most / capacity_ah);
            let rest = if share < 0.0 { empty } else { line(&LEAD_REST, share) };
            let ohms = RESISTS / ((FULL - height) * capacity_ah);
            (rest * twelves, STEP * twelves, ohms * twelves)
        })
    }

    /// So many times four lithium cells in series.
    pub(super) fn lithium(fours: f64, ohms: f64) -> Self {
        Self::new(0.0, |height| (line(&LFP_REST, height) * fours, 0.0, ohms))
    }

    /// From rest voltage, step and resistance by height.
    fn new(step_from: f64, at: impl Fn(f64) -> (f64, f64, f64)) -> Self {
        let knots = std::array::from_fn(|number| {
            let (rest, lift, ohms) = at(number as f64 / KNOTS as f64);
            let steep = 1.0 / ohms;
            let flat = if step_from > 0.0 { 1.0 / (ohms + lift / step_from) } else { steep };
            Knot { rest, steep, steep_less: (rest + lift) * steep, flat, flat_less: rest * flat }
        });
        Self { knots, step_from }
    }

    /// At rest at this height of the well.
    #[inline]
    pub(super) fn rest(&self, height: f64) -> f64 {
        let (low, high, beyond) = self.between(height);
        low.rest + (high.rest - low.rest) * beyond
    }

    /// While charging with so many amperes at this height.
    #[inline]
    pub(super) fn charging(&self, height: f64, amps: f64) -> f64 {
        let (low, high, beyond) = self.between(height);
        let at = |part: fn(&Knot) -> f64| part(low) + (part(high) - part(low)) * beyond;
        if amps < self.step_from {
            (amps + at(|knot| knot.flat_less)) / at(|knot| knot.flat)
        } else {
            (amps + at(|knot| knot.steep_less)) / at(|knot| knot.steep)
        }
    }

    /// The amperes at which the voltage is `volts` at the end of a step that ends at height `from` with none and
    /// `per_amp` higher for each; 0 if it is higher already.
    #[inline]
    pub(super) fn held_at(&self, volts: f64, from: f64, per_amp: f64) -> f64 {
        let amps = self.meet(from, per_amp, |knot| volts * knot.steep - knot.steep_less);
        if amps >= self.step_from {
            return amps;
        }
        amps.max(self.meet(from, per_amp, |knot| volts * knot.flat - knot.flat_less)).max(0.0)
    }

    /// Where the falling line of amperes by height meets the height that those amperes lead to.
    #[inline]
    fn meet(&self, from: f64, per_amp: f64, amps: impl Fn(&Knot) -> f64) -> f64 {
        let mut number = place(from).0;
        loop {
            let (low, high) = (amps(&self.knots[number]), amps(&self.knots[number + 1]));
            let slope = (high - low) * KNOTS as f64;
            let found = (low + slope * (from - number as f64 / KNOTS as f64)) / (1.0 - slope * per_amp);
            // The height only rises with current, so the search only goes up.
            if number + 1 == KNOTS
                || found <= 0.0
                || (from + found * per_amp) * KNOTS as f64 <= (number + 1) as f64
            {
                return found;
            }
            number += 1;
        }
    }

    #[inline]
    fn between(&self, height: f64) -> (&Knot, &Knot, f64) {
        let (number, beyond) = place(height);
        (&self.knots[number], &self.knots[number + 1], beyond)
    }
}

/// The knot below a height, and how far beyond it the height lies, in knots.
#[inline]
fn place(height: f64) -> (usize, f64) {
    let place = height.clamp(0.0, 1.0) * KNOTS as f64;
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "from 0 to the number of knots"
    )]
    let number = (place as usize).min(KNOTS - 1);
    (number, place - number as f64)
}

/// A straight line between points.
fn line(points: &[(f64, f64)], at: f64) -> f64 {
    let next = points.partition_point(|point| point.0 < at).clamp(1, points.len() - 1);
    let ((x0, y0), (x1, y1)) = (points[next - 1], points[next]);
    y0 + (y1 - y0) * ((at - x0) / (x1 - x0)).clamp(0.0, 1.0)
}
