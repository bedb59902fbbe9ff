//! What a bank remembers from step to step, and what a step tells.

use quantity::{Charge, Current, Voltage};

use super::kibam::Wells;

/// What charging does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Stage {
    /// Taking what it is given; also where nothing is given.
    #[default]
    Bulk,
    /// Held at the charging voltage, taking less and less.
    Absorption,
    /// Full, held at the lower voltage that keeps it so.
    Float,
}

/// The charge of a bank, and whether its protection has switched it off.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Charged {
    /// In Ah: at hand, and in all. (The bound well follows; so the processor waits less from step to step.)
    pub(super) available: f64,
    pub(super) held: f64,
    pub(super) switched_off: bool,
}

impl Charged {
    /// The two wells; of lithium the bound one is empty.
    pub const fn wells(&self) -> Wells {
        let bound = (self.held - self.available).max(0.0);
        Wells { available: Charge::amp_hours(self.available), bound: Charge::amp_hours(bound) }
    }

    /// Whether the bank's own protection has switched it off; charging switches it on again.
    pub const fn switched_off(&self) -> bool {
        self.switched_off
    }
}

/// What went in and out in a step.
///
/// With the step's length Δt, the charge held changes by exactly (taken − (load − unmet)) Δt − lost.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Flow {
    /// At the terminals, positive into the bank: `taken` less the loads that were met.
    pub net: Current,
    /// Of the current offered, what loads and charging used.
    pub taken: Current,
    /// Of the loads, what neither the offer nor the bank could give.
    pub unmet: Current,
    /// Lost on the way into the charge, and by itself.
    pub lost: Charge,
    /// At the terminals, at the end of the step.
    pub voltage: Voltage,
    /// Where charging stands.
    pub stage: Stage,
    /// Charging was refused for cold.
    pub too_cold: bool,
    /// The bank's own protection has switched it off: no load is fed from it until it is charged.
    pub switched_off: bool,
}
