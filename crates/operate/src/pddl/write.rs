//! A part as PDDL text.
//!
//! Used: `:typing`, `:negative-preconditions`, `:disjunctive-preconditions`, `:derived-predicates`,
//! `:conditional-effects`, `:action-costs`. Every control and state is a predicate over its own type of values. A
//! change that happens at once is an action of no cost; while one is due (`pending`), nothing else can be done. A
//! state that must never be (`forbidden`) blocks everything once nothing is pending.

use std::fmt::Write as _;

use boat::model::{Expr, Id, Value, VarId};

use super::part::{Hand, Part};
use boat::lower::{all, any, not};

impl Part<'_, '_> {
    /// The domain file.
    pub fn domain(&self) -> String {
        let boat = self.model.boat;
        let kept: Vec<VarId> = boat.vars.ids().filter(|var| self.moves[var.index()]).collect();
        let mut out = String::from("(define (domain boat)\n");
        out.push_str(
            "  (:requirements :typing :negative-preconditions :disjunctive-preconditions :derived-predicates \
             :conditional-effects :action-costs)\n",
        );
        let types: Vec<String> = kept.iter().map(|var| format!("{}-value", boat.vars[*var].id)).collect();
        // Writing to a String can't fail; here and below.
        let _ = writeln!(out, "  (:types {} - object)\n  (:constants", types.join(" "));
        for var in &kept {
            let row = &boat.vars[*var];
            let names: Vec<String> = (0..row.values.len()).map(|value| self.constant(*var, value)).collect();
            let _ = writeln!(out, "    {} - {}-value", names.join(" "), row.id);
        }
        out.push_str("  )\n  (:predicates\n");
        for var in &kept {
            let id = &boat.vars[*var].id;
            let _ = writeln!(out, "    (at-{id} ?v - {id}-value)");
        }
        let facts: Vec<(usize, &Expr)> =
            self.facts.iter().enumerate().filter_map(|(at, body)| Some((at, body.as_ref()?))).collect();
        for (at, _) in &facts {
            let _ = writeln!(out, "    {}", self.fact(*at));
        }
        out.push_str("    (pending) (forbidden)\n  )\n  (:functions (total-cost) - number)\n");
        for (at, body) in &facts {
            let _ = writeln!(out, "  (:derived {} {})", self.fact(*at), self.formula(body));
        }
        let pending = any(self.events.iter().map(|(when, _, _)| when.clone()));
        let _ = writeln!(out, "  (:derived (pending) {})", self.formula(&pending));
        let _ = writeln!(out, "  (:derived (forbidden) {})", self.formula(&self.forbidden));
        self.hands.iter().for_each(|hand| self.hand_text(hand, &mut out));
        for (at, (when, var, to)) in self.events.iter().enumerate() {
            let _ = writeln!(
                out,
                "  (:action event-{at}\n    :parameters ()\n    :precondition {}",
                self.formula(when)
            );
            let _ = writeln!(out, "    :effect (and {} (increase (total-cost) 0)))", self.assign(*var, *to));
        }
        out.push_str(")\n");
        out
    }

    /// The problem file.
    pub fn problem(&self) -> String {
        let mut out = String::from("(define (problem way)\n  (:domain boat)\n  (:init\n");
        for (var, value) in self.start.values().filter(|(var, _)| self.moves[var.index()]) {
            let _ = writeln!(
                out,
                "    (at-{} {})",
                self.model.boat.vars[var].id,
                self.constant(var, usize::from(value.0))
            );
        }
        out.push_str("    (= (total-cost) 0)\n  )\n");
        let _ =
            writeln!(out, "  (:goal (and (not (pending)) (not (forbidden)) {}))", self.formula(&self.goal));
        out.push_str("  (:metric minimize (total-cost))\n)\n");
        out
    }

    fn hand_text(&self, hand: &Hand, out: &mut String) {
        let mut effects = Vec::new();
        for (place, (when, var, to)) in hand.effects.iter().enumerate() {
            // Of two changes of one control or state the first that applies counts.
            let earlier = hand.effects[..place].iter().filter(|(_, other, _)| other == var);
            let when =
                all([when.clone()].into_iter().chain(earlier.map(|(earlier, _, _)| not(earlier.clone()))));
            if when == Expr::Const(true) {
                effects.push(self.assign(*var, *to));
            } else {
                effects.push(format!("(when {} (and {}))", self.formula(&when), self.assign(*var, *to)));
            }
        }
        let _ = writeln!(out, "  (:action {}\n    :parameters ()", hand.name);
        let _ = writeln!(
            out,
            "    :precondition (and (not (pending)) (not (forbidden)) {})",
            self.formula(&hand.needs)
        );
        let _ = writeln!(out, "    :effect (and {} (increase (total-cost) 1)))", effects.join(" "));
    }

    fn assign(&self, var: VarId, to: Value) -> String {
        let row = &self.model.boat.vars[var];
        let others = (0..row.values.len()).filter(|value| *value != usize::from(to.0));
        let cleared: Vec<String> =
            others.map(|value| format!("(not (at-{} {}))", row.id, self.constant(var, value))).collect();
        format!("(at-{} {}) {}", row.id, self.constant(var, usize::from(to.0)), cleared.join(" "))
    }

    fn constant(&self, var: VarId, value: usize) -> String {
        let row = &self.model.boat.vars[var];
        format!("{}--{}", row.id, row.values[value])
    }

    fn fact(&self, at: usize) -> String {
        format!("(fact-{})", self.model.boat.conditions[boat::model::ConditionId::at(at)].id)
    }

    fn formula(&self, expr: &Expr) -> String {
        let list = |word: &str, parts: &[Expr]| {
            let parts: Vec<String> = parts.iter().map(|part| self.formula(part)).collect();
            format!("({word} {})", parts.join(" "))
        };
        match expr {
            Expr::Const(true) => "(and)".into(),
            Expr::Const(false) => "(or)".into(),
            Expr::Is(var, value) => {
                format!(
                    "(at-{} {})",
                    self.model.boat.vars[*var].id,
                    self.constant(*var, usize::from(value.0))
                )
            }
            Expr::Holds(condition) => self.fact(condition.index()),
            Expr::Not(inner) => format!("(not {})", self.formula(inner)),
            Expr::And(parts) => list("and", parts),
            Expr::Or(parts) => list("or", parts),
            Expr::Compare(..) => unreachable!("comparisons are lowered when the model is made"),
        }
    }
}
