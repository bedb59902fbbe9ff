//! One step of a bank.

use quantity::{Charge, Current, Voltage};

use super::bank::{Bank, amount};
use super::charging::mean_of_decay;
use super::state::{Charged, Flow, Stage};

/// More current than any bank sees; keeps sums of nonsense finite.
const MOST_AMPS: f64 = 1e9;

/// What a step does to the terminals and the wells.
struct Moved {
    /// Amperes at the terminals, positive into the bank.
    net: f64,
    /// Amperes into the wells.
    inner: f64,
    stage: Stage,
    /// Volts that a charger holds for each 12 V; none if it is not at its voltage.
    held_at: Option<f64>,
}

/// What a bank would take.
struct Appetite {
    /// Mean amperes over the step.
    amps: f64,
    /// Volts at which the charger is held, for each 12 V.
    set: f64,
    stage: Stage,
    /// Ah stored for each Ah at the terminals.
    stored: f64,
}

impl Bank {
    /// One step: loads are fed from the offer first, what is left of it charges the bank as far as it accepts, and
    /// what loads still ask for comes out of the bank.
    ///
    /// `limit` is the voltage that the strongest source is set to; the bank's own charging voltage holds if it is
    /// lower, or if no limit above nothing is given. Negative currents and those that are no number count as none.
    ///
    /// A draw is exact for a current that is steady through the step. Where the voltage limits charging, the current
    /// is the mean over the step of one that dies away as the bank fills.
    #[inline]
    pub fn step(&self, state: &mut Charged, load: Current, offered: Current, limit: Voltage) -> Flow {
        let load = amount(load.as_amps(), MOST_AMPS);
        let offered = amount(offered.as_amps(), MOST_AMPS);
        let direct = load.min(offered);
        let spare = offered - direct;
        let too_cold = self.refuses && spare > 0.0;
        let left = state.available * self.stride.keep + state.held * self.stride.levelled;
        let moved = if spare > 0.0 && !too_cold {
            self.take(state, spare, left, limit.as_volts())
        } else {
            self.give(state, load - direct, left)
        };
        state.held = (state.held + moved.inner * self.stride.length).max(0.0);
        state.available = (left + moved.inner * self.stride.hours).max(0.0);
        let (charging, drawn) = (moved.net.max(0.0), -moved.net.min(0.0));
        Flow {
            net: Current::amps(moved.net),
            taken: Current::amps(direct + charging),
            unmet: Current::amps(load - direct - drawn),
            lost: Charge::amp_hours((moved.net - moved.inner) * self.stride.length),
            voltage: Voltage::volts(self.volts_after(state, &moved)),
            stage: moved.stage,
            too_cold,
            switched_off: state.switched_off,
        }
    }

    /// Feeds a load of so many amperes, perhaps none, as far as it can. `left` Ah would be at hand without it.
    #[inline]
    fn give(&self, state: &mut Charged, wanted: f64, left: f64) -> Moved {
        let after = left - (wanted + self.leaks) * self.stride.hours;
        // Most steps are far from empty; that the processor can foresee, and it need not wait for what is left.
        let plenty = after >= self.kept
            && !state.switched_off
            && !(self.guarded && wanted > 0.0 && self.volts_drawn(after, wanted) < self.guard);
        let (drawn, leaks) = if plenty { (wanted, self.leaks) } else { self.scant(state, wanted, left) };
        Moved { net: -drawn, inner: -drawn - leaks, stage: Stage::Bulk, held_at: None }
    }

    /// What a nearly empty or switched off bank gives and loses, in amperes.
    #[cold]
    fn scant(&self, state: &mut Charged, wanted: f64, left: f64) -> (f64, f64) {
        let hours = self.stride.hours;
        let leaks = self.leaks.min((left / hours).max(0.0));
        let most = ((left - self.kept) / hours - leaks).max(0.0);
        let drawn = wanted.min(most);
        if self.guarded && wanted > 0.0 {
            let volts = self.volts_drawn(left - (drawn + leaks) * hours, drawn);
            state.switched_off |= most <= 0.0 || volts < self.guard;
        }
        (if state.switched_off { 0.0 } else { drawn }, leaks)
    }

    /// Charges with so many amperes as far as it accepts them.
    #[inline]
    fn take(&self, state: &mut Charged, spare: f64, left: f64, limit: f64) -> Moved {
        let leaks = if left > self.leaks * self.stride.hours { self.leaks } else { 0.0 };
        let appetite = self.appetite(state, limit);
        let most = spare.min(self.accepts);
        // A branch and not a minimum: the processor foresees it, and need not wait for the appetite.
        if appetite.amps > most {
            state.switched_off = false;
            return Moved {
                net: most,
                inner: most * appetite.stored - leaks,
                stage: Stage::Bulk,
                held_at: None,
            };
        }
        state.switched_off &= appetite.amps <= 0.0;
        Moved {
            net: appetite.amps,
            inner: appetite.amps * appetite.stored - leaks,
            stage: appetite.stage,
            held_at: Some(appetite.set),
        }
    }

    /// What the bank would take of a source of any strength.
    #[inline]
    fn appetite(&self, state: &Charged, limit: f64) -> Appetite {
        // All for each 12 V; what needs no table comes first, so that the processor does both at once.
        let missing = self.missing(state);
        let eager = 1.0 / self.charging.resists(missing);
        let stored = self.keeps.at(missing);
        let (amps_a_volt, fading) = (eager * (missing * self.capacity), eager * stored * self.stride.length);
        let most = if limit > 0.0 { limit / self.twelves } else { f64::INFINITY };
        let (bulk, float) = (self.bulk.min(most), self.float.min(most));
        let rest = self.rest.volts(missing);
        let full = (bulk - rest) * amps_a_volt <= self.tail && float < bulk;
        let (set, phase) = if full { (float, Stage::Float) } else { (bulk, Stage::Absorption) };
        let over = (set - rest).max(0.0);
        let amps = if set < self.rest.full() && over > 0.0 {
            self.taken_below_full(missing, set, stored)
        } else {
            (over * amps_a_volt) * mean_of_decay(over * fading)
        };
        Appetite { amps, set, stage: phase, stored }
    }

    /// Amperes from a charger held at less than the rest voltage of the full bank, so that charging ends short of full:
    /// those that hold at the end of the step, so that it does not go beyond.
    #[cold]
    fn taken_below_full(&self, missing: f64, set: f64, stored: f64) -> f64 {
        let per_part = self.capacity / (stored * self.stride.length);
        let (mut low, mut high) = (0.0, missing);
        for _ in 0..50 {
            let then = f64::midpoint(low, high);
            let over = (set - self.rest.volts(then)).max(0.0);
            let amps = over * then * self.capacity / self.charging.resists(then);
            if amps > (missing - then) * per_part {
                high = then;
            } else {
                low = then;
            }
        }
        (missing - high) * per_part
    }

    /// Volts at the end of a step.
    #[inline]
    fn volts_after(&self, state: &Charged, moved: &Moved) -> f64 {
        match moved.held_at {
            Some(set) => (set * self.twelves).max(self.volts_drawn(state.available, 0.0)),
            None if moved.net > 0.0 => self.volts_taking(state, moved.net),
            None => self.volts_drawn(state.available, -moved.net),
        }
    }
}
