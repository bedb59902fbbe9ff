//! One possible world: how the boat stands, which changes are on their way, what has been used how long ago.
//! Hands move it on; what follows by itself follows here.

use boat::model::{ActionId, Id, LimitKind, NeverId, Thing, Value, VarId};

use crate::model::{Bound, HarmRow, Model};
use crate::stand::Stand;

/// A world at one moment.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct World {
    pub(crate) values: Box<[u8]>,
    /// Timed turns whose condition holds, with how long it has held (ms).
    timers: Vec<(u16, u64)>,
    /// Clocks of limits in use or not yet rested.
    wear: Vec<Wear>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
struct Wear {
    clock: u16,
    /// In use now (a control away from rest).
    running: bool,
    /// How long this run has lasted (ms).
    run: u64,
    /// How long it has rested since (ms).
    since: u64,
}

/// What happened besides the intended change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Event {
    /// A state changed by itself: which, and by which of its turns.
    Turned(VarId, usize),
    /// Something was done when it must not be: the harm of a control or an action.
    Harm(Thing),
    /// A limit was passed.
    Breach(Thing),
    /// A state was entered that must never be.
    Never(NeverId),
    /// Changes that happen by themselves go round in a circle.
    Endless,
}

/// Whether a step did what it says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Did {
    /// It was done.
    Done,
    /// It was so already.
    Already,
    /// What it needs was not there: nothing happened.
    Nothing,
    /// It was done, but past a limit beyond which it does not work.
    InVain,
}

/// Rounds of instant turns after which they count as endless.
const MOST_ROUNDS: usize = 1000;

impl Model<'_> {
    /// A world that starts from these values; what follows at once has happened, nothing has been used.
    pub(crate) fn world(&self, values: &[u8], log: &mut Vec<Event>) -> World {
        let mut world = World { values: values.into(), timers: Vec::new(), wear: Vec::new() };
        let everything: Vec<VarId> = self.boat.vars.ids().collect();
        self.follow(&mut world, &everything, log);
        world
    }

    /// The world with the values it has, once everything that follows from them at once has happened. What has been
    /// used and how long counts on; what is on its way begins anew where its condition was not known to hold.
    pub(crate) fn renewed(&self, world: &World, log: &mut Vec<Event>) -> World {
        let mut world = world.clone();
        let everything: Vec<VarId> = self.boat.vars.ids().collect();
        self.follow(&mut world, &everything, log);
        world
    }

    /// Lets what happens at once happen, and tells which states changed by themselves.
    pub fn settle(&self, stand: &Stand) -> (Stand, Vec<Event>) {
        let mut log = Vec::new();
        let world = self.world(&stand.0, &mut log);
        (Stand(world.values), log)
    }

    /// Sets a control by hand. `hold`: how long it is held or left before the next step (ms), if the step says so.
    pub(crate) fn set(
        &self,
        world: &mut World,
        var: VarId,
        to: Value,
        hold: Option<u64>,
        log: &mut Vec<Event>,
    ) -> Did {
        if world.values[var.index()] == to.0 {
            self.pass(world, hold.unwrap_or(0), log);
            return Did::Already;
        }
        let Some(row) = &self.controls[var.index()] else { return Did::Nothing };
        let way = self.move_row(var, to);
        if way.is_some_and(|way| !self.eval(&world.values, &way.needs)) {
            return Did::Nothing;
        }
        self.harms(world, &row.harms, Some(to), log);
        let rest = self.boat.vars[var].rest;
        let was_rest = world.values[var.index()] == rest.0;
        let mut did = self.control_limits(world, &row.bounds, was_rest, to == rest, hold, log);
        world.values[var.index()] = to.0;
        self.follow(world, &[var], log);
        self.pass(world, way.map_or(0, |way| way.takes) + hold.unwrap_or(0), log);
        if did == Did::Done && world.values[var.index()] != to.0 {
            did = Did::InVain;
        }
        did
    }

    /// Does an action. `hold`: for how long (ms), if the step says so.
    pub(crate) fn act(
        &self,
        world: &mut World,
        action: ActionId,
        hold: Option<u64>,
        log: &mut Vec<Event>,
    ) -> Did {
        let row = &self.actions[action.index()];
        if !self.eval(&world.values, &row.needs) {
            return Did::Nothing;
        }
        self.harms(world, &row.harms, None, log);
        let lasts = hold.or(row.takes);
        let did = self.action_limits(world, &row.bounds, lasts, log);
        if did == Did::Done {
            let makes = &self.boat.actions[action].makes;
            for make in makes {
                world.values[make.var.index()] = make.value.0;
            }
            let changed: Vec<VarId> = makes.iter().map(|make| make.var).collect();
            self.follow(world, &changed, log);
        }
        self.pass(world, lasts.unwrap_or(0), log);
        for bound in &row.bounds {
            if let Some(wear) = world.wear.iter_mut().find(|wear| wear.clock == bound.clock) {
                (wear.running, wear.since) = (false, 0);
            }
        }
        did
    }

    fn harms(&self, world: &World, harms: &[HarmRow], to: Option<Value>, log: &mut Vec<Event>) {
        for harm in harms {
            if (harm.to.is_none() || to.is_none() || harm.to == to) && self.eval(&world.values, &harm.when) {
                log.push(Event::Harm(harm.thing));
            }
        }
    }

    fn action_limits(
        &self,
        world: &mut World,
        bounds: &[Bound],
        lasts: Option<u64>,
        log: &mut Vec<Event>,
    ) -> Did {
        let mut did = Did::Done;
        for bound in bounds {
            // A limit of the whole item times the actions that last; a look or a click on it is no run.
            let times = lasts.is_some() || !matches!(bound.thing, Thing::ItemLimit(..));
            let lasts = lasts.unwrap_or(0);
            let clock = self.clocks.get(usize::from(bound.clock));
            let last = world.wear.iter().find(|wear| wear.clock == bound.clock);
            let broken = match bound.kind {
                LimitKind::Longest => {
                    let no_rest = clock.is_none_or(|clock| clock.rest == 0);
                    let before = last.filter(|wear| no_rest && wear.since == 0).map_or(0, |wear| wear.run);
                    times && before + lasts > bound.time
                }
                LimitKind::Rest => times && last.is_some_and(|wear| wear.since < bound.time),
                LimitKind::Hold => times && lasts < bound.time,
                LimitKind::Least | LimitKind::Most | LimitKind::Clear => {
                    !self.eval(&world.values, &bound.keeps)
                }
            };
            if broken {
                log.push(Event::Breach(bound.thing));
                if bound.severity.is_none() {
                    did = Did::InVain;
                }
            }
        }
        for bound in bounds {
            if lasts.is_some() || !matches!(bound.thing, Thing::ItemLimit(..)) {
                self.begin_use(world, bound.clock);
            }
        }
        did
    }

    /// A run of a clock begins; it goes on from the last one if nothing lay between and no rest is asked for.
    fn begin_use(&self, world: &mut World, clock: u16) {
        let Some(row) = self.clocks.get(usize::from(clock)) else { return };
        if row.longest == 0 && row.rest == 0 {
            return;
        }
        match world.wear.iter_mut().find(|wear| wear.clock == clock) {
            // Several limits may share the clock.
            Some(wear) if wear.running => {}
            Some(wear) => {
                let run = if wear.since == 0 && row.rest == 0 { wear.run } else { 0 };
                (wear.running, wear.run, wear.since) = (true, run, 0);
            }
            None => {
                world.wear.push(Wear { clock, running: true, run: 0, since: 0 });
                world.wear.sort_unstable();
            }
        }
    }

    fn control_limits(
        &self,
        world: &mut World,
        bounds: &[Bound],
        from_rest: bool,
        to_rest: bool,
        hold: Option<u64>,
        log: &mut Vec<Event>,
    ) -> Did {
        let mut did = Did::Done;
        for bound in bounds {
            let last = world.wear.iter().find(|wear| wear.clock == bound.clock);
            let broken = match bound.kind {
                // Time tells; see `pass`.
                LimitKind::Longest => false,
                LimitKind::Rest => {
                    from_rest && last.is_some_and(|wear| !wear.running && wear.since < bound.time)
                }
                LimitKind::Hold if from_rest => hold.is_some_and(|hold| hold < bound.time),
                LimitKind::Hold => last.is_some_and(|wear| wear.running && wear.run < bound.time),
                LimitKind::Least | LimitKind::Most | LimitKind::Clear => {
                    !to_rest && !self.eval(&world.values, &bound.keeps)
                }
            };
            if broken {
                log.push(Event::Breach(bound.thing));
                if bound.severity.is_none() {
                    did = Did::InVain;
                }
            }
        }
        let Some(clock) = bounds.first().map(|bound| bound.clock) else { return did };
        if let Some(wear) = world.wear.iter_mut().find(|wear| wear.clock == clock) {
            if from_rest {
                (wear.running, wear.run, wear.since) = (true, 0, 0);
            } else if to_rest {
                (wear.running, wear.since) = (false, 0);
            }
        } else if from_rest {
            world.wear.push(Wear { clock, running: true, run: 0, since: 0 });
            world.wear.sort_unstable();
        }
        did
    }

    /// Lets time go by (ms): timed turns that come due happen, controls in use run on.
    pub(crate) fn pass(&self, world: &mut World, mut span: u64, log: &mut Vec<Event>) {
        while span > 0 {
            let due = world.timers.iter().filter_map(|(turn, held)| {
                let after = self.turns[usize::from(*turn)].after?;
                Some((after.saturating_sub(*held), *turn))
            });
            let next = due.min().filter(|(left, _)| *left <= span);
            let step = next.map_or(span, |(left, _)| left);
            for (_, held) in &mut world.timers {
                *held += step;
            }
            self.wear_on(world, step, log);
            span -= step;
            let Some((_, turn)) = next else { return };
            let row = &self.turns[usize::from(turn)];
            world.values[row.var.index()] = row.to.0;
            world.timers.retain(|(at, _)| *at != turn);
            log.push(Event::Turned(row.var, row.at));
            self.follow(world, &[row.var], log);
        }
    }

    fn wear_on(&self, world: &mut World, step: u64, log: &mut Vec<Event>) {
        for wear in &mut world.wear {
            let clock = &self.clocks[usize::from(wear.clock)];
            if wear.running {
                let before = wear.run;
                wear.run = (before + step).min(clock.longest.max(clock.hold) + 1);
                if clock.longest > 0 && before <= clock.longest && before + step > clock.longest {
                    if let Some(thing) = self.longest_of(clock.owner) {
                        log.push(Event::Breach(thing));
                    }
                }
            } else {
                wear.since += step;
            }
        }
        // A rested clock is as good as one never used; that keeps equal worlds equal.
        world.wear.retain(|wear| {
            wear.running || wear.since == 0 || wear.since < self.clocks[usize::from(wear.clock)].rest
        });
    }

    fn longest_of(&self, owner: Thing) -> Option<Thing> {
        let Thing::Var(var) = owner else { return None };
        let row = self.controls[var.index()].as_ref()?;
        row.bounds.iter().find(|bound| bound.kind == LimitKind::Longest).map(|bound| bound.thing)
    }

    /// Everything that follows at once from changes: instant turns to a fixpoint, never-states, timers.
    fn follow(&self, world: &mut World, changed: &[VarId], log: &mut Vec<Event>) {
        let mut touched: Vec<VarId> = changed.to_vec();
        let mut due: Vec<u16> = Vec::new();
        for var in changed {
            due.extend_from_slice(&self.depends[var.index()].instant);
        }
        due.sort_unstable();
        due.dedup();
        let mut rounds = 0;
        while !due.is_empty() {
            let mut later: Vec<u16> = Vec::new();
            let mut at = 0;
            while at < due.len() {
                let turn = due[at];
                at += 1;
                let row = &self.turns[usize::from(turn)];
                if world.values[row.var.index()] == row.to.0 || !self.eval(&world.values, &row.when) {
                    continue;
                }
                world.values[row.var.index()] = row.to.0;
                touched.push(row.var);
                log.push(Event::Turned(row.var, row.at));
                for next in &self.depends[row.var.index()].instant {
                    if *next <= turn {
                        later.push(*next);
                    } else if let Err(place) = due[at..].binary_search(next) {
                        due.insert(at + place, *next);
                    }
                }
            }
            later.sort_unstable();
            later.dedup();
            due = later;
            rounds += 1;
            if rounds > MOST_ROUNDS {
                log.push(Event::Endless);
                break;
            }
        }
        self.notice(world, &touched, log);
    }

    /// Never-states and timers that changes have touched.
    fn notice(&self, world: &mut World, touched: &[VarId], log: &mut Vec<Event>) {
        let mut nevers: Vec<u16> = Vec::new();
        let mut timed: Vec<u16> = Vec::new();
        for var in touched {
            nevers.extend_from_slice(&self.depends[var.index()].nevers);
            timed.extend_from_slice(&self.depends[var.index()].timed);
        }
        nevers.sort_unstable();
        nevers.dedup();
        for never in nevers {
            if self.eval(&world.values, &self.nevers[usize::from(never)]) {
                log.push(Event::Never(NeverId::at(usize::from(never))));
            }
        }
        timed.sort_unstable();
        timed.dedup();
        for turn in timed {
            let row = &self.turns[usize::from(turn)];
            let runs = world.values[row.var.index()] != row.to.0 && self.eval(&world.values, &row.when);
            match world.timers.binary_search_by_key(&turn, |(at, _)| *at) {
                Ok(place) if !runs => {
                    world.timers.remove(place);
                }
                Err(place) if runs => world.timers.insert(place, (turn, 0)),
                _ => {}
            }
        }
    }
}

impl World {
    /// How the boat stands in it.
    pub(crate) fn stand(&self) -> Stand {
        Stand(self.values.clone())
    }

    /// The value of a control or state in it.
    pub(crate) fn is(&self, var: VarId) -> Value {
        Value(self.values[var.index()])
    }
}
