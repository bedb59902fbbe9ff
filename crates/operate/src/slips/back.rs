//! The safe way back after a slip: to what the list promises, else to rest.

use std::cell::OnceCell;
use std::collections::BTreeMap;

use boat::model::{Expr, Procedure, Step, Value, VarId, VarKind, Who};
use search::{Budget, Goal, Reach};

use crate::belief::Took;
use crate::model::Model;
use crate::planning::{Care, Op, Planning, formula, rest_goal, step};
use crate::stand::Stand;
use crate::way::holds_good;
use crate::world::{Did, Event, World};
use boat::lower::{all, lower};

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
    pub(super) fn promise(&self, procedure: &Procedure, right: &Stand, stopped: bool) -> Promise {
        let model = self.planning.model;
        let controls = model.boat.vars.iter_ids().filter(|(_, var)| matches!(var.kind, VarKind::Control(_)));
        let controls = controls.map(|(id, _)| Expr::Is(id, right.get(id)));
        let leaves = procedure.leaves.iter().map(|leave| Expr::Is(leave.var, leave.value));
        let expr = if stopped {
            all(controls)
        } else {
            all(std::iter::once(lower(model.boat, &procedure.goal)).chain(leaves).chain(controls))
        };
        Promise { expr, right: right.clone(), goal: OnceCell::new() }
    }
}

/// What a list promises, and how the boat should then stand. The goal is worked out when it is first asked for.
pub(super) struct Promise {
    expr: Expr,
    right: Stand,
    goal: OnceCell<Goal>,
}

fn aim(planning: &Planning<'_, '_>, goal: &Expr) -> Goal {
    planning.planner.goal(&formula(goal)).expect("a goal of the same boat names what it has")
}

/// Finds ways back after the slips of one list; remembers what it found.
pub(super) struct Rescue<'a, 'm, 'b> {
    hands: &'a Hands<'m, 'b>,
    promises: &'a [Promise],
    reaches: Vec<Option<Reach<'a>>>,
    rest: Reach<'a>,
    known: BTreeMap<(Box<[u8]>, usize), Back>,
}

impl<'a, 'm, 'b> Rescue<'a, 'm, 'b> {
    /// `promises`: what the list promises, for each way in which it should end.
    pub(super) fn new(hands: &'a Hands<'m, 'b>, promises: &'a [Promise]) -> Self {
        Self {
            hands,
            promises,
            reaches: promises.iter().map(|_| None).collect(),
            rest: Reach::new(&hands.planning.planner, &hands.rest),
            known: BTreeMap::new(),
        }
    }

    /// The way back from where a slip ended to what is promised (by its place).
    pub(super) fn back(&mut self, slip: &World, promised: usize) -> Back {
        let key = (slip.values.clone(), promised);
        if let Some(known) = self.known.get(&key) {
            return known.clone();
        }
        let back = self.look(slip, promised);
        self.known.insert(key, back.clone());
        back
    }

    fn look(&mut self, slip: &World, promised: usize) -> Back {
        if let Some(steps) = self.straight(slip, promised) {
            return Back::ToPromised(steps);
        }
        match self.find(slip, Some(promised)) {
            Found::Steps(steps) => Back::ToPromised(steps),
            Found::CutOff => Back::Unknown,
            Found::None => match self.find(slip, None) {
                Found::Steps(steps) => Back::ToRest(steps),
                Found::None => self.once_clear(slip, promised),
                Found::CutOff => Back::Unknown,
            },
        }
    }

    /// A short way on which each step sets right one thing that is wrong: most ways are so, and they are found by
    /// trying, without planning.
    fn straight(&self, slip: &World, promised: usize) -> Option<Vec<Step>> {
        let model = self.hands.planning.model;
        let promise = &self.promises[promised];
        let now = slip.stand();
        let wrong: Vec<(VarId, Value)> = now
            .changes(&promise.right)
            .filter(|(var, _, _)| !model.is_given(*var))
            .map(|(var, _, right)| (var, right))
            .collect();
        let helps = |op: &Op| match op {
            Op::Set(var, to) => wrong.contains(&(*var, *to)),
            Op::Do(action) => {
                model.boat.actions[*action].makes.iter().any(|make| wrong.contains(&(make.var, make.value)))
            }
            Op::Wait(_) => false,
        };
        let steps: Vec<Step> =
            self.hands.planning.ops.iter().filter(|op| helps(op)).map(|op| step(model, *op)).collect();
        (0..=STRAIGHT).find_map(|length| try_steps(model, slip, &steps, &promise.expr, length))
    }

    /// The way there would be if the world were as it is at rest.
    fn once_clear(&mut self, slip: &World, promised: usize) -> Back {
        let model = self.hands.planning.model;
        let off =
            model.boat.vars.iter_ids().filter(|(id, var)| model.is_given(*id) && slip.is(*id) != var.rest);
        let world: Vec<(VarId, Value)> = off.map(|(id, var)| (id, var.rest)).collect();
        if world.is_empty() {
            return Back::Trap;
        }
        let clear = world.iter().fold(slip.stand(), |stand, (var, value)| stand.with(*var, *value));
        match self.find(&model.world(&clear.0, &mut Vec::new()), Some(promised)) {
            Found::Steps(steps) => Back::OnceClear { world, steps },
            Found::None => Back::Trap,
            Found::CutOff => Back::Unknown,
        }
    }

    /// A planned way, followed once more with time.
    fn find(&mut self, slip: &World, promised: Option<usize>) -> Found {
        let planning = &self.hands.planning;
        let state = planning.state(&slip.stand());
        let rest = rest_goal(planning.model);
        let (reach, goal) = if let Some(at) = promised {
            let promise = &self.promises[at];
            let reach = self.reaches[at].get_or_insert_with(|| {
                Reach::new(&planning.planner, promise.goal.get_or_init(|| aim(planning, &promise.expr)))
            });
            (reach, &promise.expr)
        } else {
            (&mut self.rest, &rest)
        };
        match reach.way(&state, &mut Budget::states(STATES)) {
            Ok(search::Way::Plan(plan)) => {
                let steps: Vec<Step> = plan.steps.iter().map(|op| planning.step(*op)).collect();
                if holds_good(planning.model, slip, &steps, goal) {
                    Found::Steps(steps)
                } else {
                    Found::CutOff
                }
            }
            Ok(search::Way::None) => Found::None,
            Ok(search::Way::CutOff) | Err(_) => Found::CutOff,
        }
    }
}

/// The most steps of a way that is found by trying.
const STRAIGHT: usize = 3;

/// So many of the steps, in some order, that lead to the goal without harm.
fn try_steps(
    model: &Model<'_>,
    world: &World,
    steps: &[Step],
    goal: &Expr,
    length: usize,
) -> Option<Vec<Step>> {
    if length == 0 {
        return model.eval(&world.values, goal).then(Vec::new);
    }
    for step in steps {
        let mut next = world.clone();
        let mut log = Vec::new();
        let took = model.take(&mut next, &step.kind, &mut log);
        let safe = log.iter().all(|event| matches!(event, Event::Turned(..)));
        if !safe || took != Took::Went(Did::Done) {
            continue;
        }
        if let Some(mut rest) = try_steps(model, &next, steps, goal, length - 1) {
            rest.insert(0, step.clone());
            return Some(rest);
        }
    }
    None
}

enum Found {
    Steps(Vec<Step>),
    None,
    CutOff,
}
