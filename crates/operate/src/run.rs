//! Following a step list and telling what the boat does at every step.

use boat::model::{
    CautionId, ConditionId, Id, ItemId, PlaceId, ProcedureId, ReadingId, Step, StepKind, Value, VarId,
};
use quantity::{Quantity, Time};

use crate::belief::{Took, start};
use crate::model::{Model, time};
use crate::rehearse::{WorldStep, one};
use crate::stand::Stand;
use crate::words;
use crate::world::{Did, Event, World};

/// What the boat does while a step list is followed.
#[derive(Debug, Clone, PartialEq)]
pub struct Trace {
    /// How she stands before the first step.
    pub start: Stand,
    /// The steps that were come to, in order.
    pub steps: Vec<StepTrace>,
    /// How it ended.
    pub end: End,
    /// In how many possible worlds the list was followed; this is one in which it goes furthest.
    pub worlds: usize,
    /// States that the world decides, that matter here and are not known at the start.
    pub open: Vec<VarId>,
}

impl Trace {
    /// How she stands after the last step that was come to.
    pub fn last_stand(&self) -> &Stand {
        self.steps.last().map_or(&self.start, |step| &step.stand)
    }
}

/// How following a list ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// The last step is done and the goal holds.
    Reached,
    /// The last step is done but the goal does not hold.
    Missed,
    /// A look did not show what it should: stopped at this step, counted from zero.
    Stopped(usize),
    /// There is no stand from which it can begin.
    NoStart,
}

/// One step and what it did.
#[derive(Debug, Clone, PartialEq)]
pub struct StepTrace {
    /// Its place in the list, from zero.
    pub step: usize,
    /// The words read out.
    pub words: String,
    /// Where the hand must be.
    pub place: Option<PlaceId>,
    /// What to point at.
    pub item: Option<ItemId>,
    /// What came of it.
    pub outcome: StepOutcome,
    /// Controls and states that changed, in the order of the boat.
    pub changes: Vec<Change>,
    /// Facts that hold now and did not before.
    pub gained: Vec<ConditionId>,
    /// Facts that held before and do not now.
    pub lost: Vec<ConditionId>,
    /// Readings that changed.
    pub readings: Vec<ReadingChange>,
    /// What happened by itself, and what should not have happened.
    pub events: Vec<Event>,
    /// How long the step lasts.
    pub lasts: Time,
    /// Time since the start, at the end of this step.
    pub elapsed: Time,
    /// Words of warning due here.
    pub cautions: Vec<CautionId>,
    /// How she stands after it.
    pub stand: Stand,
}

/// What came of a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StepOutcome {
    /// It was done.
    Done,
    /// It was so already.
    Already,
    /// What it needs was not there: nothing happened.
    Nothing,
    /// It was done, but to no effect.
    InVain,
    /// What was looked for was seen, or nothing hangs on it.
    Seen,
    /// What was looked for was not so.
    NotSeen,
}

/// A control or state that changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Change {
    /// Which.
    pub var: VarId,
    /// Its value before.
    pub from: Value,
    /// Its value after.
    pub to: Value,
    /// Whether it changed by itself.
    pub by_itself: bool,
}

/// A reading that changed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadingChange {
    /// Which.
    pub reading: ReadingId,
    /// What it showed before.
    pub from: Quantity,
    /// What it shows after.
    pub to: Quantity,
}

/// Follows a procedure from its own start: at rest, the lists before it followed, its start values set.
pub fn run(model: &Model<'_>, procedure: ProcedureId) -> Trace {
    let begin = start(model, procedure);
    let traces = begin.worlds.iter().map(|world| follow(model, procedure, world));
    // The first of those that go furthest; `max_by_key` would give the last.
    let mut best: Option<Trace> = None;
    for trace in traces {
        if best.as_ref().is_none_or(|best| rank(&trace) > rank(best)) {
            best = Some(trace);
        }
    }
    let mut trace = best.unwrap_or_else(|| Trace {
        start: model.at_rest(),
        steps: Vec::new(),
        end: End::NoStart,
        worlds: 0,
        open: Vec::new(),
    });
    trace.worlds = begin.worlds.len();
    trace.open = begin.open;
    trace
}

/// Follows a procedure from a stand of the caller's choice, the world being as it says.
pub fn run_from(model: &Model<'_>, procedure: ProcedureId, stand: &Stand) -> Trace {
    let world = model.world(&stand.0, &mut Vec::new());
    follow(model, procedure, &world)
}

fn rank(trace: &Trace) -> (bool, usize) {
    (trace.end == End::Reached, trace.steps.len())
}

fn follow(model: &Model<'_>, procedure: ProcedureId, world: &World) -> Trace {
    let row = &model.boat.procedures[procedure];
    let mut trace = run_steps(model, &row.steps, world);
    if trace.end == End::Reached && !model.holds(trace.last_stand(), &row.goal) {
        trace.end = End::Missed;
    }
    trace
}

/// Follows any steps from a world; the end counts as reached if no look stops it.
pub(crate) fn run_steps(model: &Model<'_>, steps: &[Step], world: &World) -> Trace {
    let mut now = world.clone();
    let mut elapsed = 0;
    let mut trace =
        Trace { start: world.stand(), steps: Vec::new(), end: End::Reached, worlds: 1, open: Vec::new() };
    for (at, step) in steps.iter().enumerate() {
        let taken = one(model, 0, now, step);
        elapsed += taken.lasts;
        trace.steps.push(step_trace(model, at, step, &taken, elapsed));
        if taken.took == Took::NotSo {
            trace.end = End::Stopped(at);
            break;
        }
        now = taken.after;
    }
    trace
}

fn step_trace(model: &Model<'_>, at: usize, step: &Step, taken: &WorldStep, elapsed: u64) -> StepTrace {
    let boat = model.boat;
    let (before, after) = (taken.before.stand(), taken.after.stand());
    let by_hand = |var: VarId| match &step.kind {
        StepKind::Set { var: set, .. } => *set == var,
        StepKind::Do { action, .. } => boat.actions[*action].makes.iter().any(|make| make.var == var),
        StepKind::Look { .. } | StepKind::Wait { .. } => false,
    };
    let changes =
        before.changes(&after).map(|(var, from, to)| Change { var, from, to, by_itself: !by_hand(var) });
    let held = |stand: &Stand, condition| model.condition_holds(stand, condition);
    let gained = boat.conditions.ids().filter(|id| held(&after, *id) && !held(&before, *id));
    let lost = boat.conditions.ids().filter(|id| held(&before, *id) && !held(&after, *id));
    let readings = boat.readings.ids().filter_map(|reading| {
        let (from, to) = (model.reading(&before, reading), model.reading(&after, reading));
        (from != to).then_some(ReadingChange { reading, from, to })
    });
    StepTrace {
        step: at,
        words: words::step(boat, step),
        place: boat.step_place(step),
        item: boat.step_item(step),
        outcome: outcome(taken.took),
        changes: changes.collect(),
        gained: gained.collect(),
        lost: lost.collect(),
        readings: readings.collect(),
        events: taken.log.clone(),
        lasts: time(taken.lasts),
        elapsed: time(elapsed),
        cautions: cautions(model, step),
        stand: after,
    }
}

fn outcome(took: Took) -> StepOutcome {
    match took {
        Took::Went(Did::Done) => StepOutcome::Done,
        Took::Went(Did::Already) => StepOutcome::Already,
        Took::Went(Did::Nothing) => StepOutcome::Nothing,
        Took::Went(Did::InVain) => StepOutcome::InVain,
        Took::Seen => StepOutcome::Seen,
        Took::NotSo => StepOutcome::NotSeen,
    }
}

/// The words of warning due at a step: its own, and those of the harms and limits of what it does; gravest first.
pub fn cautions(model: &Model<'_>, step: &Step) -> Vec<CautionId> {
    let mut found = step.cautions.clone();
    match &step.kind {
        StepKind::Set { var, to, .. } => found.extend(model.set_cautions(*var, *to)),
        StepKind::Do { action, .. } => found.extend(model.action_cautions(*action)),
        StepKind::Look { .. } | StepKind::Wait { .. } => {}
    }
    let word = |id: &CautionId| std::cmp::Reverse(model.boat.cautions[*id].word);
    found.sort_by_key(|id| (word(id), id.index()));
    found.dedup();
    found
}
