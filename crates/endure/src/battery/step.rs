//! One step of a bank.

use quantity::{Charge, Current, Voltage};

use super::bank::{Bank, amount};
use super::state::{Charged, Flow, Stage};

/// More current than any bank sees; keeps sums of nonsense finite.
const MOST_AMPS: f64 = 1e9;

/// What a step does to the terminals and the wells.
struct Moved {
    /// Amperes at the terminals, positive into the bank.
    net: f64,
    /// Amperes into the wells.
    inner: f64,
    /// Ah at hand at the end of the step.
    available: f64,
    /// Volts at its end.
    volts: f64,
}

impl Bank {
    /// One step: loads are fed from the offer first, what is left of it charges the bank as far as it accepts, and
    /// what loads still ask for comes out of the bank.
    ///
    /// `limit` is the voltage that the strongest source is set to; the bank's own charging voltage holds if it is
    /// lower, or if no limit above nothing is given. Negative currents and those that are no number count as none.
    ///
    /// A draw is exact for a current that is steady through the step. Where the voltage limits charging, the current
    /// is that at which the limit is met at the end of the step; it errs to the low side, by less the shorter the step.
    #[inline]
    pub fn step(&self, state: &mut Charged, load: Current, offered: Current, limit: Voltage) -> Flow {
        let load = amount(load.as_amps(), MOST_AMPS);
        let offered = amount(offered.as_amps(), MOST_AMPS);
        let direct = load.min(offered);
        let spare = offered - direct;
        let too_cold = self.refuses && spare > 0.0;
        let moved = if spare > 0.0 && !too_cold {
            self.take(state, spare, limit.as_volts())
        } else {
            if offered <= 0.0 {
                // A charger that is switched on again begins anew.
                state.stage = Stage::Bulk;
            }
            self.give(state, load - direct)
        };
        let held = state.held() + moved.inner * self.giving.length;
        state.available = moved.available.max(0.0);
        state.bound = (held - state.available).max(0.0);
        let (charging, drawn) = (moved.net.max(0.0), -moved.net.min(0.0));
        Flow {
            net: Current::amps(moved.net),
            taken: Current::amps(direct + charging),
            unmet: Current::amps(load - direct - drawn),
            lost: Charge::amp_hours((moved.net - moved.inner) * self.giving.length),
            voltage: Voltage::volts(moved.volts),
            stage: state.stage,
            too_cold,
            switched_off: state.switched_off,
        }
    }

    /// Feeds a load of so many amperes, perhaps none, as far as it can.
    #[inline]
    fn give(&self, state: &mut Charged, wanted: f64) -> Moved {
        let stride = &self.giving;
        let left = state.available * stride.keep + state.held() * stride.levelled;
        let most = (left / stride.hours).max(0.0);
        let leaks = self.leaks.min(most);
        let most = (most - leaks - self.kept / stride.hours).max(0.0);
        let mut drawn = wanted.min(most);
        if let Some(guard) = self.guard {
            state.switched_off |=
                wanted > 0.0 && (most <= 0.0 || self.giving_at(self.height(state), -drawn) < guard);
            if state.switched_off {
                drawn = 0.0;
            }
        }
        let inner = -(drawn + leaks);
        let available = left + inner * stride.hours;
        let volts = self.giving_at(available / self.at_hand, -drawn);
        Moved { net: -drawn, inner, available, volts }
    }

    /// Charges with so many amperes as far as it accepts them.
    #[inline]
    fn take(&self, state: &mut Charged, spare: f64, limit: f64) -> Moved {
        let stride = &self.taking;
        if state.stage == Stage::Float && state.held() < self.charge_anew {
            state.stage = Stage::Bulk;
        }
        let set = if state.stage == Stage::Float { self.float } else { self.bulk };
        let set = if limit > 0.0 { set.min(limit) } else { set };
        // Charge that still rises from the bound well does so no faster for being charged.
        let level = state.held() * self.kibam.c;
        let above = state.available - level;
        let left = level + above * if above > 0.0 { stride.keep } else { self.giving.keep };
        let leaks = self.leaks.min((left / stride.hours).max(0.0));
        let left = left - leaks * stride.hours;
        let room = (((self.at_hand - left) / stride.hours).max(0.0)) * self.in_per_out;
        let wanted = spare.min(self.accepts);
        let per_amp = stride.hours / self.in_per_out;
        let held_at = self.curve.held_at(set, left / self.at_hand, per_amp / self.at_hand);
        let charging = wanted.min(room).min(held_at);
        let limited = charging < wanted;
        self.turn(state, charging, limited);
        state.switched_off &= charging <= 0.0;
        let available = left + charging * per_amp;
        let height = available / self.at_hand;
        let volts =
            if limited { set.max(self.curve.rest(height)) } else { self.curve.charging(height, charging) };
        Moved { net: charging, inner: charging / self.in_per_out - leaks, available, volts }
    }

    /// Goes on to the next stage of charging.
    #[inline]
    fn turn(&self, state: &mut Charged, charging: f64, limited: bool) {
        if state.stage != Stage::Float {
            state.stage = match limited {
                true if charging <= self.tail => Stage::Float,
                true => Stage::Absorption,
                false => Stage::Bulk,
            };
        }
    }
}
