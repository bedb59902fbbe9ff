//! The points over which a fleet's shape and level are summed.

use std::collections::BTreeMap;

use super::fleet::{Before, Level, Record};

/// How far below the likeliest, in logarithms, points are still taken: 1e-14.
const DEPTH: f64 = 32.0;

/// The longest step of a logarithm. The worst kind of peak, that of the logarithm of an exponential quantity, and its
/// mean are then summed to 1e-13: the error is about exp(-pi^2 / step), times a few powers of the step. Measured on the
/// reference fleets: 2e-9 with a step of 0.3, 1e-10 with this.
const LONGEST_STEP: f64 = 0.25;

/// The longest step as a part of how wide the peak is. A normal peak is then summed to 1e-15: exp(-2 pi^2 / step^2).
const STEP_OF_WIDTH: f64 = 0.7;

/// Together so much weight may be dropped to save work.
const DROPPED: f64 = 1e-13;

/// A shape and the time that it is worth, with its share of what is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Point {
    pub(super) weight: f64,
    pub(super) shape: f64,
    /// The shape over the level, in hours.
    pub(super) hours: f64,
}

/// The logarithm of prior times likelihood over the logarithms of shape and level (failures an hour).
struct Density<'a> {
    before: &'a Before,
    /// Failures, and hours in use.
    records: Vec<(u32, f64)>,
}

impl Density<'_> {
    fn at(&self, [log_shape, log_level]: [f64; 2]) -> f64 {
        let shape = libm::exp(log_shape);
        let hours = libm::exp(log_shape - log_level);
        let spread = self.before.spread;
        let mut sum = spread.shape * (log_shape - shape / spread.mean);
        sum += match self.before.level {
            Level::Mean(known) => {
                known.failures() * log_level - known.exposure().as_hours() * libm::exp(log_level)
            }
            Level::Worth { shape, mean } => shape * (log_shape - log_level - hours / mean.as_hours()),
        };
        for (failures, time) in &self.records {
            sum -= shape * libm::log1p(time / hours) + f64::from(*failures) * libm::log(hours + time);
            sum += (0..*failures).map(|seen| libm::log(shape + f64::from(seen))).sum::<f64>();
        }
        sum
    }

    /// The likeliest place, to a hundredth: by steps in eight directions, halved where none is better.
    fn peak(&self, start: [f64; 2]) -> [f64; 2] {
        let (mut place, mut step) = (start, 4.0);
        let mut best = self.at(place);
        while step > 0.01 {
            let mut moved = false;
            for (u, v) in [(1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, -1), (1, -1), (-1, 1)] {
                let next = [place[0] + step * f64::from(u), place[1] + step * f64::from(v)];
                let there = self.at(next);
                if there > best {
                    (place, best, moved) = (next, there, true);
                }
            }
            if !moved {
                step /= 2.0;
            }
        }
        place
    }

    /// Steps that suit the peak: a part of its width along each axis.
    fn steps(&self, peak: [f64; 2]) -> [f64; 2] {
        let top = self.at(peak);
        [0, 1].map(|axis| {
            let beside = |by: f64| {
                let mut place = peak;
                place[axis] += by;
                self.at(place)
            };
            let by = 0.05;
            let bend = (2.0 * top - beside(by) - beside(-by)) / (by * by);
            if bend > 0.0 { LONGEST_STEP.min(STEP_OF_WIDTH / bend.sqrt()) } else { LONGEST_STEP }
        })
    }
}

/// The points, heaviest first, their weights summing to one.
pub(super) fn points(records: &[Record], before: &Before) -> Vec<Point> {
    let start = match before.level {
        Level::Mean(known) => {
            weak_enough(known.failures());
            libm::log(known.failures() / known.exposure().as_hours())
        }
        Level::Worth { shape, mean } => {
            weak_enough(shape);
            assert!(mean.as_hours() > 0.0 && mean.is_finite(), "a mean is more than nothing");
            libm::log(before.spread.mean / mean.as_hours())
        }
    };
    weak_enough(before.spread.shape);
    assert!(before.spread.mean > 0.0 && before.spread.mean.is_finite(), "a mean is more than nothing");
    let records = records.iter().map(|record| (record.failures, record.exposure.as_hours())).collect();
    let density = Density { before, records };
    let peak = density.peak([libm::log(before.spread.mean), start]);
    let steps = density.steps(peak);
    let found = flood(&density, peak, steps);
    weighed(&found, peak, steps)
}

fn weak_enough(shape: f64) {
    assert!((0.1..=1e6).contains(&shape), "a prior's shape is between a tenth and a million");
}

/// Values of the density on a grid, as far as they are likely enough, from the peak outward.
fn flood(density: &Density<'_>, peak: [f64; 2], steps: [f64; 2]) -> BTreeMap<(i32, i32), f64> {
    let least = density.at(peak) - DEPTH;
    let mut found = BTreeMap::new();
    let mut open = vec![(0_i32, 0_i32)];
    while let Some((i, j)) = open.pop() {
        if found.contains_key(&(i, j)) {
            continue;
        }
        let value = density.at(place(peak, steps, (i, j)));
        found.insert((i, j), value);
        if value >= least {
            open.extend([(i + 1, j), (i - 1, j), (i, j + 1), (i, j - 1)]);
        }
    }
    found
}

fn place(peak: [f64; 2], steps: [f64; 2], at: (i32, i32)) -> [f64; 2] {
    [peak[0] + steps[0] * f64::from(at.0), peak[1] + steps[1] * f64::from(at.1)]
}

fn weighed(found: &BTreeMap<(i32, i32), f64>, peak: [f64; 2], steps: [f64; 2]) -> Vec<Point> {
    let top = found.values().copied().fold(f64::NEG_INFINITY, f64::max);
    let mut points: Vec<Point> = found
        .iter()
        .map(|(at, value)| {
            let [log_shape, log_level] = place(peak, steps, *at);
            Point {
                weight: libm::exp(value - top),
                shape: libm::exp(log_shape),
                hours: libm::exp(log_shape - log_level),
            }
        })
        .collect();
    points.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    let total: f64 = points.iter().rev().map(|point| point.weight).sum();
    let mut dropped = 0.0;
    while let Some(last) = points.last() {
        dropped += last.weight;
        if dropped > DROPPED * total {
            break;
        }
        points.pop();
    }
    let total: f64 = points.iter().rev().map(|point| point.weight).sum();
    for point in &mut points {
        point.weight /= total;
    }
    points
}
