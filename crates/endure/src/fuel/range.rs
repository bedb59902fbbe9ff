//! How long the fuel lasts, and how far it takes her.

use quantity::{Length, Ratio, Speed, Time, Volume, VolumeRate};

use crate::cable::{Fault, above_zero, zero_or_more};

/// What is kept back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reserve {
    /// The thirds rule: a third out, a third back, a third kept; given is what was in the tank at the start.
    ///
    /// Source: rental advice, `reference/trade-facts.md` section 8d.
    ThirdOf(Volume),
    /// A stated part of what the tank holds when full.
    PartOf(Volume, Ratio),
    /// A stated volume; what the pipe cannot reach belongs in it.
    Stated(Volume),
}

impl Reserve {
    /// How much is kept back.
    pub fn volume(self) -> Result<Volume, Fault> {
        let kept = match self {
            Self::ThirdOf(start) => start / 3.0,
            Self::PartOf(tank, part) => tank * part,
            Self::Stated(volume) => volume,
        };
        zero_or_more("The reserve", kept.as_litres(), kept)?;
        Ok(kept)
    }
}

/// How long the fuel lasts at one burn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Endurance {
    /// What is kept back.
    pub reserve: Volume,
    /// What may be used before the reserve is touched; nothing if it is touched already.
    pub usable: Volume,
    /// The time until the reserve is touched.
    pub until_reserve: Time,
    /// The time until nothing is left, reserve and all. No plan may use it.
    pub until_empty: Time,
    /// The time after which to turn back, if she leaves now and returns the same way at the same burn.
    pub turn_back: Time,
}

impl Endurance {
    /// The distance through the water before the reserve is touched.
    pub fn range(&self, speed: Speed) -> Result<Length, Fault> {
        zero_or_more("The speed of the boat", speed.as_knots(), speed)?;
        Ok(speed * self.until_reserve)
    }

    /// Tells whether the reserve is touched already.
    pub fn is_into_reserve(&self) -> bool {
        self.usable <= Volume::ZERO
    }
}

/// Returns how long `left` lasts at a burn, with a reserve kept back.
pub fn endurance(left: Volume, burn: VolumeRate, reserve: Reserve) -> Result<Endurance, Fault> {
    zero_or_more("What is left in the tank", left.as_litres(), left)?;
    above_zero("The burn", burn.as_litres_per_hour(), burn)?;
    let reserve = reserve.volume()?;
    let usable = (left - reserve).max(Volume::ZERO);
    let until_reserve = usable / burn;
    Ok(Endurance { reserve, usable, until_reserve, until_empty: left / burn, turn_back: until_reserve / 2.0 })
}
