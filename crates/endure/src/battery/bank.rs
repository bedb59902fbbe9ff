//! A bank made ready for steps of one length at one temperature.

use quantity::{Charge, Current, Ratio, Resistance, Temperature, Time, Voltage};

use super::charging::{Charging, Keeps};
use super::kibam::{Kibam, Stride, Wells};
use super::rest::Rest;
use super::spec::BankSpec;
use super::state::Charged;

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

/// A bank made ready for steps of one length at one temperature: [`BankSpec::at`].
///
/// A [`Charged`] belongs to the bank that made it; for the same bank at another temperature, carry its share over.
#[derive(Debug, Clone)]
pub struct Bank {
    kibam: Kibam,
    pub(super) stride: Stride,
    pub(super) rest: &'static Rest,
    pub(super) charging: Charging,
    pub(super) keeps: Keeps,
    /// How many times 12 V.
    pub(super) twelves: f64,
    /// Ah at the 20 hour rate, aged and at this temperature.
    pub(super) capacity: f64,
    /// Ah of both wells when full.
    most: f64,
    /// All that the wells hold as a part of the capacity; and that part for each Ah held, or at hand.
    parts: f64,
    per_ah: f64,
    parts_at_hand: f64,
    /// Ah that its protection keeps back.
    pub(super) kept: f64,
    /// Amperes.
    pub(super) accepts: f64,
    pub(super) tail: f64,
    pub(super) leaks: f64,
    /// Volts for each 12 V.
    pub(super) bulk: f64,
    pub(super) float: f64,
    /// Volts under which its protection switches it off, if it has one.
    pub(super) guard: f64,
    pub(super) guarded: bool,
    pub(super) refuses: bool,
    /// Ohms of the full bank, and how much more for each part of the capacity that is missing.
    ohms: f64,
    ohms_more: f64,
    rated: Charge,
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
        let ohms = spec.resistance.map_or(usual.drop * twelves / aged, Resistance::as_ohms);
        let charging = spec.charging.unwrap_or(usual.charging);
        let measured = spec.resistance.filter(|_| !lead && spec.charging.is_none());
        let charging =
            measured.map_or(charging, |ohms| Charging { drop: ohms.as_ohms() * aged / twelves, ..charging });
        let per_twelve = |volts: Option<Voltage>, usual: Voltage| {
            volts.map_or(usual.as_volts(), |volts| volts.as_volts() / twelves)
        };
        let bulk = per_twelve(spec.bulk, usual.bulk);
        let bulk = if lead { bulk } else { bulk.min(GUARD_HIGH) };
        let float = per_twelve(spec.float, usual.float).min(bulk);
        let a_month = spec.self_discharge.unwrap_or(usual.leaks).as_plain()
            * libm::exp2(((celsius - 20.0) / LEAKS_TWICE).clamp(-4.0, 4.0));
        let in_per_out = spec.in_per_out.unwrap_or(usual.in_per_out);
        Self {
            stride: kibam.over(step),
            kibam,
            rest: chemistry.rest(),
            charging,
            keeps: if lead { Keeps::lead(in_per_out) } else { Keeps::even(in_per_out) },
            twelves,
            capacity,
            most,
            parts: most / capacity,
            per_ah: 1.0 / capacity,
            parts_at_hand: 1.0 / (capacity * kibam.c),
            kept: spec.switches_off.unwrap_or_default().as_plain() * capacity,
            accepts: aged * spec.accepts.unwrap_or(usual.accepts).as_plain(),
            tail: aged * usual.tail,
            leaks: capacity * a_month / Time::days(30.0).as_hours(),
            bulk,
            float,
            guard: GUARD_LOW * twelves,
            guarded: !lead,
            refuses: spec.least_charge.or(usual.least_charge).is_some_and(|least| temperature < least),
            ohms,
            // Common practice: a lead battery resists about twice as much when it is empty.
            ohms_more: if lead { ohms } else { 0.0 },
            rated: spec.capacity,
        }
    }

    /// Full and at rest.
    pub fn full(&self) -> Charged {
        self.with_share(Ratio::plain(1.0))
    }

    /// At rest with this share of its capacity, held between nothing and all.
    pub fn with_share(&self, share: Ratio) -> Charged {
        let share = amount(share.as_plain(), 1.0);
        self.with_wells(self.kibam.rest(Charge::amp_hours(self.most - (1.0 - share) * self.capacity)))
    }

    /// With so much in each well, held between nothing and all that the bank holds.
    pub fn with_wells(&self, wells: Wells) -> Charged {
        let available = amount(wells.available.as_amp_hours(), self.most);
        let bound = amount(wells.bound.as_amp_hours(), self.most - available);
        Charged { available, held: available + bound, switched_off: false }
    }

    /// What it gives from full when emptied over 20 hours, aged and at this temperature.
    pub const fn capacity(&self) -> Charge {
        Charge::amp_hours(self.capacity)
    }

    /// The rated capacity, as new.
    pub const fn rated(&self) -> Charge {
        self.rated
    }

    /// The kinetic constants; of lithium one well.
    pub const fn kibam(&self) -> Kibam {
        self.kibam
    }

    /// All charge in it, that which is bound included. A lead bank holds some even at a share of nothing: what only
    /// a slower draw than over 20 hours would give.
    #[inline]
    pub fn held(&self, state: &Charged) -> Charge {
        Charge::amp_hours(state.held)
    }

    /// The share of its capacity that is left, as a counter of Ah would show it.
    #[inline]
    pub fn share(&self, state: &Charged) -> Ratio {
        Ratio::plain((1.0 - self.missing(state)).max(0.0))
    }

    /// The voltage at the terminals with nothing flowing. Soon after a load or a charge it is not yet that of a rested
    /// bank: the wells stand at different heights.
    #[inline]
    pub fn rest_voltage(&self, state: &Charged) -> Voltage {
        Voltage::volts(self.volts_drawn(state.available, 0.0))
    }

    /// The voltage at the terminals with so much current into the bank, or out of it if negative. What flows in lifts
    /// it no higher than to the bank's charging voltage, where a charger holds it.
    #[inline]
    pub fn voltage(&self, state: &Charged, into: Current) -> Voltage {
        let amps = into.as_amps();
        Voltage::volts(if amps > 0.0 {
            self.volts_taking(state, amps)
        } else {
            self.volts_drawn(state.available, -amps)
        })
    }

    /// Volts with so many Ah at hand and so many amperes, perhaps none, drawn.
    #[inline]
    pub(super) fn volts_drawn(&self, available: f64, amps: f64) -> f64 {
        let missing = (self.parts - available * self.parts_at_hand).max(0.0);
        let ohms = self.ohms + self.ohms_more * missing;
        (self.rest.volts(missing) * self.twelves - amps * ohms).max(0.0)
    }

    /// Volts with so many amperes put in.
    #[inline]
    pub(super) fn volts_taking(&self, state: &Charged, amps: f64) -> f64 {
        let missing = self.missing(state);
        let lift = amps * self.charging.resists(missing) / (missing * self.capacity);
        let charging = (self.rest.volts(missing) + lift).min(self.bulk) * self.twelves;
        charging.max(self.volts_drawn(state.available, 0.0))
    }

    /// The part of the capacity that is missing from full; above 1 if only a slower draw than over 20 hours gives
    /// what is left.
    #[inline]
    pub(super) fn missing(&self, state: &Charged) -> f64 {
        (self.parts - state.held * self.per_ah).max(0.0)
    }
}

/// An amount of nothing to `most`; a negative one, and what is no number, is nothing.
#[inline]
pub(super) fn amount(value: f64, most: f64) -> f64 {
    if value > 0.0 { value.min(most) } else { 0.0 }
}
