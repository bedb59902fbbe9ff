//! Stands that can be come to by steps that each look safe, but from which the boat can't safely be brought to rest.

use boat::model::{Expr, Step, VarId, Who};
use search::Budget;

use crate::lower::{all, lower};
use crate::model::Model;
use crate::planning::{Care, Planning, formula, var_id};
use crate::stand::Stand;
use crate::way::{Answer, Pilot};

/// What looking for traps found: every stand that can be come to was looked at, in every state of the world.
#[derive(Debug, Clone, PartialEq)]
pub struct Traps {
    /// Stands in a trap, each close to the start and each trapped in another way.
    pub entries: Vec<Trap>,
    /// How many stands are trapped.
    pub trapped: f64,
    /// How many stands can be come to.
    pub covered: f64,
    /// The size of the decision diagrams that hold them, in branches.
    pub branches: usize,
}

/// A stand with no safe way to rest.
#[derive(Debug, Clone, PartialEq)]
pub struct Trap {
    /// The steps that lead into it, as few as can be; `None` if they were not found within the budget.
    pub path: Option<Vec<Step>>,
    /// How the boat then stands.
    pub stand: Stand,
    /// What can't be brought to rest from there, each on its own.
    pub stuck: Vec<VarId>,
    /// Why the first of those can't, as full sentences.
    pub reasons: Vec<String>,
}

/// How many traps are told of.
const MOST: usize = 5;
/// States looked at for the way into one trap, and for each thing that may be stuck in it.
const STATES: u64 = 20_000;

/// Looks for traps from a stand in every state of the world: all that a hand of this rank can come to by steps that
/// each look safe. `rest`: what counts as safe; `None`: every control at rest, and every state that such a hand or
/// time can bring to rest at all (a flare that was burnt stays burnt, and that alone is no trap).
///
/// `branches` bounds the size of the decision diagrams (some 40 bytes each). `None`: the bound was met, or changes
/// that happen by themselves go round in a circle, and nothing is known.
///
/// # Panics
/// If the goal is of another boat.
pub fn traps(
    model: &Model<'_>,
    start: &Stand,
    rest: Option<&Expr>,
    who: Who,
    branches: usize,
) -> Option<Traps> {
    let planning = Planning::new(model, who, Care::Safe);
    let goal = rest.map_or_else(|| safe_rest(model, &planning), |rest| lower(model.boat, rest));
    let aim = planning.planner.goal(&formula(&goal)).expect("a goal of the same boat names what it has");
    let (start, _) = model.settle(start);
    let given: Vec<VarId> = model.boat.vars.ids().filter(|id| model.is_given(*id)).collect();
    let free: Vec<search::VarId> = given.iter().map(|id| var_id(*id)).collect();
    let found = planning.planner.survey(&[planning.state(&start)], &free, &aim, MOST, branches)?;
    let pilot = Pilot::new(model, who);
    let entries = found.trapped.iter().map(|state| {
        let stand = planning.stand(state);
        let stuck = stuck(&pilot, &stand);
        Trap {
            path: path(&planning, &start, &given, &stand),
            reasons: stuck.first().map(|var| reasons(&pilot, &stand, *var)).unwrap_or_default(),
            stuck,
            stand,
        }
    });
    Some(Traps {
        entries: entries.collect(),
        trapped: found.trapped_count,
        covered: found.reachable_count,
        branches: found.branches,
    })
}

/// Every control at rest, and every state that an operator or a change by itself can bring to rest.
fn safe_rest(model: &Model<'_>, planning: &Planning<'_, '_>) -> Expr {
    let task = planning.planner.task();
    let brings = |var: VarId, rest: u8| {
        let operators = task.operators.iter().flat_map(|operator| &operator.effects);
        let events = task.events.iter().flat_map(|event| &event.effects);
        operators.chain(events).any(|effect| effect.variable == var_id(var) && effect.value == rest)
    };
    let own = model.boat.vars.iter_ids().filter(|(id, var)| !model.is_given(*id) && brings(*id, var.rest.0));
    all(own.map(|(id, var)| Expr::Is(id, var.rest)))
}

/// The fewest steps from the start into a stand, the world being as it is there.
fn path(planning: &Planning<'_, '_>, start: &Stand, given: &[VarId], to: &Stand) -> Option<Vec<Step>> {
    let from = given.iter().fold(start.clone(), |stand, var| stand.with(*var, to.get(*var)));
    let exact = Expr::And(to.values().map(|(var, value)| Expr::Is(var, value)).collect());
    let aim = planning.planner.goal(&formula(&exact)).expect("a stand of the same boat names what it has");
    let answer = planning.planner.plan(&planning.state(&from), &aim, &mut Budget::states(STATES)).ok()?;
    match answer.outcome {
        search::Outcome::Plan(plan) => Some(plan.steps.iter().map(|op| planning.step(*op)).collect()),
        search::Outcome::NoPlan | search::Outcome::CutOff { .. } => None,
    }
}

/// The controls and states that, each on its own, can't be brought to rest from a stand.
fn stuck(pilot: &Pilot<'_, '_>, stand: &Stand) -> Vec<VarId> {
    let model = pilot.planning.model;
    let off =
        model.boat.vars.iter_ids().filter(|(id, var)| !model.is_given(*id) && stand.get(*id) != var.rest);
    off.map(|(id, _)| id).filter(|id| matches!(to_rest(pilot, stand, *id), Answer::None(_))).collect()
}

fn reasons(pilot: &Pilot<'_, '_>, stand: &Stand, var: VarId) -> Vec<String> {
    match to_rest(pilot, stand, var) {
        Answer::None(none) => none.reasons,
        Answer::Way(_) | Answer::Already | Answer::GaveUp { .. } => Vec::new(),
    }
}

fn to_rest(pilot: &Pilot<'_, '_>, stand: &Stand, var: VarId) -> Answer {
    let goal = Expr::Is(var, pilot.planning.model.boat.vars[var].rest);
    pilot.way(stand, &goal, &mut Budget::states(STATES))
}
