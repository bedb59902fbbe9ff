//! What a crew could do otherwise on a given plan: nights, calls, hours for the engine, habits.

use boat::model::{Activity, Boat, Event, LoadKind, Runs, SourceKind, Without};
use boat::trip::{Clock, Day, Trip};
use quantity::{Current, Time, Volume};

use super::costs::Costs;
use crate::change::Change;
use crate::voyage::Timeline;

/// When an engine may run for the batteries, if nothing stands in the way: from the end of the quiet hours in the
/// morning, and before supper (common practice).
const EVENING: u32 = 17 * 60;
/// The length of an engine run is a multiple of this.
pub(super) const HALF_HOUR: u32 = 30;
/// No run is longer than two hours: with nobody in the water and fumes about, longer is no holiday (our judgement).
const LONGEST: u32 = 4;
/// What careful people use of the water that is usual (our judgement).
const CAREFUL: f64 = 0.7;
/// Flushes each a day where a crew saves them (our judgement).
const FEW_FLUSHES: f64 = 3.0;
const DAY: u32 = 1440;

/// Times in which an engine may run, or none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Window {
    /// The day of the plan, from zero.
    pub(super) day: usize,
    pub(super) from: u32,
    /// Half hours at most; none if it can't.
    pub(super) longest: u8,
}

/// A habit that can be changed for the whole trip.
#[derive(Debug, Clone)]
pub(super) struct Habit {
    pub(super) change: Change,
    pub(super) cost: f64,
    /// What it saves of.
    pub(super) saves: LoadKind,
}

/// What can be done at a call.
pub(super) const SERVICES: usize = 4;
pub(super) const WATER: usize = 0;
pub(super) const PUMP_OUT: usize = 1;
pub(super) const DIESEL: usize = 2;
pub(super) const GAS: usize = 3;

/// All that could be done otherwise.
#[derive(Debug, Clone)]
pub(super) struct Menu {
    /// Minutes that cut the trip into pieces: the first day until she lies for the night, then of each night its
    /// evening until midnight, and its morning with the day after it; at last what is left of the last day.
    pub(super) cuts: Vec<u32>,
    /// For each night its evening and its morning.
    pub(super) windows: Vec<Window>,
    /// Whether each night could be alongside.
    pub(super) nights: Vec<bool>,
    /// Whether she could call at a dock on each day, the last one left out.
    pub(super) calls: Vec<bool>,
    pub(super) habits: Vec<Habit>,
    pub(super) pedestal: Current,
}

/// A choice from the menu.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Deeds {
    /// Habits, by bit.
    pub(super) habits: u32,
    /// Nights alongside, by bit.
    pub(super) nights: u64,
    /// Half hours of engine by window.
    pub(super) runs: Vec<u8>,
    /// Calls by service and day, by bit.
    pub(super) calls: [u64; SERVICES],
}

impl Menu {
    pub(super) fn of(boat: &Boat, trip: &Trip, timeline: &Timeline, costs: &Costs) -> Self {
        let nights = trip.days.len().saturating_sub(1);
        let mut cuts = vec![timeline.begin];
        for (day, row) in trip.days.iter().enumerate() {
            let day = start(day);
            cuts.push((day + stop(row)).clamp(timeline.begin, timeline.end));
            cuts.push((day + DAY).clamp(timeline.begin, timeline.end));
        }
        let inlet = boat.feeds.iter().find_map(|source| match source.kind {
            SourceKind::Shore(current) => Some(current),
            _ => None,
        });
        let moves = |row: &Day| !row.legs.is_empty();
        let lies = |row: &Day| matches!(row.night, Activity::Anchored | Activity::Moored);
        let charges = boat.feeds.iter().any(|source| matches!(source.kind, SourceKind::Alternator(_)));
        let mut windows = Vec::new();
        for night in 0..nights {
            let open = charges && lies(&trip.days[night]);
            windows.push(evening(trip, timeline, night, open));
            windows.push(morning(trip, timeline, night + 1, open));
        }
        let days = &trip.days[..nights];
        Self {
            cuts,
            windows,
            nights: days.iter().map(|row| inlet.is_some() && moves(row) && lies(row)).collect(),
            calls: days.iter().map(|row| moves(row) || row.night == Activity::Alongside).collect(),
            habits: habits(boat, trip, costs),
            pedestal: inlet.unwrap_or(Current::ZERO),
        }
    }

    /// What a choice is, as changes of the plan.
    pub(super) fn changes(&self, deeds: &Deeds) -> Vec<Change> {
        let mut changes: Vec<Change> =
            picked(&self.habits, u64::from(deeds.habits)).map(|habit| habit.change.clone()).collect();
        for day in 0..self.calls.len() {
            let call = |service: usize| deeds.calls[service] >> day & 1 == 1;
            let all = [Change::Water(day), Change::PumpOut(day), Change::Fuel(day), Change::Gas(day)];
            changes.extend(all.into_iter().enumerate().filter(|(at, _)| call(*at)).map(|(_, change)| change));
            if deeds.nights >> day & 1 == 1 {
                changes.push(Change::Alongside { day, pedestal: self.pedestal });
            }
            for at in [2 * day, 2 * day + 1] {
                if let Some(halves) = deeds.runs.get(at).filter(|halves| **halves > 0) {
                    changes.push(self.windows[at].run(*halves));
                }
            }
        }
        changes
    }

    /// What a choice costs.
    pub(super) fn cost(&self, deeds: &Deeds, costs: &Costs) -> f64 {
        let runs = deeds.runs.iter().filter(|halves| **halves > 0).count();
        let halves = deeds.runs.iter().map(|halves| usize::from(*halves)).sum();
        self.fixed(deeds, costs) + costs.engine(runs, halves) + calls_cost(&deeds.calls, deeds.nights, costs)
    }

    /// What its habits and nights cost.
    pub(super) fn fixed(&self, deeds: &Deeds, costs: &Costs) -> f64 {
        let habits: f64 = picked(&self.habits, u64::from(deeds.habits)).map(|habit| habit.cost).sum();
        habits + costs.marina_night * f64::from(deeds.nights.count_ones())
    }
}

/// What calls cost. What a night alongside gives anyway costs nothing more, nor does coming in for the rest.
pub(super) fn calls_cost(calls: &[u64; SERVICES], nights: u64, costs: &Costs) -> f64 {
    let each = [costs.water, costs.pump_out, costs.diesel, costs.gas];
    let any = calls.iter().fold(0, |any, mask| any | mask) & !nights;
    let services: f64 = calls.iter().zip(each).map(|(mask, cost)| f64::from(mask.count_ones()) * cost).sum();
    costs.dock_call * f64::from(any.count_ones()) + services
}

/// The entries that a mask picks.
pub(super) fn picked<T>(all: &[T], mask: u64) -> impl Iterator<Item = &T> {
    all.iter().enumerate().filter(move |(at, _)| mask >> at & 1 == 1).map(|(_, one)| one)
}

impl Window {
    fn shut(day: usize) -> Self {
        Self { day, from: EVENING, longest: 0 }
    }

    /// Between these minutes of a day, as far as the plan's own runs leave it free.
    fn between(trip: &Trip, day: usize, from: u32, to: u32) -> Self {
        let from = from.div_ceil(HALF_HOUR) * HALF_HOUR;
        let taken = trip.days[day].engine.iter().any(|run| {
            let begins = run.from.minutes();
            begins < to && begins + minutes(run.lasts) > from
        });
        let room = to.saturating_sub(from) / HALF_HOUR;
        if taken || room == 0 {
            return Self::shut(day);
        }
        Self { day, from, longest: u8::try_from(room.min(LONGEST)).unwrap_or(0) }
    }

    pub(super) fn run(&self, halves: u8) -> Change {
        #[allow(clippy::cast_possible_truncation, reason = "within a day")]
        let from = Clock::at((self.from / 60) as u16, (self.from % 60) as u16);
        let lasts = Time::minutes(f64::from(u32::from(halves) * HALF_HOUR));
        Change::Engine { day: self.day, from, lasts }
    }
}

fn evening(trip: &Trip, timeline: &Timeline, day: usize, open: bool) -> Window {
    let (midnight, row) = (start(day), &trip.days[day]);
    if !open {
        return Window::shut(day);
    }
    // A leg that ends within a minute takes all of it.
    let stops = stop(row) + u32::from(!row.legs.is_empty());
    let stops = if row.legs.last().is_some_and(|leg| whole(leg.lasts)) { stop(row) } else { stops };
    let from = EVENING.max(stops).max(timeline.begin.saturating_sub(midnight));
    let to = trip.quiet_from.minutes().min(DAY).min(timeline.end.saturating_sub(midnight));
    Window::between(trip, day, from.max(trip.quiet_until.minutes()), to)
}

fn morning(trip: &Trip, timeline: &Timeline, day: usize, open: bool) -> Window {
    let Some(row) = trip.days.get(day).filter(|_| open) else { return Window::shut(day) };
    let leaves = row.legs.first().map_or(stop(row), |leg| leg.from.minutes());
    let to = leaves.min(timeline.end.saturating_sub(start(day))).min(trip.quiet_from.minutes());
    Window::between(trip, day, trip.quiet_until.minutes(), to.min(EVENING))
}

fn start(day: usize) -> u32 {
    u32::try_from(day).unwrap_or(0) * DAY
}

/// The minute of a day from which she lies for the night, as the timeline has it.
fn stop(day: &Day) -> u32 {
    day.legs.last().map_or(DAY / 2, |leg| (leg.from.minutes() + minutes(leg.lasts)).min(DAY))
}

fn whole(time: Time) -> bool {
    (time.as_minutes() - time.as_minutes().round()).abs() < 1e-6
}

fn minutes(time: Time) -> u32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within a day")]
    let minutes = time.as_minutes().round() as u32;
    minutes
}

/// The habits that the boat file and the plan leave open.
fn habits(boat: &Boat, trip: &Trip, costs: &Costs) -> Vec<Habit> {
    let days = trip.days.len() as f64;
    let saved = |id: &str| trip.off.iter().any(|saving| saving.load == id);
    let nightly = |id: &str| trip.off_at_night.iter().any(|saving| saving.load == id);
    let mut habits = Vec::new();
    for load in boat.loads.iter().filter(|load| !saved(&load.id)) {
        let (change, cost) = match load.do_without {
            Some(Without::AtNight) if !nightly(&load.id) => {
                (Change::OffAtNight(load.id.clone()), costs.off_at_night * (days - 1.0).max(1.0))
            }
            Some(Without::Altogether) => (Change::Without(load.id.clone()), costs.without * days),
            _ => continue,
        };
        habits.push(Habit { change, cost, saves: load.kind });
    }
    if let Some(each) = water_each(boat, trip) {
        let cost = costs.careful_water * days;
        habits.push(Habit { change: Change::WaterEach(each * CAREFUL), cost, saves: LoadKind::Water });
    }
    let flushed = boat.loads.iter().any(|load| {
        load.kind == LoadKind::Waste && matches!(load.runs, Runs::Event { per: Event::Flush, .. })
    });
    if flushed && trip.habits.flushes_each > FEW_FLUSHES {
        let cost = costs.fewer_flushes * days;
        habits.push(Habit { change: Change::FlushesEach(FEW_FLUSHES), cost, saves: LoadKind::Waste });
    }
    habits.truncate(32);
    habits
}

/// Water that each person uses a day, if one load of the boat tells it.
fn water_each(boat: &Boat, trip: &Trip) -> Option<Volume> {
    let mut daily = boat.loads.iter().filter_map(|load| match load.runs {
        Runs::Daily { boat, each, .. } if load.kind == LoadKind::Water => Some((boat, each)),
        _ => None,
    });
    let (whole, each) = daily.next().filter(|_| daily.next().is_none())?;
    if trip.habits.water_each.is_some() {
        return trip.habits.water_each;
    }
    let volume = |amount| match amount {
        Some(boat::model::Amount::Volume(volume)) => volume,
        _ => Volume::ZERO,
    };
    let total = volume(each) + volume(whole) / f64::from(trip.crew.max(1));
    (total > Volume::ZERO).then_some(total)
}
