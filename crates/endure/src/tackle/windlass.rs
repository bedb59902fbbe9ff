//! What raising the anchor takes from the bank, and the rules of the windlass.

use quantity::{Charge, Current, Energy, Length, Mass, Speed, Time};

use super::weight::{ChainWeight, GRAVITY, IN_SEA_WATER};
use crate::cable::{Fault, above_zero, zero_or_more};

/// A windlass, by what it draws and how fast it hauls under its usual load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Windlass {
    current: Current,
    chain_speed: Speed,
}

/// What some hauling takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Haul {
    /// The time that the motor runs, without rests.
    pub runs: Time,
    /// What it takes from the bank, if the engine does not give it.
    pub charge: Charge,
}

impl Windlass {
    /// Makes a windlass from the maker's figures for its usual load.
    pub fn new(current: Current, chain_speed: Speed) -> Result<Self, Fault> {
        above_zero("The current of the windlass", current.as_amps(), current)?;
        let metres_a_minute = chain_speed.as_metres_per_second() * 60.0;
        let said = format_args!("{metres_a_minute} m a minute");
        above_zero("The chain speed of the windlass", metres_a_minute, said)?;
        Ok(Self { current, chain_speed })
    }

    /// Returns what some metres take: current × metres ÷ chain speed.
    pub fn haul(&self, rode: Length) -> Result<Haul, Fault> {
        zero_or_more("The rode to haul", rode.as_metres(), rode)?;
        let runs = rode / self.chain_speed;
        Ok(Haul { runs, charge: self.current * runs })
    }
}

/// Returns the work of lifting chain and anchor to the bow, straight up: the least that a windlass must do.
///
/// Each metre on the bottom rises by the whole height, those that hang by half of it. A real windlass takes
/// two to three times as much: common practice.
pub fn least_work(chain: Length, height: Length, weight: ChainWeight, anchor: Mass) -> Result<Energy, Fault> {
    zero_or_more("The chain to haul", chain.as_metres(), chain)?;
    zero_or_more("The height from the bottom to the bow roller", height.as_metres(), height)?;
    zero_or_more("The weight of the anchor", anchor.as_kilograms(), anchor)?;
    let (chain, height) = (chain.as_metres(), height.as_metres());
    let pull = weight.check()?.newtons_per_metre();
    let hangs = chain.min(height);
    let chain_joules = pull * ((chain - hangs) * height + hangs * (height - hangs / 2.0));
    let anchor_joules = anchor.as_kilograms() * GRAVITY * IN_SEA_WATER * height;
    Ok(Energy::joules(chain_joules + anchor_joules))
}

/// The rules of the windlass, in order.
///
/// Source: `reference/trade-facts.md` section 10 (training text, common practice).
pub const WINDLASS_RULES: [&str; 4] = [
    "Run the engine at about 1500 revolutions while the windlass works. It draws more than 100 A, and a \
     tired bank may drop out.",
    "Motor the boat up to her anchor. The windlass takes in slack chain; it does not pull the boat.",
    "After about two minutes of hauling, let the motor rest for five to ten.",
    "If the breaker trips, find out what held the chain before you set it again.",
];
