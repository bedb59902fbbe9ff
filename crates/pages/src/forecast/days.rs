//! The trip day by day: what she does when, as bars with words, and in full sentences.

use boat::model::Activity;
use endure::voyage::{Stretch, Timeline};
use maud::{Markup, html};

use super::outlook::Told;
use super::{head, words};

const DAY: u32 = 1440;
/// Blocks shorter than this have no room for a word, in minutes.
const ROOM: u32 = 165;

/// A kind of block: the pattern that fills it, and its word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Block {
    Engine,
    Sail,
    Charging,
    Alongside,
    Anchor,
    Mooring,
}

impl Block {
    pub(super) const ALL: [Self; 6] =
        [Self::Engine, Self::Sail, Self::Charging, Self::Alongside, Self::Anchor, Self::Mooring];

    pub(super) fn of(stretch: &Stretch) -> Self {
        match stretch.activity {
            Activity::Motoring => Self::Engine,
            Activity::Sailing => Self::Sail,
            Activity::Charging => Self::Charging,
            Activity::Alongside => Self::Alongside,
            Activity::Anchored => Self::Anchor,
            Activity::Moored => Self::Mooring,
        }
    }

    /// The word in the bar.
    fn short(self) -> &'static str {
        match self {
            Self::Engine => "engine",
            Self::Sail => "sail",
            Self::Charging => "charge",
            Self::Alongside => "dock",
            Self::Anchor => "anchor",
            Self::Mooring => "buoy",
        }
    }

    /// The words in the key and in sentences.
    fn long(self) -> &'static str {
        match self {
            Self::Engine => "under engine",
            Self::Sail => "under sail",
            Self::Charging => "engine for the batteries",
            Self::Alongside => "alongside",
            Self::Anchor => "at anchor",
            Self::Mooring => "on a mooring",
        }
    }

    /// What fills it.
    pub(super) fn fill(self) -> &'static str {
        match self {
            Self::Engine => "url(#pat-engine)",
            Self::Sail => "url(#pat-sail)",
            Self::Charging => "url(#pat-charging)",
            Self::Alongside => "url(#pat-dock)",
            Self::Anchor | Self::Mooring => "none",
        }
    }
}

/// The patterns of all drawings of the page, kept once.
pub(super) fn patterns() -> Markup {
    let pattern = |id: &str, width: &str, drawn: &str, class: &str| {
        html! {
            pattern id=(id) width=(width) height="6" patternUnits="userSpaceOnUse" {
                rect class="pat-ground" width=(width) height="6" {}
                path class=(class) d=(drawn) {}
            }
        }
    };
    html! {
        svg.patterns width="0" height="0" aria-hidden="true" focusable="false" {
            defs {
                (pattern("pat-engine", "6", "M-1 7 7 -1M-1 1 1 -1M5 7 7 5", "pat-line heavy"))
                (pattern("pat-sail", "8", "M0 3q2 -3 4 0t4 0", "pat-line"))
                (pattern("pat-charging", "5", "M1.5 0V6", "pat-line heavy"))
                (pattern("pat-dock", "6", "M0 1H6M1 0V6", "pat-line"))
            }
        }
    }
}

pub(super) fn section(told: &Told) -> Markup {
    let line = &told.voyage.timeline;
    let used: Vec<Block> = Block::ALL
        .into_iter()
        .filter(|block| line.stretches.iter().any(|stretch| Block::of(stretch) == *block))
        .collect();
    html! {
        section.block aria-labelledby="days" {
            (head("days", "The trip, day by day"))
            (key(&used))
            ol.days {
                @for (first, last, said) in alike(told) {
                    li {
                        span.day-name { (names(&told.trip.starts, first, last)) }
                        (bar(line, first))
                        p.small.soft { (said) }
                    }
                }
            }
        }
    }
}

/// Days one after the other on which she does the same: the first, the last, and what she does.
fn alike(told: &Told) -> Vec<(u32, u32, String)> {
    let mut groups: Vec<(u32, u32, String)> = Vec::new();
    for day in 0..u32::try_from(told.trip.days.len()).unwrap_or(0) {
        let said = sentence(&told.voyage.timeline, day);
        match groups.last_mut() {
            Some((_, last, known)) if *known == said => *last = day,
            _ => groups.push((day, day, said)),
        }
    }
    groups
}

/// "Day 2 (Thu)", or "Days 2 (Thu) to 7 (Tue)".
fn names(starts: &str, first: u32, last: u32) -> String {
    let name = |day: u32| words::day(starts, day).trim_start_matches("day ").to_owned();
    if first == last {
        format!("Day {}", name(first))
    } else {
        format!("Days {} to {}", name(first), name(last))
    }
}

/// What the patterns mean.
pub(super) fn key(used: &[Block]) -> Markup {
    html! {
        ul.pattern-key aria-label="What the patterns mean" {
            @for block in used {
                li {
                    svg.pattern-swatch width="36" height="18" aria-hidden="true" focusable="false" {
                        rect class="block-shape" x="1" y="1" width="34" height="16" fill=(block.fill()) {}
                    }
                    (block.long())
                }
            }
            li {
                svg.pattern-swatch width="36" height="18" aria-hidden="true" focusable="false" {
                    rect class="dark" width="36" height="18" {}
                }
                "dark, sunset to sunrise"
            }
        }
    }
}

/// What she does within some minutes, cut to them.
fn within(line: &Timeline, from: u32, to: u32) -> impl Iterator<Item = (Block, u32, u32)> {
    line.stretches
        .iter()
        .map(move |stretch| (Block::of(stretch), stretch.from.max(from), stretch.to.min(to)))
        .filter(|(_, a, b)| a < b)
}

/// A part of a width in percent, for drawings that stretch.
pub(super) fn across(part: u32, whole: u32) -> String {
    format!("{:.3}%", f64::from(part) / f64::from(whole.max(1)) * 100.0)
}

fn bar(line: &Timeline, day: u32) -> Markup {
    let (from, to) = (day * DAY, (day + 1) * DAY);
    html! {
        svg.day-bar width="100%" height=(if day == 0 { 46 } else { 30 }) aria-hidden="true" focusable="false" {
            @for (a, b) in line.dark.iter().map(|(a, b)| ((*a).max(from), (*b).min(to))).filter(|(a, b)| a < b) {
                rect class="dark" x=(across(a - from, DAY)) width=(across(b - a, DAY)) y="0" height="30" {}
            }
            @for (block, a, b) in within(line, from, to) {
                rect class="block-shape" x=(across(a - from, DAY)) width=(across(b - a, DAY)) y="3" height="24" fill=(block.fill()) {}
                @if b - a >= ROOM {
                    text class="block-word" x=(across(u32::midpoint(a, b) - from, DAY)) y="19.5" text-anchor="middle" { (block.short()) }
                }
            }
            @for hour in [0, 6, 12, 18, 24] {
                @let anchor = match hour { 0 => "start", 24 => "end", _ => "middle" };
                line class="midnight" x1=(across(hour, 24)) x2=(across(hour, 24)) y1="27" y2="31" {}
                @if day == 0 { text class="axis-word" x=(across(hour, 24)) y="43" text-anchor=(anchor) { (format!("{hour:02}:00")) } }
            }
        }
    }
}

/// "Alongside until 16:30, under engine until 17:30, at anchor."
fn sentence(line: &Timeline, day: u32) -> String {
    let (from, to) = (day * DAY, (day + 1) * DAY);
    let mut joined: Vec<(Block, u32)> = Vec::new();
    for (block, _, until) in within(line, from, to) {
        match joined.last_mut() {
            Some((last, end)) if *last == block => *end = until,
            _ => joined.push((block, until)),
        }
    }
    let clock = |minute: u32| format!("{:02}:{:02}", minute % DAY / 60, minute % 60);
    let mut parts = Vec::new();
    if line.begin > from {
        parts.push(format!("taken over at {}", clock(line.begin)));
    }
    for (block, until) in joined {
        let end = if until == to { String::new() } else { format!(" until {}", clock(until)) };
        parts.push(format!("{}{end}", block.long()));
    }
    for call in line.calls.iter().filter(|call| call.day == day as usize) {
        let done = [
            (call.water, "water"),
            (call.pump_out, "pump-out"),
            (call.fuel, "diesel"),
            (call.gas, "gas bottles"),
        ];
        let done: Vec<&str> = done.into_iter().filter(|(yes, _)| *yes).map(|(_, word)| word).collect();
        parts.push(format!("at a dock for {} at {}", done.join(", "), clock(call.at)));
    }
    crate::words::sentence(&parts.join(", "))
}
