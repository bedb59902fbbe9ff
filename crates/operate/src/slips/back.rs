//! The safe way back after a slip: to what the list promises, else to rest.

use std::collections::BTreeMap;

use boat::model::{Expr, Procedure, ProcedureId, Step, VarKind, Who};
use search::{Budget, Goal, Planner};

use crate::lower::{all, lower};
use crate::model::Model;
use crate::planning::{Care, Planning, formula, rank, rest_goal};
use crate::stand::Stand;
use crate::world::World;

/// Whether there is a safe way back after a slip.
#[derive(Debug, Clone, PartialEq)]
pub enum Back {
    /// Nothing to go back from.
    NotNeeded,
    /// These steps bring about what the list promises.
    ToPromised(Vec<Step>),
    /// What the list promises can't be reached safely any more, but these steps bring the boat to rest.
    ToRest(Vec<Step>),
    /// A trap: there is no safe way to what the list promises, nor to rest.
    Trap,
    /// The budget ran out before a way was found or the trap proved.
    Unknown,
}

/// States that one way back may look at.
const STATES: u64 = 2_000;

/// Finds ways back on one boat; remembers what it found.
pub(super) struct Rescue<'m, 'b> {
    planning: Vec<(u8, Planning<'m, 'b>)>,
    known: BTreeMap<(Stand, ProcedureId, Stand), Back>,
}

impl<'m, 'b> Rescue<'m, 'b> {
    pub(super) fn new() -> Self {
        Self { planning: Vec::new(), known: BTreeMap::new() }
    }

    /// The way back from where a slip ended to where the list should have ended.
    pub(super) fn back(&mut self, model: &'m Model<'b>, id: ProcedureId, slip: &World, right: &World) -> Back {
        let key = (slip.stand(), id, right.stand());
        if let Some(known) = self.known.get(&key) {
            return known.clone();
        }
        let procedure = &model.boat.procedures[id];
        let planning = self.planning_for(model, procedure.who);
        let found = find(planning, &promised(model, procedure, &key.2), &key.0);
        let back = match found {
            Found::Steps(steps) => Back::ToPromised(steps),
            Found::CutOff => Back::Unknown,
            Found::None => match find(planning, &rest_goal(model), &key.0) {
                Found::Steps(steps) => Back::ToRest(steps),
                Found::None => Back::Trap,
                Found::CutOff => Back::Unknown,
            },
        };
        self.known.insert(key, back.clone());
        back
    }

    fn planning_for(&mut self, model: &'m Model<'b>, who: Who) -> &Planning<'m, 'b> {
        let rank = rank(who);
        let at = self.planning.iter().position(|(other, _)| *other == rank).unwrap_or_else(|| {
            self.planning.push((rank, Planning::new(model, who, Care::Safe)));
            self.planning.len() - 1
        });
        &self.planning[at].1
    }
}

enum Found {
    Steps(Vec<Step>),
    None,
    CutOff,
}

/// The goal of a list, its promises, and every control as it should be.
fn promised(model: &Model<'_>, procedure: &Procedure, right: &Stand) -> Expr {
    let controls = model.boat.vars.iter_ids().filter(|(_, var)| matches!(var.kind, VarKind::Control(_)));
    let controls = controls.map(|(id, _)| Expr::Is(id, right.get(id)));
    let leaves = procedure.leaves.iter().map(|leave| Expr::Is(leave.var, leave.value));
    all(std::iter::once(lower(model.boat, &procedure.goal)).chain(leaves).chain(controls))
}

fn find(planning: &Planning<'_, '_>, goal: &Expr, from: &Stand) -> Found {
    let planner: &Planner = &planning.planner;
    let goal: Goal = planner.goal(&formula(goal)).expect("a goal of the same boat names what it has");
    let mut budget = Budget::states(STATES);
    match search::Reach::new(planner, &goal).way(&planning.state(from), &mut budget) {
        Ok(search::Way::Plan(plan)) => Found::Steps(plan.steps.iter().map(|op| planning.step(*op)).collect()),
        Ok(search::Way::None) => Found::None,
        Ok(search::Way::CutOff) | Err(_) => Found::CutOff,
    }
}
