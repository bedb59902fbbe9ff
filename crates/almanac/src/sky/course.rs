//! The sun's way over some days, worked out ahead so that it can be asked for every minute.

use jiff::Timestamp;
use quantity::{Angle, Time};

use super::{Irradiance, Turbidity, level_clear, level_outside};
use crate::Position;
use crate::moment::Moment;
use crate::sun;

/// Seconds between the heights that are worked out.
const STEP: f64 = 600.0;

/// A little over a year of steps: the longest course that is kept.
const MOST: u32 = 53_000;

/// The sun's way over a place, worked out every ten minutes and drawn through between them.
///
/// It is for trips, where every minute is asked for: about an eighth of the work of asking [`super::clear`] each
/// time. The sine of the elevation, which is what a level surface feels, is within 0.000 000 2 of the exact one.
/// Outside the time that it was made for, it works out the exact answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    position: Position,
    from: Timestamp,
    /// Sines of the elevation, one step apart, the first one step before `from`.
    sines: Vec<f64>,
}

impl Course {
    /// Works out the sun's way from a moment on, for a length of time, at most a year.
    pub fn new(position: Position, from: Timestamp, length: Time) -> Self {
        let start = Moment::of(from);
        let end = length.as_seconds() + 2.0 * STEP;
        let sines = (0..MOST)
            .map(|step| (f64::from(step) - 1.0) * STEP)
            .take_while(|seconds| *seconds <= end)
            .map(|seconds| sun::sine_of_elevation(position, start.at_day(start.day + seconds / 86_400.0)))
            .collect();
        Self { position, from, sines }
    }

    /// The elevation of the centre of the sun, without the bending of light.
    ///
    /// It is within 0.001 degrees unless the sun is within half a degree of overhead or of straight below; there
    /// it is within 0.05 degrees.
    pub fn elevation(&self, at: Timestamp) -> Angle {
        Angle::degrees(libm::asin(self.sine(at).clamp(-1.0, 1.0)).to_degrees())
    }

    /// Sunlight on a level surface outside the air, as [`super::top_of_atmosphere`].
    pub fn top_of_atmosphere(&self, at: Timestamp) -> Irradiance {
        level_outside(self.sine(at), Moment::of(at))
    }

    /// Sunlight on a level surface under a clear sky, as [`super::clear`].
    pub fn clear(&self, at: Timestamp, turbidity: Turbidity) -> Irradiance {
        level_clear(self.sine(at), Moment::of(at), turbidity)
    }

    fn sine(&self, at: Timestamp) -> f64 {
        self.drawn(at).unwrap_or_else(|| sun::sine_of_elevation(self.position, Moment::of(at)))
    }

    /// The cubic through the two steps before and the two after (Lagrange), where the course has them.
    fn drawn(&self, at: Timestamp) -> Option<f64> {
        let steps = at.duration_since(self.from).as_secs_f64() / STEP;
        let whole = steps.floor();
        let first = index(whole)?;
        let &[sine0, sine1, sine2, sine3] = self.sines.get(first..first.checked_add(4)?)? else {
            return None;
        };
        // Steps from each of the four to the moment.
        let past1 = steps - whole;
        let [past0, past2, past3] = [past1 + 1.0, past1 - 1.0, past1 - 2.0];
        Some(
            sine1 * past0 * past2 * past3 / 2.0
                - sine0 * past1 * past2 * past3 / 6.0
                - sine2 * past0 * past1 * past3 / 2.0
                + sine3 * past0 * past1 * past2 / 6.0,
        )
    }
}

/// The step as a place in the list; none if it is before the list or far behind it.
fn index(step: f64) -> Option<usize> {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole, and within the bounds"
    )]
    (0.0..=f64::from(MOST)).contains(&step).then_some(step as usize)
}
