//! The shortest safe way from how the boat stands to what is wanted, or why there is none.

use boat::model::{Expr, Id, Step, Value, VarId, Who};
use search::{Budget, Outcome};

use crate::model::Model;
use crate::narrow::Narrow;
use crate::planning::{Doing, Op, doings, step};
use crate::run::{Trace, run_steps};
use crate::stand::Stand;
use crate::why_not::why_not;
use crate::world::{Event, World};
use boat::lower::{lower, mark_vars};

/// What asking for a way came to.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// A way; it has been followed once more with time and does no harm.
    Way(Way),
    /// It is so already.
    Already,
    /// There is none, and why.
    None(NoWay),
    /// The budget ran out, or the way that was found does not hold once time is counted.
    GaveUp {
        /// No way has fewer steps than this.
        at_least: u32,
    },
}

/// A safe way.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// The steps as those of a step list.
    pub steps: Vec<Step>,
    /// What the boat does at each of them, with words, places, cautions and times.
    pub trace: Trace,
    /// States that the world decides and that the way relies on: look that they are so, first.
    pub relies_on: Vec<(VarId, Value)>,
    /// Whether no shorter safe way exists.
    pub shortest: bool,
}

/// Why there is no way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoWay {
    /// The reasons, the nearest first, as full sentences.
    pub reasons: Vec<String>,
    /// States of the world that would have to be otherwise, if that is why.
    pub world: Vec<VarId>,
}

/// The shortest safe step list from a stand to a goal, for a hand of this rank.
///
/// # Panics
/// If the goal is of another boat.
pub fn way(model: &Model<'_>, from: &Stand, goal: &Expr, who: Who, budget: &mut Budget<'_>) -> Answer {
    Pilot::new(model, who).way(from, goal, budget)
}

/// Answers many questions about ways on one boat.
pub struct Pilot<'m, 'b> {
    pub(crate) model: &'m Model<'b>,
    doings: Vec<Doing>,
    who: Who,
}

impl<'m, 'b> Pilot<'m, 'b> {
    /// A pilot for a hand of this rank.
    pub fn new(model: &'m Model<'b>, who: Who) -> Self {
        Self { model, doings: doings(model, who), who }
    }

    /// The shortest safe step list from a stand to a goal.
    ///
    /// # Panics
    /// If the goal is of another boat.
    pub fn way(&self, from: &Stand, goal: &Expr, budget: &mut Budget<'_>) -> Answer {
        let model = self.model;
        let goal = lower(model.boat, goal);
        let (from, _) = model.settle(from);
        if model.eval(&from.0, &goal) {
            return Answer::Already;
        }
        let narrow = Narrow::new(model, &self.doings, &from, &goal);
        let state = narrow.planner.initial();
        match narrow.planner.plan(&state, &narrow.goal, budget).map(|answer| answer.outcome) {
            Ok(Outcome::Plan(plan)) => {
                let ops: Vec<Op> = plan.steps.iter().map(|op| narrow.ops[op.index()]).collect();
                self.tried(&from, &goal, steps_of(model, &ops), plan.cost, budget)
            }
            Ok(Outcome::NoPlan) => Answer::None(why_not(model, self.who, &from, &goal, budget)),
            Ok(Outcome::CutOff { lower_bound }) => Answer::GaveUp { at_least: lower_bound },
            Err(_) => Answer::GaveUp { at_least: 0 },
        }
    }

    /// Follows a way with time; if that goes wrong, looks for another one with time.
    fn tried(
        &self,
        from: &Stand,
        goal: &Expr,
        steps: Vec<Step>,
        cost: u32,
        budget: &mut Budget<'_>,
    ) -> Answer {
        let model = self.model;
        let world = model.world(&from.0, &mut Vec::new());
        if holds_good(model, &world, &steps, goal) {
            return Answer::Way(finished(model, &world, steps, true));
        }
        let ops: Vec<Op> = self.doings.iter().map(|doing| doing.op).collect();
        match crate::timed::timed_way(model, &ops, &world, goal, budget) {
            Some(steps) => {
                let shortest = u32::try_from(steps.len()).is_ok_and(|len| len <= cost);
                Answer::Way(finished(model, &world, steps, shortest))
            }
            None => Answer::GaveUp { at_least: cost },
        }
    }
}

/// Whether steps, followed with time, all work, do no harm and reach the goal.
pub(crate) fn holds_good(model: &Model<'_>, world: &World, steps: &[Step], goal: &Expr) -> bool {
    use crate::belief::Took;
    use crate::world::Did;
    let mut now = world.clone();
    for step in steps {
        let mut log = Vec::new();
        let took = model.take(&mut now, &step.kind, &mut log);
        let bad = log.iter().any(|event| !matches!(event, Event::Turned(..)));
        if bad || matches!(took, Took::NotSo | Took::Went(Did::Nothing | Did::InVain)) {
            return false;
        }
    }
    model.eval(&now.values, goal)
}

fn finished(model: &Model<'_>, world: &World, steps: Vec<Step>, shortest: bool) -> Way {
    let trace = run_steps(model, &steps, world);
    let changed = trace.steps.iter().flat_map(|step| &step.changes).map(|change| change.var);
    let relies_on = relies_on(model, world, &steps, changed);
    Way { steps, trace, relies_on, shortest }
}

/// What the world decides and the needs, harms and limits of the steps look at, or a never-state together with
/// something that changes on the way.
fn relies_on(
    model: &Model<'_>,
    world: &World,
    steps: &[Step],
    changed: impl Iterator<Item = VarId>,
) -> Vec<(VarId, Value)> {
    use boat::model::StepKind;
    let boat = model.boat;
    let mut marks = vec![false; boat.vars.len()];
    for step in steps {
        match &step.kind {
            StepKind::Set { var, to, .. } => {
                if let Some(way) = model.move_row(*var, *to) {
                    mark_vars(boat, &way.needs, &mut marks);
                }
                let harms = model.controls[var.index()].iter().flat_map(|row| &row.harms);
                let harms = harms.filter(|harm| harm.to.is_none_or(|at| at == *to));
                harms.for_each(|harm| mark_vars(boat, &harm.when, &mut marks));
                if *to != boat.vars[*var].rest {
                    let bounds = model.controls[var.index()].iter().flat_map(|row| &row.bounds);
                    bounds.for_each(|bound| mark_vars(boat, &bound.keeps, &mut marks));
                }
            }
            StepKind::Do { action, .. } => {
                let row = &model.actions[action.index()];
                mark_vars(boat, &row.needs, &mut marks);
                row.harms.iter().for_each(|harm| mark_vars(boat, &harm.when, &mut marks));
                row.bounds.iter().for_each(|bound| mark_vars(boat, &bound.keeps, &mut marks));
            }
            StepKind::Look { .. } | StepKind::Wait { .. } => {}
        }
    }
    let mut touched = vec![false; boat.vars.len()];
    changed.for_each(|var| touched[var.index()] = true);
    for never in &model.nevers {
        let mut uses = vec![false; boat.vars.len()];
        mark_vars(boat, never, &mut uses);
        if uses.iter().zip(&touched).any(|(uses, touched)| *uses && *touched) {
            marks.iter_mut().zip(uses).for_each(|(mark, uses)| *mark |= uses);
        }
    }
    let given = boat.vars.ids().filter(|var| model.is_given(*var) && marks[var.index()]);
    given.map(|var| (var, world.is(var))).collect()
}

/// The steps that do these operators, for those who search by themselves.
pub(crate) fn steps_of(model: &Model<'_>, ops: &[Op]) -> Vec<Step> {
    ops.iter().map(|op| step(model, *op)).collect()
}
