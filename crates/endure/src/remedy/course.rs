//! One way of living aboard (habits settled), with every piece of the trip as it runs under each choice for its night.

use std::cell::OnceCell;

use boat::model::Boat;
use boat::trip::Trip;
use quantity::Time;

use super::menu::{Deeds, Menu, picked};
use crate::change::{Change, apply_all};
use crate::luck::Luck;
use crate::run::{Moment, Runner, Watch};
use crate::voyage::{Account, FeedKind, Habit, Segment, Take, Voyage};

/// The step of the search. Half hours and quarters of hours of a plan are whole numbers of it or nearly so.
pub(super) const STEP: Time = Time::minutes(10.0);

/// The trip with some habits, under all choices of nights and engine hours.
pub(super) struct Course<'a> {
    boat: &'a Boat,
    menu: &'a Menu,
    trip: Trip,
    pub(super) plain: Voyage,
    /// Every engine run of so many half hours, from one.
    runs: Vec<OnceCell<Option<Voyage>>>,
    /// Each night alongside, one at a time.
    alongside: Vec<OnceCell<Option<Voyage>>>,
    /// The drawings.
    pub(super) lucks: Vec<Luck>,
}

impl<'a> Course<'a> {
    /// With habits by bit. The drawings of `usual` hold here too: a load that is not used changes nobody else's luck.
    pub(super) fn new(
        boat: &'a Boat,
        menu: &'a Menu,
        trip: &Trip,
        habits: u32,
        usual: (&Voyage, &[Luck]),
    ) -> Option<Self> {
        let changes: Vec<Change> =
            picked(&menu.habits, u64::from(habits)).map(|habit| habit.change.clone()).collect();
        let trip = apply_all(trip, &changes);
        let (whole, lucks) = usual;
        let plain = whole.changed(boat, &trip).ok()?;
        let places: Vec<usize> = plain
            .lines
            .iter()
            .map(|line| whole.lines.iter().position(|other| other.load == line.load))
            .collect::<Option<_>>()?;
        let lucks = lucks
            .iter()
            .map(|luck| Luck {
                lines: places.iter().map(|place| luck.lines[*place]).collect(),
                ..luck.clone()
            })
            .collect();
        let longest = menu.windows.iter().map(|window| window.longest).max().unwrap_or(0);
        Some(Self {
            boat,
            menu,
            trip,
            plain,
            runs: (0..longest).map(|_| OnceCell::new()).collect(),
            alongside: menu.nights.iter().map(|_| OnceCell::new()).collect(),
            lucks,
        })
    }

    fn changed(&self, changes: &[Change]) -> Option<Voyage> {
        self.plain.changed(self.boat, &apply_all(&self.trip, changes)).ok()
    }

    fn with_runs(&self, halves: u8) -> Option<&Voyage> {
        let cell = self.runs.get(usize::from(halves) - 1)?;
        cell.get_or_init(|| {
            let windows = self.menu.windows.iter().filter(|window| window.longest > 0);
            let changes: Vec<Change> = windows.map(|window| window.run(halves.min(window.longest))).collect();
            self.changed(&changes)
        })
        .as_ref()
    }

    fn with_night(&self, night: usize) -> Option<&Voyage> {
        let cell = self.alongside.get(night)?;
        cell.get_or_init(|| self.changed(&[Change::Alongside { day: night, pedestal: self.menu.pedestal }]))
            .as_ref()
    }

    /// Whether she could call at a dock on each day.
    pub(super) fn calls(&self) -> &[bool] {
        &self.menu.calls
    }

    /// How many pieces the trip has.
    pub(super) fn pieces(&self) -> usize {
        self.menu.cuts.len() - 1
    }

    /// A piece of the trip as it runs with a choice: the window of a piece is the one before its number.
    pub(super) fn piece(&self, at: usize, deeds: &Deeds) -> &[Segment] {
        let night = at.checked_sub(1).map(|window| window / 2);
        let alongside = night.filter(|night| *night < 64 && deeds.nights >> night & 1 == 1);
        let halves = at.checked_sub(1).and_then(|window| deeds.runs.get(window)).copied().unwrap_or(0);
        let voyage = match (alongside, halves) {
            (Some(night), _) => self.with_night(night),
            (None, 0) => None,
            (None, halves) => self.with_runs(halves),
        };
        self.cut(voyage.unwrap_or(&self.plain), at)
    }

    /// The stretches of a voyage that lie in a piece; every cut is an edge of stretches.
    fn cut<'v>(&self, voyage: &'v Voyage, at: usize) -> &'v [Segment] {
        let step = |minute: u32| {
            let since = Time::minutes(f64::from(minute - self.plain.timeline.begin));
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the trip")]
            let step = (since / STEP).round() as usize;
            step
        };
        let (from, to) = (step(self.menu.cuts[at]), step(self.menu.cuts[at + 1]));
        let first = voyage.segments.partition_point(|segment| segment.from < from);
        let last = voyage.segments.partition_point(|segment| segment.from < to);
        &voyage.segments[first..last.max(first)]
    }

    /// What one piece takes from each ledger (of waste: gives to it), by line and thermostats apart; litres or
    /// kilograms if all goes as planned.
    pub(super) fn demand(&self, at: usize, deeds: &Deeds) -> Vec<(usize, usize, f64)> {
        let mut all: Vec<(usize, usize, f64)> = Vec::new();
        for segment in self.piece(at, deeds) {
            let hours = STEP.as_hours() * (segment.to - segment.from) as f64;
            for (line, ledger, rate) in &segment.flows {
                match all.iter_mut().find(|(own, into, _)| own == line && into == ledger) {
                    Some((_, _, amount)) => *amount += rate * hours,
                    None => all.push((*line, *ledger, rate * hours)),
                }
            }
        }
        all
    }

    /// The factor on what a line takes of a ledger in a drawing.
    pub(super) fn factor(&self, line: usize, luck: &Luck) -> f64 {
        let engine = matches!(self.plain.lines[line].take, Take::Engine(_));
        if engine { luck.lines[line] * luck.engine } else { luck.lines[line] }
    }

    /// What a drawing's engine can put into all banks at anchor: Ah in each half hour, and Ah more for each run while
    /// its alternators are cold.
    pub(super) fn engine_gives(&self, luck: &Luck) -> (f64, f64) {
        let windows = self.menu.windows.iter().enumerate().filter(|(_, window)| window.longest > 0);
        let (mut hot, mut cold): (f64, f64) = (0.0, 0.0);
        for (at, window) in windows {
            let mut runs = vec![0; self.menu.windows.len()];
            runs[at] = window.longest;
            let deeds = Deeds { runs, ..Deeds::default() };
            let (mut least, mut most, mut over) = (f64::INFINITY, 0.0_f64, 0.0);
            let engine =
                |segment: &&Segment| segment.engine && segment.activity == boat::model::Activity::Charging;
            for segment in self.piece(at + 1, &deeds).iter().filter(engine) {
                let amps = self.alternators(segment, luck);
                least = least.min(amps);
                most = most.max(amps);
            }
            for segment in self.piece(at + 1, &deeds).iter().filter(engine) {
                let hours = STEP.as_hours() * (segment.to - segment.from) as f64;
                over += (self.alternators(segment, luck) - least) * hours;
            }
            if most > 0.0 {
                hot = hot.max(least * 0.5);
                cold = cold.max(over);
            }
        }
        (hot, cold)
    }

    fn alternators(&self, segment: &Segment, luck: &Luck) -> f64 {
        let mut amps = 0.0;
        let mut seen = Vec::new();
        for (feed, _, current) in &segment.offers {
            if matches!(self.plain.feeds[*feed].kind, FeedKind::Alternator(..)) && !seen.contains(feed) {
                seen.push(*feed);
                amps += current.as_amps() * luck.feeds[*feed] * luck.engine.min(1.3);
            }
        }
        amps
    }

    /// Whether something with a thermostat takes from a ledger.
    pub(super) fn has_thermostat(&self, ledger: usize) -> bool {
        self.plain.lines.iter().any(|line| {
            matches!(line.habit, Habit::Thermostat { .. }) && line.account == Account::Ledger(ledger)
        })
    }
}

/// Looks whether a bank is spent.
pub(super) struct BankWatch<'a> {
    pub(super) voyage: &'a Voyage,
    pub(super) kept: &'a [bool],
    pub(super) spent: bool,
}

impl Watch for BankWatch<'_> {
    fn step(&mut self, moment: &Moment<'_>) {
        self.spent |=
            (0..self.kept.len()).any(|bank| self.kept[bank] && moment.bank_is_spent(self.voyage, bank));
    }
}

/// The course of the banks in one drawing, piece by piece.
#[derive(Debug, Clone, Default)]
pub(super) struct Trace {
    /// Lowest charge of each bank in each piece, in Ah, less what loads went without until then.
    pub(super) low: Vec<Vec<f64>>,
    /// The same at the end of each piece.
    pub(super) ends: Vec<Vec<f64>>,
    /// The charge below which each bank counts as spent, and its charge when full, in Ah.
    pub(super) limits: Vec<(f64, f64)>,
    /// What thermostats took from each ledger in each piece: litres or kilograms.
    pub(super) thermostats: Vec<Vec<f64>>,
    /// The first piece in which each bank was spent.
    pub(super) spent: Vec<Option<usize>>,
}

struct Tracer<'a> {
    voyage: &'a Voyage,
    trace: Trace,
    wanting: Vec<f64>,
    piece: usize,
}

impl Watch for Tracer<'_> {
    fn step(&mut self, moment: &Moment<'_>) {
        let hours = self.voyage.step.as_hours();
        for bank in 0..self.voyage.banks.len() {
            let made = &moment.banks[bank];
            if self.trace.limits.len() <= bank {
                let usable = self.voyage.banks[bank].usable.as_plain();
                let limit = made.with_share(quantity::Ratio::plain(1.0 - usable));
                self.trace
                    .limits
                    .push((made.held(&limit).as_amp_hours(), made.held(&made.full()).as_amp_hours()));
            }
            self.wanting[bank] += moment.flows[bank].unmet.as_amps() * hours;
            let level = made.held(&moment.charged[bank]).as_amp_hours() - self.wanting[bank];
            let low = &mut self.trace.low[self.piece][bank];
            *low = low.min(level);
            self.trace.ends[self.piece][bank] = level;
            if self.trace.spent[bank].is_none() && moment.bank_is_spent(self.voyage, bank) {
                self.trace.spent[bank] = Some(self.piece);
            }
        }
        for (at, line) in self.voyage.lines.iter().enumerate() {
            if let (true, Habit::Thermostat { .. }, Account::Ledger(ledger), Take::Hourly(rate)) =
                (moment.running[at], line.habit, line.account, line.take)
            {
                self.trace.thermostats[self.piece][ledger] += rate * hours;
            }
        }
    }
}

/// The trace of one drawing with nights as chosen and no engine.
pub(super) fn trace(course: &Course<'_>, runner: &mut Runner<'_>, luck: &Luck, deeds: &Deeds) -> Trace {
    let voyage = &course.plain;
    let (pieces, banks, ledgers) = (course.pieces(), voyage.banks.len(), voyage.ledgers.len());
    let mut tracer = Tracer {
        voyage,
        trace: Trace {
            low: vec![vec![f64::INFINITY; banks]; pieces],
            ends: vec![vec![0.0; banks]; pieces],
            limits: Vec::new(),
            thermostats: vec![vec![0.0; ledgers]; pieces],
            spent: vec![None; banks],
        },
        wanting: vec![0.0; banks],
        piece: 0,
    };
    runner.begin(luck);
    for piece in 0..pieces {
        tracer.piece = piece;
        if piece > 0 {
            let (before, here) = tracer.trace.ends.split_at_mut(piece);
            here[0].clone_from(&before[piece - 1]);
        }
        for segment in course.piece(piece, deeds) {
            runner.stretch(segment, luck, &mut tracer);
        }
    }
    tracer.trace
}

/// The piece in which a bank that is to be kept is first spent, if one is.
pub(super) fn first_spent(
    course: &Course<'_>,
    runner: &mut Runner<'_>,
    luck: &Luck,
    deeds: &Deeds,
    kept: &[bool],
) -> (Option<usize>, usize) {
    let mut watch = BankWatch { voyage: &course.plain, kept, spent: false };
    let mut steps = 0;
    runner.begin(luck);
    for piece in 0..course.pieces() {
        for segment in course.piece(piece, deeds) {
            runner.stretch(segment, luck, &mut watch);
            steps += segment.to - segment.from;
            if watch.spent {
                return (Some(piece), steps);
            }
        }
    }
    (None, steps)
}
