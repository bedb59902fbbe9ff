//! What a person who follows a list looks to see at each step, in the words of `tell`, and so what tells that
//! something is not as it should be where the list has no look.

use std::collections::BTreeSet;

use boat::model::{Boat, ConditionId, Step, StepKind, Value, VarId, VarKind};

use crate::belief::Took;
use crate::model::Model;
use crate::rehearse::{Rehearsal, WorldStep};
use crate::stand::Stand;
use crate::world::{Did, Event, World};
use boat::lower::vars_of;

/// What is to be seen while a list is followed as written.
pub(super) struct Sights {
    steps: Vec<Sight>,
    /// What changes by itself, in any world.
    usual: BTreeSet<Event>,
}

/// What is to be seen at one step, in every world that gets to it.
#[derive(Default)]
struct Sight {
    /// The control that is set, and to what.
    control: Option<(VarId, Value)>,
    /// The words for what is done.
    tell: Option<String>,
    /// Facts that it brings about: the words are not so if none of them holds.
    facts: Vec<ConditionId>,
    /// States that it brings to a value that can be told.
    states: Vec<(VarId, Value)>,
}

impl Sights {
    pub(super) fn new(model: &Model<'_>, steps: &[Step], rehearsal: &Rehearsal) -> Self {
        let turned = |event: &&Event| matches!(event, Event::Turned(..));
        let taken = rehearsal.steps.iter().flatten();
        let usual = taken.flat_map(|taken| taken.log.iter().filter(turned)).copied().collect();
        let sights = steps.iter().zip(&rehearsal.steps).map(|(step, taken)| sight(model, &step.kind, taken));
        Self { steps: sights.collect(), usual }
    }

    /// What shows, once a step is done (or something else in its place), that something is not as it should be.
    pub(super) fn odd(
        &self,
        model: &Model<'_>,
        (step, kind): (usize, &StepKind),
        world: &World,
        log: &[Event],
    ) -> Option<String> {
        let mut strange = log.iter().filter(|event| !self.usual.contains(event));
        strange.find_map(|event| turned(model.boat, *event)).or_else(|| {
            let sight = self.steps.get(step)?;
            let missed = sight.states.iter().find(|(var, value)| world.is(*var) != *value);
            if let Some((var, value)) = missed {
                return Some(not_so(told(model.boat, *var, *value)?));
            }
            if let (Some((own, to)), StepKind::Set { var, .. }) = (sight.control, kind) {
                // Who takes hold of another control looks at that one.
                if own != *var {
                    return None;
                }
                if world.is(own) != to {
                    return sight.tell.as_deref().map(not_so);
                }
            }
            let stand = world.stand();
            let none = sight.facts.iter().all(|fact| !model.condition_holds(&stand, *fact));
            sight.tell.as_deref().filter(|_| none && !sight.facts.is_empty()).map(not_so)
        })
    }
}

/// That what should be seen is not.
pub(super) fn not_so(words: &str) -> String {
    format!("This is not so: {words}")
}

/// How to tell a value.
pub(super) fn told(boat: &Boat, var: VarId, value: Value) -> Option<&str> {
    boat.vars[var].tell.get(usize::from(value.0))?.as_deref()
}

/// What shows of a change by itself.
fn turned(boat: &Boat, event: Event) -> Option<String> {
    let Event::Turned(var, at) = event else { return None };
    let VarKind::State(state) = &boat.vars[var].kind else { return None };
    let turn = state.turns.get(at)?;
    turn.seen.clone().or_else(|| told(boat, var, turn.to).map(str::to_owned))
}

fn sight(model: &Model<'_>, kind: &StepKind, taken: &[WorldStep]) -> Sight {
    let boat = model.boat;
    let went = |taken: &&WorldStep| taken.took == Took::Went(Did::Done);
    let Some(first) = taken.iter().find(went) else { return Sight::default() };
    let everywhere = |so: &dyn Fn(&Stand, &Stand) -> bool| {
        taken.iter().all(|taken| so(&taken.before.stand(), &taken.after.stand()))
    };
    let (before, after) = (first.before.stand(), first.after.stand());
    let states = before.changes(&after).filter(|(var, _, to)| {
        let state = matches!(boat.vars[*var].kind, VarKind::State(_)) && told(boat, *var, *to).is_some();
        state && everywhere(&|before, after| before.get(*var) != *to && after.get(*var) == *to)
    });
    let (tell, moved) = match kind {
        StepKind::Set { var, to, .. } => (told(boat, *var, *to), vec![*var]),
        StepKind::Do { action, .. } => {
            let row = &boat.actions[*action];
            (row.tell.as_deref(), row.makes.iter().map(|make| make.var).collect())
        }
        StepKind::Look { .. } | StepKind::Wait { .. } => (None, Vec::new()),
    };
    let facts = boat.conditions.iter_ids().filter(|(id, row)| {
        let mut about = false;
        vars_of(boat, &row.when, &mut |var| about |= moved.contains(&var));
        let gained = |before: &Stand, after: &Stand| {
            model.condition_holds(after, *id) && !model.condition_holds(before, *id)
        };
        about && everywhere(&gained)
    });
    let control = match kind {
        StepKind::Set { var, to, .. } if everywhere(&|_, after| after.get(*var) == *to) => Some((*var, *to)),
        StepKind::Set { .. } | StepKind::Do { .. } | StepKind::Look { .. } | StepKind::Wait { .. } => None,
    };
    Sight {
        control,
        facts: if tell.is_some() { facts.map(|(id, _)| id).collect() } else { Vec::new() },
        tell: tell.map(str::to_owned),
        states: states.map(|(var, _, to)| (var, to)).collect(),
    }
}
