//! When: moments by some clock, local times as they were promised, months.

use std::fmt;
use std::str::FromStr;

use jiff::civil::Date;
use jiff::fmt::temporal::Pieces;
use jiff::tz::Offset;
use jiff::{SignedDuration, Timestamp};
use quantity::Time;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// Milliseconds since the beginning of 1970, UTC, by the clock of whoever says it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Moment(i64);

impl Moment {
    /// So many milliseconds after the beginning of 1970, UTC.
    pub const fn from_milliseconds(milliseconds: i64) -> Self {
        Self(milliseconds)
    }

    /// Milliseconds since the beginning of 1970, UTC.
    pub const fn milliseconds(self) -> i64 {
        self.0
    }

    /// The time from `earlier` to this; less than nothing if this is the earlier one.
    pub fn since(self, earlier: Self) -> Time {
        Time::milliseconds(self.0.saturating_sub(earlier.0) as f64)
    }

    /// The date where the clocks are `offset` ahead of UTC; nothing beyond the years -9999 to 9999.
    pub fn date(self, offset: Time) -> Option<Date> {
        let ahead = SignedDuration::try_from_secs_f64(offset.as_seconds()).ok()?;
        let shifted = Timestamp::from_millisecond(self.0).ok()?.checked_add(ahead).ok()?;
        Some(Offset::UTC.to_datetime(shifted).date())
    }

    pub(crate) fn plus_milliseconds(self, more: i64) -> Self {
        Self(self.0.saturating_add(more))
    }
}

/// A time of day on a date with how far its clocks are ahead of UTC, as it was promised: `2026-06-13T16:00:00-04:00`.
///
/// What a crew was told stays what they were told, whatever is decided about daylight saving later.
///
/// # Source
/// RFC 3339, section 5.6.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Local {
    moment: Timestamp,
    offset: Offset,
}

/// A text is not a local time: how it must look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotALocalTime;

impl fmt::Display for NotALocalTime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Write a local time with its offset from UTC, such as 2026-06-13T16:00:00-04:00.")
    }
}

impl std::error::Error for NotALocalTime {}

impl Local {
    /// The time on clocks that are `offset` ahead of UTC at a moment; nothing beyond the years -9999 to 9999.
    pub fn new(moment: Moment, offset: Offset) -> Option<Self> {
        Some(Self { moment: Timestamp::from_millisecond(moment.0).ok()?, offset })
    }

    /// The moment that it is.
    pub fn moment(self) -> Moment {
        Moment(self.moment.as_millisecond())
    }

    /// The date on its own clocks.
    pub fn date(self) -> Date {
        self.offset.to_datetime(self.moment).date()
    }

    /// How far its clocks are ahead of UTC.
    pub fn offset(self) -> Time {
        Time::seconds(f64::from(self.offset.seconds()))
    }
}

impl fmt::Display for Local {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.moment.display_with_offset(self.offset))
    }
}

impl fmt::Debug for Local {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Local({self})")
    }
}

impl FromStr for Local {
    type Err = NotALocalTime;

    fn from_str(text: &str) -> Result<Self, NotALocalTime> {
        let pieces = Pieces::parse(text).map_err(|_| NotALocalTime)?;
        let offset = pieces.to_numeric_offset().ok_or(NotALocalTime)?;
        let time = pieces.time().ok_or(NotALocalTime)?;
        let moment = offset.to_timestamp(pieces.date().to_datetime(time)).map_err(|_| NotALocalTime)?;
        Ok(Self { moment, offset })
    }
}

impl Serialize for Local {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Local {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let text = String::deserialize(from)?;
        text.parse().map_err(de::Error::custom)
    }
}

/// A month of a year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Month {
    /// The year.
    pub year: i16,
    /// The month in it, from 1.
    pub month: i8,
}

impl Month {
    /// The month that a date lies in.
    pub fn of(date: Date) -> Self {
        Self { year: date.year(), month: date.month() }
    }
}

impl fmt::Display for Month {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}", self.year, self.month)
    }
}
