//! The least remedy: what a crew has to do otherwise so that everything lasts, at the least cost, with a proof.
//!
//! # The question
//! A choice is a set of habits, nights alongside, engine hours at anchor in half hours, and calls at docks. Of
//! [`Terms::drawings`] ways in which the trip may go, at most a tenth may spend a store (a chance constraint on a
//! sample: Luedtke and Ahmed, SIAM Journal on Optimization 19 (2008) 674). The cheapest such choice by [`Costs`] is
//! looked for, for that sample, in steps of ten minutes; then it is checked with other drawings, minute by minute.
//!
//! # The search
//! A best-first search (Hart, Nilsson and Raphael, IEEE Transactions on Systems Science and Cybernetics 4 (1968) 100)
//! over choices in the order of what they cost at least:
//!
//! - Habits and nights alongside cost what they cost, whatever else is done.
//! - Calls. Nothing that is drawn from a tank hangs on how full it is, so tanks need no reckoning of the trip: for each
//!   pair of moments a set of drawings says in which of them a full tank bears what is used between. The calls for
//!   all tanks together, counting drawings that several stores spend once, are found by looking at all of them.
//! - Engine hours, by the number of runs and half hours. Before any plan is tried, a bound: a bank that without the
//!   engine ends `d` ampere hours under its limit needs `d` ampere hours from it (`need.rs`). Drawings in which so many
//!   half hours can't be enough count as lost, and the calls are looked at again with what is left.
//! - Plans of engine hours are reckoned, drawing by drawing, the hardest first. More charge in never ends with less,
//!   so a plan that fails before some window bars all plans with no more engine before that window, a combinatorial
//!   cut (Hooker and Ottosson, Mathematical Programming 96 (2003) 33); so does what is learnt of single drawings.
//!
//! The least cost of all choices still open is a lower bound at every moment. When it meets the best choice found, that
//! is the least remedy for the sample and the gap is nothing; when [`Terms::effort`] is spent first, the gap tells how
//! much cheaper another could be at most. In steps of ten minutes banks take a little less charge than minute by
//! minute, never more: a remedy is rather too much than too little, and the check shows by how much. The bound rests on two things that the tests look at and nobody has proven
//! of the battery model: more charge in never ends with less, and an ampere hour never raises a bank by more than
//! itself.

mod bits;
mod costs;
mod course;
mod engine;
mod hunt;
mod menu;
mod need;
mod reach;
mod sample;
mod tanks;
mod words;

use std::rc::Rc;

use boat::diagnostic::Diagnostic;
use boat::model::Boat;
use boat::trip::Trip;

use crate::change::{Change, apply_all};
use crate::forecast::{Sort, ledger_name};
use crate::luck::Luck;
use crate::run::{Moment, Runner, Watch};
use crate::voyage::Voyage;
use course::{Course, Trace, trace};
use hunt::{Found, Ground, Hunt};
use menu::{Deeds, Menu};
use reach::Reach;

pub use costs::Costs;
pub use sample::drawings;
pub use words::{cautions, sentence, sentences};

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Terms {
    /// What each thing costs.
    pub costs: Costs,
    /// The seed of the drawings.
    pub seed: u64,
    /// Drawings that are searched with.
    pub drawings: u32,
    /// Other drawings that the remedy is checked with, minute by minute.
    pub checks: u32,
    /// The part of trips in which everything has to last.
    pub sure: f64,
    /// Whether nights alongside may be part of it.
    pub nights: bool,
    /// Whether engine hours at anchor may be part of it.
    pub engine: bool,
    /// Steps that may be reckoned before the search gives up with what it has.
    pub effort: u64,
}

impl Default for Terms {
    fn default() -> Self {
        Self {
            costs: Costs::default(),
            seed: 1,
            drawings: 100,
            checks: 200,
            sure: crate::words::SURE,
            nights: true,
            engine: true,
            effort: 3_000_000,
        }
    }
}

/// A remedy.
#[derive(Debug, Clone, PartialEq)]
pub struct Remedy {
    /// What is done otherwise; [`apply_all`] makes the plan of it.
    pub changes: Vec<Change>,
    /// The same in sentences.
    pub sentences: Vec<String>,
    /// What to mind while doing it.
    pub cautions: Vec<&'static str>,
    /// What it costs, in the points of [`Costs`].
    pub cost: f64,
    /// No remedy costs less than this that keeps `asked` of the drawings searched with.
    pub lower_bound: f64,
    /// The part of its cost that a cheaper remedy could save at most.
    pub gap: f64,
    /// The part of the searched drawings in which everything had to last: more than [`Terms::sure`] if the cheapest
    /// remedy for that did not hold in other drawings, less if nothing holds in so many.
    pub asked: f64,
    /// The lower bound for [`Terms::sure`] itself.
    pub lower_bound_at_sure: f64,
    /// Stores that nothing keeps; the remedy is for the others.
    pub cannot: Vec<String>,
    /// The part of the checking drawings in which everything lasts with it (stores in `cannot` left out).
    pub lasts: f64,
    /// The standard error of `lasts`.
    pub lasts_error: f64,
    /// The part in which everything lasts without it.
    pub before: f64,
    /// Drawings searched with.
    pub drawings: u32,
    /// Drawings checked with.
    pub checks: u32,
    /// What a reader has to know of it.
    pub notes: Vec<String>,
}

/// Plans longer than this are not searched.
const MOST_DAYS: usize = 30;
/// Seeds of the drawings that a remedy is checked with lie this far from those of the search.
const FRESH: u64 = 0x5EED_CAFE_F00D_0001;
/// How often the search is made stricter when the check fails.
const ROUNDS: u32 = 4;

/// The least remedy of a plan.
///
/// # Errors
/// As [`Voyage::new`]; and if the plan is longer than a month.
pub fn least(boat: &Boat, trip: &Trip, terms: &Terms) -> Result<Remedy, Vec<Diagnostic>> {
    let minutes = Voyage::new(boat, trip)?;
    let plain = Voyage::with_step(boat, trip, course::STEP)?;
    if trip.days.len() > MOST_DAYS {
        return Err(vec![
            Diagnostic::error("too-long", trip.span, "A remedy is looked for on trips of up to thirty days.")
                .expected("at most 30 days")
                .mend("Take the trip in parts."),
        ]);
    }
    let costs = terms.costs.mended();
    let mut menu = Menu::of(boat, trip, &plain.timeline, &costs);
    restrict(&mut menu, terms);
    let drawings = terms.drawings.max(1);
    let lucks = sample::drawings(&plain, terms.seed, drawings);
    let traces = usual(boat, trip, &menu, &plain, &lucks);
    let asked = Asked { boat, trip, terms, costs: &costs, plain: &plain, lucks: &lucks, traces: &traces };
    asked.answer(menu, &minutes)
}

/// The course of each drawing with nothing done otherwise.
fn usual(boat: &Boat, trip: &Trip, menu: &Menu, plain: &Voyage, lucks: &[Luck]) -> Vec<Rc<Trace>> {
    let Some(course) = Course::new(boat, menu, trip, 0, (plain, lucks)) else { return Vec::new() };
    let mut runner = Runner::new(&course.plain);
    lucks.iter().map(|luck| Rc::new(trace(&course, &mut runner, luck, &Deeds::default()))).collect()
}

fn restrict(menu: &mut Menu, terms: &Terms) {
    if !terms.nights {
        menu.nights.fill(false);
    }
    if !terms.engine {
        menu.windows.iter_mut().for_each(|window| window.longest = 0);
    }
}

/// A question made ready.
struct Asked<'a> {
    boat: &'a Boat,
    trip: &'a Trip,
    terms: &'a Terms,
    costs: &'a Costs,
    plain: &'a Voyage,
    lucks: &'a [Luck],
    traces: &'a [Rc<Trace>],
}

/// Which stores have to be kept.
#[derive(Debug, Clone, PartialEq)]
struct Kept {
    banks: Vec<bool>,
    ledgers: Vec<bool>,
}

impl Asked<'_> {
    fn ground<'g>(&'g self, menu: &'g Menu, kept: &Kept, least: usize) -> Ground<'g> {
        Ground {
            boat: self.boat,
            trip: self.trip,
            menu,
            costs: self.costs,
            plain: self.plain,
            lucks: self.lucks,
            traces: self.traces,
            least,
            banks: kept.banks.clone(),
            ledgers: kept.ledgers.clone(),
            effort: self.terms.effort,
        }
    }

    /// In how many drawings everything has to last.
    fn least(&self) -> usize {
        let all = self.lucks.len();
        let may_fail = (all as f64 * (1.0 - self.terms.sure.clamp(0.0, 1.0)) + 1e-9).floor();
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "at most all drawings")]
        let may_fail = may_fail as usize;
        all - may_fail.min(all)
    }

    fn answer(&self, mut menu: Menu, minutes: &Voyage) -> Result<Remedy, Vec<Diagnostic>> {
        let mut kept =
            Kept { banks: vec![true; self.plain.banks.len()], ledgers: vec![true; self.plain.ledgers.len()] };
        let least = self.least();
        let idle = Reach::idle(&self.ground(&menu, &kept, least));
        if let Some(idle) = &idle {
            reach::useful(&mut menu, idle, self.lucks.len(), self.plain);
        }
        let mut found = Hunt::new(&self.ground(&menu, &kept, least)).run();
        let mut strict = least;
        if found.best.is_none() && found.ended {
            (found, strict) = self.least_bad(&menu, &mut kept, least);
        }
        let usual_floor = found.floor;
        let before = self.check(minutes, &kept);
        for _ in 0..ROUNDS {
            let remedy = self.told(minutes, &menu, &found, (strict, usual_floor), &kept, before)?;
            let short = self.terms.sure - remedy.lasts;
            let reached = strict >= least && strict < self.lucks.len();
            if short <= 0.0 || found.best.is_none() || !reached {
                return Ok(remedy);
            }
            // Half of what is missing, so as not to ask for much too much.
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a part of the drawings"
            )]
            let more = (short * self.lucks.len() as f64 / 2.0).ceil() as usize;
            strict = (strict + more).min(self.lucks.len());
            let stricter = Hunt::new(&self.ground(&menu, &kept, strict)).run();
            if stricter.best.is_none() {
                return Ok(remedy);
            }
            found = stricter;
        }
        self.told(minutes, &menu, &found, (strict, usual_floor), &kept, before)
    }

    /// The least bad: with a lower share of drawings if no store can be kept in more, without a store that is lost in
    /// most of them whatever is done.
    fn least_bad(&self, menu: &Menu, kept: &mut Kept, least: usize) -> (Found, usize) {
        let Some(most) = Reach::most(&self.ground(menu, kept, least)) else {
            return (Hunt::new(&self.ground(menu, kept, least)).run(), least);
        };
        let half = self.lucks.len().div_ceil(2);
        let open = |kept: &mut [bool], counts: &[usize]| {
            kept.iter_mut().zip(counts).for_each(|(kept, count)| *kept &= *count >= half);
            counts.iter().filter(|count| **count >= half).min().copied().unwrap_or(least)
        };
        let banks = open(&mut kept.banks, &most.banks);
        let ledgers = open(&mut kept.ledgers, &most.ledgers);
        let mut share = least.min(banks).min(ledgers);
        let step = (self.lucks.len() / 20).max(1);
        loop {
            let found = Hunt::new(&self.ground(menu, kept, share)).run();
            if found.best.is_some() || share <= step {
                return (found, share);
            }
            share -= step;
        }
    }

    fn told(
        &self,
        minutes: &Voyage,
        menu: &Menu,
        found: &Found,
        (strict, usual_floor): (usize, f64),
        kept: &Kept,
        before: f64,
    ) -> Result<Remedy, Vec<Diagnostic>> {
        let (cost, changes) =
            found.best.as_ref().map_or((0.0, Vec::new()), |(cost, deeds)| (*cost, menu.changes(deeds)));
        let after = minutes.changed(self.boat, &apply_all(self.trip, &changes))?;
        let lasts = self.check(&after, kept);
        let checks = f64::from(self.terms.checks.max(1));
        let lasts_error = (lasts * (1.0 - lasts) / checks).sqrt();
        let lower_bound = found.floor.min(cost);
        let gap = if cost > 0.0 { (cost - lower_bound) / cost } else { 0.0 };
        let mut notes = Vec::new();
        if found.best.is_some() {
            notes.push(words::verdict(lasts, lasts_error, gap, gap <= 0.0, changes.is_empty()));
        } else {
            notes.push("No remedy was found among what was looked at.".to_owned());
        }
        if strict < self.least() {
            notes.push(words::least_bad(self.terms.sure));
        }
        let cannot = self.lost(kept);
        notes.extend(cannot.iter().map(|name| words::cannot(name)));
        Ok(Remedy {
            sentences: words::sentences(self.boat, self.trip, &changes),
            cautions: words::cautions(&changes),
            changes,
            cost,
            lower_bound,
            gap,
            asked: strict as f64 / self.lucks.len() as f64,
            lower_bound_at_sure: usual_floor.min(cost),
            cannot,
            lasts,
            lasts_error,
            before,
            drawings: self.terms.drawings.max(1),
            checks: self.terms.checks.max(1),
            notes,
        })
    }

    /// Names of stores that are not kept.
    fn lost(&self, kept: &Kept) -> Vec<String> {
        let banks = self.plain.banks.iter().zip(&kept.banks).filter(|(_, kept)| !**kept);
        let mut names: Vec<String> =
            banks.map(|(bank, _)| self.boat.stores[bank.store].name.clone()).collect();
        for (ledger, kept) in self.plain.ledgers.iter().zip(&kept.ledgers) {
            if !kept {
                names.push(ledger_name(self.boat, &ledger.stores, Sort::of_liquid(ledger.liquid)));
            }
        }
        names
    }

    /// The part of other drawings in which all that is to be kept lasts, minute by minute.
    fn check(&self, voyage: &Voyage, kept: &Kept) -> f64 {
        let mut runner = Runner::new(voyage);
        let checks = self.terms.checks.max(1);
        let mut last = 0_u32;
        for number in 0..u64::from(checks) {
            let luck = Luck::draw(voyage, self.terms.seed ^ FRESH, number);
            let mut watch = Lasts { voyage, kept, spent: false };
            runner.begin(&luck);
            for segment in &voyage.segments {
                runner.stretch(segment, &luck, &mut watch);
                if watch.spent {
                    break;
                }
            }
            last += u32::from(!watch.spent);
        }
        f64::from(last) / f64::from(checks)
    }
}

/// Looks whether anything that is to be kept is spent.
struct Lasts<'a> {
    voyage: &'a Voyage,
    kept: &'a Kept,
    spent: bool,
}

impl Watch for Lasts<'_> {
    fn step(&mut self, moment: &Moment<'_>) {
        let banks = self.kept.banks.iter().enumerate().filter(|(_, kept)| **kept);
        let ledgers = self.kept.ledgers.iter().enumerate().filter(|(_, kept)| **kept);
        self.spent = self.spent
            || banks.into_iter().any(|(bank, _)| moment.bank_is_spent(self.voyage, bank))
            || ledgers.into_iter().any(|(ledger, _)| moment.ledger_is_spent(self.voyage, ledger));
    }
}
