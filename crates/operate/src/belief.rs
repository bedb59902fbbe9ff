//! The worlds that a step list must be safe in: what the world decides is not known until it is looked at.

use std::collections::BTreeSet;

use boat::model::{Assign, Expr, Id, ProcedureId, StepKind, Value, VarId};

use crate::model::Model;
use crate::world::{Did, Event, World};
use boat::lower::{lower, mark_vars};

/// More worlds than this are not all gone through; see [`Start::whole`].
const MOST_WORLDS: usize = 256;

/// How a step list begins.
#[derive(Debug, Clone, Default)]
pub(crate) struct Start {
    /// The worlds it may begin in.
    pub(crate) worlds: Vec<World>,
    /// What is wrong with its beginning.
    pub(crate) faults: Vec<StartFault>,
    /// States that the world decides, which matter here and are not fixed.
    pub(crate) open: Vec<VarId>,
    /// Whether every combination of them is among the worlds (else every one and every pair is).
    pub(crate) whole: bool,
}

/// What can be wrong with how a step list begins.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum StartFault {
    /// A list before it needs a value at its start that it can't have here.
    Unready { list: ProcedureId, wants: Assign, is: Value },
    /// A step of a list before it does not work here.
    Stuck { list: ProcedureId, step: usize },
    /// What a list before it leaves contradicts what is to be so at the start.
    Contradicts { list: Option<ProcedureId>, wants: Assign, is: Value },
    /// What must be so at the start never is.
    GivenNever,
    /// A state that must never be holds already.
    Never(boat::model::NeverId),
}

/// The worlds that a step list begins in: at rest, the lists before it followed, its start values set. Everything that
/// the world decides and that matters to a list is open again when the list begins: what a look in a list before has
/// shown may have changed since. Only what steps or changes by themselves have made so stays so.
pub(crate) fn start(model: &Model<'_>, id: ProcedureId) -> Start {
    let boat = model.boat;
    let procedure = &boat.procedures[id];
    let mut faults = Vec::new();
    let rest = model.at_rest();
    let mut begun = Begun {
        model,
        worlds: vec![Settled { world: model.world(&rest.0, &mut Vec::new()), made: BTreeSet::new() }],
        left_by: vec![None; boat.vars.len()],
        whole: true,
    };
    for list in lists_before(model, id) {
        begun.follow(list, &mut faults);
    }
    for assign in procedure.start.iter().filter(|assign| !model.is_given(assign.var)) {
        let Some(first) = begun.worlds.first() else { break };
        let is = first.world.is(assign.var);
        if let (Some(list), true) = (begun.left_by[assign.var.index()], is != assign.value) {
            faults.push(StartFault::Contradicts { list: Some(list), wants: *assign, is });
        }
    }
    let log = begun.open(&matters(model, id), &procedure.start);
    let given = lower(boat, &procedure.given);
    let none = begun.worlds.is_empty();
    begun.worlds.retain(|settled| model.eval(&settled.world.values, &given));
    if begun.worlds.is_empty() && !none {
        faults.push(StartFault::GivenNever);
    }
    let whole = begun.whole;
    let mut seen = BTreeSet::new();
    let worlds = begun.worlds.into_iter().map(|settled| settled.world);
    let worlds: Vec<World> = worlds.filter(|world| seen.insert(world.clone())).collect();
    let away =
        |world: &World| procedure.start.iter().find(|assign| world.is(assign.var) != assign.value).copied();
    if let Some((wants, world)) = worlds.iter().find_map(|world| Some((away(world)?, world))) {
        faults.push(StartFault::Contradicts { list: None, wants, is: world.is(wants.var) });
    }
    let nevers: BTreeSet<_> = log
        .iter()
        .filter_map(|event| match event {
            Event::Never(never) => Some(*never),
            _ => None,
        })
        .filter(|never| worlds.iter().any(|world| model.eval(&world.values, &model.nevers[never.index()])))
        .collect();
    faults.extend(nevers.into_iter().map(StartFault::Never));
    let open = boat.vars.ids().filter(|var| {
        let first = worlds.first().map(|world| world.is(*var));
        model.is_given(*var) && worlds.iter().any(|world| Some(world.is(*var)) != first)
    });
    Start { open: open.collect(), whole, worlds, faults }
}

/// A world with the states that the world decides but that steps or changes by themselves have made as they are.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Settled {
    world: World,
    made: BTreeSet<usize>,
}

/// The worlds that there are while the lists before a list are followed.
struct Begun<'a, 'b> {
    model: &'a Model<'b>,
    worlds: Vec<Settled>,
    /// Which list last changed each control or state.
    left_by: Vec<Option<ProcedureId>>,
    whole: bool,
}

impl Begun<'_, '_> {
    fn follow(&mut self, list: ProcedureId, faults: &mut Vec<StartFault>) {
        let model = self.model;
        let procedure = &model.boat.procedures[list];
        for assign in procedure.start.iter().filter(|assign| !model.is_given(assign.var)) {
            let Some(is) = self.worlds.first().map(|settled| settled.world.is(assign.var)) else { return };
            if is != assign.value && self.left_by[assign.var.index()].is_some() {
                faults.push(StartFault::Unready { list, wants: *assign, is });
            }
        }
        self.open(&matters(model, list), &procedure.start);
        let before = self.worlds.first().map(|settled| settled.world.stand());
        let begun = std::mem::take(&mut self.worlds);
        self.worlds = follow(model, list, begun, faults);
        if let (Some(a), Some(b)) = (before, self.worlds.first()) {
            for (var, _, _) in a.changes(&b.world.stand()) {
                self.left_by[var.index()] = Some(list);
            }
        }
        self.forget();
    }

    /// Opens what the world decides and what matters, unless it is fixed or was made as it is.
    fn open(&mut self, matters: &[bool], fixed: &[Assign]) -> Vec<Event> {
        let model = self.model;
        let open: Vec<VarId> = model
            .boat
            .vars
            .ids()
            .filter(|var| model.is_given(*var) && matters[var.index()])
            .filter(|var| fixed.iter().all(|assign| assign.var != *var))
            .filter(|var| self.worlds.iter().any(|settled| !settled.made.contains(&var.index())))
            .collect();
        let (choices, whole) = choices(model, &open);
        self.whole &= whole;
        let mut log = Vec::new();
        let mut opened = Vec::new();
        for settled in &self.worlds {
            for choice in &choices {
                let mut world = settled.world.clone();
                for (var, value) in open.iter().zip(choice) {
                    if !settled.made.contains(&var.index()) {
                        world.values[var.index()] = *value;
                    }
                }
                for assign in fixed {
                    world.values[assign.var.index()] = assign.value.0;
                }
                opened.push(Settled { world: model.renewed(&world, &mut log), made: settled.made.clone() });
            }
        }
        let mut seen = BTreeSet::new();
        opened.retain(|settled| seen.insert(settled.clone()));
        self.worlds = opened;
        log
    }

    /// What is open again in the next list is one until then, as in the first world, so that worlds do not multiply.
    fn forget(&mut self) {
        let model = self.model;
        let Some(first) = self.worlds.first().map(|settled| settled.world.stand()) else { return };
        for settled in &mut self.worlds {
            let open = model.boat.vars.ids().filter(|var| model.is_given(*var));
            for var in open.filter(|var| !settled.made.contains(&var.index())) {
                settled.world.values[var.index()] = first.get(var).0;
            }
        }
        let mut seen = BTreeSet::new();
        self.worlds.retain(|settled| seen.insert(settled.clone()));
    }
}

/// The lists followed before `id`, each with those that it needs itself, every one once.
pub(crate) fn lists_before(model: &Model<'_>, id: ProcedureId) -> Vec<ProcedureId> {
    fn add(model: &Model<'_>, id: ProcedureId, open: &mut Vec<ProcedureId>, lists: &mut Vec<ProcedureId>) {
        for before in &model.boat.procedures[id].after {
            if !lists.contains(before) && !open.contains(before) {
                open.push(*before);
                add(model, *before, open, lists);
                open.pop();
                lists.push(*before);
            }
        }
    }
    let mut lists = Vec::new();
    add(model, id, &mut vec![id], &mut lists);
    lists
}

/// The worlds in which a list goes through to its end.
fn follow(
    model: &Model<'_>,
    list: ProcedureId,
    mut worlds: Vec<Settled>,
    faults: &mut Vec<StartFault>,
) -> Vec<Settled> {
    let procedure = &model.boat.procedures[list];
    let given = lower(model.boat, &procedure.given);
    worlds.retain(|settled| model.eval(&settled.world.values, &given));
    for (at, step) in procedure.steps.iter().enumerate() {
        let mut next = Vec::new();
        for mut settled in worlds.iter().cloned() {
            let mut log = Vec::new();
            let took = model.take(&mut settled.world, &step.kind, &mut log);
            if matches!(took, Took::NotSo | Took::Went(Did::Nothing)) {
                continue;
            }
            settled.made.extend(made(model, &step.kind, took, &log));
            next.push(settled);
        }
        if next.is_empty() {
            faults.push(StartFault::Stuck { list, step: at });
            return worlds;
        }
        worlds = next;
    }
    worlds
}

/// The states that the world decides and that a step, or a change by itself during it, has made as they are.
fn made(model: &Model<'_>, kind: &StepKind, took: Took, log: &[Event]) -> Vec<usize> {
    let mut made: Vec<usize> = log
        .iter()
        .filter_map(|event| match event {
            Event::Turned(var, _) => Some(var.index()),
            _ => None,
        })
        .collect();
    if let (StepKind::Do { action, .. }, Took::Went(Did::Done)) = (kind, took) {
        made.extend(model.boat.actions[*action].makes.iter().map(|make| make.var.index()));
    }
    made.retain(|at| model.given[*at]);
    made
}

/// Which controls and states matter to a step list: its needs, harms, limits, looks, goal, and the never-states and
/// changes by itself that it can touch.
fn matters(model: &Model<'_>, id: ProcedureId) -> Vec<bool> {
    let boat = model.boat;
    let procedure = &boat.procedures[id];
    let mut marks = vec![false; boat.vars.len()];
    let mut touched = vec![false; boat.vars.len()];
    for expr in [&procedure.given, &procedure.goal] {
        mark_vars(boat, expr, &mut marks);
    }
    for step in &procedure.steps {
        match &step.kind {
            StepKind::Set { var, to, .. } => {
                touched[var.index()] = true;
                let Some(row) = &model.controls[var.index()] else { continue };
                if let Some(way) = model.move_row(*var, *to) {
                    mark_vars(boat, &way.needs, &mut marks);
                }
                let harms = row.harms.iter().filter(|harm| harm.to.is_none() || harm.to == Some(*to));
                harms.for_each(|harm| mark_vars(boat, &harm.when, &mut marks));
                row.bounds.iter().for_each(|bound| mark_vars(boat, &bound.keeps, &mut marks));
            }
            StepKind::Do { action, .. } => {
                let row = &model.actions[action.index()];
                mark_vars(boat, &row.needs, &mut marks);
                row.harms.iter().for_each(|harm| mark_vars(boat, &harm.when, &mut marks));
                row.bounds.iter().for_each(|bound| mark_vars(boat, &bound.keeps, &mut marks));
                for make in &boat.actions[*action].makes {
                    touched[make.var.index()] = true;
                }
            }
            StepKind::Look { confirm: expr, .. } | StepKind::Wait { until: expr, .. } => {
                if let Some(expr) = expr {
                    mark_vars(boat, expr, &mut marks);
                }
            }
        }
    }
    spread(model, &mut touched, &mut marks);
    marks
}

/// Marks what decides the changes by itself and the never-states that touched things take part in.
fn spread(model: &Model<'_>, touched: &mut [bool], marks: &mut [bool]) {
    let boat = model.boat;
    let mut looked = vec![false; model.turns.len()];
    loop {
        let mut grew = false;
        for (at, turn) in model.turns.iter().enumerate() {
            if looked[at] {
                continue;
            }
            let mut uses = vec![false; touched.len()];
            mark_vars(boat, &turn.when, &mut uses);
            if touched[turn.var.index()]
                || uses.iter().zip(touched.iter()).any(|(uses, touched)| *uses && *touched)
            {
                looked[at] = true;
                grew = true;
                touched[turn.var.index()] = true;
                mark_vars(boat, &turn.when, marks);
            }
        }
        if !grew {
            break;
        }
    }
    for never in &boat.nevers {
        let mut uses = vec![false; touched.len()];
        mark_vars(boat, &never.when, &mut uses);
        if uses.iter().zip(touched.iter()).any(|(uses, touched)| *uses && *touched) {
            mark_vars(boat, &never.when, marks);
        }
    }
}

/// The combinations of values of open states: all of them if they are few, else every one and every pair away from rest.
fn choices(model: &Model<'_>, open: &[VarId]) -> (Vec<Vec<u8>>, bool) {
    let boat = model.boat;
    let sizes: Vec<u8> =
        open.iter().map(|var| u8::try_from(boat.vars[*var].values.len()).unwrap_or(u8::MAX)).collect();
    let product = sizes.iter().try_fold(1usize, |all, size| all.checked_mul(usize::from(*size)));
    let base: Vec<u8> = open.iter().map(|var| boat.vars[*var].rest.0).collect();
    if product.is_some_and(|product| product <= MOST_WORLDS) {
        let mut all = vec![Vec::new()];
        for (size, rest) in sizes.iter().zip(&base) {
            // The value at rest first, so that the first world is the usual one.
            let order: Vec<u8> =
                std::iter::once(*rest).chain((0..*size).filter(|value| value != rest)).collect();
            all = all
                .into_iter()
                .flat_map(|begun: Vec<u8>| {
                    order
                        .iter()
                        .map(move |value| begun.iter().copied().chain([*value]).collect::<Vec<u8>>())
                        .collect::<Vec<_>>()
                })
                .collect();
        }
        return (all, true);
    }
    let mut found = BTreeSet::from([base.clone()]);
    for a in 0..open.len() {
        for b in a..open.len() {
            for (x, y) in (0..sizes[a]).flat_map(|x| (0..sizes[b]).map(move |y| (x, y))) {
                let mut choice = base.clone();
                (choice[a], choice[b]) = (x, y);
                found.insert(choice);
            }
        }
    }
    (found.into_iter().collect(), false)
}

/// What following one step came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Took {
    /// Hands or time did it.
    Went(Did),
    /// A look: nothing is confirmed by it, or it was so.
    Seen,
    /// A look: it was not so.
    NotSo,
}

impl Model<'_> {
    /// Follows one step.
    pub(crate) fn take(&self, world: &mut World, kind: &StepKind, log: &mut Vec<Event>) -> Took {
        use crate::model::millis;
        match kind {
            StepKind::Set { var, to, hold } => Took::Went(self.set(world, *var, *to, hold.map(millis), log)),
            StepKind::Do { action, hold, rest } => {
                let did = self.act(world, *action, hold.map(millis), log);
                self.pass(world, rest.map_or(0, millis), log);
                Took::Went(did)
            }
            StepKind::Look { confirm, .. } => match confirm {
                Some(confirm) if !self.eval_plain(&world.values, confirm) => Took::NotSo,
                _ => Took::Seen,
            },
            StepKind::Wait { time, .. } => {
                self.pass(world, millis(*time), log);
                Took::Went(Did::Done)
            }
        }
    }

    /// Judges an expression as the boat file writes it.
    pub(crate) fn eval_plain(&self, values: &[u8], expr: &Expr) -> bool {
        self.eval(values, expr)
    }
}
