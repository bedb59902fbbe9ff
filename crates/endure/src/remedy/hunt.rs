//! The search: habits and nights alongside by what they cost, then engine hours, then calls, cheapest first.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BinaryHeap};
use std::rc::Rc;

use boat::model::{Boat, LoadKind};
use boat::trip::Trip;

use super::bits::Bits;
use super::costs::Costs;
use super::course::{Course, Trace, trace};
use super::engine::{Engine, Tried};
use super::menu::{Deeds, Menu, SERVICES};
use super::need::lacks;
use super::tanks::Tanks;
use crate::luck::Luck;
use crate::run::Runner;
use crate::voyage::Voyage;

/// Costs closer than this are the same.
pub(super) const SAME: f64 = 1e-9;

/// Nodes that are finished when the effort is spent.
const FINISHED: usize = 6;

/// What is searched.
pub(super) struct Ground<'a> {
    pub(super) boat: &'a Boat,
    pub(super) trip: &'a Trip,
    pub(super) menu: &'a Menu,
    pub(super) costs: &'a Costs,
    /// The plan as it is, in steps of the search, and its drawings.
    pub(super) plain: &'a Voyage,
    pub(super) lucks: &'a [Luck],
    /// The course of each drawing with nothing done otherwise.
    pub(super) traces: &'a [Rc<Trace>],
    /// In how many drawings everything has to last.
    pub(super) least: usize,
    /// Which stores have to be kept, banks and ledgers.
    pub(super) banks: Vec<bool>,
    pub(super) ledgers: Vec<bool>,
    /// Steps that may be reckoned before the search gives up.
    pub(super) effort: u64,
}

/// What the search found.
pub(super) struct Found {
    /// The cheapest choice, if one is good enough.
    pub(super) best: Option<(f64, Deeds)>,
    /// No choice is cheaper than this.
    pub(super) floor: f64,
    /// Whether the search came to its end.
    pub(super) ended: bool,
}

/// Habits of the crew, with the course of each hard drawing under them.
pub(super) struct Living<'a> {
    pub(super) course: Rc<Course<'a>>,
    pub(super) traces: Vec<Rc<Trace>>,
    /// Drawings in which a bank is spent without engine and nights alongside.
    pub(super) hard: Vec<usize>,
    /// What the engine gives in each drawing: Ah a half hour, Ah more a run.
    pub(super) gives: Vec<(f64, f64)>,
}

/// How far a node of the search has been looked at.
enum Known {
    /// Its habits and nights cost so much.
    Fixed,
    /// Its calls cost so much more.
    Calls,
    /// Engine hours are being tried.
    Engine(Box<Engine>),
}

struct Node {
    key: f64,
    serial: u64,
    deeds: Deeds,
    known: Known,
}

impl PartialEq for Node {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for Node {}
impl PartialOrd for Node {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Node {
    /// The cheapest first out of a heap, and of those the one that was met first.
    fn cmp(&self, other: &Self) -> Ordering {
        other.key.total_cmp(&self.key).then(other.serial.cmp(&self.serial))
    }
}

/// The search under way.
pub(super) struct Hunt<'a> {
    pub(super) ground: &'a Ground<'a>,
    courses: Vec<(u32, Option<Rc<Course<'a>>>)>,
    livings: Vec<(u32, Option<Rc<Living<'a>>>)>,
    /// What calls cost at least, by the habits that spare tanks and by nights.
    priced: BTreeMap<(u32, u64), Option<f64>>,
    /// The habits that spare tanks.
    sparing: u32,
    heap: BinaryHeap<Node>,
    serial: u64,
    pub(super) best: Option<(f64, Deeds)>,
    pub(super) effort: u64,
    /// Whether every bound rests on all sets of calls.
    whole: bool,
}

impl<'a> Hunt<'a> {
    pub(super) fn new(ground: &'a Ground<'a>) -> Self {
        Self {
            ground,
            courses: Vec::new(),
            livings: Vec::new(),
            priced: BTreeMap::new(),
            sparing: sparing(ground.menu),
            heap: BinaryHeap::new(),
            serial: 0,
            best: None,
            effort: 0,
            whole: true,
        }
    }

    /// Searches until no open choice can be cheaper than the best, or the effort is spent.
    pub(super) fn run(mut self) -> Found {
        self.dive();
        self.push(0.0, Deeds::default(), Known::Fixed);
        let mut floor = 0.0;
        while let Some(node) = self.heap.pop() {
            if node.key >= self.upper() - SAME {
                break;
            }
            floor = node.key;
            if self.effort > self.ground.effort {
                self.heap.push(node);
                self.finish();
                return self.found(floor, false);
            }
            match node.known {
                Known::Fixed => {
                    self.branch(&node.deeds);
                    self.calls(node.deeds);
                }
                Known::Calls => self.engine(node.key, node.deeds),
                Known::Engine(engine) => self.advance(engine, node.deeds),
            }
        }
        let floor = self.best.as_ref().map_or(floor, |(cost, _)| *cost);
        self.found(floor, true)
    }

    /// A first choice that is good enough: with the usual habits, or with those that spare tanks. Whatever is dearer
    /// need not be looked at any more.
    fn dive(&mut self) {
        let all = Bits::all(self.ground.lucks.len());
        let mut tries: Vec<u32> = vec![0];
        tries.extend((0..32).map(|at| 1 << at).filter(|habit| self.sparing & habit != 0));
        tries.push(self.sparing);
        for habits in tries {
            let deeds = Deeds { habits, ..Deeds::default() };
            let Some(living) = self.living(habits) else { continue };
            let Some(tanks) = self.tanks(&deeds) else { continue };
            if tanks.cheapest(&all, self.ground.least, self.ground.costs).is_none() {
                continue;
            }
            let mut engine = Engine::new(self.ground, &living, &deeds, Vec::new(), tanks);
            engine.climb(self, &living, &deeds);
            if self.best.is_some() {
                return;
            }
        }
    }

    /// With the effort spent: a good choice for each of the most promising nodes, if it can be had quickly.
    fn finish(&mut self) {
        for _ in 0..FINISHED {
            let Some(node) = self.heap.pop().filter(|node| node.key < self.upper() - SAME) else { return };
            let deeds = node.deeds;
            let Some(living) = self.living(deeds.habits) else { continue };
            let mut engine = match node.known {
                Known::Engine(engine) => engine,
                Known::Fixed | Known::Calls => {
                    let Some(tanks) = self.tanks(&deeds) else { continue };
                    Box::new(Engine::new(self.ground, &living, &deeds, Vec::new(), tanks))
                }
            };
            engine.climb(self, &living, &deeds);
        }
    }

    fn found(self, floor: f64, ended: bool) -> Found {
        let whole = self.whole;
        Found { best: self.best, floor: if whole { floor } else { 0.0 }, ended: ended && whole }
    }

    pub(super) fn upper(&self) -> f64 {
        self.best.as_ref().map_or(f64::INFINITY, |(cost, _)| *cost)
    }

    fn push(&mut self, key: f64, deeds: Deeds, known: Known) {
        if key < self.upper() - SAME {
            self.serial += 1;
            self.heap.push(Node { key, serial: self.serial, deeds, known });
        }
    }

    /// One more habit or one more night, each set of them met once.
    fn branch(&mut self, deeds: &Deeds) {
        let menu = self.ground.menu;
        let mut more = Vec::new();
        if deeds.nights == 0 {
            let first = (32 - deeds.habits.leading_zeros()) as usize;
            for habit in first..menu.habits.len() {
                more.push(Deeds { habits: deeds.habits | 1 << habit, ..deeds.clone() });
            }
        }
        let first = (64 - deeds.nights.leading_zeros()) as usize;
        for night in (first..menu.nights.len()).filter(|night| menu.nights[*night]) {
            more.push(Deeds { nights: deeds.nights | 1 << night, ..deeds.clone() });
        }
        for deeds in more {
            let key = menu.fixed(&deeds, self.ground.costs);
            self.push(key, deeds, Known::Fixed);
        }
    }

    /// What calls cost at least with these habits and nights.
    fn calls(&mut self, deeds: Deeds) {
        let place = (deeds.habits & self.sparing, deeds.nights);
        let cost = if let Some(cost) = self.priced.get(&place) {
            *cost
        } else {
            let all = Bits::all(self.ground.lucks.len());
            let tanks = self.tanks(&deeds);
            let cheapest = tanks.and_then(|tanks| tanks.cheapest(&all, self.ground.least, self.ground.costs));
            let cost = cheapest.map(|(cost, _)| cost);
            self.priced.insert(place, cost);
            cost
        };
        if let Some(cost) = cost {
            let key = self.ground.menu.fixed(&deeds, self.ground.costs) + cost;
            self.push(key, deeds, Known::Calls);
        }
    }

    /// The tanks under a choice. Habits that spare batteries only change nothing there.
    pub(super) fn tanks(&mut self, deeds: &Deeds) -> Option<Tanks> {
        let ground = self.ground;
        let usual = self.living(0)?;
        let course = self.course(deeds.habits & self.sparing)?;
        let traces: Vec<&Trace> = usual.traces.iter().map(Rc::as_ref).collect();
        let tanks = Tanks::new(&course, &traces, deeds, &ground.ledgers, (&ground.menu.calls, ground.least));
        self.whole &= tanks.whole;
        Some(tanks)
    }

    /// Begins with engine hours.
    fn engine(&mut self, key: f64, deeds: Deeds) {
        let Some(living) = self.living(deeds.habits) else { return };
        let lacking: Vec<f64> =
            living.traces.iter().map(|trace| lacks(trace, deeds.nights, &self.ground.banks)).collect();
        let Some(tanks) = self.tanks(&deeds) else { return };
        let engine = Engine::new(self.ground, &living, &deeds, lacking, tanks);
        let _ = key;
        self.advance(Box::new(engine), deeds);
    }

    /// Tries engine hours while this node stays the most promising.
    fn advance(&mut self, mut engine: Box<Engine>, deeds: Deeds) {
        let Some(living) = self.living(deeds.habits) else { return };
        loop {
            let Some(key) = engine.next(self.ground) else { return };
            if key >= self.upper() - SAME {
                return;
            }
            if self.heap.peek().is_some_and(|top| top.key < key - SAME) {
                self.push(key, deeds, Known::Engine(engine));
                return;
            }
            if engine.level(self, &living, &deeds) == Tried::Spent {
                self.push(key, deeds, Known::Engine(engine));
                return;
            }
        }
    }

    /// Keeps a choice if it is the cheapest so far.
    pub(super) fn offer(&mut self, deeds: &Deeds, runs: &[u8], calls: [u64; SERVICES]) -> f64 {
        let deeds = Deeds { runs: runs.to_vec(), calls, ..deeds.clone() };
        let cost = self.ground.menu.cost(&deeds, self.ground.costs);
        if cost < self.upper() - SAME {
            self.best = Some((cost, deeds));
        }
        cost
    }

    fn living(&mut self, habits: u32) -> Option<Rc<Living<'a>>> {
        if let Some((_, living)) = self.livings.iter().find(|(own, _)| *own == habits) {
            return living.clone();
        }
        let usual = if habits == 0 { None } else { Some(self.living(0)?) };
        let made = self.make(habits, usual.as_deref()).map(Rc::new);
        self.livings.push((habits, made.clone()));
        made
    }

    fn course(&mut self, habits: u32) -> Option<Rc<Course<'a>>> {
        if let Some((_, course)) = self.courses.iter().find(|(own, _)| *own == habits) {
            return course.clone();
        }
        let ground = self.ground;
        let made = Course::new(ground.boat, ground.menu, ground.trip, habits, (ground.plain, ground.lucks));
        let made = made.map(Rc::new);
        self.courses.push((habits, made.clone()));
        made
    }

    /// Drawings that bear the usual habits bear saving ones: only the others are reckoned again.
    fn make(&mut self, habits: u32, usual: Option<&Living<'a>>) -> Option<Living<'a>> {
        let course = self.course(habits)?;
        let mut runner = Runner::new(&course.plain);
        let (mut traces, mut hard) = (Vec::new(), Vec::new());
        let idle = Deeds { runs: Vec::new(), ..Deeds::default() };
        for (number, luck) in course.lucks.iter().enumerate() {
            if habits == 0 {
                let own = Rc::clone(&self.ground.traces[number]);
                if spends(&own, &self.ground.banks) {
                    hard.push(number);
                }
                traces.push(own);
                continue;
            }
            if let Some(usual) = usual.filter(|usual| !usual.hard.contains(&number)) {
                traces.push(Rc::clone(&usual.traces[number]));
                continue;
            }
            let own = trace(&course, &mut runner, luck, &idle);
            self.effort += course.plain.steps as u64;
            if spends(&own, &self.ground.banks) {
                hard.push(number);
            }
            traces.push(Rc::new(own));
        }
        drop(runner);
        let gives = course.lucks.iter().map(|luck| course.engine_gives(luck)).collect();
        Some(Living { course, traces, hard, gives })
    }
}

/// Whether a bank that is to be kept is spent.
fn spends(trace: &Trace, kept: &[bool]) -> bool {
    trace.spent.iter().zip(kept).any(|(spent, kept)| *kept && spent.is_some())
}

/// The habits that change what tanks and bottles give or take.
fn sparing(menu: &Menu) -> u32 {
    let battery = |kind| matches!(kind, LoadKind::Electric | LoadKind::Mains);
    let tanks = menu.habits.iter().enumerate().filter(|(_, habit)| !battery(habit.saves));
    tanks.fold(0, |mask, (at, _)| mask | 1 << at)
}
