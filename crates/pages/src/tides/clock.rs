//! By which clocks a station's times are told: those of its own place.

use almanac::tide::Station;
use jiff::civil::{Date, DateTime};
use jiff::tz::TimeZone;
use jiff::{Timestamp, Zoned};

/// The clocks of the compiled-in stations: the station's number, the zone's name, and its rule as POSIX writes it, so that
/// no list of zones is needed to tell the time.
///
/// # Source
/// The IANA time zone database, 2024 and later, in which the rule of these three zones is that of 2007: summer time from the
/// second Sunday of March to the first of November. A test of the command line holds them against the database itself.
pub const CLOCKS: [(&str, &str, &str); 3] = [
    ("8443970", "America/New_York", "EST5EDT,M3.2.0,M11.1.0"),
    ("9449880", "America/Los_Angeles", "PST8PDT,M3.2.0,M11.1.0"),
    ("8729840", "America/Chicago", "CST6CDT,M3.2.0,M11.1.0"),
];

/// The clocks by which times are told.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Clock {
    zone: TimeZone,
    /// Whose clocks they are, to follow “by”.
    pub(crate) whose: String,
    /// The name of the zone, if it is known.
    pub(crate) name: Option<&'static str>,
}

impl Clock {
    /// The station's own; those of the base for a station of which no zone is known.
    pub(crate) fn of(station: &Station, base: &TimeZone) -> Self {
        let row = CLOCKS.iter().find(|row| station.id.as_deref() == Some(row.0));
        match row.and_then(|row| TimeZone::posix(row.2).ok().map(|zone| (row.1, zone))) {
            Some((name, zone)) => {
                Self { zone, whose: format!("the clocks at {}", station.name), name: Some(name) }
            }
            None => Self { zone: base.clone(), whose: "the clocks of the base".to_owned(), name: None },
        }
    }

    pub(crate) fn zoned(&self, at: Timestamp) -> Zoned {
        at.to_zoned(self.zone.clone())
    }

    /// The day at a moment.
    pub(crate) fn day(&self, at: Timestamp) -> Date {
        self.zoned(at).date()
    }

    /// When a day begins; nothing at the ends of the calendar.
    pub(crate) fn begins(&self, day: Date) -> Option<Timestamp> {
        day.to_zoned(self.zone.clone()).ok().map(|at| at.timestamp())
    }

    /// The moment that a clock shows; of the two in the hour that comes twice, the first.
    pub(crate) fn moment(&self, shown: DateTime) -> Option<Timestamp> {
        shown.to_zoned(self.zone.clone()).ok().map(|at| at.timestamp())
    }

    /// “16:05”, to the nearest minute.
    pub(crate) fn time(&self, at: Timestamp) -> String {
        let at = self.nearest(at);
        format!("{:02}:{:02}", at.hour(), at.minute())
    }

    /// “Sat 10 July 2027, 16:05”.
    pub(crate) fn day_and_time(&self, at: Timestamp) -> String {
        format!("{}, {}", day(self.nearest(at).date()), self.time(at))
    }

    /// “Sat 10 July, 16:05”, where the year stands nearby.
    pub(crate) fn short(&self, at: Timestamp) -> String {
        format!("{}, {}", short_day(self.nearest(at).date()), self.time(at))
    }

    /// To the nearest minute, as tables have it.
    pub(crate) fn nearest(&self, at: Timestamp) -> Zoned {
        self.zoned(at.saturating_add(jiff::SignedDuration::from_secs(30)).unwrap_or(at))
    }
}

/// “Sat 10 July 2027”.
pub(crate) fn day(date: Date) -> String {
    format!("{} {}", short_day(date), date.year())
}

/// “Sat 10 July”.
fn short_day(date: Date) -> String {
    let names = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
    let weekday = usize::try_from(date.weekday().to_monday_zero_offset()).ok().and_then(|at| names.get(at));
    let month = crate::when::month(date.month());
    format!("{} {} {month}", weekday.unwrap_or(&""), date.day())
}
