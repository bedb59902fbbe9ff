//! Following a step list in every world that it may begin in, keeping what happened at every step.

use boat::model::{ProcedureId, Step, StepKind};

use crate::belief::{Start, Took, start};
use crate::model::{Model, millis};
use crate::world::{Did, Event, World};

/// A step list followed in all its worlds.
#[derive(Debug)]
pub(crate) struct Rehearsal {
    pub(crate) start: Start,
    /// What happened at each step, in the worlds that got there.
    pub(crate) steps: Vec<Vec<WorldStep>>,
    /// The worlds that got to the end, by their place in `start.worlds`.
    pub(crate) ends: Vec<(usize, World)>,
}

/// One step in one world.
#[derive(Debug, Clone)]
pub(crate) struct WorldStep {
    /// Which world, by its place in `start.worlds`.
    pub(crate) world: usize,
    pub(crate) before: World,
    pub(crate) after: World,
    pub(crate) took: Took,
    pub(crate) log: Vec<Event>,
    /// How long it lasted (ms).
    pub(crate) lasts: u64,
}

/// Follows a step list from its own start.
pub(crate) fn rehearse(model: &Model<'_>, id: ProcedureId) -> Rehearsal {
    let start = start(model, id);
    let mut alive: Vec<(usize, World)> = start.worlds.iter().cloned().enumerate().collect();
    let mut steps = Vec::new();
    for step in &model.boat.procedures[id].steps {
        let taken: Vec<WorldStep> = alive.drain(..).map(|(at, world)| one(model, at, world, step)).collect();
        let went = taken.iter().filter(|taken| taken.took != Took::NotSo);
        alive.extend(went.map(|taken| (taken.world, taken.after.clone())));
        steps.push(taken);
    }
    Rehearsal { start, steps, ends: alive }
}

/// Follows one step in one world.
pub(crate) fn one(model: &Model<'_>, world: usize, before: World, step: &Step) -> WorldStep {
    let mut after = before.clone();
    let mut log = Vec::new();
    let took = model.take(&mut after, &step.kind, &mut log);
    let lasts = if took == Took::Went(Did::Nothing) { 0 } else { lasts(model, &step.kind, took) };
    WorldStep { world, before, after, took, log, lasts }
}

/// How long a step lasts (ms) if it is done.
pub(crate) fn lasts(model: &Model<'_>, kind: &StepKind, took: Took) -> u64 {
    use boat::model::Id;
    match kind {
        StepKind::Set { var, to, hold } => {
            let way = model.move_row(*var, *to).filter(|_| took != Took::Went(Did::Already));
            way.map_or(0, |way| way.takes) + hold.map_or(0, millis)
        }
        StepKind::Do { action, hold, rest } => {
            let own = hold.map(millis).or(model.actions[action.index()].takes).unwrap_or(0);
            own + rest.map_or(0, millis)
        }
        StepKind::Look { .. } => 0,
        StepKind::Wait { time, .. } => millis(*time),
    }
}
