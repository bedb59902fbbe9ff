//! How chain and rope lie between the anchor and the bow.
//!
//! The chain next to the anchor hangs as a catenary; the rope above it has no weight to speak of in water,
//! and is straight. Neither stretches, and the bottom is level. With a horizontal load H and chain that pulls
//! down with w for each metre, `a = H/w`. Where some chain rests on the bottom, the length that hangs over a
//! height h is `s = √(h (h + 2a))`.

use quantity::{Angle, Force, Length};

use super::weight::ChainWeight;
use crate::cable::{Fault, above_zero, zero_or_more};

/// Halvings of an interval; each gives a binary digit, of which a number has 53.
const HALVINGS: u32 = 120;

/// What is let out: chain at the anchor, rope between chain and bow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rode {
    /// Metres.
    chain: f64,
    /// Newtons a metre, in sea water.
    weight: f64,
    /// Metres.
    rope: f64,
}

/// How a rode lies under a load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lie {
    /// Chain that rests on the bottom.
    pub on_bottom: Length,
    /// Chain and rope that are off the bottom.
    pub hanging: Length,
    /// Whether the rode pulls the anchor's shank upward, because the last link is off the bottom.
    pub lifts: bool,
    /// The angle above the level at which the rode pulls the anchor.
    pub anchor_angle: Angle,
    /// The angle below the level at which the rode leaves the bow.
    pub bow_angle: Angle,
    /// From the anchor to below the bow, along the level.
    pub reach: Length,
    /// The pull along the rode at the bow.
    pub bow_tension: Force,
}

impl Rode {
    /// Makes a rode of chain alone.
    pub fn of_chain(length: Length, weight: ChainWeight) -> Result<Self, Fault> {
        Self::of_both(length, weight, Length::ZERO)
    }

    /// Makes a rode of rope alone.
    pub fn of_rope(length: Length) -> Result<Self, Fault> {
        above_zero("The length of the rope", length.as_metres(), length)?;
        Ok(Self { chain: 0.0, weight: 0.0, rope: length.as_metres() })
    }

    /// Makes a rode of chain, then rope.
    pub fn of_both(chain: Length, weight: ChainWeight, rope: Length) -> Result<Self, Fault> {
        zero_or_more("The length of the chain", chain.as_metres(), chain)?;
        zero_or_more("The length of the rope", rope.as_metres(), rope)?;
        let weight = weight.check()?.newtons_per_metre();
        Ok(Self { chain: chain.as_metres(), weight, rope: rope.as_metres() })
    }

    /// The length of it all.
    pub fn length(&self) -> Length {
        Length::metres(self.chain + self.rope)
    }

    /// Returns how it lies over `height`, from the bottom to the bow roller, with a horizontal load.
    ///
    /// A rode that does not reach, or that only just does, straight up and down, is refused.
    pub fn lie(&self, height: Length, load: Force) -> Result<Lie, Fault> {
        self.check(height)?;
        above_zero("The load", load.as_newtons(), load)?;
        let (height, load) = (height.as_metres(), load.as_newtons());
        let all_up = self.rise(0.0, self.chain, load);
        Ok(if all_up < height {
            let slope = self.slope_at_anchor(height, load);
            self.describe(self.chain, slope, load)
        } else {
            self.describe(self.hanging_chain(height, load), 0.0, load)
        })
    }

    /// Returns the load at which the last link leaves the bottom; nothing for a rode without chain.
    ///
    /// For chain alone it is `w (L² - h²) / 2h`.
    pub fn lifting_load(&self, height: Length) -> Result<Force, Fault> {
        self.check(height)?;
        let (height, chain, rope) = (height.as_metres(), self.chain, self.rope);
        if chain <= 0.0 {
            return Ok(Force::ZERO);
        }
        if rope <= 0.0 {
            return Ok(Force::newtons(self.weight * (chain - height) * (chain + height) / (2.0 * height)));
        }
        // The rise of all the chain just off the bottom falls as the load grows; find where it is the height.
        let most = self.weight * chain * (chain / 2.0 + rope) / height;
        let load = halve(0.0, most, |load| self.rise(0.0, chain, load) > height);
        Ok(Force::newtons(load))
    }

    /// How far the rope and the `hanging` metres of chain rise, from a slope at the lower end.
    fn rise(&self, slope: f64, hanging: f64, load: f64) -> f64 {
        let steeper = self.upper_slope(slope, hanging, load);
        let (below, above) = (secant(slope), secant(steeper));
        // Chain of no length rises by nothing, and the fraction is of two sound numbers whatever the load.
        hanging * (slope + steeper) / (below + above) + self.rope * steeper / above
    }

    /// The slope at the upper end of `hanging` metres of chain; the rope above keeps it.
    fn upper_slope(&self, slope: f64, hanging: f64, load: f64) -> f64 {
        slope + self.weight * hanging / load
    }

    /// How many metres of chain hang, where some still rests on the bottom.
    fn hanging_chain(&self, height: f64, load: f64) -> f64 {
        if self.rope <= 0.0 {
            return (height * (height + 2.0 * load / self.weight)).sqrt().min(self.chain);
        }
        halve(0.0, self.chain, |hanging| self.rise(0.0, hanging, load) < height)
    }

    /// The slope at the anchor, where all is off the bottom.
    fn slope_at_anchor(&self, height: f64, load: f64) -> f64 {
        let length = self.chain + self.rope;
        // No part is flatter than the slope at the anchor, so it cannot be more than that of a straight line.
        let straight = height / ((length - height) * (length + height)).sqrt();
        halve(0.0, straight, |slope| self.rise(slope, self.chain, load) < height)
    }

    fn describe(&self, hanging: f64, slope: f64, load: f64) -> Lie {
        let steeper = self.upper_slope(slope, hanging, load);
        let on_bottom = self.chain - hanging;
        let across_chain = if hanging > 0.0 {
            load / self.weight * (libm::asinh(steeper) - libm::asinh(slope))
        } else {
            0.0
        };
        let reach = on_bottom + across_chain + self.rope / secant(steeper);
        Lie {
            on_bottom: Length::metres(on_bottom),
            hanging: Length::metres(hanging + self.rope),
            lifts: slope > 0.0,
            anchor_angle: Angle::radians(libm::atan(slope)),
            bow_angle: Angle::radians(libm::atan(steeper)),
            reach: Length::metres(reach),
            bow_tension: Force::newtons(load * secant(steeper)),
        }
    }

    fn check(&self, height: Length) -> Result<(), Fault> {
        above_zero("The height from the bottom to the bow roller", height.as_metres(), height)?;
        if self.length() > height {
            return Ok(());
        }
        let least = format!("more than {height}, or it does not reach the bottom");
        Err(Fault::TooSmall { what: "The rode let out", found: self.length().to_string(), least })
    }
}

/// Returns the least chain that leaves the last link on the bottom: `√(h (h + 2a))`.
pub fn least_chain(height: Length, load: Force, weight: ChainWeight) -> Result<Length, Fault> {
    above_zero("The height from the bottom to the bow roller", height.as_metres(), height)?;
    zero_or_more("The load", load.as_newtons(), load)?;
    let flat = load.as_newtons() / weight.check()?.newtons_per_metre();
    let height = height.as_metres();
    Ok(Length::metres((height * (height + 2.0 * flat)).sqrt()))
}

/// Returns how far a rode reaches along the level when it is pulled straight.
pub fn straight_reach(rode: Length, height: Length) -> Result<Length, Fault> {
    above_zero("The height from the bottom to the bow roller", height.as_metres(), height)?;
    above_zero("The rode let out", rode.as_metres(), rode)?;
    let (rode, height) = (rode.as_metres(), height.as_metres());
    Ok(Length::metres(((rode - height) * (rode + height)).max(0.0).sqrt()))
}

/// The length of a line of this slope over one metre along the level.
fn secant(slope: f64) -> f64 {
    libm::hypot(1.0, slope)
}

/// Finds where `too_low` stops holding between two bounds.
fn halve(mut low: f64, mut high: f64, too_low: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if too_low(middle) { low = middle } else { high = middle }
    }
    f64::midpoint(low, high)
}
