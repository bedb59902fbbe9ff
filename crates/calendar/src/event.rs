//! One VEVENT (RFC 5545, section 3.6.1) as values.

use jiff::{SignedDuration, Span, Timestamp, civil::DateTime, tz::TimeZone};

use crate::{
    booking::Remark,
    component::Component,
    line::{Line, shown, text_list, unescape},
    rule::{Rule, rule},
    value::{Length, Stamp, length, stamp},
    zone::Zone,
};

/// The zones that times of a calendar may be in.
#[derive(Debug)]
pub(crate) struct Zones {
    pub(crate) base: Zone,
    pub(crate) own: Vec<(String, Zone)>,
}

/// A local time in its zone.
#[derive(Debug, Clone)]
pub(crate) struct Moment {
    pub(crate) local: DateTime,
    pub(crate) zone: Zone,
    pub(crate) day: bool,
    pub(crate) at: Timestamp,
}

/// An occurrence given by name (RDATE), with its own end if it has one.
#[derive(Debug, Clone)]
pub(crate) struct Extra {
    pub(crate) at: Timestamp,
    pub(crate) end: Option<Timestamp>,
}

/// An event as written.
#[derive(Debug, Clone)]
pub(crate) struct Event {
    pub(crate) line: usize,
    pub(crate) uid: String,
    pub(crate) sequence: u32,
    pub(crate) stamped: Option<Timestamp>,
    pub(crate) start: Moment,
    pub(crate) length: Length,
    /// The end as written, of the first occurrence.
    first_end: Option<Timestamp>,
    pub(crate) rules: Vec<(usize, Rule)>,
    pub(crate) extras: Vec<Extra>,
    pub(crate) except: Vec<Moment>,
    pub(crate) replaces: Option<Timestamp>,
    pub(crate) and_following: bool,
    pub(crate) boat_words: Vec<String>,
    pub(crate) words: String,
    pub(crate) note: String,
    pub(crate) cancelled: bool,
}

impl Event {
    /// The end of an occurrence that starts at a local time of the event's zone.
    ///
    /// Where DTEND gives the end, each occurrence ends at the same hour by the clock on the wall, as calendar programs
    /// show it; RFC 5545, section 3.8.5.3, would let the same time pass, an hour more or less when clocks are set.
    pub(crate) fn end(&self, start: DateTime) -> Option<Timestamp> {
        let first = self.first_end.filter(|_| start == self.start.local);
        first.or_else(|| end(start, &self.start.zone, self.length))
    }
}

fn end(start: DateTime, zone: &Zone, length: Length) -> Option<Timestamp> {
    let wall = start.checked_add(Span::new().try_days(length.days).ok()?).ok()?;
    let wall = wall.checked_add(SignedDuration::from_secs(length.wall)).ok()?;
    let end = zone.moment(wall)?.checked_add(SignedDuration::from_secs(length.seconds)).ok()?;
    Some(end.max(zone.moment(start)?))
}

/// Reads a VEVENT. The error remark says why it can't be; warnings go to `remarks`.
pub(crate) fn event(part: &Component, zones: &Zones, remarks: &mut Vec<Remark>) -> Result<Event, Remark> {
    if !part.whole {
        return Err(Remark::error(
            part.number,
            "The event that begins here has no END:VEVENT: the calendar may be cut off.",
            "Fetch the whole calendar again, or put END:VEVENT after its last line.",
        ));
    }
    let start_line = part.line("DTSTART").ok_or_else(|| {
        Remark::error(part.number, "The event that begins here has no start.", "Give it a DTSTART line.")
    })?;
    let start = moment(start_line, &start_line.value, zones)?;
    let length = extent(part, &start, zones, remarks)?;
    let text = |name: &str| part.line(name).map(|line| unescape(&line.value)).unwrap_or_default();
    let mut event = Event {
        line: part.number,
        uid: text("UID"),
        sequence: sequence(part, remarks),
        stamped: part.line("DTSTAMP").and_then(|line| moment(line, &line.value, zones).ok()).map(|at| at.at),
        length,
        first_end: None,
        rules: Vec::new(),
        extras: Vec::new(),
        except: Vec::new(),
        replaces: None,
        and_following: false,
        boat_words: boat_words(part),
        words: text("SUMMARY"),
        note: text("DESCRIPTION"),
        cancelled: text("STATUS").trim().eq_ignore_ascii_case("CANCELLED"),
        start,
    };
    if let Some(line) = part.line("DTEND").filter(|_| !event.start.day) {
        event.first_end = Some(moment(line, &line.value, zones)?.at);
    }
    repeats(part, zones, &mut event)?;
    if event.uid.trim().is_empty() {
        remarks.push(Remark::warning(
            part.number,
            "The event that begins here has no UID: a later version of it can't be told from a second event.",
            "Let the calendar's writer give each event a UID that stays.",
        ));
    }
    Ok(event)
}

fn sequence(part: &Component, remarks: &mut Vec<Remark>) -> u32 {
    let Some(line) = part.line("SEQUENCE") else { return 0 };
    line.value.trim().parse().unwrap_or_else(|_| {
        remarks.push(Remark::warning(
            line.number,
            format!("SEQUENCE \"{}\" is not a number. It was read as 0.", shown(&line.value)),
            "Give the version of the event as a number from 0.",
        ));
        0
    })
}

fn boat_words(part: &Component) -> Vec<String> {
    let plain = ["SUMMARY", "LOCATION"].into_iter().filter_map(|name| part.line(name));
    let mut words: Vec<String> = plain.map(|line| unescape(&line.value)).collect();
    words.extend(part.all("CATEGORIES").flat_map(|line| text_list(&line.value)));
    words.retain(|text| !text.trim().is_empty());
    words
}

/// A date or time of a line, in the zone it names.
fn moment(line: &Line, value: &str, zones: &Zones) -> Result<Moment, Remark> {
    let wrong = |what: &str| {
        Remark::error(
            line.number,
            format!("{} \"{}\" is not {what}. The event was not read.", line.name, shown(value)),
            "Write a date as 20260713, a time as 20260713T150000, in UTC with a Z behind it.",
        )
    };
    let stamp = stamp(value).ok_or_else(|| wrong("a date or a time that the calendar has"))?;
    let says_date = line.parameter("VALUE").is_some_and(|kind| kind.eq_ignore_ascii_case("DATE"));
    let (local, zone, day) = match stamp {
        Stamp::Day(day) => (day.to_datetime(jiff::civil::Time::midnight()), zones.base.clone(), true),
        Stamp::Utc(_) | Stamp::Local(_) if says_date => return Err(wrong("a date without a time")),
        Stamp::Utc(local) => (local, Zone::Named(TimeZone::UTC), false),
        Stamp::Local(local) => (local, zone(line, zones)?, false),
    };
    let at = zone.moment(local).ok_or_else(|| wrong("within the years that can be reckoned"))?;
    Ok(Moment { local, zone, day, at })
}

fn zone(line: &Line, zones: &Zones) -> Result<Zone, Remark> {
    let Some(name) = line.parameter("TZID").map(str::trim) else { return Ok(zones.base.clone()) };
    // Definitions that calendars bring for zones of the IANA list are often wrong about the hour of a change, or cut
    // short: the list itself is surer. Names without a place, such as EST, may stand for anything.
    if let Some(zone) = name.contains('/').then(|| TimeZone::get(name).ok()).flatten() {
        return Ok(Zone::Named(zone));
    }
    if let Some((_, zone)) = zones.own.iter().find(|(own, _)| own == name) {
        return Ok(zone.clone());
    }
    TimeZone::get(name).map(Zone::Named).map_err(|_| {
        Remark::error(
            line.number,
            format!(
                "The time zone \"{}\" is neither defined in the calendar nor on the IANA list. The event was not \
                 read, as its hour is not known.",
                shown(name)
            ),
            "Name a zone of the IANA list, such as Europe/Paris, or send the zone's VTIMEZONE with the calendar.",
        )
    })
}

/// How long the event takes, from DTEND or DURATION.
fn extent(
    part: &Component,
    start: &Moment,
    zones: &Zones,
    remarks: &mut Vec<Remark>,
) -> Result<Length, Remark> {
    let one_day = Length { days: 1, ..Length::default() };
    if let Some(line) = part.line("DTEND") {
        let end = moment(line, &line.value, zones)?;
        if end.day != start.day {
            return Err(Remark::error(
                line.number,
                "The event starts on a day and ends at a time, or the other way round. It was not read.",
                "Give both DTSTART and DTEND as dates, or both as times.",
            ));
        }
        return between(line, start, &end, remarks);
    }
    if let Some(line) = part.line("DURATION") {
        let length = length(&line.value).filter(|length| length.days >= 0 && length.seconds >= 0);
        return length.filter(|length| !start.day || (length.seconds == 0 && length.days > 0)).ok_or_else(
            || {
                Remark::error(
                    line.number,
                    format!(
                        "DURATION \"{}\" is not a length this event can have. It was not read.",
                        shown(&line.value)
                    ),
                    "Write P7D for seven days (the only form for whole days), PT3H for three hours.",
                )
            },
        );
    }
    if start.day {
        return Ok(one_day);
    }
    remarks.push(Remark::warning(
        part.number,
        "The event that begins here has no end. It was read as ending when it starts.",
        "Give it a DTEND or a DURATION line.",
    ));
    Ok(Length::default())
}

fn between(line: &Line, start: &Moment, end: &Moment, remarks: &mut Vec<Remark>) -> Result<Length, Remark> {
    if end.at < start.at {
        return Err(Remark::error(
            line.number,
            "The event ends before it starts. It was not read.",
            "Mend DTSTART or DTEND; the end of whole days is the day after the last.",
        ));
    }
    if !start.day {
        return Ok(Length {
            wall: start.zone.local(end.at).duration_since(start.local).as_secs(),
            ..Length::default()
        });
    }
    let days = i64::from((end.local.date() - start.local.date()).get_days());
    if days == 0 {
        remarks.push(Remark::warning(
            line.number,
            "The event of whole days ends on the day it starts, though DTEND is the day after the last. It was read \
             as one day.",
            "Set DTEND to the day after the last day.",
        ));
    }
    Ok(Length { days: days.max(1), ..Length::default() })
}

/// RRULE, RDATE, EXDATE and RECURRENCE-ID.
fn repeats(part: &Component, zones: &Zones, event: &mut Event) -> Result<(), Remark> {
    for line in part.all("RRULE") {
        let rule = rule(&line.value).map_err(|wrong| {
            Remark::error(
                line.number,
                format!(
                    "The rule by which the event repeats can't be read: {}. The event was not read.",
                    shown(&wrong)
                ),
                "Mend the RRULE line after RFC 5545, or give each occurrence as an event of its own.",
            )
        })?;
        event.rules.push((line.number, rule));
    }
    for line in part.all("RDATE") {
        for given in line.value.split(',') {
            event.extras.push(extra(line, given, zones)?);
        }
    }
    for line in part.all("EXDATE") {
        for given in line.value.split(',').filter(|given| !given.trim().is_empty()) {
            event.except.push(moment(line, given, zones)?);
        }
    }
    if let Some(line) = part.line("RECURRENCE-ID") {
        event.replaces = Some(moment(line, &line.value, zones)?.at);
        event.and_following =
            line.parameter("RANGE").is_some_and(|range| range.eq_ignore_ascii_case("THISANDFUTURE"));
    }
    if let Some(line) = part.line("EXRULE") {
        return Err(Remark::error(
            line.number,
            "The event has an EXRULE, which RFC 5545 no longer knows. It was not read.",
            "Give the days that fall out as EXDATE lines.",
        ));
    }
    Ok(())
}

/// An RDATE: a start, or a period `start/end` or `start/length`.
fn extra(line: &Line, given: &str, zones: &Zones) -> Result<Extra, Remark> {
    let (from, until) = given.split_once('/').map_or((given, None), |(from, until)| (from, Some(until)));
    let start = moment(line, from, zones)?;
    let Some(until) = until else { return Ok(Extra { at: start.at, end: None }) };
    let until = match length(until) {
        Some(length) => end(start.local, &start.zone, length),
        None => Some(moment(line, until, zones)?.at),
    };
    until.filter(|until| *until >= start.at).map(|until| Extra { at: start.at, end: Some(until) }).ok_or_else(
        || {
            Remark::error(
                line.number,
                format!(
                    "The period \"{}\" does not end after it starts. The event was not read.",
                    shown(given)
                ),
                "Write start/end or start/length, such as 20260713T150000Z/PT3H.",
            )
        },
    )
}
