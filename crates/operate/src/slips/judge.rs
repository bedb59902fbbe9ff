//! What became of a slip: no matter, does not work, something left standing, damage, injury.

use std::collections::BTreeMap;

use boat::model::{Expr, Id, Severity, Thing, Value, VarId};

use super::Class;
use super::play::Outcome;
use crate::model::{HarmRow, Model};
use crate::planning::Op;
use crate::world::{Event, World};
use boat::lower::mark_vars;

/// How long things are left standing before someone looks: a day (ms).
const LEFT_FOR: u64 = 24 * 60 * 60 * 1000;

/// How things are left after a slip, and how they should be.
type Ends = (Box<[u8]>, Box<[u8]>);

/// Judges outcomes of one list; what is left standing is looked at once for each way of standing.
pub(super) struct Judge<'a, 'm> {
    model: &'a Model<'m>,
    goal: Expr,
    ops: Vec<Op>,
    /// Which controls and states each never-state looks at.
    never_uses: Vec<Vec<bool>>,
    dangers: BTreeMap<Ends, Option<(Severity, Event)>>,
}

/// A verdict on one slip in one world.
pub(super) struct Verdict {
    pub(super) class: Class,
    pub(super) events: Vec<Event>,
    /// Left otherwise than the list promises: is, should be.
    pub(super) left: Vec<(VarId, Value, Value)>,
    /// What would do harm from there, one step or one day away.
    pub(super) threat: Option<Event>,
}

impl<'a, 'm> Judge<'a, 'm> {
    pub(super) fn new(model: &'a Model<'m>, goal: Expr) -> Self {
        let never_uses = model.nevers.iter().map(|when| {
            let mut marks = vec![false; model.boat.vars.len()];
            mark_vars(model.boat, when, &mut marks);
            marks
        });
        let never_uses = never_uses.collect();
        let mut ops = crate::planning::ops(model, boat::model::Who::Base);
        // What changes nothing on the boat may still do harm: to leave her, to turn in.
        let idle = model.boat.actions.iter_ids().filter(|(_, action)| action.makes.is_empty());
        ops.extend(idle.map(|(id, _)| Op::Do(id)));
        Self { model, goal, ops, never_uses, dangers: BTreeMap::new() }
    }

    /// Compares what came of a slip with what comes of the list as written, in the same world.
    pub(super) fn judge(&mut self, slip: &Outcome, right: &Outcome) -> Verdict {
        let mut events: Vec<Event> = slip
            .events
            .iter()
            .filter(|event| harmful(event) && !right.events.contains(event))
            .copied()
            .collect();
        events.sort_unstable();
        events.dedup();
        let worst = events.iter().filter_map(|event| severity(self.model, *event)).max();
        let mut verdict = Verdict { class: Class::NoMatter, events, left: Vec::new(), threat: None };
        if right.stopped.is_none() {
            verdict.left = self.left(&slip.end, &right.end);
        }
        let standing = slip.stopped.is_none()
            && verdict.left.iter().any(|(var, is, _)| *is != self.model.boat.vars[*var].rest);
        let works = slip.stopped == right.stopped
            && verdict.left.is_empty()
            && (!slip.in_vain || right.in_vain)
            && (right.stopped.is_some() || self.model.eval(&slip.end.values, &self.goal));
        verdict.class = match worst {
            Some(Severity::Injury) => Class::Injury,
            Some(Severity::Damage) => Class::Damage,
            None if standing => {
                let danger = self.danger(&slip.end, &right.end, &verdict.left);
                verdict.threat = danger.map(|(_, event)| event);
                Class::LeftStanding(danger.map(|(severity, _)| severity))
            }
            None if works => Class::NoMatter,
            None => Class::DoesNotWork,
        };
        verdict
    }

    fn left(&self, slip: &World, right: &World) -> Vec<(VarId, Value, Value)> {
        if slip.values == right.values {
            return Vec::new();
        }
        let (slip, right) = (slip.stand(), right.stand());
        slip.changes(&right).filter(|(var, _, _)| !self.model.is_given(*var)).collect()
    }

    /// Harm that is one step or one day away from how things are left, and is not from how they should be left.
    fn danger(
        &mut self,
        slip: &World,
        right: &World,
        left: &[(VarId, Value, Value)],
    ) -> Option<(Severity, Event)> {
        let key = (slip.values.clone(), right.values.clone());
        if let Some(known) = self.dangers.get(&key) {
            return *known;
        }
        let found = self.in_a_day(slip, right).into_iter().chain(self.by_a_step(slip, right, left));
        let worst =
            found.max_by_key(|(severity, event)| (*severity, std::cmp::Reverse(super::play::order(event))));
        self.dangers.insert(key, worst);
        worst
    }

    fn in_a_day(&self, slip: &World, right: &World) -> Vec<(Severity, Event)> {
        let after = |world: &World| {
            let mut world = world.clone();
            let mut log = Vec::new();
            self.model.pass(&mut world, LEFT_FOR, &mut log);
            log
        };
        let usual = after(right);
        let new = after(slip).into_iter().filter(|event| !usual.contains(event));
        new.filter_map(|event| Some((severity(self.model, event)?, event))).collect()
    }

    fn by_a_step(
        &self,
        slip: &World,
        right: &World,
        left: &[(VarId, Value, Value)],
    ) -> Vec<(Severity, Event)> {
        let mut found = Vec::new();
        let touches = |var: VarId| left.iter().any(|(other, _, _)| *other == var);
        for op in &self.ops {
            for (harm, needs) in self.harms(*op) {
                let mut relevant = false;
                boat::lower::vars_of(self.model.boat, &harm.when, &mut |var| relevant |= touches(var));
                if relevant
                    && self.model.eval(&slip.values, &harm.when)
                    && !self.model.eval(&right.values, &harm.when)
                    && needs.is_none_or(|needs| self.model.eval(&slip.values, needs))
                {
                    found.push((harm.severity, Event::Harm(harm.thing)));
                }
            }
        }
        let near: Vec<&Vec<bool>> =
            self.never_uses.iter().filter(|uses| left.iter().any(|(var, _, _)| uses[var.index()])).collect();
        for op in self.ops.iter().filter(|op| near.iter().any(|uses| self.may_touch(**op, uses))) {
            let usual = self.nevers_after(*op, right);
            let new = self.nevers_after(*op, slip).into_iter().filter(|event| !usual.contains(event));
            found.extend(new.filter_map(|event| Some((severity(self.model, event)?, event))));
        }
        found
    }

    /// The harms of an operator, with what it needs to be done at all.
    fn harms(&self, op: Op) -> Vec<(&HarmRow, Option<&Expr>)> {
        match op {
            Op::Set(var, to) => {
                let needs = self.model.move_row(var, to).map(|way| &way.needs);
                let rows = self.model.controls[var.index()].iter().flat_map(|row| &row.harms);
                rows.filter(|harm| harm.to.is_none_or(|at| at == to)).map(|harm| (harm, needs)).collect()
            }
            Op::Do(action) => {
                let row = &self.model.actions[action.index()];
                row.harms.iter().map(|harm| (harm, Some(&row.needs))).collect()
            }
            Op::Wait(_) => Vec::new(),
        }
    }

    fn may_touch(&self, op: Op, uses: &[bool]) -> bool {
        match op {
            Op::Set(var, _) => uses[var.index()],
            Op::Do(action) => self.model.boat.actions[action].makes.iter().any(|make| uses[make.var.index()]),
            Op::Wait(_) => false,
        }
    }

    fn nevers_after(&self, op: Op, world: &World) -> Vec<Event> {
        let mut world = world.clone();
        let mut log = Vec::new();
        let step = crate::planning::step(self.model, op);
        self.model.take(&mut world, &step.kind, &mut log);
        log.retain(|event| matches!(event, Event::Never(_)));
        log
    }
}

/// Whether an event should not have happened.
pub(super) fn harmful(event: &Event) -> bool {
    !matches!(event, Event::Turned(..))
}

/// How bad an event is; `None`: it harms nobody and nothing.
pub(super) fn severity(model: &Model<'_>, event: Event) -> Option<Severity> {
    match event {
        Event::Harm(thing) => Some(model.boat.harm_at(thing)?.severity),
        Event::Never(never) => Some(model.boat.nevers[never].severity),
        Event::Breach(thing) => match model.boat.breach_at(thing) {
            Some(breach) => breach.severity,
            // The file does not say what happens past it: taken to be damage.
            None => Some(Severity::Damage),
        },
        Event::Turned(..) | Event::Endless => None,
    }
}

/// What happens, in words.
pub(super) fn what(model: &Model<'_>, event: Event) -> Option<String> {
    match event {
        Event::Harm(thing) => Some(model.boat.harm_at(thing)?.what.clone()),
        Event::Never(never) => {
            let row = &model.boat.nevers[never];
            Some(format!("{} {}", row.name, row.what))
        }
        Event::Breach(thing) => Some(
            model.boat.breach_at(thing).map_or_else(|| passed(model, thing), |breach| breach.what.clone()),
        ),
        Event::Turned(..) | Event::Endless => None,
    }
}

fn passed(model: &Model<'_>, thing: Thing) -> String {
    let kind = model.boat.limit_at(thing).map_or("limit", |limit| crate::words::kind_spoken(limit.kind));
    format!("The {kind} of {} is passed.", crate::words::thing(model.boat, thing))
}
