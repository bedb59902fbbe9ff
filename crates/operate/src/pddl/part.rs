//! A part of the boat: some controls and states move, the others stay as they stand.

use boat::model::{Expr, Id, Value, VarId, Who};
use search::{Effect, Formula, Task};

use crate::model::Model;
use crate::planning::{Care, Doing, Op, operator, ops, var_id};
use crate::stand::Stand;
use boat::lower::{all, any, lower, mark_vars, not};

/// A part of a boat with a start and a goal.
#[derive(Debug, Clone)]
pub struct Part<'m, 'b> {
    pub(super) model: &'m Model<'b>,
    pub(super) start: Stand,
    /// Which controls and states move.
    pub(super) moves: Vec<bool>,
    /// Facts that still depend on what moves, folded; `None`: not needed, or the same whatever moves.
    pub(super) facts: Vec<Option<Expr>>,
    pub(super) hands: Vec<Hand>,
    /// Changes at once: when, what, to what.
    pub(super) events: Vec<(Expr, VarId, Value)>,
    pub(super) forbidden: Expr,
    pub(super) goal: Expr,
}

/// Something that hands do, or a wait.
#[derive(Debug, Clone)]
pub(super) struct Hand {
    pub(super) name: String,
    pub(super) needs: Expr,
    /// When, what, to what; the first that applies to a control or state counts.
    pub(super) effects: Vec<(Expr, VarId, Value)>,
}

impl<'m, 'b> Part<'m, 'b> {
    /// The part of at most `most` controls and states nearest to the goal: those that it looks at, then those that
    /// the steps look at which change these, and so on; `also` are in it in any case.
    pub fn near(
        model: &'m Model<'b>,
        from: &Stand,
        goal: &Expr,
        who: Who,
        most: usize,
        also: impl IntoIterator<Item = VarId>,
    ) -> Self {
        let (start, _) = model.settle(from);
        let goal = lower(model.boat, goal);
        let ops = ops(model, who);
        let moves = nearest(model, &goal, &ops, most, also);
        let mut part = Self {
            model,
            start,
            moves,
            facts: vec![None; model.conditions.len()],
            hands: Vec::new(),
            events: Vec::new(),
            forbidden: Expr::Const(false),
            goal: Expr::Const(false),
        };
        part.facts = facts(&part);
        part.hands = ops.iter().filter_map(|op| part.hand(*op)).collect();
        let instant = model.turns.iter().filter(|turn| turn.after.is_none());
        part.events = instant
            .filter(|turn| part.moves[turn.var.index()])
            .map(|turn| (all([part.fold(&turn.when), not(Expr::Is(turn.var, turn.to))]), turn.var, turn.to))
            .filter(|(when, _, _)| *when != Expr::Const(false))
            .collect();
        part.forbidden = any(model.nevers.iter().map(|when| part.fold(when)));
        part.goal = part.fold(&goal);
        part
    }

    /// How many controls and states move.
    pub fn variables(&self) -> usize {
        self.moves.iter().filter(|moves| **moves).count()
    }

    /// How many things hands can do.
    pub fn operators(&self) -> usize {
        self.hands.len()
    }

    /// The part as a task of our own planner; its initial state is the start.
    ///
    /// # Panics
    /// If a control has more than 255 positions.
    pub fn task(&self) -> Task {
        let mut task = Task::new();
        for (var, row) in self.model.boat.vars.iter_ids() {
            let size = u8::try_from(row.values.len()).expect("a control or state has at most 255 values");
            task.variable(&row.id, size, self.start.get(var).0);
        }
        for fact in &self.facts {
            task.fact("fact", fact.as_ref().map_or(Formula::False, crate::planning::formula));
        }
        for hand in &self.hands {
            // The last effect counts there, the first one here.
            let effects = hand
                .effects
                .iter()
                .rev()
                .map(|(when, var, to)| Effect::when(crate::planning::formula(when), var_id(*var), to.0));
            task.operator(&hand.name, 1, crate::planning::formula(&hand.needs), effects.collect());
        }
        for (when, var, to) in &self.events {
            task.event("event", crate::planning::formula(when), vec![Effect::set(var_id(*var), to.0)]);
        }
        task.forbidden = crate::planning::formula(&self.forbidden);
        task.goal = crate::planning::formula(&self.goal);
        task
    }

    fn hand(&self, op: Op) -> Option<Hand> {
        let model = self.model;
        let boat = model.boat;
        let Doing { needs, puts, .. } = operator(model, op, Care::Safe);
        let name = match op {
            Op::Set(var, to) => {
                format!("set-{}-{}", boat.vars[var].id, boat.vars[var].values[usize::from(to.0)])
            }
            Op::Do(action) => format!("do-{}", boat.actions[action].id),
            Op::Wait(span) => format!("wait-{span}ms"),
        };
        let effects: Vec<(Expr, VarId, Value)> = if let Op::Wait(span) = op {
            let mut due: Vec<_> =
                model.turns.iter().filter(|turn| turn.after.is_some_and(|after| after <= span)).collect();
            due.sort_by_key(|turn| turn.after);
            let due = due.into_iter().filter(|turn| self.moves[turn.var.index()]);
            due.map(|turn| (self.fold(&turn.when), turn.var, turn.to))
                .filter(|row| row.0 != Expr::Const(false))
                .collect()
        } else {
            // A step that would also change what stays put is not one of this part.
            if puts.iter().any(|put| !self.moves[put.var.index()]) {
                return None;
            }
            puts.iter().map(|put| (Expr::Const(true), put.var, put.to)).collect()
        };
        // A wait is for what moves here.
        let own = match op {
            Op::Wait(_) => {
                any(effects.iter().map(|(when, var, to)| all([when.clone(), not(Expr::Is(*var, *to))])))
            }
            Op::Set(..) | Op::Do(_) => self.fold(&needs),
        };
        (own != Expr::Const(false) && !effects.is_empty()).then_some(Hand { name, needs: own, effects })
    }

    /// An expression with the values of what stays put filled in.
    pub(super) fn fold(&self, expr: &Expr) -> Expr {
        match expr {
            Expr::Is(var, value) if !self.moves[var.index()] => Expr::Const(self.start.get(*var) == *value),
            Expr::Holds(condition) if self.facts[condition.index()].is_none() => {
                Expr::Const(self.model.condition_holds(&self.start, *condition))
            }
            Expr::Not(inner) => not(self.fold(inner)),
            Expr::And(parts) => all(parts.iter().map(|part| self.fold(part))),
            Expr::Or(parts) => any(parts.iter().map(|part| self.fold(part))),
            plain => plain.clone(),
        }
    }
}

/// The facts of a part, in the boat's order of evaluation; a fact that comes out the same whatever moves is `None`,
/// and its value is the one at the start.
fn facts(part: &Part<'_, '_>) -> Vec<Option<Expr>> {
    let mut building = part.clone();
    for named in part.model.boat.evaluation_order() {
        let boat::model::Named::Condition(condition) = named else { continue };
        let body = building.fold(&part.model.conditions[condition.index()]);
        building.facts[condition.index()] = (!matches!(body, Expr::Const(_))).then_some(body);
    }
    building.facts
}

fn nearest(
    model: &Model<'_>,
    goal: &Expr,
    ops: &[Op],
    most: usize,
    also: impl IntoIterator<Item = VarId>,
) -> Vec<bool> {
    let boat = model.boat;
    let mut moves = vec![false; boat.vars.len()];
    let mut wanted = vec![false; boat.vars.len()];
    mark_vars(boat, goal, &mut wanted);
    also.into_iter().for_each(|var| wanted[var.index()] = true);
    let count = |marks: &[bool]| marks.iter().filter(|mark| **mark).count();
    loop {
        let added: Vec<usize> = (0..moves.len()).filter(|at| wanted[*at] && !moves[*at]).collect();
        let first = count(&moves) == 0;
        for at in added.iter().take(if first { added.len() } else { most.saturating_sub(count(&moves)) }) {
            moves[*at] = true;
        }
        if added.is_empty() || count(&moves) >= most {
            return moves;
        }
        for op in ops.iter().filter(|op| !matches!(op, Op::Wait(_))) {
            let doing = operator(model, *op, Care::Safe);
            if doing.puts.iter().any(|put| moves[put.var.index()]) {
                mark_vars(boat, &doing.needs, &mut wanted);
            }
        }
        for turn in model.turns.iter().filter(|turn| moves[turn.var.index()]) {
            mark_vars(boat, &turn.when, &mut wanted);
        }
    }
}
