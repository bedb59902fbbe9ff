//! Time zones: named ones, and those a calendar defines itself (VTIMEZONE; RFC 5545, section 3.6.5).

use std::rc::Rc;

use jiff::{
    SignedDuration, Timestamp,
    civil::DateTime,
    tz::{Offset, TimeZone},
};

use crate::{
    booking::Remark,
    component::Component,
    expand::{Budget, occurrences},
    rule::rule,
    value::{Stamp, offset, stamp},
};

/// A zone of time.
#[derive(Debug, Clone)]
pub(crate) enum Zone {
    Named(TimeZone),
    /// A calendar's own: changes in order of time.
    Own(Rc<[Change]>),
}

/// The clocks are set from one offset to another (seconds east of UTC).
#[derive(Debug, Clone, Copy)]
pub(crate) struct Change {
    at: Timestamp,
    before: i32,
    after: i32,
}

/// Changes of a zone at most: twice a year from 1600 on, and more.
const MOST_CHANGES: usize = 4000;

/// A zone's own rules are followed to the end of this year.
const LAST_YEAR: i16 = 2200;

fn at_offset(local: DateTime, seconds: i32) -> Option<Timestamp> {
    Offset::from_seconds(seconds).ok()?.to_timestamp(local).ok()
}

impl Zone {
    /// The moment of a local time. One that comes twice is the first; one that the clocks leap over counts by the
    /// offset before the leap (RFC 5545, section 3.3.5).
    pub(crate) fn moment(&self, local: DateTime) -> Option<Timestamp> {
        match self {
            Self::Named(zone) => zone.to_timestamp(local).ok(),
            Self::Own(changes) => {
                let mut offset_now = changes.first()?.before;
                for change in changes.iter() {
                    let moment = at_offset(local, offset_now)?;
                    // Leapt over too: by the old offset it falls after the change, by the new one before it.
                    if moment < change.at || at_offset(local, change.after)? < change.at {
                        return Some(moment);
                    }
                    offset_now = change.after;
                }
                at_offset(local, offset_now)
            }
        }
    }

    /// The local time of a moment.
    pub(crate) fn local(&self, moment: Timestamp) -> DateTime {
        match self {
            Self::Named(zone) => zone.to_datetime(moment),
            Self::Own(changes) => {
                let first = changes.first().map_or(0, |change| change.before);
                let now =
                    changes.iter().rfind(|change| change.at <= moment).map_or(first, |change| change.after);
                Offset::from_seconds(now).unwrap_or(Offset::UTC).to_datetime(moment)
            }
        }
    }
}

/// The zones a calendar defines, by name, those that can be read.
pub(crate) fn own_zones(
    calendar: &Component,
    budget: &mut Budget,
    remarks: &mut Vec<Remark>,
) -> Vec<(String, Zone)> {
    let defined = calendar.within.iter().filter(|part| part.name == "VTIMEZONE");
    let mut zones = Vec::new();
    for part in defined {
        let name = part.line("TZID").map(|line| line.value.trim().to_owned()).unwrap_or_default();
        match own_zone(part, budget) {
            Ok(changes) => zones.push((name, Zone::Own(changes.into()))),
            Err((line, wrong)) => remarks.push(Remark::warning(
                line,
                format!("The time zone \"{name}\" is not defined well: {wrong}"),
                "Mend the definition, or let the events name a zone of the IANA list, such as Europe/Paris.",
            )),
        }
    }
    zones
}

fn own_zone(part: &Component, budget: &mut Budget) -> Result<Vec<Change>, (usize, String)> {
    let mut changes = Vec::new();
    for observance in &part.within {
        if matches!(observance.name.as_str(), "STANDARD" | "DAYLIGHT") {
            observed(observance, &mut changes, budget)?;
        }
    }
    changes.sort_by_key(|change| change.at);
    if changes.is_empty() {
        return Err((part.number, "it has no STANDARD or DAYLIGHT part.".to_owned()));
    }
    if changes.len() > MOST_CHANGES {
        return Err((part.number, "it changes its clocks too often.".to_owned()));
    }
    Ok(changes)
}

fn observed(part: &Component, changes: &mut Vec<Change>, budget: &mut Budget) -> Result<(), (usize, String)> {
    let need = |name: &str| {
        part.line(name).ok_or_else(|| (part.number, format!("its part on this line has no {name}.")))
    };
    let offset_of = |name: &str| {
        let line = need(name)?;
        offset(&line.value).ok_or_else(|| (line.number, format!("{name} is not an offset such as -0500.")))
    };
    let (before, after) = (offset_of("TZOFFSETFROM")?, offset_of("TZOFFSETTO")?);
    let line = need("DTSTART")?;
    let Some(Stamp::Local(start)) = stamp(&line.value) else {
        return Err((line.number, "DTSTART is not a local date with a time.".to_owned()));
    };
    let mut locals = vec![start];
    for line in part.all("RRULE") {
        let rule = rule(&line.value).map_err(|wrong| (line.number, format!("its rule has {wrong}.")))?;
        let end = DateTime::constant(LAST_YEAR, 12, 31, 23, 59, 59, 0);
        let end = match rule.until {
            Some(Stamp::Utc(until)) => {
                until.checked_add(SignedDuration::from_secs(before.into())).unwrap_or(end).min(end)
            }
            Some(Stamp::Local(until)) => until.min(end),
            Some(Stamp::Day(until)) => until.to_datetime(crate::rule::LAST).min(end),
            None => end,
        };
        let found = occurrences(&rule, start, start, end, budget);
        if found.broken_off {
            return Err((line.number, "its rule repeats too often.".to_owned()));
        }
        locals.extend(found.starts);
    }
    for line in part.all("RDATE") {
        for given in line.value.split(',') {
            match stamp(given) {
                Some(Stamp::Local(local)) => locals.push(local),
                _ => return Err((line.number, "an RDATE is not a local date with a time.".to_owned())),
            }
        }
    }
    locals.sort_unstable();
    locals.dedup();
    changes.extend(
        locals.into_iter().filter_map(|local| Some(Change { at: at_offset(local, before)?, before, after })),
    );
    Ok(())
}
