//! Rules of repeating events (RRULE; RFC 5545, section 3.3.10), as written.

use jiff::civil::{Time, Weekday};

use crate::value::{Stamp, stamp};

/// How often the period of a rule comes round.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Frequency {
    Secondly,
    Minutely,
    Hourly,
    Daily,
    Weekly,
    Monthly,
    Yearly,
}

/// A rule. Empty lists say nothing.
#[derive(Debug, Clone)]
pub(crate) struct Rule {
    pub(crate) frequency: Frequency,
    pub(crate) interval: u32,
    pub(crate) count: Option<u32>,
    pub(crate) until: Option<Stamp>,
    pub(crate) months: Vec<i32>,
    pub(crate) weeks: Vec<i32>,
    pub(crate) year_days: Vec<i32>,
    pub(crate) month_days: Vec<i32>,
    /// Weekdays, with which of them in the month or the year (0: every).
    pub(crate) days: Vec<(i32, Weekday)>,
    pub(crate) hours: Vec<i32>,
    pub(crate) minutes: Vec<i32>,
    pub(crate) seconds: Vec<i32>,
    pub(crate) positions: Vec<i32>,
    pub(crate) week_start: Weekday,
}

impl Rule {
    fn new(frequency: Frequency) -> Self {
        Self {
            frequency,
            interval: 1,
            count: None,
            until: None,
            months: Vec::new(),
            weeks: Vec::new(),
            year_days: Vec::new(),
            month_days: Vec::new(),
            days: Vec::new(),
            hours: Vec::new(),
            minutes: Vec::new(),
            seconds: Vec::new(),
            positions: Vec::new(),
            week_start: Weekday::Monday,
        }
    }
}

/// The rule of a line's value, or the part of it that is wrong.
pub(crate) fn rule(value: &str) -> Result<Rule, String> {
    let parts: Vec<(String, &str)> = value
        .trim()
        .split(';')
        .filter(|part| !part.is_empty())
        .map(|part| part.split_once('=').map(|(key, given)| (key.to_ascii_uppercase(), given)).ok_or(part))
        .collect::<Result<_, _>>()
        .map_err(str::to_owned)?;
    let given = parts.iter().find(|(key, _)| key == "FREQ").map(|(_, given)| *given);
    let frequency = given.and_then(frequency).ok_or_else(|| "FREQ".to_owned())?;
    let mut rule = Rule::new(frequency);
    for (key, given) in &parts {
        part(&mut rule, key, given).ok_or_else(|| format!("{key}={given}"))?;
    }
    let numbered = rule.days.iter().any(|(which, _)| *which != 0);
    let by_month_or_year =
        matches!(frequency, Frequency::Monthly | Frequency::Yearly) && rule.weeks.is_empty();
    if numbered && !by_month_or_year {
        return Err("BYDAY with numbers (it needs FREQ=MONTHLY or FREQ=YEARLY)".to_owned());
    }
    Ok(rule)
}

fn frequency(text: &str) -> Option<Frequency> {
    Some(match text.to_ascii_uppercase().as_str() {
        "SECONDLY" => Frequency::Secondly,
        "MINUTELY" => Frequency::Minutely,
        "HOURLY" => Frequency::Hourly,
        "DAILY" => Frequency::Daily,
        "WEEKLY" => Frequency::Weekly,
        "MONTHLY" => Frequency::Monthly,
        "YEARLY" => Frequency::Yearly,
        _ => return None,
    })
}

fn part(rule: &mut Rule, key: &str, given: &str) -> Option<()> {
    match key {
        "FREQ" => {}
        "INTERVAL" => {
            rule.interval = given.parse().ok().filter(|interval| (1..=1_000_000).contains(interval))?;
        }
        "COUNT" => rule.count = Some(given.parse().ok().filter(|count| *count > 0)?),
        "UNTIL" => rule.until = Some(stamp(given)?),
        "BYMONTH" => rule.months = numbers(given, 1, 12)?,
        "BYWEEKNO" => rule.weeks = signed(given, 53)?,
        "BYYEARDAY" => rule.year_days = signed(given, 366)?,
        "BYMONTHDAY" => rule.month_days = signed(given, 31)?,
        "BYDAY" => rule.days = given.split(',').map(day).collect::<Option<_>>()?,
        "BYHOUR" => rule.hours = numbers(given, 0, 23)?,
        "BYMINUTE" => rule.minutes = numbers(given, 0, 59)?,
        "BYSECOND" => {
            rule.seconds = numbers(given, 0, 60)?.into_iter().map(|second| second.min(59)).collect();
        }
        "BYSETPOS" => rule.positions = signed(given, 366)?,
        "WKST" => rule.week_start = weekday(given)?,
        _ => return None,
    }
    Some(())
}

fn numbers(text: &str, least: i32, most: i32) -> Option<Vec<i32>> {
    let read = |part: &str| part.trim().parse().ok().filter(|number| (least..=most).contains(number));
    let mut numbers: Vec<i32> = text.split(',').map(read).collect::<Option<_>>()?;
    numbers.sort_unstable();
    numbers.dedup();
    Some(numbers)
}

fn signed(text: &str, most: i32) -> Option<Vec<i32>> {
    numbers(text, -most, most).filter(|numbers| !numbers.contains(&0))
}

fn day(text: &str) -> Option<(i32, Weekday)> {
    let text = text.trim();
    let (which, name) = text.split_at_checked(text.len().checked_sub(2)?)?;
    let which =
        if which.is_empty() { 0 } else { which.parse().ok().filter(|n: &i32| *n != 0 && n.abs() <= 53)? };
    Some((which, weekday(name)?))
}

fn weekday(text: &str) -> Option<Weekday> {
    Some(match text.to_ascii_uppercase().as_str() {
        "MO" => Weekday::Monday,
        "TU" => Weekday::Tuesday,
        "WE" => Weekday::Wednesday,
        "TH" => Weekday::Thursday,
        "FR" => Weekday::Friday,
        "SA" => Weekday::Saturday,
        "SU" => Weekday::Sunday,
        _ => return None,
    })
}

/// The last time of a day.
pub(crate) const LAST: Time = Time::constant(23, 59, 59, 0);
