//! A boat and a trip plan made ready to be reckoned: stretches of time in which nothing changes but the stores.

mod amounts;
mod feeds;
mod ledger;
mod light;
mod lines;
mod segments;
mod start;
mod timeline;

use boat::diagnostic::{Diagnostic, Severity};
use boat::model::{Activity, Boat, StoreId};
use boat::trip::{Sight, Trip};
use quantity::{Current, Power, Ratio, Temperature, Time, Voltage};

use crate::battery::BankSpec;
use crate::stance::Stance;
pub(crate) use feeds::CHARGER_PASSES;
pub use feeds::{Feed, FeedKind};
pub use ledger::Ledger;
pub use lines::{Account, Habit, Line, Take};
pub(crate) use segments::clouds_leave;
pub(crate) use start::spec_of;
pub use timeline::{BED, Call, Stretch, Timeline, WAKE};

use ledger::Ledgers;
use lines::Maker;

/// The usual step: a minute.
pub const MINUTE: Time = Time::minutes(1.0);

/// A battery bank of the trip.
#[derive(Debug, Clone)]
pub struct BankPlan {
    /// Which store.
    pub store: StoreId,
    /// Its facts, at its expected health.
    pub spec: BankSpec,
    /// The part of its capacity that may be used.
    pub usable: Ratio,
    /// Whether the boat file says how much capacity is left; if not, more is left to chance.
    pub health_known: bool,
    /// How full it is at the start.
    pub start: Ratio,
    /// How far its gauge may be off.
    pub gauge_error: f64,
}

/// A stretch in which every line runs at one rate; thermostats, sun and the banks change within it.
#[derive(Debug, Clone)]
pub struct Segment {
    /// First step.
    pub from: usize,
    /// The step after its last.
    pub to: usize,
    /// The day of the plan, from zero.
    pub day: usize,
    /// What she does.
    pub activity: Activity,
    /// Whether an engine runs.
    pub engine: bool,
    /// Amperes and watts by line, at each bank.
    pub draws: Vec<(usize, usize, Draw)>,
    /// Watts of mains by line, all from the shore or all from an inverter.
    pub mains: Vec<(usize, Power)>,
    /// Thermostats that may run, by line.
    pub thermostats: Vec<usize>,
    /// What an hour takes from each ledger, by line: litres or kilograms.
    pub flows: Vec<(usize, usize, f64)>,
    /// What sources offer to each bank: (feed, bank, at full luck).
    pub offers: Vec<(usize, usize, Current)>,
    /// Panels that may give, by feed and bank.
    pub panels: Vec<(usize, usize)>,
    /// Combiners that may close, by feed.
    pub combiners: Vec<usize>,
    /// The charger that shares the pedestal with other mains, if shore power is there.
    pub shore: Option<Shore>,
    /// The inverter that feeds mains away from the shore: its feed, its bank.
    pub inverter: Option<(usize, usize)>,
    /// Ledgers made full (of waste: empty) as it begins.
    pub served: Vec<usize>,
    /// Gas or water or waste or fuel served as it begins, for people.
    pub call: Option<Call>,
}

/// Amperes, or watts that become amperes at the bank's voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Draw {
    /// Amperes.
    Current(Current),
    /// Watts.
    Power(Power),
}

/// Shore power of a stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shore {
    /// All that may be drawn: the least of pedestal and inlet.
    pub most: Power,
    /// Its current, for people.
    pub limit: Current,
}

/// A trip made ready to be reckoned.
#[derive(Debug, Clone)]
pub struct Voyage {
    /// The step.
    pub step: Time,
    /// How many steps.
    pub steps: usize,
    /// What happens when.
    pub timeline: Timeline,
    /// People aboard.
    pub crew: u32,
    /// Days of the plan.
    pub days: usize,
    /// The banks, in the order of the boat file.
    pub banks: Vec<BankPlan>,
    /// The banks in the order in which a step reckons them: a bank behind a combiner before the one that feeds it.
    pub order: Vec<usize>,
    /// Tanks and bottles.
    pub ledgers: Vec<Ledger>,
    /// How full each ledger is at the start, as a part.
    pub ledger_start: Vec<f64>,
    /// The loads.
    pub lines: Vec<Line>,
    /// The sources.
    pub feeds: Vec<Feed>,
    /// The stretches.
    pub segments: Vec<Segment>,
    /// The air of each step, as planned.
    pub air: Vec<Temperature>,
    /// The sun on a level surface of each step under a clear sky, as watts of a panel of one watt.
    pub sun: Vec<f32>,
    /// The part of each day's sky that is clouded, as planned.
    pub cloud: Vec<f64>,
    /// What was read on the way, by step.
    pub readings: Vec<Reading>,
    /// What a reader of the plan should know.
    pub notes: Vec<Diagnostic>,
}

/// A reading on the way, placed.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The step at whose end it was read.
    pub step: usize,
    /// Minutes since midnight of the first day.
    pub minute: u32,
    /// What the gauge belongs to in the reckoning, if it is of a store.
    pub of: Option<Gauge>,
    /// The store itself: one tank of several that are used together, say.
    pub store: Option<StoreId>,
    /// What was read.
    pub sight: Sight,
    /// Its place in the plan, from zero.
    pub number: usize,
}

/// What a gauge belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gauge {
    /// A bank, by its place.
    Bank(usize),
    /// A ledger, by its place.
    Ledger(usize),
}

impl Voyage {
    /// Makes a trip ready, minute by minute.
    ///
    /// # Errors
    /// All that the boat can't do or that contradicts itself, pointing into the plan's text.
    pub fn new(boat: &Boat, trip: &Trip) -> Result<Self, Vec<Diagnostic>> {
        Self::with_step(boat, trip, MINUTE)
    }

    /// Makes a trip ready in steps of another length, a whole part or multiple of a minute.
    ///
    /// # Errors
    /// As [`Voyage::new`].
    pub fn with_step(boat: &Boat, trip: &Trip, step: Time) -> Result<Self, Vec<Diagnostic>> {
        Self::made(boat, trip, step, None)
    }

    /// Makes a changed trip ready, in the same steps and the same weather: dates, times and place are this one's.
    pub(crate) fn changed(&self, boat: &Boat, trip: &Trip) -> Result<Self, Vec<Diagnostic>> {
        Self::made(boat, trip, self.step, Some(self))
    }

    fn made(boat: &Boat, trip: &Trip, step: Time, weather: Option<&Self>) -> Result<Self, Vec<Diagnostic>> {
        let (mut faults, mut notes) = (Vec::new(), Vec::new());
        let timeline = Timeline::with_notes(boat, trip, &mut notes)?;
        start::another_boat(boat, trip, &mut notes);
        let stances = Activity::ALL.map(|activity| Stance::of(boat, activity));
        let banks = start::banks(boat, trip, &mut faults);
        let ledgers = Ledgers::of_boat(boat);
        let ledger_start = start::ledgers(boat, trip, &ledgers, &mut faults);
        let stores: Vec<StoreId> = banks.iter().map(|bank| bank.store).collect();
        let maker = Maker {
            boat,
            trip,
            stances: &stances,
            banks: &stores,
            ledgers: &ledgers,
            faults: &mut faults,
            notes: &mut notes,
        };
        let lines = { maker }.lines();
        let feeds = feeds::feeds(boat, &stances, &stores);
        feeds::check(boat, trip, &timeline, &feeds, &mut faults, &mut notes);
        let readings = start::readings(boat, trip, (&timeline, step), (&banks, &ledgers), &mut faults);
        let laid = segments::Laid {
            boat,
            timeline: &timeline,
            step,
            lines: &lines,
            feeds: &feeds,
            ledgers: &ledgers,
        };
        let segments = laid.segments(&mut notes);
        let steps = segments.last().map_or(0, |segment| segment.to);
        let (air, sun, cloud) = match weather.filter(|usual| usual.steps == steps) {
            Some(usual) => (usual.air.clone(), usual.sun.clone(), usual.cloud.clone()),
            None => segments::weather(trip, &timeline, step, steps, &feeds),
        };
        feeds::note_position(trip, &timeline, &feeds, &mut notes);
        if faults.iter().any(|fault| fault.severity == Severity::Error) {
            faults.extend(notes);
            return Err(faults);
        }
        notes.extend(faults);
        Ok(Self {
            step,
            steps,
            crew: trip.crew,
            days: trip.days.len(),
            order: feeds::order(banks.len(), &feeds),
            banks,
            ledgers: ledgers.all,
            ledger_start,
            lines,
            feeds,
            segments,
            air,
            sun,
            cloud,
            readings,
            notes,
            timeline,
        })
    }

    /// Minutes since midnight of the first day at which a step begins.
    pub fn minute(&self, step: usize) -> f64 {
        #[allow(clippy::cast_precision_loss, reason = "steps of some weeks")]
        let since = step as f64 * self.step.as_minutes();
        f64::from(self.timeline.begin) + since
    }

    /// Steps in an hour.
    pub fn steps_an_hour(&self) -> usize {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to some thousands")]
        let steps = (Time::hours(1.0) / self.step).round() as usize;
        steps.max(1)
    }

    /// The voltage that a bank may be charged to by the sources that are on: the highest set point.
    pub(crate) fn set_point(&self, feed: usize) -> Voltage {
        self.feeds[feed].voltage
    }
}
