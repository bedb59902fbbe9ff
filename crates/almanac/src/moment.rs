//! Moments and dates as the theory of the sun counts them: universal time in Julian days, with delta T.

use jiff::civil::Date;
use jiff::{SignedDuration, Span, Timestamp, Unit};
use solar_positioning::delta_t;

/// The Julian day of 1970-01-01 00:00 UTC.
const UNIX_EPOCH: f64 = 2_440_587.5;
const SECONDS_A_DAY: f64 = 86_400.0;

/// The Julian day of 1800-01-01 00:00 UTC, the first of the years that are worked out as they are.
const FIRST: f64 = 2_378_496.5;
/// Days in 400 years, after which the calendar repeats, and the sun's year with it but for slow changes.
const CYCLE: f64 = 146_097.0;

/// A moment of universal time, in Julian days; UTC is taken for UT1, which is never a second away.
///
/// Years outside 1800 to 2199 stand for the same date of the 400 years within: how the earth's turning slows is
/// not known so far off, and so every date of the calendar has an answer.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Moment {
    /// Julian day within 1800 to 2199.
    pub(crate) day: f64,
    /// Days that were taken away to come within those years.
    shift: f64,
}

impl Moment {
    fn of_day(day: f64) -> Self {
        let shift = ((day - FIRST) / CYCLE).floor() * CYCLE;
        Self { day: day - shift, shift }
    }

    pub(crate) fn of(at: Timestamp) -> Self {
        let part = f64::from(at.subsec_nanosecond()) / 1e9;
        Self::of_day(UNIX_EPOCH + (at.as_second() as f64 + part) / SECONDS_A_DAY)
    }

    /// Mean noon of a date: when a sun that keeps even time would stand highest at `longitude` (degrees east).
    pub(crate) fn mean_noon(date: Date, longitude: f64) -> Self {
        let days = date.duration_since(Date::constant(1970, 1, 1)).as_secs_f64() / SECONDS_A_DAY;
        Self::of_day(UNIX_EPOCH + days + 0.5 - longitude / 360.0)
    }

    /// The date whose mean noon at `longitude` (degrees east) is nearest.
    pub(crate) fn mean_date(at: Timestamp, longitude: f64) -> Date {
        let days = (at.as_second() as f64 / SECONDS_A_DAY + longitude / 360.0).floor();
        let step = SignedDuration::try_from_secs_f64(days * SECONDS_A_DAY).unwrap_or_default();
        Date::constant(1970, 1, 1).saturating_add(Span::new().hours(step.as_hours()))
    }

    /// The moment of another Julian day, counted as this one's is.
    pub(crate) fn at_day(self, day: f64) -> Self {
        Self { day, ..self }
    }

    /// The moment to the nearest millisecond; at the ends of the calendar, the last that it has.
    pub(crate) fn timestamp(self) -> Timestamp {
        let seconds = (self.day + self.shift - UNIX_EPOCH) * SECONDS_A_DAY;
        let end = if seconds < 0.0 { Timestamp::MIN } else { Timestamp::MAX };
        SignedDuration::try_from_secs_f64(seconds)
            .and_then(Timestamp::from_duration)
            .and_then(|time| time.round(Unit::Millisecond))
            .unwrap_or(end)
    }

    /// Delta T, terrestrial less universal time, in seconds: as estimated by the solar library.
    pub(crate) fn delta_t(self) -> f64 {
        let year = 1800.0 + (self.day - FIRST) / 365.2425;
        delta_t::estimate(year).expect("delta T is estimated for the years -500 to 3000")
    }
}
