//! Dates and times as tables write them.

use jiff::civil::{Date, DateTime, Time};

use crate::booking::DateOrder;

/// A cell of a table as time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Cell {
    /// A day.
    Day(Date),
    /// A local time of the base.
    Local(DateTime),
    /// A time with its offset.
    Moment(jiff::Timestamp),
}

/// Why a cell is no time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum NoTime {
    /// Day and month may be either way round.
    Ambiguous,
    /// It is not a date, or one that the calendar does not have.
    Unknown,
}

/// Reads `2026-07-13`, `2026-07-13 15:00`, `2026-07-13T15:00:30Z`, `2026-07-13T15:00-04:00`; with an order also
/// `13/07/2026` and `13.7.2026 15:00`.
pub(crate) fn cell(text: &str, order: Option<DateOrder>) -> Result<Cell, NoTime> {
    let text = text.trim();
    let cut = text.find(['T', 't', ' ']).unwrap_or(text.len());
    let day = day(&text[..cut], order)?;
    let clock = text.get(cut + 1..).unwrap_or("").trim();
    if cut == text.len() {
        return Ok(Cell::Day(day));
    }
    let zone_at = clock.find(['Z', 'z', '+', '-']).unwrap_or(clock.len());
    let time = time(clock[..zone_at].trim()).ok_or(NoTime::Unknown)?;
    let local = day.to_datetime(time);
    let seconds = match &clock[zone_at..] {
        "" => return Ok(Cell::Local(local)),
        "Z" | "z" => 0,
        offset => crate::value::offset(&offset.replace(':', "")).ok_or(NoTime::Unknown)?,
    };
    let offset = jiff::tz::Offset::from_seconds(seconds).map_err(|_| NoTime::Unknown)?;
    offset.to_timestamp(local).map(Cell::Moment).map_err(|_| NoTime::Unknown)
}

fn numbers(text: &str, mark: &[char]) -> Option<Vec<(i16, usize)>> {
    text.split(mark)
        .map(|part| {
            let digits = part.bytes().all(|byte| byte.is_ascii_digit());
            part.parse().ok().filter(|_| digits).map(|number| (number, part.len()))
        })
        .collect()
}

fn day(text: &str, order: Option<DateOrder>) -> Result<Date, NoTime> {
    let parts = numbers(text, &['-', '/', '.']).ok_or(NoTime::Unknown)?;
    let small = |number: i16| i8::try_from(number).map_err(|_| NoTime::Unknown);
    let [first, second, third] = parts[..] else { return Err(NoTime::Unknown) };
    let (year, month, day) = match (first.1, third.1, order) {
        (4, 2, _) if second.1 == 2 && text.split('-').count() == 3 => (first.0, second.0, third.0),
        (1 | 2, 4, Some(DateOrder::DayMonthYear)) => (third.0, second.0, first.0),
        (1 | 2, 4, Some(DateOrder::MonthDayYear)) => (third.0, first.0, second.0),
        (1 | 2, 2 | 4, None) => return Err(NoTime::Ambiguous),
        _ => return Err(NoTime::Unknown),
    };
    Date::new(year, small(month)?, small(day)?).map_err(|_| NoTime::Unknown)
}

fn time(text: &str) -> Option<Time> {
    let parts = numbers(text, &[':'])?;
    if parts.iter().any(|(_, digits)| *digits > 2) {
        return None;
    }
    let small = |number: i16| i8::try_from(number).ok();
    match parts[..] {
        [hour, minute] => Time::new(small(hour.0)?, small(minute.0)?, 0, 0).ok(),
        [hour, minute, second] => Time::new(small(hour.0)?, small(minute.0)?, small(second.0)?, 0).ok(),
        _ => None,
    }
}
