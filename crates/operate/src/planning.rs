//! The boat as a planning task: what hands may safely do as operators, waiting as an operator for every time that
//! something takes, changes at once as events, never-states as forbidden.
//!
//! What the world decides is taken as it is at the start: it changes only where an action of the boat file says that
//! it makes it so, or a state changes by itself.
//!
//! Time is simplified: a wait fires everything that is due within it at once, and nothing else takes time. What
//! comes out is therefore run again, with time, by those who use it.

use std::collections::BTreeSet;

use boat::model::{ActionId, Expr, Id, Step, StepKind, Value, VarId, VarKind, Who};
use search::{Effect, Formula, OpId, Planner, Task};

use crate::model::{Model, time};
use crate::stand::Stand;
use boat::lower::{all, any, not};

/// What one operator of the task is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Op {
    Set(VarId, Value),
    Do(ActionId),
    /// Wait so long (ms).
    Wait(u64),
}

/// How much of what hands can do is allowed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Care {
    /// No harm, limits kept, no never-state.
    Safe,
    /// Anything that works, to learn what stands in the way.
    Reckless,
}

/// A change that an operator makes, if its condition holds.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Put {
    pub(crate) when: Expr,
    pub(crate) var: VarId,
    pub(crate) to: Value,
}

impl Put {
    fn always(var: VarId, to: Value) -> Self {
        Self { when: Expr::Const(true), var, to }
    }

    pub(crate) fn effect(&self) -> Effect {
        Effect::when(formula(&self.when), var_id(self.var), self.to.0)
    }
}

/// An operator: its name, what must hold, what changes. Of two changes of one variable the last counts.
#[derive(Debug, Clone)]
pub(crate) struct Doing {
    pub(crate) op: Op,
    pub(crate) name: String,
    pub(crate) needs: Expr,
    pub(crate) puts: Vec<Put>,
}

/// A planning task with the meaning of its operators.
pub(crate) struct Planning<'m, 'b> {
    pub(crate) model: &'m Model<'b>,
    pub(crate) planner: Planner,
    pub(crate) ops: Vec<Op>,
}

impl<'m, 'b> Planning<'m, 'b> {
    /// The task for a hand: actions that only others may do are left out.
    pub(crate) fn new(model: &'m Model<'b>, who: Who, care: Care) -> Self {
        let (task, ops) = task(model, who, care);
        let planner =
            Planner::new(&task).expect("every name of a compiled boat is known and facts have no cycles");
        Self { model, planner, ops }
    }

    /// A stand as a state of the task.
    pub(crate) fn state(&self, stand: &Stand) -> search::State {
        self.planner.state(&stand.0).expect("a stand has one value within range for every control and state")
    }

    /// A state of the task as a stand.
    pub(crate) fn stand(&self, state: &search::State) -> Stand {
        Stand(self.planner.values(state).into())
    }

    /// An operator as a step of a list.
    pub(crate) fn step(&self, op: OpId) -> Step {
        step(self.model, self.ops[op.index()])
    }
}

/// An operator as a step of a list. Actions that must be held are held as long as their limits ask.
pub(crate) fn step(model: &Model<'_>, op: Op) -> Step {
    use boat::model::LimitKind::Hold;
    let kind = match op {
        Op::Set(var, to) => {
            let from_rest = to != model.boat.vars[var].rest;
            let bounds = model.controls[var.index()].iter().flat_map(|row| &row.bounds);
            let hold = bounds.filter(|bound| bound.kind == Hold && from_rest).map(|bound| bound.time).max();
            StepKind::Set { var, to, hold: hold.map(time) }
        }
        Op::Do(action) => {
            let row = &model.actions[action.index()];
            let hold = row.bounds.iter().filter(|bound| bound.kind == Hold).map(|bound| bound.time).max();
            let hold = hold.filter(|hold| row.takes.is_none_or(|takes| takes < *hold));
            let rest = row.bounds.iter().filter(|bound| bound.kind == boat::model::LimitKind::Rest);
            StepKind::Do { action, hold: hold.map(time), rest: rest.map(|bound| bound.time).max().map(time) }
        }
        Op::Wait(span) => StepKind::Wait { time: time(span), until: None },
    };
    Step { kind, say: None, why: None, place: None, item: None, cautions: Vec::new() }
}

/// Everything that hands can do on the boat: each control to each position, each action, each wait that matters.
pub(crate) fn ops(model: &Model<'_>, who: Who) -> Vec<Op> {
    let boat = model.boat;
    let mut ops = Vec::new();
    for (var, row, _) in boat.controls() {
        let values = (0..row.values.len()).filter_map(|value| u8::try_from(value).ok());
        ops.extend(values.map(|value| Op::Set(var, Value(value))));
    }
    let allowed = boat.actions.iter_ids().filter(|(_, action)| rank(action.who) <= rank(who));
    ops.extend(allowed.filter(|(_, action)| !action.makes.is_empty()).map(|(id, _)| Op::Do(id)));
    let waits: BTreeSet<u64> = model.turns.iter().filter_map(|turn| turn.after).collect();
    ops.extend(waits.into_iter().map(Op::Wait));
    ops
}

/// Everything that hands can safely do on the boat, with what it takes and changes.
pub(crate) fn doings(model: &Model<'_>, who: Who) -> Vec<Doing> {
    ops(model, who).into_iter().map(|op| operator(model, op, Care::Safe)).collect()
}

/// How much a hand may do: crew least, the base most.
pub(crate) fn rank(who: Who) -> u8 {
    match who {
        Who::Crew => 0,
        Who::Skipper => 1,
        Who::Base => 2,
    }
}

fn task(model: &Model<'_>, who: Who, care: Care) -> (Task, Vec<Op>) {
    let boat = model.boat;
    let mut task = Task::new();
    for var in &boat.vars {
        let size = u8::try_from(var.values.len()).expect("a control or state has at most 255 values");
        task.variable(&var.id, size, var.rest.0);
    }
    for condition in &boat.conditions {
        task.fact(&condition.id, Formula::False);
    }
    for (at, when) in model.conditions.iter().enumerate() {
        task.define(search::DerivedId::new(at), formula(when));
    }
    let ops = ops(model, who);
    for op in &ops {
        let doing = operator(model, *op, care);
        task.operator(doing.name, 1, formula(&doing.needs), doing.puts.iter().map(Put::effect).collect());
    }
    for turn in model.turns.iter().filter(|turn| turn.after.is_none()) {
        task.event(
            &boat.vars[turn.var].id,
            formula(&turn.when),
            vec![Effect::set(var_id(turn.var), turn.to.0)],
        );
    }
    if care == Care::Safe {
        task.forbidden = formula(&any(model.nevers.iter().cloned()));
    }
    (task, ops)
}

/// What doing it takes and changes.
pub(crate) fn operator(model: &Model<'_>, op: Op, care: Care) -> Doing {
    let boat = model.boat;
    let (name, needs, puts) = match op {
        Op::Set(var, to) => {
            let row = &boat.vars[var];
            let name = format!("set {} to {}", row.id, row.values[usize::from(to.0)]);
            (name, set_needs(model, var, to, care), vec![Put::always(var, to)])
        }
        Op::Do(action) => {
            let row = &model.actions[action.index()];
            let makes = &boat.actions[action].makes;
            let puts = makes.iter().map(|make| Put::always(make.var, make.value)).collect();
            let new = any(makes.iter().map(|make| not(Expr::Is(make.var, make.value))));
            let safe = match care {
                Care::Safe => Model::safe(&row.needs, &row.harms, &row.bounds, None),
                Care::Reckless => row.needs.clone(),
            };
            (format!("do {}", boat.actions[action].id), all([safe, new]), puts)
        }
        Op::Wait(span) => {
            let due = |after: u64| after <= span;
            let active = |at: usize| {
                let turn = &model.turns[at];
                all([turn.when.clone(), not(Expr::Is(turn.var, turn.to))])
            };
            let timed = |at: &usize| model.turns[*at].after.is_some_and(due);
            let just = |at: &usize| model.turns[*at].after == Some(span);
            let needs = any((0..model.turns.len()).filter(just).map(active));
            // Of two changes of one state the one that is due first is written last and so counts.
            let mut firing: Vec<usize> = (0..model.turns.len()).filter(timed).collect();
            firing.sort_by_key(|at| std::cmp::Reverse((model.turns[*at].after, *at)));
            let puts = firing.into_iter().map(|at| {
                let turn = &model.turns[at];
                Put { when: turn.when.clone(), var: turn.var, to: turn.to }
            });
            (format!("wait {}", time(span)), needs, puts.collect())
        }
    };
    Doing { op, name, needs, puts }
}

fn set_needs(model: &Model<'_>, var: VarId, to: Value, care: Care) -> Expr {
    let new = not(Expr::Is(var, to));
    let needs = model.move_row(var, to).map_or(Expr::Const(true), |way| way.needs.clone());
    let Some(row) = &model.controls[var.index()] else { return Expr::Const(false) };
    if care == Care::Reckless {
        return all([new, needs]);
    }
    let bounds: &[_] = if to == model.boat.vars[var].rest { &[] } else { &row.bounds };
    all([new, Model::safe(&needs, &row.harms, bounds, Some(to))])
}

pub(crate) fn var_id(var: VarId) -> search::VarId {
    search::VarId::new(var.index())
}

/// A lowered expression as a formula of the task.
pub(crate) fn formula(expr: &Expr) -> Formula {
    match expr {
        Expr::Const(true) => Formula::True,
        Expr::Const(false) => Formula::False,
        Expr::Is(var, value) => Formula::Is(var_id(*var), value.0),
        Expr::Holds(condition) => Formula::Fact(search::DerivedId::new(condition.index())),
        Expr::Not(inner) => formula(inner).negated(),
        Expr::And(parts) => Formula::all(parts.iter().map(formula)),
        Expr::Or(parts) => Formula::any(parts.iter().map(formula)),
        Expr::Compare(..) => unreachable!("comparisons are lowered when the model is made"),
    }
}

/// All controls and all states that the world does not decide, as they rest.
pub(crate) fn rest_goal(model: &Model<'_>) -> Expr {
    let own = model.boat.vars.iter_ids().filter(|(id, var)| match &var.kind {
        VarKind::Control(_) => true,
        VarKind::State(_) => !model.is_given(*id),
    });
    all(own.map(|(id, var)| Expr::Is(id, var.rest)))
}
