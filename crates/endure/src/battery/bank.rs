//! A bank made ready for steps of one length at one temperature.

use quantity::{Charge, Current, Ratio, Resistance, Temperature, Time, Voltage};

use super::curve::{Curve, LEVELS_FASTER};
use super::kibam::{Kibam, Stride};
use super::spec::BankSpec;
use super::state::{Charged, Stage};

/// The temperature at which capacities are rated (common practice for boats: 25 °C).
const RATED_AT: f64 = 25.0;
/// No cold leaves less than this part of the capacity; where makers' tables end (from memory).
const LEAST_WARMTH: f64 = 0.4;
/// Self-discharge doubles for so many kelvin above 20 °C (common practice).
const LEAKS_TWICE: f64 = 10.0;
/// Lithium protection switches off below 2.5 V a cell, the end of the oracle's discharge, and charging stops at
/// 3.65 V a cell (common practice), both for four cells.
const GUARD_LOW: f64 = 10.0;
const GUARD_HIGH: f64 = 14.6;
/// A bank in float is charged anew from the start when it holds less than this (our judgement).
const CHARGE_ANEW: f64 = 0.95;

/// A bank made ready for steps of one length at one temperature: [`BankSpec::at`].
///
/// A [`Charged`] belongs to the bank that made it; for the same bank at another temperature, carry its share over.
#[derive(Debug, Clone)]
pub struct Bank {
    pub(super) kibam: Kibam,
    /// Steps in which the bank gives or rests.
    pub(super) giving: Stride,
    /// Steps in which it is charged.
    pub(super) taking: Stride,
    pub(super) curve: Curve,
    /// Ah at the 20 hour rate, aged and at this temperature.
    capacity: f64,
    /// Ah of both wells when full, and of the available one.
    pub(super) most: f64,
    pub(super) at_hand: f64,
    /// Ah that its protection keeps back.
    pub(super) kept: f64,
    /// Below so many Ah, float ends.
    pub(super) charge_anew: f64,
    /// Amperes.
    pub(super) accepts: f64,
    pub(super) tail: f64,
    pub(super) leaks: f64,
    /// Volts.
    pub(super) bulk: f64,
    pub(super) float: f64,
    /// Volts under which its protection switches it off.
    pub(super) guard: Option<f64>,
    pub(super) in_per_out: f64,
    pub(super) refuses: bool,
    /// Ohms of the full bank, and how much more of the empty one.
    ohms: f64,
    ohms_more: f64,
    rated: Charge,
    step: Time,
}

impl Bank {
    /// Of a spec that was checked.
    pub(super) fn new(spec: &BankSpec, temperature: Temperature, step: Time) -> Self {
        let (chemistry, usual, twelves) = (spec.chemistry, spec.chemistry.defaults(), spec.twelves());
        let lead = chemistry.is_lead();
        let celsius = temperature.as_celsius();
        let warmth = (1.0 - usual.cold * (RATED_AT - celsius)).clamp(LEAST_WARMTH, 1.0);
        let aged = spec.capacity.as_amp_hours() * spec.health.as_plain();
        let capacity = aged * warmth;
        let kibam = chemistry.kibam(Charge::amp_hours(capacity));
        let most = kibam.most.as_amp_hours();
        let at_hand = most * kibam.c;
        let ohms = spec.resistance.map_or(usual.drop * twelves / aged, Resistance::as_ohms);
        let curve = if lead { Curve::lead(twelves, capacity, most) } else { Curve::lithium(twelves, ohms) };
        let bulk = spec.bulk.map_or(usual.bulk.as_volts() * twelves, Voltage::as_volts);
        let bulk = if lead { bulk } else { bulk.min(GUARD_HIGH * twelves) };
        let float = spec.float.map_or(usual.float.as_volts() * twelves, Voltage::as_volts).min(bulk);
        let a_month = spec.self_discharge.unwrap_or(usual.leaks).as_plain()
            * libm::exp2(((celsius - 20.0) / LEAKS_TWICE).clamp(-4.0, 4.0));
        let faster = Kibam { k: kibam.k * LEVELS_FASTER, ..kibam };
        Self {
            giving: kibam.over(step),
            taking: if lead { faster.over(step) } else { kibam.over(step) },
            kibam,
            curve,
            capacity,
            most,
            at_hand,
            kept: spec.switches_off.unwrap_or_default().as_plain() * capacity,
            charge_anew: most - (1.0 - CHARGE_ANEW) * capacity,
            accepts: aged * spec.accepts.unwrap_or(usual.accepts).as_plain(),
            tail: aged * usual.tail,
            leaks: capacity * a_month / Time::days(30.0).as_hours(),
            bulk,
            float,
            guard: (!lead).then_some(GUARD_LOW * twelves),
            in_per_out: spec.in_per_out.unwrap_or(usual.in_per_out),
            refuses: spec.least_charge.or(usual.least_charge).is_some_and(|least| temperature < least),
            ohms,
            // Common practice: a lead battery resists about twice as much when it is empty.
            ohms_more: if lead { ohms } else { 0.0 },
            rated: spec.capacity,
            step,
        }
    }

    /// Full and at rest.
    pub fn full(&self) -> Charged {
        self.with_share(Ratio::plain(1.0))
    }

    /// At rest with this share of its capacity, held between nothing and all.
    pub fn with_share(&self, share: Ratio) -> Charged {
        let share = amount(share.as_plain(), 1.0);
        let wells = self.kibam.rest(Charge::amp_hours(self.most - (1.0 - share) * self.capacity));
        Charged {
            available: wells.available.as_amp_hours(),
            bound: wells.bound.as_amp_hours(),
            stage: Stage::Bulk,
            switched_off: false,
        }
    }

    /// What it gives from full when emptied over 20 hours, aged and at this temperature.
    pub const fn capacity(&self) -> Charge {
        Charge::amp_hours(self.capacity)
    }

    /// The rated capacity, as new.
    pub const fn rated(&self) -> Charge {
        self.rated
    }

    /// The length of its steps.
    pub const fn step_length(&self) -> Time {
        self.step
    }

    /// The kinetic constants; of lithium one well.
    pub const fn kibam(&self) -> Kibam {
        self.kibam
    }

    /// All charge in it, that which is bound included. A lead bank holds some even at a share of nothing: what only
    /// a slower draw than over 20 hours would give.
    #[inline]
    pub fn held(&self, state: &Charged) -> Charge {
        Charge::amp_hours(state.held())
    }

    /// The share of its capacity that is left, as a counter of Ah would show it.
    #[inline]
    pub fn share(&self, state: &Charged) -> Ratio {
        let drawn = self.most - state.held();
        Ratio::plain((1.0 - drawn / self.capacity).clamp(0.0, 1.0))
    }

    /// The voltage at the terminals with nothing flowing. Soon after a load or a charge it is not yet that of a rested
    /// bank: the wells stand at different heights.
    #[inline]
    pub fn rest_voltage(&self, state: &Charged) -> Voltage {
        Voltage::volts(self.curve.rest(self.height(state)))
    }

    /// The voltage at the terminals with so much current into the bank, or out of it if negative.
    #[inline]
    pub fn voltage(&self, state: &Charged, into: Current) -> Voltage {
        let amps = into.as_amps();
        let height = self.height(state);
        if amps > 0.0 {
            return Voltage::volts(self.curve.charging(height, amps));
        }
        Voltage::volts(self.giving_at(height, amps))
    }

    /// Volts with so many amperes into the bank, none or out of it.
    #[inline]
    pub(super) fn giving_at(&self, height: f64, amps: f64) -> f64 {
        let ohms = self.ohms + self.ohms_more * (1.0 - height).clamp(0.0, 1.0);
        (self.curve.rest(height) + amps * ohms).max(0.0)
    }

    /// How high the available well stands: 1 when full.
    #[inline]
    pub(super) fn height(&self, state: &Charged) -> f64 {
        state.available / self.at_hand
    }
}

/// An amount of nothing to `most`; a negative one, and what is no number, is nothing.
#[inline]
pub(super) fn amount(value: f64, most: f64) -> f64 {
    if value > 0.0 { value.min(most) } else { 0.0 }
}
