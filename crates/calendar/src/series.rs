//! The bookings of an event: one, or one for each occurrence in the window.

use std::collections::BTreeSet;

use jiff::{
    SignedDuration, Timestamp, ToSpan,
    civil::{Date, DateTime},
};

use crate::{
    booking::{Booking, Party, Remark, Window},
    event::Event,
    expand::{Budget, occurrences},
    rule::{LAST, Rule},
    value::Stamp,
};

/// Days and times that one event's rule may look at: daily from the year 1600 and more.
const LOOKS: usize = 400_000;

/// Occurrences of one rule within the window at most.
const MOST: usize = 10_000;

fn booking(event: &Event, start: Timestamp, end: Timestamp, occurrence: Option<Timestamp>) -> Booking {
    Booking {
        uid: event.uid.clone(),
        sequence: event.sequence,
        occurrence,
        boat_words: event.boat_words.clone(),
        party: Party::default(),
        words: event.words.clone(),
        note: event.note.clone(),
        reference: String::new(),
        start,
        end,
        all_day: event.start.day,
        cancelled: event.cancelled,
        source_line: event.line,
    }
}

/// The bookings of a main event, without the occurrences that `replaced` events stand for.
pub(crate) fn bookings(
    event: &Event,
    replaced: &[Event],
    window: Window,
    budget: &mut Budget,
    remarks: &mut Vec<Remark>,
) -> Vec<Booking> {
    let single = event.rules.is_empty() && event.extras.is_empty();
    if single && replaced.is_empty() && event.except.is_empty() {
        let end = event.end(event.start.local).unwrap_or(event.start.at);
        return vec![booking(event, event.start.at, end, event.replaces)];
    }
    let mut starts: Vec<(Timestamp, Option<Timestamp>)> = vec![(event.start.at, None)];
    for (line, rule) in &event.rules {
        starts.extend(
            ruled(event, rule, *line, window, budget, remarks).into_iter().map(|start| (start, None)),
        );
    }
    starts.extend(event.extras.iter().map(|extra| (extra.at, extra.end)));
    // Of two at one moment the one with its own end stays.
    starts.sort_by_key(|(start, end)| (*start, end.is_none()));
    starts.dedup_by_key(|(start, _)| *start);
    let out = left_out(event, replaced);
    let days: BTreeSet<Date> =
        event.except.iter().filter(|except| except.day).map(|except| except.local.date()).collect();
    // An EXDATE may name a day where the event has times: the whole day falls out.
    let own = |start: &Timestamp| {
        !out.contains(start) && (days.is_empty() || !days.contains(&event.start.zone.local(*start).date()))
    };
    let changes: Vec<&Event> = replaced.iter().filter(|other| other.and_following).collect();
    starts
        .into_iter()
        .filter(|(start, _)| own(start))
        .filter_map(|(start, end)| occurrence(event, &changes, start, end))
        .filter(|found| window.touches(found.start, found.end) || single)
        .collect()
}

/// An occurrence, as changed by the last replacement "from here on" before it.
fn occurrence(
    event: &Event,
    changes: &[&Event],
    start: Timestamp,
    end: Option<Timestamp>,
) -> Option<Booking> {
    let change = changes
        .iter()
        .filter(|other| other.replaces.is_some_and(|from| from < start))
        .max_by_key(|other| other.replaces);
    let Some(change) = change else {
        let local = event.start.zone.local(start);
        return Some(booking(event, start, end.or_else(|| event.end(local))?, Some(start)));
    };
    let zone = &change.start.zone;
    let shift = change.start.local.duration_since(zone.local(change.replaces?));
    let local = zone.local(start).checked_add(shift).ok()?;
    Some(booking(change, zone.moment(local)?, change.end(local)?, Some(start)))
}

/// The moments that EXDATE lines take out or other events stand for.
fn left_out(event: &Event, replaced: &[Event]) -> BTreeSet<Timestamp> {
    let except = event.except.iter().map(|except| except.at);
    except.chain(replaced.iter().filter_map(|other| other.replaces)).collect()
}

fn ruled(
    event: &Event,
    rule: &Rule,
    line: usize,
    window: Window,
    budget: &mut Budget,
    remarks: &mut Vec<Remark>,
) -> Vec<Timestamp> {
    let zone = &event.start.zone;
    let latest = zone.local(window.until);
    let last = match rule.until {
        Some(Stamp::Utc(until)) => {
            jiff::tz::TimeZone::UTC.to_timestamp(until).map_or(latest, |at| zone.local(at))
        }
        Some(Stamp::Local(until)) => until,
        Some(Stamp::Day(until)) => until.to_datetime(LAST),
        None => latest,
    };
    let mut mine = Budget(LOOKS.min(budget.0));
    let before = mine.0;
    let mut found =
        occurrences(rule, event.start.local, earliest(event, window), last.min(latest), &mut mine);
    budget.0 -= before - mine.0;
    if found.starts.len() > MOST {
        found.starts.truncate(MOST);
        found.broken_off = true;
    }
    if found.broken_off {
        let told = found.starts.len();
        remarks.push(Remark::error(
            line,
            format!(
                "The event repeats too often to be followed to the end; {told} of its occurrences were read."
            ),
            "Let its rule begin later or repeat less often, or give each occurrence as an event of its own.",
        ));
        budget.0 = budget.0.saturating_sub(LOOKS / 100);
    }
    found.starts.into_iter().filter_map(|local| zone.moment(local)).collect()
}

/// The earliest start whose occurrence may touch the window; a day's slack for changes of the clock.
fn earliest(event: &Event, window: Window) -> DateTime {
    let length = SignedDuration::from_hours(24 * event.length.days)
        .saturating_add(SignedDuration::from_secs(event.length.seconds + event.length.wall.max(0)));
    let back = window.from.checked_sub(length).unwrap_or(Timestamp::MIN);
    event.start.zone.local(back).checked_sub(2.days()).unwrap_or(DateTime::MIN)
}

/// The booking of an event that replaces one occurrence of another.
pub(crate) fn replacement(event: &Event) -> Booking {
    let end = event.end(event.start.local).unwrap_or(event.start.at);
    booking(event, event.start.at, end, event.replaces)
}
