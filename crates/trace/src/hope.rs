//! How she should stand: every control and state as it is after the step list that brings a fact about was followed.

use boat::lower::{lower, vars_of};
use boat::model::{Boat, ConditionId, Expr, Id, ProcedureId, StepKind, Value, VarId, VarKind, Who};

/// A value for every control and state, and which of them the step lists set.
#[derive(Debug, Clone, PartialEq)]
pub struct Hope {
    /// The value of each, beside `boat.vars`.
    pub values: Vec<Value>,
    /// Whether a hand or a step list had to set it.
    pub touched: Vec<bool>,
    /// The step list that was followed, if one of the boat's brings it about.
    pub followed: Option<ProcedureId>,
}

impl Hope {
    /// As she is left.
    pub(crate) fn at_rest(boat: &Boat) -> Self {
        Self {
            values: boat.vars.iter().map(|var| var.rest).collect(),
            touched: vec![false; boat.vars.len()],
            followed: None,
        }
    }

    fn set(&mut self, var: VarId, value: Value) {
        if self.values[var.index()] != value {
            self.values[var.index()] = value;
            self.touched[var.index()] = true;
        }
    }

    /// Whether a fact holds so.
    pub fn holds(&self, boat: &Boat, expr: &Expr) -> bool {
        match expr {
            Expr::Const(yes) => *yes,
            Expr::Is(var, value) => self.values[var.index()] == *value,
            Expr::Holds(condition) => self.holds(boat, &boat.conditions[*condition].when),
            Expr::Compare(..) => self.holds(boat, &lower(boat, expr)),
            Expr::Not(inner) => !self.holds(boat, inner),
            Expr::And(parts) => parts.iter().all(|part| self.holds(boat, part)),
            Expr::Or(parts) => parts.iter().any(|part| self.holds(boat, part)),
        }
    }

    /// Makes a fact hold (or not), with the first way that its text offers.
    fn make(&mut self, boat: &Boat, expr: &Expr, want: bool) {
        if self.holds(boat, expr) == want {
            return;
        }
        match expr {
            Expr::Const(_) => {}
            Expr::Is(var, value) if want => self.set(*var, *value),
            Expr::Is(var, value) => {
                let rest = boat.vars[*var].rest;
                let other = if rest == *value { Value(u8::from(value.0 == 0)) } else { rest };
                self.set(*var, other);
            }
            Expr::Holds(condition) => self.make(boat, &boat.conditions[*condition].when, want),
            Expr::Compare(..) => self.make(boat, &lower(boat, expr), want),
            Expr::Not(inner) => self.make(boat, inner, !want),
            Expr::And(parts) if want => parts.iter().for_each(|part| self.make(boat, part, true)),
            Expr::Or(parts) if !want => parts.iter().for_each(|part| self.make(boat, part, false)),
            Expr::And(parts) | Expr::Or(parts) => {
                if let Some(first) = parts.first() {
                    self.make(boat, first, want);
                }
            }
        }
    }

    /// Follows a step list, those that come before it first. What it is looked at or waited for to be is taken to
    /// have come about.
    fn follow(&mut self, boat: &Boat, procedure: ProcedureId, depth: usize) {
        let list = &boat.procedures[procedure];
        if depth > 0 {
            for before in &list.after {
                self.follow(boat, *before, depth - 1);
            }
        }
        for step in &list.steps {
            match &step.kind {
                StepKind::Set { var, to, .. } => self.set(*var, *to),
                StepKind::Do { action, .. } => {
                    for made in &boat.actions[*action].makes {
                        self.set(made.var, made.value);
                    }
                }
                StepKind::Look { confirm: Some(fact), .. } | StepKind::Wait { until: Some(fact), .. } => {
                    self.make(boat, fact, true);
                }
                StepKind::Look { confirm: None, .. } | StepKind::Wait { until: None, .. } => {}
            }
        }
    }
}

/// How deep step lists may stand after each other; the compiler refuses circles, this only bounds the walk.
const DEPTH: usize = 12;

/// How she should stand for a fact to hold: after the step list that is for it, or else as near to rest as its own
/// words allow.
pub fn hope(boat: &Boat, condition: ConditionId) -> Hope {
    let fact = Expr::Holds(condition);
    let mut best: Option<((u32, usize, usize), Hope)> = None;
    for (id, list) in boat.procedures.iter_ids() {
        if list.emergency || list.who == Who::Base {
            continue;
        }
        let Some(rank) = rank(boat, &list.goal, condition) else { continue };
        let mut hope = Hope::at_rest(boat);
        hope.follow(boat, id, DEPTH);
        if !hope.holds(boat, &fact) {
            continue;
        }
        hope.followed = Some(id);
        let changed = hope.touched.iter().filter(|touched| **touched).count();
        let key = (rank, changed, id.index());
        if best.as_ref().is_none_or(|(other, _)| key < *other) {
            best = Some((key, hope));
        }
    }
    let mut hope = best.map_or_else(|| Hope::at_rest(boat), |(_, hope)| hope);
    // A fact without a list of its own, or one that its list leaves to chance.
    hope.make(boat, &fact, true);
    hope
}

/// How near a list's goal is to a fact: 0 the fact itself, 1 it is part of it, 2 it speaks of the same things.
fn rank(boat: &Boat, goal: &Expr, condition: ConditionId) -> Option<u32> {
    match goal {
        Expr::Holds(other) if *other == condition => Some(0),
        Expr::And(parts) if parts.iter().any(|part| matches!(part, Expr::Holds(c) if *c == condition)) => {
            Some(1)
        }
        _ => {
            let mut wanted = Vec::new();
            vars_of(boat, &Expr::Holds(condition), &mut |var| wanted.push(var));
            let mut shared = false;
            vars_of(boat, goal, &mut |var| shared |= wanted.contains(&var));
            shared.then_some(2)
        }
    }
}

/// Whether a hand sets it.
pub(crate) fn is_control(boat: &Boat, var: VarId) -> bool {
    matches!(boat.vars[var].kind, VarKind::Control(_))
}
