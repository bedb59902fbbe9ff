//! How the boat stands while she does something, and what can run then: three-valued, since a plan does not say how
//! every control stands.

use std::collections::BTreeMap;

use boat::model::{Activity, Boat, Expr, Value, VarId};

/// The controls and states that are known while the boat does one thing.
#[derive(Debug, Clone, Default)]
pub struct Stance {
    known: BTreeMap<VarId, Value>,
}

impl Stance {
    /// What the boat file says of an activity. Charging is lying at anchor with the engine's own changes on top.
    pub fn of(boat: &Boat, activity: Activity) -> Self {
        let mut stance = Self::default();
        if activity == Activity::Charging {
            stance.take(boat, Activity::Anchored);
        }
        stance.take(boat, activity);
        stance
    }

    fn take(&mut self, boat: &Boat, activity: Activity) {
        for mode in boat.modes.iter().filter(|mode| mode.activity == activity) {
            self.known.extend(mode.holds.iter().map(|assign| (assign.var, assign.value)));
        }
    }

    /// Whether a fact can hold: it does unless what is known makes it false.
    pub fn allows(&self, boat: &Boat, fact: &Expr) -> bool {
        self.holds(boat, fact) != Some(false)
    }

    /// Whether a fact holds, does not hold, or can't be told from what is known.
    pub fn holds(&self, boat: &Boat, fact: &Expr) -> Option<bool> {
        match fact {
            Expr::Const(yes) => Some(*yes),
            Expr::Is(var, value) => self.known.get(var).map(|known| known == value),
            Expr::Holds(condition) => self.holds(boat, &boat.conditions[*condition].when),
            // A plan says nothing of what gauges read.
            Expr::Compare(..) => None,
            Expr::Not(inner) => self.holds(boat, inner).map(|yes| !yes),
            Expr::And(parts) => self.joined(boat, parts, false),
            Expr::Or(parts) => self.joined(boat, parts, true),
        }
    }

    /// `deciding` is the value of one part that settles the whole.
    fn joined(&self, boat: &Boat, parts: &[Expr], deciding: bool) -> Option<bool> {
        let mut all_known = true;
        for part in parts {
            match self.holds(boat, part) {
                Some(value) if value == deciding => return Some(deciding),
                Some(_) => {}
                None => all_known = false,
            }
        }
        all_known.then_some(!deciding)
    }
}
