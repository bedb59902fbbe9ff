//! What the boat is doing at every moment of a trip, from the plan's days.

use almanac::Position;
use boat::diagnostic::{Diagnostic, Severity};
use boat::model::{Activity, Boat};
use boat::trip::{Clock, Day, Trip};
use jiff::civil::Date;
use jiff::{SignedDuration, Timestamp};
use quantity::{Current, Length, RotationalSpeed, Time};

use super::light::{dark, midnight, position};

/// When people get up and turn in, for loads of the waking hours (common practice).
pub const WAKE: Clock = Clock::at(7, 0);
/// When people turn in.
pub const BED: Clock = Clock::at(22, 0);

/// How long an alternator gives its cold rating before its heat takes the rest (common practice).
pub(super) const COLD: Time = Time::minutes(10.0);

/// Speed of an engine where neither plan nor boat file says it (common practice: a fast idle for charging).
const CHARGING_RPM: RotationalSpeed = RotationalSpeed::rpm(1400.0);
/// Part of the most rpm for cruising, where nothing is said (common practice).
const CRUISING: f64 = 0.7;
const CRUISING_RPM: RotationalSpeed = RotationalSpeed::rpm(2200.0);
/// Chain let out where the plan does not say it (common practice: six metres of water, five times).
const USUAL_CHAIN: Length = Length::metres(30.0);

pub(crate) const DAY_MINUTES: u32 = 1440;

/// A stretch of the trip in which one thing is done, from and to in minutes since midnight of the first day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// First minute.
    pub from: u32,
    /// The minute after its last.
    pub to: u32,
    /// What she does.
    pub activity: Activity,
    /// The engine's speed, if it runs.
    pub rpm: Option<RotationalSpeed>,
    /// The pedestal's current, if shore power is plugged in.
    pub pedestal: Option<Current>,
}

/// What is filled or emptied when she comes in.
#[allow(clippy::struct_excessive_bools, reason = "each service is had or not, whatever the others are")]
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Call {
    /// When.
    pub at: u32,
    /// The day of the plan, from zero.
    pub day: usize,
    /// Water tanks are filled.
    pub water: bool,
    /// Waste tanks are pumped out.
    pub pump_out: bool,
    /// Diesel is filled.
    pub fuel: bool,
    /// Bottles are changed.
    pub gas: bool,
}

/// The trip as stretches, events and daylight.
#[derive(Debug, Clone)]
pub struct Timeline {
    /// Minutes since midnight of the first day at which she is taken over.
    pub begin: u32,
    /// The same, of hand-back.
    pub end: u32,
    /// What she does, without gaps.
    pub stretches: Vec<Stretch>,
    /// Calls at docks with services.
    pub calls: Vec<Call>,
    /// When the anchor is weighed, and how much chain comes up.
    pub weighings: Vec<(u32, Length)>,
    /// When she goes alongside or leaves a dock.
    pub berthings: Vec<u32>,
    /// When an engine is started.
    pub starts: Vec<u32>,
    /// Dark times.
    pub dark: Vec<(u32, u32)>,
    /// Midnight of the first day by the clocks aboard.
    pub midnight: Timestamp,
    /// Where she sails.
    pub position: Position,
    /// Where the position was not said and nothing about the sun is known.
    pub position_known: bool,
}

impl Timeline {
    /// Lays a plan out in time.
    ///
    /// # Errors
    /// What can't be: legs before take-over or after hand-back, a plan longer than its charter.
    pub fn new(boat: &Boat, trip: &Trip) -> Result<Self, Vec<Diagnostic>> {
        Self::with_notes(boat, trip, &mut Vec::new())
    }

    /// The same, with what a reader of the plan should know.
    pub(super) fn with_notes(
        boat: &Boat,
        trip: &Trip,
        notes: &mut Vec<Diagnostic>,
    ) -> Result<Self, Vec<Diagnostic>> {
        let mut faults = Vec::new();
        let first = date(&trip.starts);
        charter_fault(trip, first, &mut faults);
        let (begin, end) = bounds(trip, &mut faults);
        let (position, position_known) = position(boat, trip, &mut faults);
        let midnight = midnight(boat, trip, first, position, &mut faults);
        let mut line = Self {
            begin,
            end,
            stretches: Vec::new(),
            calls: Vec::new(),
            weighings: Vec::new(),
            berthings: Vec::new(),
            starts: Vec::new(),
            dark: dark(first, midnight, position, begin, end),
            midnight,
            position,
            position_known,
        };
        line.lay(boat, trip, &mut faults);
        line.events(trip);
        if faults.iter().any(|fault| fault.severity == Severity::Error) {
            return Err(faults);
        }
        notes.extend(faults);
        Ok(line)
    }

    /// The day of the plan, from zero, in which a minute lies.
    pub fn day_of(&self, minute: u32) -> usize {
        (minute / DAY_MINUTES) as usize
    }

    /// Whether it is dark.
    pub fn is_dark(&self, minute: u32) -> bool {
        self.dark.iter().any(|(from, to)| (*from..*to).contains(&minute))
    }

    /// The instant of a minute.
    pub fn instant(&self, minute: f64) -> Timestamp {
        #[allow(clippy::cast_possible_truncation, reason = "whole seconds of a trip of some weeks")]
        let seconds = (minute * 60.0).round() as i64;
        self.midnight + SignedDuration::from_secs(seconds)
    }

    fn lay(&mut self, boat: &Boat, trip: &Trip, faults: &mut Vec<Diagnostic>) {
        let mut place = (Activity::Alongside, None);
        for (number, day) in trip.days.iter().enumerate() {
            let start = u32::try_from(number).unwrap_or(0) * DAY_MINUTES;
            let legs = self.legs(boat, day, start, faults);
            let stop = legs.last().map_or(start + DAY_MINUTES / 2, |leg| leg.to);
            let night = (day.night, pedestal(day));
            let mut at = start;
            for leg in &legs {
                let lying = if at == start { place } else { (Activity::Anchored, None) };
                self.lie(at, leg.from, lying);
                self.stretches.push(*leg);
                at = leg.to;
            }
            if legs.is_empty() {
                self.lie(start, stop, place);
                at = stop;
            }
            self.lie(at, start + DAY_MINUTES, night);
            self.call(number, day, stop);
            place = night;
        }
        self.clip();
        for (number, day) in trip.days.iter().enumerate() {
            self.engine_runs(boat, trip, number, day, faults);
        }
    }

    fn lie(&mut self, from: u32, to: u32, (activity, pedestal): (Activity, Option<Current>)) {
        if from < to {
            self.stretches.push(Stretch { from, to, activity, rpm: None, pedestal });
        }
    }

    /// The legs of a day as stretches.
    fn legs(&self, boat: &Boat, day: &Day, start: u32, faults: &mut Vec<Diagnostic>) -> Vec<Stretch> {
        let mut legs = Vec::new();
        for leg in &day.legs {
            let from = start + leg.from.minutes();
            let to = (from + whole_minutes(leg.lasts)).min(start + DAY_MINUTES);
            self.outside("A leg", day, leg.from, (from, to), faults);
            let rpm = (leg.activity == Activity::Motoring)
                .then(|| leg.rpm.unwrap_or_else(|| usual_rpm(boat, Activity::Motoring)));
            legs.push(Stretch { from, to, activity: leg.activity, rpm, pedestal: None });
        }
        legs
    }

    /// What is done before take-over or goes on after hand-back.
    fn outside(
        &self,
        what: &str,
        day: &Day,
        clock: Clock,
        (from, to): (u32, u32),
        faults: &mut Vec<Diagnostic>,
    ) {
        let when = if from < self.begin {
            "begins before the crew takes her over"
        } else if to > self.end {
            "goes on after she is handed back"
        } else {
            return;
        };
        faults.push(
            Diagnostic::error("outside-trip", day.span, format!("{what} from {clock} {when}."))
                .expected("between `from` of the first day and `until` of the last")
                .mend("Move it, or change `from` or `until` in [plan]."),
        );
    }

    fn call(&mut self, number: usize, day: &Day, at: u32) {
        let dock = &day.dock;
        // What is filled or emptied at hand-back is no longer the crew's.
        let in_time = at < self.end;
        if in_time && (dock.water || dock.pump_out || dock.fuel || dock.gas) {
            self.calls.push(Call {
                at: at.max(self.begin),
                day: number,
                water: dock.water,
                pump_out: dock.pump_out,
                fuel: dock.fuel,
                gas: dock.gas,
            });
        }
    }

    /// Nothing before take-over and after hand-back.
    fn clip(&mut self) {
        for stretch in &mut self.stretches {
            stretch.from = stretch.from.max(self.begin);
            stretch.to = stretch.to.min(self.end);
        }
        self.stretches.retain(|stretch| stretch.from < stretch.to);
    }

    /// Cuts the engine's runs into the time that she lies still.
    fn engine_runs(
        &mut self,
        boat: &Boat,
        trip: &Trip,
        number: usize,
        day: &Day,
        faults: &mut Vec<Diagnostic>,
    ) {
        for run in &day.engine {
            let from = u32::try_from(number).unwrap_or(0) * DAY_MINUTES + run.from.minutes();
            let to = from + whole_minutes(run.lasts);
            quiet_fault(trip, day, run.from, run.lasts, faults);
            self.outside("An engine run", day, run.from, (from, to), faults);
            let rpm = run.rpm.unwrap_or_else(|| usual_rpm(boat, Activity::Charging));
            let mut cut = Vec::new();
            for stretch in &self.stretches {
                let (a, b) = (from.max(stretch.from), to.min(stretch.to));
                if stretch.rpm.is_some() || a >= b {
                    cut.push(*stretch);
                    continue;
                }
                let still = matches!(stretch.activity, Activity::Anchored | Activity::Moored);
                let activity = if still { Activity::Charging } else { stretch.activity };
                let pieces = [
                    Stretch { to: a, ..*stretch },
                    Stretch { from: a, to: b, activity, rpm: Some(rpm), ..*stretch },
                    Stretch { from: b, ..*stretch },
                ];
                cut.extend(pieces.into_iter().filter(|piece| piece.from < piece.to));
            }
            self.stretches = cut;
        }
    }

    fn events(&mut self, trip: &Trip) {
        // Since when she lies where she lies: the chain is that of the day on which it was let out.
        let mut lies_since = self.begin;
        for pair in self.stretches.windows(2) {
            let (before, after) = (&pair[0], &pair[1]);
            let at = after.from;
            if after.rpm.is_some() && before.rpm.is_none() {
                self.starts.push(at);
            }
            let under_way =
                |stretch: &Stretch| matches!(stretch.activity, Activity::Sailing | Activity::Motoring);
            if before.activity == Activity::Alongside && under_way(after)
                || after.activity == Activity::Alongside && under_way(before)
            {
                self.berthings.push(at);
            }
            let lying = matches!(before.activity, Activity::Anchored | Activity::Charging);
            if lying && under_way(after) {
                let day = trip.days.get(self.day_of(lies_since));
                self.weighings.push((at, day.and_then(|day| day.chain).unwrap_or(USUAL_CHAIN)));
            }
            if under_way(before) {
                lies_since = at;
            }
        }
        if self.stretches.first().is_some_and(|stretch| stretch.rpm.is_some()) {
            self.starts.insert(0, self.begin);
        }
    }
}

/// The pedestal that is plugged in for the night.
fn pedestal(day: &Day) -> Option<Current> {
    if day.night == Activity::Alongside { day.dock.pedestal } else { None }
}

fn whole_minutes(time: Time) -> u32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within a day")]
    let minutes = time.as_minutes().round() as u32;
    minutes
}

/// The engine's usual speed for what she does.
pub(crate) fn usual_rpm(boat: &Boat, activity: Activity) -> RotationalSpeed {
    let said = boat.modes.iter().find(|mode| mode.activity == activity).and_then(|mode| mode.rpm);
    said.unwrap_or_else(|| match activity {
        Activity::Charging => CHARGING_RPM,
        _ => boat.particulars.most_rpm.map_or(CRUISING_RPM, |most| most * CRUISING),
    })
}

fn date(text: &str) -> Date {
    text.parse().unwrap_or(Date::constant(2000, 1, 1))
}

fn charter_fault(trip: &Trip, first: Date, faults: &mut Vec<Diagnostic>) {
    let Some(ends) = &trip.ends else { return };
    let charter = i64::from((date(ends) - first).get_days()) + 1;
    let planned = i64::try_from(trip.days.len()).unwrap_or(i64::MAX);
    if charter < 1 {
        faults.push(
            Diagnostic::error("charter", trip.span, "The charter ends before it starts.")
                .expected("`ends` on or after `starts`")
                .mend("Look at the two dates again."),
        );
    } else if planned > charter {
        faults.push(
            Diagnostic::error(
                "charter",
                trip.span,
                format!("The plan has {planned} days, the charter {charter}: it ends on {ends}."),
            )
            .expected(format!("at most {charter} days"))
            .mend("Take days out of the plan, or correct `ends`."),
        );
    }
}

fn bounds(trip: &Trip, faults: &mut Vec<Diagnostic>) -> (u32, u32) {
    let last = u32::try_from(trip.days.len().saturating_sub(1)).unwrap_or(0);
    let (begin, end) = (trip.from.minutes(), last * DAY_MINUTES + trip.until.minutes());
    if end <= begin {
        faults.push(
            Diagnostic::error("outside-trip", trip.span, "She is handed back before she is taken over.")
                .expected("`until` of the last day after `from` of the first")
                .mend("Add the missing days, or correct the times."),
        );
    }
    (begin, end.max(begin + 1))
}

fn quiet_fault(trip: &Trip, day: &Day, from: Clock, lasts: Time, faults: &mut Vec<Diagnostic>) {
    let (from, to) = (from.minutes(), from.minutes() + whole_minutes(lasts));
    let (quiet, loud) = (trip.quiet_from.minutes(), trip.quiet_until.minutes());
    let within = |a: u32, b: u32| from < b && to > a;
    let disturbs = if quiet > loud {
        within(0, loud) || within(quiet, DAY_MINUTES + loud)
    } else {
        within(quiet, loud) || within(DAY_MINUTES + quiet, DAY_MINUTES + loud)
    };
    if disturbs {
        faults.push(
            Diagnostic::warning("quiet-hours", day.span, "The engine runs in the quiet hours.")
                .expected(format!("between {} and {}", trip.quiet_until, trip.quiet_from))
                .mend("Move the run, or change `quiet_from` and `quiet_until`."),
        );
    }
}
