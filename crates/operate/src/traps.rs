//! Stands that can be come to by steps that each look safe, but from which the boat can't safely be brought to rest.

use boat::model::{Expr, Step, VarId, Who};
use search::{Budget, Goal, Reach};

use crate::model::Model;
use crate::planning::{Care, Planning, formula, rank, var_id};
use crate::run::run;
use crate::stand::Stand;
use crate::way::{Answer, Pilot};
use boat::lower::{all, lower};

/// What looking for traps found.
#[derive(Debug, Clone, PartialEq)]
pub struct Traps {
    /// Stands in a trap, each close to the start and each trapped in another way.
    pub entries: Vec<Trap>,
    /// How many stands are trapped.
    pub trapped: f64,
    /// How many stands were looked at.
    pub covered: f64,
    /// What was looked at.
    pub reach: Covered,
}

/// Which stands were looked at for traps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Covered {
    /// Every stand that can be come to, in every state of the world; with the size of the decision diagrams that hold
    /// them, in branches.
    Everything(usize),
    /// The diagrams grew past their bound. Instead every stand within so many steps of the start and of the end of
    /// every step list, the world being as each leaves it.
    Near(usize),
    /// As [`Covered::Near`], but not even all of those: the budget ran out.
    SomeNear(usize),
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
/// `branches` bounds the size of the decision diagrams (some 40 bytes each). Past it only the stands near the step
/// lists are looked at, which [`Traps::reach`] says. `None`: changes that happen by themselves go round in a circle,
/// and nothing is known.
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
    let Some(found) = planning.planner.survey(&[planning.state(&start)], &free, &aim, MOST, branches) else {
        return near(model, &planning, &start, &aim, who);
    };
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
        reach: Covered::Everything(found.branches),
    })
}

/// How many steps from a start or the end of a list are looked at where not everything can be.
const NEAR: usize = 2;
/// States looked at for that, from each of them.
const NEAR_STATES: u64 = 3_000;

/// Traps within a few steps of a stand and of the end of every list that this hand may follow.
fn near(
    model: &Model<'_>,
    planning: &Planning<'_, '_>,
    start: &Stand,
    aim: &Goal,
    who: Who,
) -> Option<Traps> {
    let lists = model.boat.procedures.iter_ids().filter(|(_, row)| rank(row.who) <= rank(who));
    let ends = lists.filter_map(|(id, _)| run(model, id).steps.last().map(|step| step.stand.clone()));
    let mut stands: Vec<Stand> =
        std::iter::once(start.clone()).chain(ends).map(|stand| model.settle(&stand).0).collect();
    stands.sort();
    stands.dedup();
    // Each start has its own budget, so that one from which rest is far does not use up that of the others. What one
    // finds to be well, the next ones know.
    let mut reach = Reach::new(&planning.planner, aim);
    let (mut found, mut trapped, mut covered, mut complete) = (Vec::new(), 0, 0, true);
    for stand in &stands {
        let mut budget = Budget::states(NEAR_STATES);
        let near = reach.traps_within(NEAR, &[planning.state(stand)], &mut budget).ok()?;
        trapped += near.trapped;
        covered += near.covered;
        complete &= near.complete;
        found.extend(near.entries);
    }
    let pilot = Pilot::new(model, who);
    let entries = found.iter().take(MOST).map(|trap| {
        let stand = planning.stand(&trap.state);
        let stuck = stuck(&pilot, &stand);
        Trap {
            path: Some(trap.path.iter().map(|op| planning.step(*op)).collect()),
            reasons: stuck.first().map(|var| reasons(&pilot, &stand, *var)).unwrap_or_default(),
            stuck,
            stand,
        }
    });
    Some(Traps {
        entries: entries.collect(),
        trapped: trapped as f64,
        covered: covered as f64,
        reach: if complete { Covered::Near(NEAR) } else { Covered::SomeNear(NEAR) },
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
    let model = pilot.model;
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
    let goal = Expr::Is(var, pilot.model.boat.vars[var].rest);
    pilot.way(stand, &goal, &mut Budget::states(STATES))
}
