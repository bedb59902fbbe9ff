//! Which values controls and states can come to have at all: what is not among them can be taken for granted.

use boat::model::{Expr, Id, Value, VarId};

use crate::model::Model;
use crate::planning::{Doing, Put};
use crate::stand::Stand;

/// Which values can come about if everything that ever can be so stays so: more than can be so in truth, never less.
pub(crate) struct Possible<'m, 'b> {
    model: &'m Model<'b>,
    values: Vec<Vec<bool>>,
}

impl<'m, 'b> Possible<'m, 'b> {
    /// What can come about from a stand by these doings and by what changes at once.
    pub(crate) fn from(model: &'m Model<'b>, doings: &[&Doing], from: &Stand) -> Self {
        let values = model.boat.vars.iter_ids().map(|(id, var)| {
            (0..var.values.len()).map(|value| usize::from(from.get(id).0) == value).collect()
        });
        let mut may = Self { model, values: values.collect() };
        loop {
            let mut grew = false;
            for doing in doings {
                let new = |put: &&Put| !may.has(put.var, put.to) && may.can(&put.when, true);
                let new: Vec<&Put> = doing.puts.iter().filter(new).collect();
                if !new.is_empty() && may.can(&doing.needs, true) {
                    for put in new {
                        may.add(put.var, put.to);
                    }
                    grew = true;
                }
            }
            for turn in model.turns.iter().filter(|turn| turn.after.is_none()) {
                if !may.has(turn.var, turn.to) && may.can(&turn.when, true) {
                    may.add(turn.var, turn.to);
                    grew = true;
                }
            }
            if !grew {
                return may;
            }
        }
    }

    fn add(&mut self, var: VarId, value: Value) {
        self.values[var.index()][usize::from(value.0)] = true;
    }

    /// Whether it can ever have this value.
    pub(crate) fn has(&self, var: VarId, value: Value) -> bool {
        self.values[var.index()].get(usize::from(value.0)).copied().unwrap_or(false)
    }

    /// Whether it can have another value than this.
    pub(crate) fn has_other(&self, var: VarId, value: Value) -> bool {
        let own = &self.values[var.index()];
        own.iter().enumerate().any(|(at, may)| *may && at != usize::from(value.0))
    }

    /// Whether an expression can come out so.
    pub(crate) fn can(&self, expr: &Expr, wanted: bool) -> bool {
        match expr {
            Expr::Const(value) => *value == wanted,
            Expr::Is(var, value) if wanted => self.has(*var, *value),
            Expr::Is(var, value) => self.has_other(*var, *value),
            Expr::Holds(condition) => self.can(&self.model.conditions[condition.index()], wanted),
            Expr::Not(inner) => self.can(inner, !wanted),
            Expr::And(parts) if wanted => parts.iter().all(|part| self.can(part, true)),
            Expr::Or(parts) if !wanted => parts.iter().all(|part| self.can(part, false)),
            Expr::And(parts) | Expr::Or(parts) => parts.iter().any(|part| self.can(part, wanted)),
            Expr::Compare(..) => true,
        }
    }
}
