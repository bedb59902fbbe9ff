//! Which lines of the service plan are due: by engine hours, days, charters or date, whichever comes first.

use boat::model::{Boat, UpkeepId, UpkeepLine};
use jiff::civil::Date;
use quantity::Time;

use crate::moment::Moment;
use crate::rules::engines;
use crate::standing::{BoatStanding, Done};
use crate::what::Meter;

/// How long before it is due a line counts as due soon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Engine hours left.
    pub hours: Time,
    /// Days left.
    pub days: i32,
    /// Charters left.
    pub charters: i64,
}

impl Window {
    /// A charter's worth: 20 engine hours, 14 days, one charter. Judgement: a week's charter between two turnarounds.
    pub const USUAL: Self = Self { hours: Time::hours(20.0), days: 14, charters: 1 };
}

/// One way in which a line comes due.
#[derive(Debug, Clone, PartialEq)]
pub enum Bound {
    /// By an engine's hours.
    Hours {
        /// The engine.
        engine: String,
        /// Hours left; less than nothing if it is past.
        left: Time,
    },
    /// By days since it was done.
    Days {
        /// The day on which it is due.
        on: Date,
        /// Days left.
        left: i32,
    },
    /// By charters since it was done.
    Charters {
        /// Charters left.
        left: i64,
    },
    /// On a day that the boat file names.
    Date {
        /// The day.
        on: Date,
        /// Days left.
        left: i32,
    },
    /// It was never told that it was done.
    NeverDone,
    /// No reading says how long the engine has run since, or it is not known which engine it is.
    NoHours,
}

/// How pressing it is, from least to most.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum State {
    /// It has time.
    Later,
    /// It is due soon.
    Soon,
    /// Nobody can say; someone should look.
    Unknown,
    /// It is due now.
    Now,
    /// It should have been done.
    Overdue,
}

/// A line of the service plan, and when it is due.
#[derive(Debug, Clone, PartialEq)]
pub struct Due {
    /// The line.
    pub line: UpkeepId,
    /// The ways in which it comes due.
    pub bounds: Vec<Bound>,
    /// How pressing the most pressing of them is.
    pub state: State,
}

/// The service plan of a boat as it stands on a day at her base, the most pressing lines first, else as in the file.
///
/// A charter counts when it was checked out. A date of the boat file is met by a doing on that day, after it, or as long
/// before it as the window says; one done earlier leaves it due, so that a date must be mended in the file and does not
/// vanish by itself.
pub fn due(boat: &Boat, standing: &BoatStanding, today: Date, window: &Window) -> Vec<Due> {
    let asked = Asked { boat, standing, today, window };
    let lines = boat.upkeep.iter_ids();
    let mut due: Vec<Due> = lines.filter_map(|(id, line)| asked.line(id, line)).collect();
    due.sort_by_key(|due| std::cmp::Reverse(due.state));
    due
}

struct Asked<'a> {
    boat: &'a Boat,
    standing: &'a BoatStanding,
    today: Date,
    window: &'a Window,
}

impl Asked<'_> {
    fn line(&self, id: UpkeepId, line: &UpkeepLine) -> Option<Due> {
        let done = self.standing.upkeep.get(&line.id).and_then(|all| all.last());
        let every = &line.every;
        let mut bounds = Vec::new();
        if every.engine_hours.is_some() || every.days.is_some() || every.charters.is_some() {
            match done {
                Some(done) => {
                    bounds.extend(every.engine_hours.map(|hours| self.hours(line, done, hours)));
                    bounds.extend(every.days.and_then(|days| self.days(done, days)));
                    bounds.extend(every.charters.map(|charters| self.charters(done, charters)));
                }
                None => bounds.push(Bound::NeverDone),
            }
        }
        bounds.extend(every.date.as_deref().and_then(|date| self.date(done, date)));
        let state = bounds.iter().map(|bound| self.state(bound)).max()?;
        Some(Due { line: id, bounds, state })
    }

    fn hours(&self, line: &UpkeepLine, done: &Done, every: Time) -> Bound {
        let since = self.engine(line).and_then(|engine| Some((self.ran_since(&engine, done)?, engine)));
        since.map_or(Bound::NoHours, |(ran, engine)| Bound::Hours { engine, left: every - ran })
    }

    /// The engine of the line's item; else the boat's only engine.
    fn engine(&self, line: &UpkeepLine) -> Option<String> {
        let engines = engines(self.boat);
        let item = line.item.map(|item| self.boat.items[item].id.clone());
        let own = item.filter(|item| engines.contains(item));
        own.or_else(|| if engines.len() == 1 { engines.into_iter().next() } else { None })
    }

    /// How long an engine has run since a line was done, over every meter that it has had.
    fn ran_since(&self, engine: &str, done: &Done) -> Option<Time> {
        let sights = self.standing.meters.get(&Meter::EngineHours(engine.to_owned()))?;
        let now = sights.last()?.total?;
        let then = done.totals.get(engine).copied();
        // What was said with the doing is nearer to it than the last reading before. But if the meter was ever
        // replaced, it is not known which meter showed that.
        let replaced = self.standing.meters_replaced.contains_key(engine);
        let said = done.hours.filter(|hours| !replaced && *hours <= now);
        said.or(then).map(|then| now - then)
    }

    fn days(&self, done: &Done, every: u32) -> Option<Bound> {
        let on = self.date_of(done.mark.when)?.checked_add(jiff::Span::new().days(i64::from(every))).ok()?;
        Some(Bound::Days { on, left: self.until(on) })
    }

    fn charters(&self, done: &Done, every: u32) -> Bound {
        let since = self.standing.taken.iter().filter(|(when, _)| *when > done.mark.when).count();
        Bound::Charters { left: i64::from(every) - i64::try_from(since).unwrap_or(i64::MAX) }
    }

    fn date(&self, done: Option<&Done>, date: &str) -> Option<Bound> {
        let on: Date = date.parse().ok()?;
        let done = done.and_then(|done| self.date_of(done.mark.when));
        let met = done.is_some_and(|done| days(done, on) <= self.window.days);
        (!met).then(|| Bound::Date { on, left: self.until(on) })
    }

    fn date_of(&self, when: Moment) -> Option<Date> {
        when.date(self.boat.particulars.utc_offset.unwrap_or_default())
    }

    fn until(&self, on: Date) -> i32 {
        days(self.today, on)
    }

    fn state(&self, bound: &Bound) -> State {
        let by = |left: f64, soon: f64| match left {
            left if left < 0.0 => State::Overdue,
            left if left <= 0.0 => State::Now,
            left if left <= soon => State::Soon,
            _ => State::Later,
        };
        match bound {
            Bound::Hours { left, .. } => by(left.as_hours(), self.window.hours.as_hours()),
            Bound::Days { left, .. } | Bound::Date { left, .. } => {
                by(f64::from(*left), f64::from(self.window.days))
            }
            Bound::Charters { left } => by(*left as f64, self.window.charters as f64),
            Bound::NeverDone | Bound::NoHours => State::Unknown,
        }
    }
}

/// Days from one date to another.
fn days(from: Date, to: Date) -> i32 {
    from.until(to).map_or(0, |span| span.get_days())
}
