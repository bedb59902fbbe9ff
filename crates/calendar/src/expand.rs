//! The occurrences of a rule (RFC 5545, section 3.3.10), in the local time of the event's start.
//!
//! Each period (year, month, week, day …) gives its days, those the rule names stay, each takes the rule's times.

use jiff::{
    ToSpan,
    civil::{Date, DateTime, Time, Weekday},
};

use crate::rule::{Frequency, Rule};

/// How many days and times may be looked at: a rule that a calendar may repeat without end is stopped there.
#[derive(Debug)]
pub(crate) struct Budget(pub(crate) usize);

impl Budget {
    fn spend(&mut self, looks: usize) -> Option<()> {
        self.0 = self.0.checked_sub(looks)?;
        Some(())
    }
}

/// What a rule comes to.
#[derive(Debug)]
pub(crate) struct Occurrences {
    pub(crate) starts: Vec<DateTime>,
    /// Whether the budget was spent before the end.
    pub(crate) broken_off: bool,
}

/// The occurrences from `from` to `last` (both in), the start itself the first of all (section 3.8.5.3).
pub(crate) fn occurrences(
    rule: &Rule,
    start: DateTime,
    from: DateTime,
    last: DateTime,
    budget: &mut Budget,
) -> Occurrences {
    let mut starts = Vec::new();
    let rule = &filled(rule, start);
    let mut left = rule.count.unwrap_or(u32::MAX);
    let mut keep = |moment: DateTime, starts: &mut Vec<DateTime>| {
        left -= 1;
        if moment >= from && moment <= last {
            starts.push(moment);
        }
        left > 0
    };
    if !keep(start, &mut starts) {
        return Occurrences { starts, broken_off: false };
    }
    let mut index = 0;
    while let Some(period) = period(rule, start, index) {
        if period > last {
            break;
        }
        let Some(moments) = moments(rule, period, budget) else {
            return Occurrences { starts, broken_off: true };
        };
        for moment in moments.into_iter().filter(|moment| *moment > start) {
            if moment > last || !keep(moment, &mut starts) {
                return Occurrences { starts, broken_off: false };
            }
        }
        index += 1;
    }
    Occurrences { starts, broken_off: false }
}

/// The rule with what it leaves open taken from the start.
fn filled(rule: &Rule, start: DateTime) -> Rule {
    let mut rule = rule.clone();
    let frequency = rule.frequency;
    let days_open = rule.year_days.is_empty() && rule.month_days.is_empty() && rule.days.is_empty();
    if days_open {
        match frequency {
            Frequency::Yearly if !rule.weeks.is_empty() => rule.days = vec![(0, start.weekday())],
            Frequency::Yearly => {
                if rule.months.is_empty() {
                    rule.months = vec![start.month().into()];
                }
                rule.month_days = vec![start.day().into()];
            }
            Frequency::Monthly => rule.month_days = vec![start.day().into()],
            Frequency::Weekly => rule.days = vec![(0, start.weekday())],
            _ => {}
        }
    }
    if rule.hours.is_empty() && frequency > Frequency::Hourly {
        rule.hours = vec![start.hour().into()];
    }
    if rule.minutes.is_empty() && frequency > Frequency::Minutely {
        rule.minutes = vec![start.minute().into()];
    }
    if rule.seconds.is_empty() && frequency > Frequency::Secondly {
        rule.seconds = vec![start.second().into()];
    }
    rule
}

/// The beginning of the n-th period.
fn period(rule: &Rule, start: DateTime, index: i64) -> Option<DateTime> {
    let steps = index.checked_mul(i64::from(rule.interval))?;
    let midnight = |day: Date| day.to_datetime(Time::midnight());
    match rule.frequency {
        Frequency::Yearly => {
            let year = i64::from(start.year()).checked_add(steps)?;
            let year = i16::try_from(year).ok()?;
            Some(midnight(if rule.weeks.is_empty() {
                Date::new(year, 1, 1).ok()?
            } else {
                first_week(year, rule.week_start)?
            }))
        }
        Frequency::Monthly => {
            let months = i64::from(start.year()) * 12 + i64::from(start.month()) - 1 + steps;
            let year = i16::try_from(months.div_euclid(12)).ok()?;
            Some(midnight(Date::new(year, i8::try_from(months.rem_euclid(12) + 1).ok()?, 1).ok()?))
        }
        Frequency::Weekly => {
            let back = i64::from(rule.week_start.until(start.weekday()));
            Some(midnight(plus_days(start.date(), steps.checked_mul(7)? - back)?))
        }
        Frequency::Daily => Some(midnight(plus_days(start.date(), steps)?)),
        Frequency::Hourly => {
            start.with().minute(0).second(0).build().ok()?.checked_add(seconds(steps, 3600)?).ok()
        }
        Frequency::Minutely => start.with().second(0).build().ok()?.checked_add(seconds(steps, 60)?).ok(),
        Frequency::Secondly => start.checked_add(seconds(steps, 1)?).ok(),
    }
}

fn seconds(steps: i64, each: i64) -> Option<jiff::SignedDuration> {
    steps.checked_mul(each).map(jiff::SignedDuration::from_secs)
}

fn plus_days(day: Date, days: i64) -> Option<Date> {
    day.checked_add(jiff::Span::new().try_days(days).ok()?).ok()
}

/// The first day of week 1 of a year: the week that has four of its days or more.
fn first_week(year: i16, week_start: Weekday) -> Option<Date> {
    let fourth = Date::new(year, 1, 4).ok()?;
    fourth.checked_sub(i64::from(week_start.until(fourth.weekday())).days()).ok()
}

/// What a period comes to, in order. None if the budget is spent.
fn moments(rule: &Rule, period: DateTime, budget: &mut Budget) -> Option<Vec<DateTime>> {
    let looked_at = days_of(rule, period);
    budget.spend(looked_at.len().max(1))?;
    let mut days: Vec<Date> = looked_at.into_iter().filter(|day| meets(rule, *day, period)).collect();
    days.sort_unstable();
    let times = times_of(rule, period, if days.is_empty() { None } else { Some(budget) })?;
    budget.spend(days.len().saturating_mul(times.len()))?;
    let all: Vec<DateTime> =
        days.iter().flat_map(|day| times.iter().map(|time| day.to_datetime(*time))).collect();
    Some(if rule.positions.is_empty() { all } else { placed(&all, &rule.positions) })
}

fn placed(all: &[DateTime], positions: &[i32]) -> Vec<DateTime> {
    let place = |position: &i32| {
        let distance = usize::try_from(position.unsigned_abs()).ok()?;
        if *position > 0 { all.get(distance - 1) } else { all.get(all.len().checked_sub(distance)?) }
    };
    let mut chosen: Vec<DateTime> = positions.iter().filter_map(place).copied().collect();
    chosen.sort_unstable();
    chosen.dedup();
    chosen
}

fn days_of(rule: &Rule, period: DateTime) -> Vec<Date> {
    let (first, year) = (period.date(), period.year());
    let run = |first: Date, count: i64| (0..count).filter_map(move |step| plus_days(first, step));
    match rule.frequency {
        Frequency::Yearly if !rule.weeks.is_empty() => run(first, 53 * 7).collect(),
        Frequency::Yearly if !rule.months.is_empty() => rule
            .months
            .iter()
            .filter_map(|month| Date::new(year, i8::try_from(*month).ok()?, 1).ok())
            .flat_map(|month| run(month, month.days_in_month().into()))
            .collect(),
        Frequency::Yearly => run(first, first.days_in_year().into()).collect(),
        Frequency::Monthly => run(first, first.days_in_month().into()).collect(),
        Frequency::Weekly => run(first, 7).collect(),
        _ => vec![first],
    }
}

/// Whether a list names a number, counted from the front or, below nought, from the back of `all`.
fn names(list: &[i32], number: i32, all: i32) -> bool {
    list.is_empty() || list.contains(&number) || list.contains(&(number - all - 1))
}

fn meets(rule: &Rule, day: Date, period: DateTime) -> bool {
    names(&rule.months, day.month().into(), i32::from(i16::MAX))
        && in_week(rule, day, period)
        && names(&rule.year_days, day.day_of_year().into(), day.days_in_year().into())
        && names(&rule.month_days, day.day().into(), day.days_in_month().into())
        && (rule.days.is_empty() || rule.days.iter().any(|(which, name)| is_nth(rule, day, *which, *name)))
}

/// BYWEEKNO, which only yearly rules have: the period begins with week 1.
fn in_week(rule: &Rule, day: Date, period: DateTime) -> bool {
    if rule.weeks.is_empty() || rule.frequency != Frequency::Yearly {
        return true;
    }
    let first = period.date();
    let week_year = plus_days(first, 10).map_or(first.year(), Date::year);
    let Some(next) = first_week(week_year.saturating_add(1), rule.week_start) else { return false };
    let days = |from: Date, to: Date| (to - from).get_days();
    let all = days(first, next) / 7;
    let week = days(first, day) / 7 + 1;
    week <= all && names(&rule.weeks, week, all)
}

/// Whether a day is the n-th of its weekday: of the month, or of the year in a yearly rule without months.
fn is_nth(rule: &Rule, day: Date, which: i32, name: Weekday) -> bool {
    if day.weekday() != name {
        return false;
    }
    if which == 0 {
        return true;
    }
    let of_year = rule.frequency == Frequency::Yearly && rule.months.is_empty();
    let (number, all): (i32, i32) = if of_year {
        (day.day_of_year().into(), day.days_in_year().into())
    } else {
        (day.day().into(), day.days_in_month().into())
    };
    if which > 0 { (number - 1) / 7 + 1 == which } else { (all - number) / 7 + 1 == -which }
}

fn times_of(rule: &Rule, period: DateTime, budget: Option<&mut Budget>) -> Option<Vec<Time>> {
    let Some(budget) = budget else { return Some(Vec::new()) };
    let own = |list: &[i32], number: i8, below: Frequency| -> Vec<i32> {
        if rule.frequency > below {
            list.to_vec()
        } else if names(list, number.into(), i32::from(i16::MAX)) {
            vec![number.into()]
        } else {
            Vec::new()
        }
    };
    let hours = own(&rule.hours, period.hour(), Frequency::Hourly);
    let minutes = own(&rule.minutes, period.minute(), Frequency::Minutely);
    let seconds = own(&rule.seconds, period.second(), Frequency::Secondly);
    budget.spend(hours.len() * minutes.len() * seconds.len())?;
    let small = |number: &i32| i8::try_from(*number).ok();
    let mut times = Vec::new();
    for hour in &hours {
        for minute in &minutes {
            for second in &seconds {
                times.push(Time::new(small(hour)?, small(minute)?, small(second)?, 0).ok()?);
            }
        }
    }
    Some(times)
}
