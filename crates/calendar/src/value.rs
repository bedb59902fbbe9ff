//! Values of RFC 5545, section 3.3: dates, times, spans and offsets.

use jiff::civil::{Date, DateTime, Time};

/// A date, or a date with a time, in UTC or not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stamp {
    Day(Date),
    Local(DateTime),
    Utc(DateTime),
}

fn number<T: std::str::FromStr>(text: &str) -> Option<T> {
    text.bytes().all(|byte| byte.is_ascii_digit()).then(|| text.parse().ok()).flatten()
}

fn date(text: &str) -> Option<Date> {
    if text.len() != 8 || !text.is_ascii() {
        return None;
    }
    Date::new(number(&text[..4])?, number(&text[4..6])?, number(&text[6..])?).ok()
}

/// `HHMMSS`. A leap second (60) is read as the second before it.
fn time(text: &str) -> Option<Time> {
    if text.len() != 6 || !text.is_ascii() {
        return None;
    }
    let second: i8 = number(&text[4..])?;
    Time::new(number(&text[..2])?, number(&text[2..4])?, if second == 60 { 59 } else { second }, 0).ok()
}

/// `19970714`, `19970714T133000` or `19970714T173000Z`.
pub(crate) fn stamp(text: &str) -> Option<Stamp> {
    let text = text.trim();
    let Some((day, clock)) = text.split_once('T') else { return date(text).map(Stamp::Day) };
    match clock.strip_suffix('Z') {
        Some(clock) => Some(Stamp::Utc(date(day)?.to_datetime(time(clock)?))),
        None => Some(Stamp::Local(date(day)?.to_datetime(time(clock)?))),
    }
}

/// A span: days by the calendar and seconds that pass (RFC 5545, section 3.3.6), seconds on the wall's clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Length {
    pub(crate) days: i64,
    pub(crate) seconds: i64,
    /// Seconds between what a clock on the wall shows at the start and at the end.
    pub(crate) wall: i64,
}

/// `P15DT5H0M20S`, `P7W`. Spans of more than 10 000 days or 10 000 hours are refused.
pub(crate) fn length(text: &str) -> Option<Length> {
    let text = text.trim();
    let (sign, text) = match text.strip_prefix('-') {
        Some(rest) => (-1, rest),
        None => (1, text.strip_prefix('+').unwrap_or(text)),
    };
    let (mut length, mut digits, mut clock, mut parts) = (Length::default(), String::new(), false, 0);
    for letter in text.strip_prefix('P')?.chars() {
        if letter.is_ascii_digit() {
            digits.push(letter);
            continue;
        }
        if letter == 'T' && !clock && digits.is_empty() {
            clock = true;
            continue;
        }
        let amount: i64 = number(&digits).filter(|amount| *amount <= 40_000_000)?;
        digits.clear();
        parts += 1;
        match (letter, clock) {
            ('W', false) => length.days += 7 * amount,
            ('D', false) => length.days += amount,
            ('H', true) => length.seconds += 3600 * amount,
            ('M', true) => length.seconds += 60 * amount,
            ('S', true) => length.seconds += amount,
            _ => return None,
        }
    }
    let sane = length.days <= 10_000 && length.seconds <= 36_000_000;
    (parts > 0 && digits.is_empty() && sane).then_some(Length {
        days: sign * length.days,
        seconds: sign * length.seconds,
        wall: 0,
    })
}

/// Seconds east of UTC: `-0500`, `+013000` (RFC 5545, section 3.3.14).
pub(crate) fn offset(text: &str) -> Option<i32> {
    let text = text.trim();
    let (sign, digits) = match text.split_at_checked(1)? {
        ("+", rest) => (1, rest),
        ("-", rest) => (-1, rest),
        _ => return None,
    };
    if !digits.is_ascii() || !matches!(digits.len(), 4 | 6) {
        return None;
    }
    let (hours, minutes): (i32, i32) = (number(&digits[..2])?, number(&digits[2..4])?);
    let seconds: i32 = if digits.len() == 6 { number(&digits[4..])? } else { 0 };
    (hours < 24 && minutes < 60 && seconds < 60).then_some(sign * (hours * 3600 + minutes * 60 + seconds))
}
