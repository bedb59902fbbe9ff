//! Stands that can be come to, but from which the boat can't safely be brought to rest.

use boat::model::{Expr, Step, Who};
use search::Budget;

use crate::lower::lower;
use crate::model::Model;
use crate::planning::{Care, Planning, formula, rest_goal};
use crate::stand::Stand;

/// What looking for traps found.
#[derive(Debug, Clone, PartialEq)]
pub struct Traps {
    /// The stands at which a way into a trap ends.
    pub entries: Vec<Trap>,
    /// How many stands are trapped, counting those that differ only in what does not matter once.
    pub trapped: u64,
    /// How many stands were looked at.
    pub covered: u64,
    /// Whether every stand that can be come to was looked at; if not, there may be more traps.
    pub complete: bool,
}

/// A stand with no safe way to rest.
#[derive(Debug, Clone, PartialEq)]
pub struct Trap {
    /// The steps that lead into it, as few as can be.
    pub path: Vec<Step>,
    /// How the boat then stands.
    pub stand: Stand,
    /// What can't be brought to rest from there, each on its own.
    pub stuck: Vec<boat::model::VarId>,
}

/// Looks for traps from some stands: what a person can come to by steps that each look safe. `rest`: what counts as
/// safe; `None`: every control and state at rest.
pub fn traps(
    model: &Model<'_>,
    starts: &[Stand],
    rest: Option<&Expr>,
    who: Who,
    budget: &mut Budget<'_>,
) -> Option<Traps> {
    let planning = Planning::new(model, who, Care::Safe);
    let goal = rest.map_or_else(|| rest_goal(model), |rest| lower(model.boat, rest));
    let aim = planning.planner.goal(&formula(&goal)).expect("a goal of the same boat names what it has");
    let states: Vec<search::State> =
        starts.iter().map(|stand| planning.state(&model.settle(stand).0)).collect();
    let found = planning.planner.traps(&states, &aim, budget).ok()?;
    let entries = found.entries.iter().map(|entry| {
        let stand = planning.stand(&entry.state);
        Trap {
            path: entry.path.iter().map(|op| planning.step(*op)).collect(),
            stuck: stuck(&planning, &entry.state, budget),
            stand,
        }
    });
    Some(Traps {
        entries: entries.collect(),
        trapped: found.trapped,
        covered: found.covered,
        complete: found.complete,
    })
}

/// The controls and states that, each on its own, can't be brought to rest from a state.
fn stuck(planning: &Planning<'_, '_>, state: &search::State, budget: &mut Budget<'_>) -> Vec<boat::model::VarId> {
    let boat = planning.model.boat;
    let stand = planning.stand(state);
    let off = boat.vars.iter_ids().filter(|(id, var)| !planning.model.is_given(*id) && stand.get(*id) != var.rest);
    off.filter(|(id, var)| {
        let goal = formula(&Expr::Is(*id, var.rest));
        let aim = planning.planner.goal(&goal).expect("the variable is of the same boat");
        let outcome = planning.planner.plan(state, &aim, budget).map(|answer| answer.outcome);
        matches!(outcome, Ok(search::Outcome::NoPlan))
    })
    .map(|(id, _)| id)
    .collect()
}
