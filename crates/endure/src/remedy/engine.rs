//! Engine hours for one choice of habits and nights, cheapest first, with what is learnt from plans that fail.

use super::bits::Bits;
use super::course::first_spent;
use super::hunt::{Ground, Hunt, Living, SAME};
use super::menu::{Deeds, Menu};
use super::need::lacks;
use super::tanks::Tanks;
use crate::run::Runner;

/// How a level of engine hours ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tried {
    /// All its plans were tried.
    All,
    /// The effort is spent.
    Spent,
}

/// How many plans are remembered for each drawing.
const REMEMBERED: usize = 24;

/// What is known of one drawing's banks under engine plans. More engine never spends a bank that less engine keeps.
#[derive(Debug, Clone, Default)]
struct Learnt {
    /// Plans under which it lasts.
    lasts: Vec<Vec<u8>>,
    /// Plans under which a bank is spent, and the piece in which it first is.
    fails: Vec<(Vec<u8>, usize)>,
}

impl Learnt {
    /// Whether a plan with less engine was seen to last.
    fn lasts(&self, runs: &[u8]) -> bool {
        self.lasts.iter().any(|plan| plan.iter().zip(runs).all(|(less, more)| less <= more))
    }

    /// The piece in which a bank is spent, if a plan with more engine was seen to fail. Only what runs before then
    /// can help: windows lie one piece before their number.
    fn fails(&self, runs: &[u8]) -> Option<usize> {
        let more =
            |plan: &[u8], piece: usize| plan.iter().zip(runs).take(piece).all(|(more, less)| less <= more);
        self.fails.iter().find(|(plan, piece)| more(plan, *piece)).map(|(_, piece)| *piece)
    }

    fn learn(&mut self, runs: &[u8], outcome: Option<usize>) {
        match outcome {
            None if self.lasts.len() < REMEMBERED => self.lasts.push(runs.to_vec()),
            Some(piece) => {
                if self.fails.len() >= REMEMBERED {
                    self.fails.remove(0);
                }
                self.fails.push((runs.to_vec(), piece));
            }
            None => {}
        }
    }
}

/// A plan that fails too often, whatever runs in windows from this one on.
struct Barred {
    runs: Vec<u8>,
    from: usize,
}

/// The engine hours of one node.
pub(super) struct Engine {
    fixed: f64,
    /// Runs and half hours, by cost.
    levels: Vec<(usize, usize)>,
    /// The first level whose calls were not reckoned yet.
    fresh: usize,
    /// Levels whose least cost is known, calls included: that cost, and which.
    ready: Vec<(f64, usize)>,
    /// What calls cost at least, if banks last in all drawings.
    calls: f64,
    lacking: Vec<f64>,
    gives: Vec<(f64, f64)>,
    tanks: Tanks,
    /// Half hours at most by window.
    longest: Vec<u8>,
    learnt: Vec<Learnt>,
    /// Drawings to be reckoned, the hardest first.
    order: Vec<usize>,
    barred: Vec<Barred>,
}

impl Engine {
    pub(super) fn new(
        ground: &Ground<'_>,
        living: &Living<'_>,
        deeds: &Deeds,
        lacking: Vec<f64>,
        tanks: Tanks,
    ) -> Self {
        let longest = longest(ground.menu, deeds.nights);
        let open = longest.iter().filter(|longest| **longest > 0).count();
        let most: usize = longest.iter().map(|longest| usize::from(*longest)).sum();
        let widest = usize::from(longest.iter().copied().max().unwrap_or(0));
        let mut levels = vec![(0, 0)];
        for runs in 1..=open {
            levels.extend((runs..=most.min(runs * widest)).map(|halves| (runs, halves)));
        }
        let cost = |(runs, halves): (usize, usize)| ground.costs.engine(runs, halves);
        levels.sort_by(|a, b| cost(*a).total_cmp(&cost(*b)).then(a.cmp(b)));
        let mut order = living.hard.clone();
        let lack = |number: usize| {
            let own = lacking.get(number).copied();
            own.unwrap_or_else(|| lacks(&living.traces[number], deeds.nights, &ground.banks))
        };
        let short = |number: usize| lack(number) / living.gives[number].0.max(1e-6);
        order.sort_by(|a, b| short(*b).total_cmp(&short(*a)).then(a.cmp(b)));
        let all = Bits::all(ground.lucks.len());
        let calls = tanks.cheapest(&all, ground.least, ground.costs).map_or(f64::INFINITY, |(cost, _)| cost);
        Self {
            fixed: ground.menu.fixed(deeds, ground.costs),
            levels,
            fresh: 0,
            ready: Vec::new(),
            calls,
            gives: living.gives.clone(),
            lacking,
            tanks,
            longest,
            learnt: vec![Learnt::default(); ground.lucks.len()],
            order,
            barred: Vec::new(),
        }
    }

    /// The least that any level left can cost, calls included; none if no level is left.
    pub(super) fn next(&mut self, ground: &Ground<'_>) -> Option<f64> {
        loop {
            let known = self.ready.iter().map(|(key, _)| *key).fold(f64::INFINITY, f64::min);
            let Some((runs, halves)) = self.levels.get(self.fresh).copied() else {
                return known.is_finite().then_some(known);
            };
            let engine = self.fixed + ground.costs.engine(runs, halves);
            if known <= engine + self.calls {
                return known.is_finite().then_some(known);
            }
            let hopeful = self.hopeful(runs, halves);
            if hopeful.count() >= ground.least {
                if let Some((calls, _)) = self.tanks.cheapest(&hopeful, ground.least, ground.costs) {
                    self.ready.push((engine + calls, self.fresh));
                }
            }
            self.fresh += 1;
        }
    }

    /// The cheapest level that is ready.
    fn cheapest(&self) -> Option<usize> {
        let best =
            self.ready.iter().enumerate().min_by(|(_, a), (_, b)| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        best.map(|(at, _)| at)
    }

    /// Drawings that so many runs and half hours could keep.
    fn hopeful(&self, runs: usize, halves: usize) -> Bits {
        let mut bits = Bits::none(self.lacking.len());
        for (number, lacking) in self.lacking.iter().enumerate() {
            let (hot, cold) = self.gives[number];
            if *lacking <= hot * halves as f64 + cold * runs as f64 + 1e-9 {
                bits.put(number);
            }
        }
        bits
    }

    /// Tries all plans of the next level.
    pub(super) fn level<'a>(&mut self, hunt: &mut Hunt<'a>, living: &Living<'a>, deeds: &Deeds) -> Tried {
        let mut runner = Runner::new(&living.course.plain);
        let Some(place) = self.cheapest() else { return Tried::All };
        let (floor, level) = self.ready[place];
        let (runs, halves) = self.levels[level];
        let mut plan = vec![0; self.longest.len()];
        let mut trial = Trial { hunt, living, deeds, runner: &mut runner, floor };
        let tried = self.assign(&mut trial, &mut plan, 0, runs, halves);
        if tried == Tried::All {
            self.ready.remove(place);
        }
        tried
    }

    /// Gives windows from `at` on their half hours, in all ways.
    fn assign(
        &mut self,
        trial: &mut Trial<'_, '_, '_>,
        plan: &mut Vec<u8>,
        at: usize,
        runs: usize,
        halves: usize,
    ) -> Tried {
        if trial.hunt.effort > trial.hunt.ground.effort {
            return Tried::Spent;
        }
        if trial.hunt.upper() <= trial.floor + SAME || self.is_barred(plan, at) {
            return Tried::All;
        }
        if runs == 0 {
            return if halves == 0 { self.attempt(trial, plan) } else { Tried::All };
        }
        if at == plan.len() || halves < runs {
            return Tried::All;
        }
        let most = usize::from(self.longest[at]).min(halves + 1 - runs);
        for here in (0..=most).rev() {
            plan[at] = u8::try_from(here).unwrap_or(0);
            let tried = self.assign(trial, plan, at + 1, runs - usize::from(here > 0), halves - here);
            plan[at] = 0;
            if tried == Tried::Spent {
                return tried;
            }
        }
        Tried::All
    }

    /// Whether what was decided for the windows before `at` fails already.
    fn is_barred(&self, plan: &[u8], at: usize) -> bool {
        self.barred.iter().any(|bar| {
            bar.from <= at && plan[..bar.from].iter().zip(&bar.runs).all(|(own, barred)| own <= barred)
        })
    }

    fn attempt(&mut self, trial: &mut Trial<'_, '_, '_>, plan: &[u8]) -> Tried {
        // Windows that were not reached have nothing: the whole plan is decided.
        if self.is_barred(plan, plan.len()) {
            return Tried::All;
        }
        if let Some(kept) = self.lasting(trial, plan) {
            self.settle(trial, plan, &kept);
        }
        Tried::All
    }

    /// The calls that go with a plan whose banks last in these drawings.
    fn settle(&mut self, trial: &mut Trial<'_, '_, '_>, plan: &[u8], kept: &Bits) -> bool {
        let ground = trial.hunt.ground;
        let deeds = Deeds { runs: plan.to_vec(), ..trial.deeds.clone() };
        // The engine at anchor burns diesel: calls are reckoned again with it.
        let tanks = if plan.iter().all(|halves| *halves == 0) { None } else { trial.hunt.tanks(&deeds) };
        let tanks = tanks.as_ref().unwrap_or(&self.tanks);
        let Some((_, calls)) = tanks.cheapest(kept, ground.least, ground.costs) else { return false };
        trial.hunt.offer(trial.deeds, plan, calls);
        true
    }

    /// The drawings whose banks last under a plan; nothing if they are too few.
    fn lasting(&mut self, trial: &mut Trial<'_, '_, '_>, plan: &[u8]) -> Option<Bits> {
        let ground = trial.hunt.ground;
        let drawings = ground.lucks.len();
        let mut kept = Bits::all(drawings);
        let (mut fails, mut latest) = (Vec::new(), 0);
        let deeds = Deeds { runs: plan.to_vec(), ..trial.deeds.clone() };
        for number in &self.order {
            let learnt = &mut self.learnt[*number];
            if learnt.lasts(plan) {
                continue;
            }
            let outcome = learnt.fails(plan).or_else(|| {
                let course = &trial.living.course;
                let luck = &course.lucks[*number];
                let (outcome, steps) = first_spent(course, trial.runner, luck, &deeds, &ground.banks);
                trial.hunt.effort += steps as u64;
                learnt.learn(plan, outcome);
                outcome
            });
            if let Some(piece) = outcome {
                fails.push(*number);
                latest = latest.max(piece);
                if fails.len() + ground.least > drawings {
                    self.barred.push(Barred { runs: plan.to_vec(), from: latest.min(plan.len()) });
                    return None;
                }
            }
        }
        for number in &fails {
            kept.drop(*number);
        }
        Some(kept)
    }

    /// A first good plan: half hours one by one, each as late as helps, longer runs before more of them.
    pub(super) fn climb<'a>(&mut self, hunt: &mut Hunt<'a>, living: &Living<'a>, deeds: &Deeds) {
        let mut runner = Runner::new(&living.course.plain);
        let runner = &mut runner;
        let mut plan = vec![0_u8; self.longest.len()];
        let mut trial = Trial { hunt, living, deeds, runner, floor: 0.0 };
        loop {
            // What is dearer than the best without any call is of no use.
            let runs = plan.iter().filter(|halves| **halves > 0).count();
            let halves = plan.iter().map(|halves| usize::from(*halves)).sum();
            let engine = self.fixed + self.calls + trial.hunt.ground.costs.engine(runs, halves);
            if engine >= trial.hunt.upper() - SAME {
                return;
            }
            let from = match self.lasting(&mut trial, &plan) {
                Some(kept) if self.settle(&mut trial, &plan, &kept) => return,
                Some(_) => plan.len(),
                None => self.barred.last().map_or(plan.len(), |bar| bar.from),
            };
            let room = |at: &usize| plan[*at] < self.longest[*at];
            let longer = (0..from).rev().filter(|at| plan[*at] > 0).find(room);
            let Some(at) = longer.or_else(|| (0..from).rev().find(room)) else { return };
            plan[at] += 1;
        }
    }
}

/// What a plan is tried with.
struct Trial<'t, 'h, 'r> {
    hunt: &'t mut Hunt<'h>,
    living: &'t Living<'h>,
    deeds: &'t Deeds,
    runner: &'t mut Runner<'r>,
    /// Nothing at this level is cheaper.
    floor: f64,
}

/// Half hours that each window takes, nights alongside left out.
fn longest(menu: &Menu, nights: u64) -> Vec<u8> {
    menu.windows
        .iter()
        .enumerate()
        .map(|(at, window)| if nights >> (at / 2) & 1 == 1 { 0 } else { window.longest })
        .collect()
}
