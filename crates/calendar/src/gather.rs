//! A whole calendar text read: each event once, in its latest version, with what could not be read counted.

use std::collections::BTreeMap;

use jiff::{Timestamp, tz::TimeZone};

use crate::{
    booking::{Read, Remark, Weight, Window},
    component::{Component, swallowed, tree},
    event::{Event, Zones, event},
    expand::Budget,
    line::{lines, shown},
    series::{bookings, replacement},
    zone::{Zone, own_zones},
};

/// Days and times that all rules of a text together may look at.
const LOOKS: usize = 6_000_000;

/// Bookings of a text at most, as one rule may fill a memory.
const MOST: usize = 50_000;

/// An event's name and, of a replacement, the occurrence it stands for.
type Key = (String, Option<Timestamp>);

/// Reads the events of a calendar (RFC 5545). Times without a zone, and whole days, are in the base's zone. Repeating
/// events give a booking for each occurrence that touches the window. The answer's remarks tell all that was not read.
pub fn read_icalendar(text: &[u8], base_zone: &TimeZone, window: Window) -> Read {
    let mut read = Read::default();
    let lines = lines(text, &mut read.remarks);
    let root = tree(lines, &mut read.remarks);
    let mut budget = Budget(LOOKS);
    let mut events: BTreeMap<Key, Event> = BTreeMap::new();
    let mut calendars: Vec<&Component> = root.within.iter().filter(|part| part.name == "VCALENDAR").collect();
    if calendars.is_empty() {
        read.remarks.push(Remark::error(
            1,
            "The text is not a calendar: it has no BEGIN:VCALENDAR.",
            "Hand in an iCalendar file (.ics), as a calendar program exports it.",
        ));
    }
    // Events outside of any calendar are read too, rather than lost.
    calendars.push(&root);
    for calendar in calendars {
        gathered(calendar, base_zone, &mut events, &mut budget, &mut read);
    }
    expanded(&events, window, &mut budget, &mut read);
    read.in_order()
}

fn gathered(
    calendar: &Component,
    base_zone: &TimeZone,
    events: &mut BTreeMap<Key, Event>,
    budget: &mut Budget,
    read: &mut Read,
) {
    let zones =
        Zones { base: Zone::Named(base_zone.clone()), own: own_zones(calendar, budget, &mut read.remarks) };
    let method =
        calendar.line("METHOD").map(|line| line.value.trim().to_ascii_uppercase()).unwrap_or_default();
    for part in &calendar.within {
        match part.name.as_str() {
            "VEVENT" => one(part, &zones, &method, events, read),
            // Of the text itself, they have their turn; within another calendar, that one was not closed.
            "VCALENDAR" if calendar.name.is_empty() => {}
            "VCALENDAR" => gathered(part, base_zone, events, budget, read),
            "VTIMEZONE" => {}
            other => read.remarks.push(Remark::new(
                Weight::Note,
                part.number,
                format!("The {} that begins here is not an event. It was left out.", shown(other)),
                "Nothing needs mending, if it is not a charter.",
            )),
        }
        if !matches!(part.name.as_str(), "VEVENT" | "VCALENDAR") {
            for inner in swallowed(part) {
                one(inner, &zones, &method, events, read);
            }
        }
    }
}

fn one(part: &Component, zones: &Zones, method: &str, events: &mut BTreeMap<Key, Event>, read: &mut Read) {
    read.found += 1;
    // An event that was not closed may have swallowed those behind it.
    for inner in swallowed(part) {
        one(inner, zones, method, events, read);
    }
    if matches!(method, "REPLY" | "REFRESH" | "COUNTER" | "DECLINECOUNTER") {
        read.unread += 1;
        read.remarks.push(Remark::error(
            part.number,
            format!(
                "The calendar is an answer to an invitation (METHOD:{method}), so its events are no bookings."
            ),
            "Hand in the calendar itself, as published.",
        ));
        return;
    }
    match event(part, zones, &mut read.remarks) {
        Ok(mut event) => {
            event.cancelled |= method == "CANCEL";
            kept(event, events, read);
        }
        Err(remark) => {
            read.unread += 1;
            read.remarks.push(remark);
        }
    }
}

/// Keeps the latest version: the higher SEQUENCE, then the later DTSTAMP, then the later line (RFC 5546, section 2.1.5).
fn kept(event: Event, events: &mut BTreeMap<Key, Event>, read: &mut Read) {
    if event.uid.trim().is_empty() {
        // Its line stands in for its name, with a letter that no UID can hold.
        events.insert((format!("\n{}", event.line), event.replaces), event);
        return;
    }
    let key = (event.uid.clone(), event.replaces);
    let (older, newer) = match events.remove(&key) {
        Some(other) if rank(&other) > rank(&event) => (event, other),
        Some(other) => (other, event),
        None => {
            events.insert(key, event);
            return;
        }
    };
    read.superseded += 1;
    read.remarks.push(Remark::new(
        Weight::Note,
        older.line,
        format!(
            "The event that begins here is an older version of the one on line {}, which was read.",
            newer.line
        ),
        "Nothing needs mending, if both are the same charter; otherwise give each its own UID.",
    ));
    events.insert(key, newer);
}

fn rank(event: &Event) -> (u32, Option<Timestamp>, usize) {
    (event.sequence, event.stamped, event.line)
}

fn expanded(events: &BTreeMap<Key, Event>, window: Window, budget: &mut Budget, read: &mut Read) {
    let mut replaced: BTreeMap<&str, Vec<Event>> = BTreeMap::new();
    for ((uid, _), event) in events.iter().filter(|(_, event)| event.replaces.is_some()) {
        replaced.entry(uid).or_default().push(event.clone());
        read.bookings.push(replacement(event));
    }
    for ((uid, _), event) in events.iter().filter(|(_, event)| event.replaces.is_none()) {
        if read.bookings.len() > MOST {
            read.unread += 1;
            read.remarks.push(Remark::error(
                event.line,
                format!("The calendar comes to more than {MOST} bookings. The event that begins here was not read."),
                "Hand the calendar in by parts, or ask for a shorter span of time.",
            ));
            continue;
        }
        let others = replaced.get(uid.as_str()).map_or(&[][..], Vec::as_slice);
        read.bookings.extend(bookings(event, others, window, budget, &mut read.remarks));
    }
}
