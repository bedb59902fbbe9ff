//! The course of one store as a drawing that stretches with the page: eight of ten trips lie in the band.

use std::fmt::Write as _;

use endure::forecast::{Band, Sort, StoreForecast};
use endure::words::{SURE, moment};
use maud::{Markup, html};

use super::days::{Block, across};
use super::outlook::Told;
use super::words;

const DAY: u32 = 1440;
/// The rows of the drawing, in pixels: days on top, then the plot, then what she does.
const TOP: u32 = 38;
const PLOT: u32 = 150;
const STRIP: u32 = 16;
const HEIGHT: u32 = TOP + PLOT + 6 + STRIP;

/// The minute of each hour of a forecast.
pub(super) fn minute(told: &Told, hour: usize) -> u32 {
    let voyage = &told.voyage;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the trip")]
    let minute = voyage.minute((hour + 1) * voyage.steps_an_hour()).round() as u32;
    minute
}

pub(super) fn drawing(told: &Told, store: &StoreForecast) -> Markup {
    let days = u32::try_from(told.trip.days.len()).unwrap_or(1).max(1);
    let whole = days * DAY;
    let line = &told.voyage.timeline;
    html! {
        svg class=(format!("course of-{}", words::class(store.sort))) width="100%" height=(HEIGHT) role="img"
            aria-label=(in_words(told, store)) focusable="false" {
            @for (a, b) in &line.dark {
                rect class="dark" x=(across(*a, whole)) width=(across(b - a, whole)) y=(TOP) height=(PLOT) {}
            }
            (day_names(&told.trip.starts, days))
            (grid(store.limit))
            svg class="plot" x="0" y=(TOP) width="100%" height=(PLOT) viewBox=(format!("0 0 {whole} 100")) preserveAspectRatio="none" {
                path class="band" d=(band(told, store)) {}
                path class="usual" d=(trace(told, store, |band| band.middle)) {}
            }
            (limit(store))
            (spent(told, store, whole))
            @for stretch in &line.stretches {
                rect class="block-shape" x=(across(stretch.from, whole)) width=(across(stretch.to - stretch.from, whole))
                    y=(TOP + PLOT + 6) height=(STRIP) fill=(Block::of(stretch).fill()) {}
            }
        }
    }
}

/// Every day its name, or every few days on a long trip.
fn day_names(starts: &str, days: u32) -> Markup {
    let every = days.div_ceil(9);
    html! {
        @for day in 0..days {
            @let from = if day % every == 0 { 4 } else { TOP };
            @if day > 0 { line class="midnight" x1=(across(day, days)) x2=(across(day, days)) y1=(from) y2=(TOP + PLOT) {} }
            @if day % every == 0 {
                @let middle = across(2 * day + every.min(days - day), 2 * days);
                text class="day-word" x=(middle) y="15" text-anchor="middle" { (words::weekday(starts, day)) }
                text class="axis-word" x=(middle) y="31" text-anchor="middle" { "day " (day + 1) }
            }
        }
    }
}

/// How far down a level is, in pixels.
fn down(level: f64) -> String {
    format!("{:.1}", f64::from(TOP) + (1.0 - level) * f64::from(PLOT))
}

/// The frame; a word that the limit would cross is left out.
fn grid(limit: f64) -> Markup {
    html! {
        @for (level, word) in [(1.0_f64, "full"), (0.5, "half"), (0.0, "empty")] {
            line class="grid" x1="0" x2="100%" y1=(down(level)) y2=(down(level)) {}
            @let below = if level > 0.9 { 13.0 } else { -4.0 };
            @if (limit - level).abs() > 0.12 || word == "half" {
                text class="axis-word halo" x="100%" dx="-3" y=(down(level - below / f64::from(PLOT))) text-anchor="end" { (word) }
            }
        }
    }
}

fn limit(store: &StoreForecast) -> Markup {
    let words = format!("limit {}", words::percent(store.limit));
    // Where the words don't cross the frame: above the line, unless it is near the top.
    let off = if store.limit > 0.85 { 14.0 } else { -5.0 };
    html! {
        line class="limit" x1="0" x2="100%" y1=(down(store.limit)) y2=(down(store.limit)) {}
        text class="limit-word halo" x="3" y=(down(store.limit - off / f64::from(PLOT))) { (words) }
    }
}

/// Where half of the failing trips have spent it.
fn spent(told: &Told, store: &StoreForecast, whole: u32) -> Markup {
    let Some(at) = store.usual.filter(|_| store.lasts < SURE) else { return Markup::default() };
    let right = at > whole / 2;
    let (anchor, dx) = if right { ("end", "-6") } else { ("start", "6") };
    let when = moment(&told.trip.starts, at);
    let when = when.split_once(", ").map_or(when.as_str(), |(_, clock)| clock);
    html! {
        line class="spent" x1=(across(at, whole)) x2=(across(at, whole)) y1=(TOP) y2=(TOP + PLOT) {}
        text class="spent-word halo" x=(across(at, whole)) dx=(dx) y=(TOP + PLOT - 20) text-anchor=(anchor) {
            (endure::words::spent(store.sort)) ", " (words::weekday(&told.trip.starts, at / DAY)) " " (when)
        }
    }
}

fn trace(told: &Told, store: &StoreForecast, value: impl Fn(&Band) -> f32) -> String {
    let mut out = String::new();
    for (hour, band) in store.hours.iter().enumerate() {
        let letter = if hour == 0 { 'M' } else { 'L' };
        // Writing to a String can't fail.
        let _ = write!(out, "{letter}{} {:.1}", minute(told, hour), 100.0 - value(band) * 100.0);
    }
    out
}

/// The band's edges: there along its upper edge, back along its lower.
fn band(told: &Told, store: &StoreForecast) -> String {
    let mut out = trace(told, store, |band| band.high);
    for (hour, band) in store.hours.iter().enumerate().rev() {
        let _ = write!(out, "L{} {:.1}", minute(told, hour), 100.0 - band.low * 100.0);
    }
    if !out.is_empty() {
        out.push('Z');
    }
    out
}

/// What the drawing shows, for those who can't see it.
fn in_words(told: &Told, store: &StoreForecast) -> String {
    let starts = &told.trip.starts;
    let fills = store.sort == Sort::Waste;
    let extreme = |a: &(usize, &Band), b: &(usize, &Band)| {
        if fills { a.1.middle.total_cmp(&b.1.middle) } else { b.1.middle.total_cmp(&a.1.middle) }
    };
    let worst = store.hours.iter().enumerate().max_by(extreme);
    let (Some(first), Some((hour, band))) = (store.hours.first(), worst) else {
        return format!("{}: nothing to draw.", store.name);
    };
    let word = if fills { "highest" } else { "lowest" };
    format!(
        "{} over the trip. It starts at {}. Usually its {word} is {}, on {}; in eight of ten trips between {} and {} then. Its limit is {}. The figures are in the table below.",
        store.name,
        words::percent(first.middle),
        words::percent(band.middle),
        moment(starts, minute(told, hour)),
        words::percent(band.low),
        words::percent(band.high),
        words::percent(store.limit)
    )
}
