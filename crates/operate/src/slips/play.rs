//! Playing a slip to the end: the person goes on with the list. The rest of a list from one world is played once and
//! remembered, as most slips soon meet a world that was met before.

use std::collections::HashMap;
use std::rc::Rc;

use boat::model::{Id, Step, StepKind, VarKind};

use super::Notice;
use super::sights::{Sights, not_so, told};
use crate::belief::Took;
use crate::model::Model;
use crate::stand::Stand;
use crate::world::{Did, Event, World};

/// What came of playing steps to the end.
#[derive(Debug, Clone)]
pub(super) struct Outcome {
    pub(super) events: Vec<Event>,
    pub(super) notice: Option<Notice>,
    pub(super) in_vain: bool,
    /// The step whose look stopped the list.
    pub(super) stopped: Option<usize>,
    pub(super) end: Rc<World>,
}

impl Outcome {
    /// Where it ended, and whether a look stopped it there.
    pub(super) fn place(&self) -> (Stand, bool) {
        (self.end.stand(), self.stopped.is_some())
    }
}

/// Plays the steps of one list.
pub(super) struct Player<'a, 'm> {
    model: &'a Model<'m>,
    steps: &'a [Step],
    sights: &'a Sights,
    known: HashMap<(usize, World), Rc<Outcome>>,
    /// Steps played, those that were remembered not counted.
    pub(super) played: usize,
}

impl<'a, 'm> Player<'a, 'm> {
    pub(super) fn new(model: &'a Model<'m>, steps: &'a [Step], sights: &'a Sights) -> Self {
        Self { model, steps, sights, known: HashMap::new(), played: 0 }
    }

    /// Plays the list from one of its steps.
    pub(super) fn rest(&mut self, from: usize, world: World) -> Rc<Outcome> {
        let key = (from, world);
        if let Some(known) = self.known.get(&key) {
            return Rc::clone(known);
        }
        let outcome = match self.steps.get(from) {
            None => Outcome {
                events: Vec::new(),
                notice: None,
                in_vain: false,
                stopped: None,
                end: Rc::new(key.1.clone()),
            },
            Some(step) => {
                let steps = [(from, step.kind.clone())];
                self.steps_then_rest(&steps, from + 1, key.1.clone())
            }
        };
        let outcome = Rc::new(outcome);
        self.known.insert(key, Rc::clone(&outcome));
        outcome
    }

    /// Plays some steps, then the list from `resume`.
    pub(super) fn steps_then_rest(
        &mut self,
        steps: &[(usize, StepKind)],
        resume: usize,
        mut world: World,
    ) -> Outcome {
        let mut events = Vec::new();
        let mut notice = None;
        let mut in_vain = false;
        for (step, kind) in steps {
            self.played += 1;
            let before = events.len();
            let took = self.model.take(&mut world, kind, &mut events);
            let seen = events[before..].iter().find_map(|event| seen(self.model, *event));
            let seen = seen.or_else(|| refused(self.model, kind, took));
            let seen = seen.or_else(|| self.sights.odd(self.model, (*step, kind), &world, &events[before..]));
            notice = notice.or_else(|| seen.map(|words| Notice { step: *step, words }));
            in_vain |= took == Took::Went(Did::InVain);
            if took == Took::NotSo {
                let end = Rc::new(world);
                return Outcome { events, notice, in_vain, stopped: Some(*step), end };
            }
        }
        let rest = self.rest(resume, world);
        events.extend_from_slice(&rest.events);
        Outcome {
            events,
            notice: notice.or_else(|| rest.notice.clone()),
            in_vain: in_vain || rest.in_vain,
            stopped: rest.stopped,
            end: Rc::clone(&rest.end),
        }
    }
}

/// What a person sees of an event that should not have happened.
pub(super) fn seen(model: &Model<'_>, event: Event) -> Option<String> {
    match event {
        Event::Harm(thing) => model.boat.harm_at(thing)?.seen.clone(),
        Event::Breach(thing) => model.boat.breach_at(thing)?.seen.clone(),
        Event::Never(never) => model.boat.nevers[never].seen.clone(),
        Event::Turned(..) | Event::Endless => None,
    }
}

/// What a person sees of a step that does nothing, or of a look that shows something else.
fn refused(model: &Model<'_>, kind: &StepKind, took: Took) -> Option<String> {
    let boat = model.boat;
    match (kind, took) {
        (StepKind::Set { var, to, .. }, Took::Went(Did::Nothing)) => match &boat.vars[*var].kind {
            VarKind::Control(control) => {
                let fails = control.moves.iter().find(|way| way.to == *to)?.fails.clone();
                fails.or_else(|| told(boat, *var, *to).map(not_so))
            }
            VarKind::State(_) => None,
        },
        (StepKind::Do { action, .. }, Took::Went(Did::Nothing)) => {
            let row = &boat.actions[*action];
            row.fails.clone().or_else(|| row.tell.as_deref().map(not_so))
        }
        (StepKind::Set { var, to, .. }, Took::Went(Did::InVain)) => told(boat, *var, *to).map(not_so),
        (StepKind::Do { action, .. }, Took::Went(Did::InVain)) => {
            boat.actions[*action].tell.as_deref().map(not_so)
        }
        (StepKind::Look { look, otherwise, .. }, Took::NotSo) => {
            Some(otherwise.clone().unwrap_or_else(|| not_so(look)))
        }
        _ => None,
    }
}

/// The index of a thing, for those who sort events.
pub(super) fn order(event: &Event) -> (u8, usize) {
    match event {
        Event::Harm(_) => (0, 0),
        Event::Never(never) => (1, never.index()),
        Event::Breach(_) => (2, 0),
        Event::Turned(var, _) => (3, var.index()),
        Event::Endless => (4, 0),
    }
}
