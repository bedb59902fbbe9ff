//! What a fact rests on, and how likely each of it is to be otherwise.

use std::collections::BTreeSet;

use boat::lower::lower;
use boat::model::{Assign, Boat, ConditionId, Expr, Id, Value, VarId};

use crate::hope::{Hope, is_control};
use crate::layout::Cause;
use crate::rates::{MOVED, Rates, SET_WRONG, STATE_OTHERWISE, UNLISTED_ITEM, within_a_week};

/// Everything that a fact rests on.
#[derive(Debug, Default, Clone)]
pub(crate) struct Ground {
    pub(crate) conditions: BTreeSet<ConditionId>,
    pub(crate) vars: BTreeSet<VarId>,
}

impl Ground {
    pub(crate) fn of(boat: &Boat, condition: ConditionId) -> Self {
        let mut ground = Self::default();
        ground.add(boat, condition);
        ground
    }

    fn add(&mut self, boat: &Boat, condition: ConditionId) {
        if self.conditions.insert(condition) {
            self.add_expr(boat, &lower(boat, &boat.conditions[condition].when));
            // A state's value that a fault means may stop what does not look at that state.
            let stops = boat.faults.iter().filter(|fault| fault.stops.contains(&condition));
            self.vars.extend(stops.filter_map(|fault| Some(fault.means?.var)));
        }
    }

    fn add_expr(&mut self, boat: &Boat, expr: &Expr) {
        match expr {
            Expr::Const(_) | Expr::Compare(..) => {}
            Expr::Is(var, _) => {
                self.vars.insert(*var);
            }
            Expr::Holds(condition) => self.add(boat, *condition),
            Expr::Not(inner) => self.add_expr(boat, inner),
            Expr::And(parts) | Expr::Or(parts) => parts.iter().for_each(|part| self.add_expr(boat, part)),
        }
    }

    /// Faults and unlisted failures that stop one of its conditions.
    pub(crate) fn failures(&self, boat: &Boat) -> BTreeSet<Cause> {
        let mut found = BTreeSet::new();
        for (id, fault) in boat.faults.iter_ids() {
            if fault.means.is_none() && fault.stops.iter().any(|stopped| self.conditions.contains(stopped)) {
                found.insert(Cause::Fault(id));
            }
        }
        for condition in &self.conditions {
            for item in &boat.conditions[*condition].items {
                if !boat.faults.iter().any(|fault| fault.item == *item) {
                    found.insert(Cause::Item(*item));
                }
            }
        }
        found
    }

    /// How likely it is that something of its own, that the symptom does not rest on, makes it fail.
    pub(crate) fn beyond(
        &self,
        boat: &Boat,
        rates: &Rates,
        own: &Self,
        failures: &BTreeSet<Cause>,
        hope: &Hope,
    ) -> f64 {
        let mut sound = 1.0;
        for var in self.vars.difference(&own.vars) {
            sound *= (1.0 - wrong(boat, hope, *var) - meant(boat, rates, hope, *var, None)).max(0.0);
        }
        for cause in self.failures(boat).difference(failures) {
            sound *= match cause {
                Cause::Fault(fault) => 1.0 - rates.chance(*fault),
                _ => 1.0 - within_a_week(UNLISTED_ITEM),
            };
        }
        1.0 - sound
    }

    pub(crate) fn shares(&self, boat: &Boat, other: &Self, failures: &BTreeSet<Cause>) -> bool {
        !self.vars.is_disjoint(&other.vars)
            || !self.conditions.is_disjoint(&other.conditions)
            || !self.failures(boat).is_disjoint(failures)
    }
}

/// How likely a control or state is to be otherwise than it should, where no fault of the boat file says so.
pub(crate) fn wrong(boat: &Boat, hope: &Hope, var: VarId) -> f64 {
    match (is_control(boat, var), hope.touched[var.index()]) {
        (true, true) => SET_WRONG,
        (true, false) => MOVED,
        (false, _) => STATE_OTHERWISE,
    }
}

/// How likely the faults are that mean a value, or any value that she should not have.
pub(crate) fn meant(boat: &Boat, rates: &Rates, hope: &Hope, var: VarId, value: Option<Value>) -> f64 {
    let so = |means: Assign| {
        means.var == var
            && means.value != hope.values[var.index()]
            && value.is_none_or(|value| means.value == value)
    };
    boat.faults
        .iter_ids()
        .filter(|(_, fault)| fault.means.is_some_and(so))
        .map(|(id, _)| rates.chance(id))
        .sum()
}
