//! The safe way back after a slip: to what the list promises, else to rest.

use std::collections::BTreeMap;

use boat::model::{Expr, Procedure, Step, Value, VarId, VarKind, Who};
use search::{Budget, Goal, Reach};

use crate::lower::{all, lower};
use crate::model::Model;
use crate::planning::{Care, Planning, formula, rest_goal};
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
    /// As the world stands there is no safe way; once it is so again, these steps bring about what the list promises.
    OnceClear {
        /// What the world must show first.
        world: Vec<(VarId, Value)>,
        /// The steps then.
        steps: Vec<Step>,
    },
    /// A trap: there is no safe way to what the list promises, nor to rest.
    Trap,
    /// The budget ran out before a way was found or the trap proved.
    Unknown,
}

/// States that one way back may look at.
const STATES: u64 = 120;

/// Plans for one rank of hands, shared by all lists of that rank.
pub(super) struct Hands<'m, 'b> {
    planning: Planning<'m, 'b>,
    rest: Goal,
}

impl<'m, 'b> Hands<'m, 'b> {
    pub(super) fn new(model: &'m Model<'b>, who: Who) -> Self {
        let planning = Planning::new(model, who, Care::Safe);
        let rest = aim(&planning, &rest_goal(model));
        Self { planning, rest }
    }

    /// What a list promises where it should have ended so: its goal, its promises, and every control as it should be.
    /// Where a look should have stopped it, only the controls as they should be there.
    pub(super) fn promised(&self, procedure: &Procedure, right: &Stand, stopped: bool) -> Goal {
        let model = self.planning.model;
        let controls = model.boat.vars.iter_ids().filter(|(_, var)| matches!(var.kind, VarKind::Control(_)));
        let controls = controls.map(|(id, _)| Expr::Is(id, right.get(id)));
        let leaves = procedure.leaves.iter().map(|leave| Expr::Is(leave.var, leave.value));
        if stopped {
            return aim(&self.planning, &all(controls));
        }
        aim(&self.planning, &all(std::iter::once(lower(model.boat, &procedure.goal)).chain(leaves).chain(controls)))
    }
}

fn aim(planning: &Planning<'_, '_>, goal: &Expr) -> Goal {
    planning.planner.goal(&formula(goal)).expect("a goal of the same boat names what it has")
}

/// Finds ways back after the slips of one list; remembers what it found.
pub(super) struct Rescue<'a, 'm, 'b> {
    hands: &'a Hands<'m, 'b>,
    promised: Vec<Reach<'a>>,
    rest: Reach<'a>,
    known: BTreeMap<(Box<[u8]>, usize), Back>,
}

impl<'a, 'm, 'b> Rescue<'a, 'm, 'b> {
    /// `promised`: what the list promises, for each way in which it should end.
    pub(super) fn new(hands: &'a Hands<'m, 'b>, promised: &'a [Goal]) -> Self {
        let planner = &hands.planning.planner;
        Self {
            hands,
            promised: promised.iter().map(|goal| Reach::new(planner, goal)).collect(),
            rest: Reach::new(planner, &hands.rest),
            known: BTreeMap::new(),
        }
    }

    /// The way back from where a slip ended to what is promised (by its place).
    pub(super) fn back(&mut self, slip: &World, promised: usize) -> Back {
        let key = (slip.values.clone(), promised);
        if let Some(known) = self.known.get(&key) {
            return known.clone();
        }
        let state = self.hands.planning.state(&slip.stand());
        let back = match self.find(&state, Some(promised)) {
            Found::Steps(steps) => Back::ToPromised(steps),
            Found::CutOff => Back::Unknown,
            Found::None => match self.find(&state, None) {
                Found::Steps(steps) => Back::ToRest(steps),
                Found::None => self.once_clear(slip, promised),
                Found::CutOff => Back::Unknown,
            },
        };
        self.known.insert(key, back.clone());
        back
    }

    /// The way there would be if the world were as it is at rest.
    fn once_clear(&mut self, slip: &World, promised: usize) -> Back {
        let model = self.hands.planning.model;
        let off = model.boat.vars.iter_ids().filter(|(id, var)| model.is_given(*id) && slip.is(*id) != var.rest);
        let world: Vec<(VarId, Value)> = off.map(|(id, var)| (id, var.rest)).collect();
        if world.is_empty() {
            return Back::Trap;
        }
        let clear = world.iter().fold(slip.stand(), |stand, (var, value)| stand.with(*var, *value));
        let state = self.hands.planning.state(&model.settle(&clear).0);
        match self.find(&state, Some(promised)) {
            Found::Steps(steps) => Back::OnceClear { world, steps },
            Found::None => Back::Trap,
            Found::CutOff => Back::Unknown,
        }
    }

    fn find(&mut self, state: &search::State, promised: Option<usize>) -> Found {
        let reach = promised.map_or(&mut self.rest, |at| &mut self.promised[at]);
        match reach.way(state, &mut Budget::states(STATES)) {
            Ok(search::Way::Plan(plan)) => {
                Found::Steps(plan.steps.iter().map(|op| self.hands.planning.step(*op)).collect())
            }
            Ok(search::Way::None) => Found::None,
            Ok(search::Way::CutOff) | Err(_) => Found::CutOff,
        }
    }
}

enum Found {
    Steps(Vec<Step>),
    None,
    CutOff,
}
