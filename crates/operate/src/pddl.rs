//! The boat as a planning problem in PDDL, the open planning language, so that general planners can check the ways.
//!
//! Used: `:typing`, `:negative-preconditions`, `:derived-predicates`, `:conditional-effects`, `:action-costs`.
//! Every control and state is a predicate over its own type of values. A change that happens at once is an action of
//! no cost; while one is due (`pending`), nothing else can be done. A state that must never be (`forbidden`) blocks
//! everything once nothing is pending.
//!
//! # Restricted export
//! A planner without estimates needs the part of the boat that matters for the goal. [`Scope::Relevant`] keeps the
//! controls and states that the goal looks at, what changes those, what that needs and harms, and so on to a
//! fixpoint, with every change by itself and never-state that they can take part in. Nothing kept looks at anything
//! left out, and whatever a left-out operator changes is left out, so a plan of the whole without its left-out steps
//! is a plan of the part and a plan of the part is one of the whole: the shortest have the same length. (Never-states
//! left out look only at what the part cannot change; the start must not lie in one.)

use std::collections::BTreeSet;
use std::fmt::Write as _;

use boat::model::{Expr, Id, Value, VarId, Who};

use crate::lower::{all, any, lower, mark_vars, not, vars_of};
use crate::model::{Model, time};
use crate::planning::{Care, Op, operator, ops};
use crate::stand::Stand;

/// How much of the boat is exported.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scope {
    /// Everything.
    Whole,
    /// What can matter for the goal; see the module's words on it.
    Relevant,
}

/// A domain and a problem in PDDL.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pddl {
    /// The domain file.
    pub domain: String,
    /// The problem file.
    pub problem: String,
    /// How many controls and states are in it.
    pub variables: usize,
    /// How many actions of hands are in it.
    pub operators: usize,
}

/// Exports the boat with a start and a goal, for a hand of this rank. Every plan step but the changes by themselves
/// costs one.
pub fn pddl(model: &Model<'_>, from: &Stand, goal: &Expr, who: Who, scope: Scope) -> Pddl {
    let goal = lower(model.boat, goal);
    let part = match scope {
        Scope::Whole => Part::whole(model, who),
        Scope::Relevant => Part::relevant(model, who, &goal),
    };
    let (start, _) = model.settle(from);
    Pddl {
        domain: domain(model, &part),
        problem: problem(model, &part, &start, &goal),
        variables: part.vars.iter().filter(|kept| **kept).count(),
        operators: part.ops.len(),
    }
}

struct Part {
    vars: Vec<bool>,
    ops: Vec<Op>,
    /// Instant turns, by their place in the model's list.
    events: Vec<usize>,
    nevers: Vec<usize>,
    facts: Vec<bool>,
}

impl Part {
    fn whole(model: &Model<'_>, who: Who) -> Self {
        let instant = |at: &usize| model.turns[*at].after.is_none();
        Self {
            vars: vec![true; model.boat.vars.len()],
            ops: ops(model, who),
            events: (0..model.turns.len()).filter(instant).collect(),
            nevers: (0..model.nevers.len()).collect(),
            facts: vec![true; model.conditions.len()],
        }
    }

    fn relevant(model: &Model<'_>, who: Who, goal: &Expr) -> Self {
        let boat = model.boat;
        let whole = Self::whole(model, who);
        let mut vars = vec![false; boat.vars.len()];
        mark_vars(boat, goal, &mut vars);
        let mut part = Self { ops: Vec::new(), events: Vec::new(), nevers: Vec::new(), ..whole };
        let candidates = ops(model, who);
        loop {
            let before = (vars.iter().filter(|kept| **kept).count(), part.ops.len(), part.events.len(), part.nevers.len());
            for op in &candidates {
                let (needs, writes) = speaks(model, *op);
                if !part.ops.contains(op) && writes.iter().any(|var| vars[var.index()]) {
                    part.ops.push(*op);
                    writes.iter().for_each(|var| vars[var.index()] = true);
                    needs.iter().for_each(|need| mark_vars(boat, need, &mut vars));
                }
            }
            for (at, turn) in model.turns.iter().enumerate().filter(|(_, turn)| turn.after.is_none()) {
                let touched = vars[turn.var.index()] || looks_at(model, &turn.when, &vars);
                if touched && !part.events.contains(&at) {
                    part.events.push(at);
                    vars[turn.var.index()] = true;
                    mark_vars(boat, &turn.when, &mut vars);
                }
            }
            for (at, when) in model.nevers.iter().enumerate() {
                if looks_at(model, when, &vars) && !part.nevers.contains(&at) {
                    part.nevers.push(at);
                    mark_vars(boat, when, &mut vars);
                }
            }
            let after = (vars.iter().filter(|kept| **kept).count(), part.ops.len(), part.events.len(), part.nevers.len());
            if before == after {
                break;
            }
        }
        part.events.sort_unstable();
        part.nevers.sort_unstable();
        part.ops.sort_by_key(|op| candidates.iter().position(|other| other == op));
        part.facts = facts(model, &part, goal);
        part.vars = vars;
        part
    }
}

fn looks_at(model: &Model<'_>, expr: &Expr, vars: &[bool]) -> bool {
    let mut found = false;
    vars_of(model.boat, expr, &mut |var| found |= vars[var.index()]);
    found
}

/// What an operator looks at, and what it writes.
fn speaks(model: &Model<'_>, op: Op) -> (Vec<Expr>, Vec<VarId>) {
    let (_, needs, effects) = operator(model, op, Care::Safe);
    let mut looks = vec![needs];
    if let Op::Wait(span) = op {
        looks.extend(firing(model, span).map(|at| model.turns[at].when.clone()));
    }
    (looks, effects.iter().map(|effect| VarId::at(effect.variable.index())).collect())
}

fn firing<'a>(model: &'a Model<'_>, span: u64) -> impl Iterator<Item = usize> + 'a {
    let due = move |at: &usize| model.turns[*at].after.is_some_and(|after| after <= span);
    (0..model.turns.len()).filter(due)
}

fn facts(model: &Model<'_>, part: &Part, goal: &Expr) -> Vec<bool> {
    let mut used = vec![false; model.conditions.len()];
    mark_facts(model, goal, &mut used);
    for op in &part.ops {
        speaks(model, *op).0.iter().for_each(|expr| mark_facts(model, expr, &mut used));
    }
    part.events.iter().for_each(|at| mark_facts(model, &model.turns[*at].when, &mut used));
    part.nevers.iter().for_each(|at| mark_facts(model, &model.nevers[*at], &mut used));
    used
}

fn mark_facts(model: &Model<'_>, expr: &Expr, used: &mut [bool]) {
    match expr {
        Expr::Holds(condition) => {
            if !std::mem::replace(&mut used[condition.index()], true) {
                mark_facts(model, &model.conditions[condition.index()], used);
            }
        }
        Expr::Not(inner) => mark_facts(model, inner, used),
        Expr::And(parts) | Expr::Or(parts) => parts.iter().for_each(|part| mark_facts(model, part, used)),
        Expr::Const(_) | Expr::Is(..) | Expr::Compare(..) => {}
    }
}

fn domain(model: &Model<'_>, part: &Part) -> String {
    let boat = model.boat;
    let mut out = String::from("(define (domain boat)\n");
    out.push_str(
        "  (:requirements :typing :negative-preconditions :disjunctive-preconditions :derived-predicates \
         :conditional-effects :action-costs)\n",
    );
    let kept: Vec<VarId> = boat.vars.ids().filter(|var| part.vars[var.index()]).collect();
    let types: Vec<String> = kept.iter().map(|var| format!("{}-value", boat.vars[*var].id)).collect();
    // Writing to a String can't fail; here and below.
    let _ = writeln!(out, "  (:types {} - object)", types.join(" "));
    out.push_str("  (:constants\n");
    for var in &kept {
        let row = &boat.vars[*var];
        let names: Vec<String> = (0..row.values.len()).map(|value| constant(model, *var, value)).collect();
        let _ = writeln!(out, "    {} - {}-value", names.join(" "), row.id);
    }
    out.push_str("  )\n  (:predicates\n");
    for var in &kept {
        let id = &boat.vars[*var].id;
        let _ = writeln!(out, "    (at-{id} ?v - {id}-value)");
    }
    for (condition, row) in boat.conditions.iter_ids().filter(|(id, _)| part.facts[id.index()]) {
        let _ = writeln!(out, "    ({})", fact(row.id.as_str(), condition.index()));
    }
    out.push_str("    (pending) (forbidden)\n  )\n  (:functions (total-cost) - number)\n");
    for (condition, row) in boat.conditions.iter_ids().filter(|(id, _)| part.facts[id.index()]) {
        let body = formula(model, &model.conditions[condition.index()]);
        let _ = writeln!(out, "  (:derived ({}) {body})", fact(row.id.as_str(), condition.index()));
    }
    let due = |at: &usize| due(model, *at);
    let pending = any(part.events.iter().map(due));
    let _ = writeln!(out, "  (:derived (pending) {})", formula(model, &pending));
    let forbidden = any(part.nevers.iter().map(|at| model.nevers[*at].clone()));
    let _ = writeln!(out, "  (:derived (forbidden) {})", formula(model, &forbidden));
    for op in &part.ops {
        hand(model, part, *op, &mut out);
    }
    for at in &part.events {
        let turn = &model.turns[*at];
        let id = &boat.vars[turn.var].id;
        let _ = writeln!(out, "  (:action event-{at}-{id}\n    :parameters ()\n    :precondition {}", formula(model, &due(at)));
        let _ = writeln!(out, "    :effect (and {} (increase (total-cost) 0)))", assign(model, turn.var, turn.to));
    }
    out.push_str(")\n");
    out
}

/// Whether an instant change is due.
fn due(model: &Model<'_>, at: usize) -> Expr {
    let turn = &model.turns[at];
    all([turn.when.clone(), not(Expr::Is(turn.var, turn.to))])
}

fn hand(model: &Model<'_>, part: &Part, op: Op, out: &mut String) {
    let boat = model.boat;
    let (_, needs, effects) = operator(model, op, Care::Safe);
    let (name, effect) = match op {
        Op::Set(var, to) => {
            let row = &boat.vars[var];
            (format!("set-{}-{}", row.id, row.values[usize::from(to.0)]), assign(model, var, to))
        }
        Op::Do(action) => {
            let all: Vec<String> = effects
                .iter()
                .map(|effect| assign(model, VarId::at(effect.variable.index()), Value(effect.value)))
                .collect();
            (format!("do-{}", boat.actions[action].id), all.join(" "))
        }
        Op::Wait(span) => {
            let mut fires: Vec<usize> = firing(model, span).filter(|at| part.vars[model.turns[*at].var.index()]).collect();
            fires.sort_by_key(|at| (model.turns[*at].after, *at));
            let whens: Vec<String> = fires.iter().enumerate().map(|(place, at)| {
                let turn = &model.turns[*at];
                // Of two changes of one state the first one due counts.
                let earlier = fires[..place].iter().filter(|other| model.turns[**other].var == turn.var);
                let when = all([due(model, *at)].into_iter().chain(earlier.map(|other| not(due(model, *other)))));
                format!("(when {} (and {}))", formula(model, &when), assign(model, turn.var, turn.to))
            }).collect();
            (format!("wait-{span}ms"), format!("{} ; {}\n   ", whens.join(" "), time(span)))
        }
    };
    let _ = writeln!(out, "  (:action {name}\n    :parameters ()");
    let _ = writeln!(out, "    :precondition (and (not (pending)) (not (forbidden)) {})", formula(model, &needs));
    let _ = writeln!(out, "    :effect (and {effect} (increase (total-cost) 1)))");
}

fn problem(model: &Model<'_>, part: &Part, start: &Stand, goal: &Expr) -> String {
    let mut out = String::from("(define (problem way)\n  (:domain boat)\n  (:init\n");
    for (var, value) in start.values().filter(|(var, _)| part.vars[var.index()]) {
        let _ = writeln!(out, "    (at-{} {})", model.boat.vars[var].id, constant(model, var, usize::from(value.0)));
    }
    let _ = writeln!(out, "    (= (total-cost) 0)\n  )");
    let _ = writeln!(out, "  (:goal (and (not (pending)) (not (forbidden)) {}))", formula(model, goal));
    out.push_str("  (:metric minimize (total-cost))\n)\n");
    out
}

fn assign(model: &Model<'_>, var: VarId, to: Value) -> String {
    let row = &model.boat.vars[var];
    let others = (0..row.values.len()).filter(|value| *value != usize::from(to.0));
    let cleared: BTreeSet<String> =
        others.map(|value| format!("(not (at-{} {}))", row.id, constant(model, var, value))).collect();
    let cleared: Vec<String> = cleared.into_iter().collect();
    format!("(at-{} {}) {}", row.id, constant(model, var, usize::from(to.0)), cleared.join(" "))
}

fn constant(model: &Model<'_>, var: VarId, value: usize) -> String {
    let row = &model.boat.vars[var];
    format!("{}--{}", row.id, row.values[value])
}

fn fact(id: &str, index: usize) -> String {
    format!("fact-{index}-{id}")
}

/// A lowered expression as a PDDL formula.
fn formula(model: &Model<'_>, expr: &Expr) -> String {
    let list = |word: &str, parts: &[Expr]| {
        let parts: Vec<String> = parts.iter().map(|part| formula(model, part)).collect();
        format!("({word} {})", parts.join(" "))
    };
    match expr {
        Expr::Const(true) => "(and)".into(),
        Expr::Const(false) => "(or)".into(),
        Expr::Is(var, value) => {
            format!("(at-{} {})", model.boat.vars[*var].id, constant(model, *var, usize::from(value.0)))
        }
        Expr::Holds(condition) => {
            format!("({})", fact(&model.boat.conditions[*condition].id, condition.index()))
        }
        Expr::Not(inner) => format!("(not {})", formula(model, inner)),
        Expr::And(parts) => list("and", parts),
        Expr::Or(parts) => list("or", parts),
        Expr::Compare(..) => formula(model, &lower(model.boat, expr)),
    }
}
