//! The curve of the first day, true to scale: height over the hours, night shaded, the turns marked.

use std::fmt::Write as _;

use almanac::tide::{self, Extreme, Period, Water};
use jiff::{SignedDuration, Timestamp};
use maud::{Markup, html};
use quantity::Length;

use super::ask::TidesAsk;
use super::{clock, days};

/// Units of the drawing.
const WIDTH: f64 = 480.0;
const LEFT: f64 = 34.0;
const RIGHT: f64 = 8.0;
const TOP: f64 = 24.0;
const HIGH: f64 = 150.0;
const BOTTOM: f64 = 24.0;
/// Between two points of the curve.
const STEP: SignedDuration = SignedDuration::from_mins(10);

/// Where moments and heights lie on the drawing.
struct Frame {
    from: Timestamp,
    long: f64,
    low: f64,
    high: f64,
}

impl Frame {
    fn x(&self, at: Timestamp) -> f64 {
        let along = at.duration_since(self.from).as_secs_f64() / self.long;
        LEFT + along.clamp(0.0, 1.0) * (WIDTH - LEFT - RIGHT)
    }

    fn y(&self, height: Length) -> f64 {
        TOP + (self.high - height.as_metres()) / (self.high - self.low) * HIGH
    }
}

pub(super) fn section(ask: &TidesAsk) -> Markup {
    let Some(period) = ask.day(ask.first) else { return Markup::default() };
    let day = clock::day(ask.first);
    html! {
        section.block aria-labelledby="curve-head" {
            h2 #curve-head { (day) }
            figure.course-sheet.tide-sheet {
                (drawing(ask, period))
                figcaption.small {
                    "Metres above " (ask.station.datum.name) ", hours by " (ask.clock.whose) ". Night is shaded."
                    @if let Some(shoal) = ask.shoal { " The broken line is the height that she needs, " (super::metres(shoal.level())) "." }
                    @if within(period, ask.at) { " The ring is the moment that was asked for." }
                }
            }
        }
    }
}

fn within(period: Period, at: Timestamp) -> bool {
    period.from() <= at && at < period.until()
}

fn drawing(ask: &TidesAsk, period: Period) -> Markup {
    let turns = tide::extremes(ask.station, period);
    let range = tide::range(ask.station, period);
    let needed = ask.shoal.map(|shoal| shoal.level().as_metres());
    // Whole metres around what is drawn, and at least one metre of it.
    let low = (range.lowest.as_metres() - 0.4).floor();
    let high = (range.highest.as_metres() + 0.05).ceil().max(low + 1.0);
    let frame = Frame {
        from: period.from(),
        long: period.until().duration_since(period.from()).as_secs_f64(),
        low,
        high,
    };
    let full = TOP + HIGH + BOTTOM;
    html! {
        svg.tide-curve viewBox=(format!("0 0 {WIDTH} {full}")) role="img" aria-label=(told(ask, &turns)) focusable="false" {
            (night(ask, &frame, period))
            (scale(&frame))
            (hours(ask, &frame, period))
            path.tide-water d=(area(ask, &frame, period)) {}
            path.tide-line d=(path(ask, &frame, period)) {}
            @if let Some(level) = needed.filter(|level| (low..=high).contains(level)) {
                line.tide-needed x1=(LEFT) x2=(WIDTH - RIGHT) y1=(one(frame.y(Length::metres(level)))) y2=(one(frame.y(Length::metres(level)))) {}
            }
            @for turn in &turns { (mark(ask, &frame, turn)) }
            @if within(period, ask.at) {
                circle.tide-now cx=(one(frame.x(ask.at))) cy=(one(frame.y(tide::height(ask.station, ask.at)))) r="6" {}
            }
        }
    }
}

/// The drawing in words.
fn told(ask: &TidesAsk, turns: &[Extreme]) -> String {
    let all: Vec<String> = turns
        .iter()
        .map(|turn| {
            format!("{} {} at {:.1} m", turn.water.words(), ask.clock.time(turn.at), turn.height.as_metres())
        })
        .collect();
    format!("The height of the water over the day: {}", all.join(", "))
}

fn moments(period: Period) -> impl Iterator<Item = Timestamp> {
    let next = move |at: &Timestamp| {
        let after = at.saturating_add(STEP).ok()?.min(period.until());
        (after > *at).then_some(after)
    };
    std::iter::successors(Some(period.from()), next)
}

fn path(ask: &TidesAsk, frame: &Frame, period: Period) -> String {
    let mut out = String::new();
    for (at, moment) in moments(period).enumerate() {
        let letter = if at == 0 { 'M' } else { 'L' };
        // Writing to a String can't fail.
        let _ =
            write!(out, "{letter}{:.1} {:.1}", frame.x(moment), frame.y(tide::height(ask.station, moment)));
    }
    out
}

fn area(ask: &TidesAsk, frame: &Frame, period: Period) -> String {
    let floor = TOP + HIGH;
    format!("{}L{:.1} {floor}L{LEFT} {floor}Z", path(ask, frame, period), WIDTH - RIGHT)
}

/// Before sunrise and after sunset.
fn night(ask: &TidesAsk, frame: &Frame, period: Period) -> Markup {
    let sun = days::sun(ask, ask.first).day;
    let dark = |from: f64, until: f64| html! { rect.dark x=(one(from)) y=(TOP) width=(one((until - from).max(0.0))) height=(HIGH) {} };
    let (start, end) = (frame.x(period.from()), frame.x(period.until()));
    html! {
        @if sun == almanac::sun::Daylight::NeverUp { (dark(start, end)) }
        @if let Some(rise) = sun.rise() { (dark(start, frame.x(rise))) }
        @if let Some(set) = sun.set() { (dark(frame.x(set), end)) }
    }
}

/// A line and a number at each whole metre; at every second one where there are many.
fn scale(frame: &Frame) -> Markup {
    let many = frame.high - frame.low > 6.0;
    let mut metre = frame.low;
    let mut rows = Vec::new();
    while metre <= frame.high + 0.01 {
        if !many || (metre.rem_euclid(2.0)) < 0.5 {
            rows.push(metre);
        }
        metre += 1.0;
    }
    html! {
        @for metre in rows {
            @let y = frame.y(Length::metres(metre));
            line.tide-grid x1=(LEFT) x2=(WIDTH - RIGHT) y1=(one(y)) y2=(one(y)) {}
            text x=(LEFT - 5.0) y=(one(y + 4.0)) text-anchor="end" { (format!("{metre:.0}").replace('-', "\u{2212}")) }
        }
        text x="2" y="12" { "m" }
    }
}

/// Every third hour of the clock.
fn hours(ask: &TidesAsk, frame: &Frame, period: Period) -> Markup {
    let hour = |at: &Timestamp| {
        let shown = ask.clock.zoned(*at);
        (shown.minute() == 0 && shown.hour() % 3 == 0).then(|| shown.hour())
    };
    html! {
        @for (at, hour) in moments(period).filter_map(|at| hour(&at).map(|hour| (at, hour))) {
            @let (x, anchor) = (frame.x(at), if at == period.until() { "end" } else if at == period.from() { "start" } else { "middle" });
            line.tide-grid x1=(one(x)) x2=(one(x)) y1=(TOP + HIGH) y2=(TOP + HIGH + 5.0) {}
            text x=(one(x)) y=(TOP + HIGH + 18.0) text-anchor=(anchor) { (if at == period.until() { 24 } else { hour }) }
        }
    }
}

fn mark(ask: &TidesAsk, frame: &Frame, turn: &Extreme) -> Markup {
    let (x, y) = (frame.x(turn.at), frame.y(turn.height));
    let above = turn.water == Water::High;
    let metres = format!("{:.1}", turn.height.as_metres()).replace("-0.0", "0.0").replace('-', "\u{2212}");
    let words = format!("{} {metres} m", ask.clock.time(turn.at));
    // Words near an edge stay within the drawing.
    let anchor = if x < LEFT + 50.0 {
        "start"
    } else if x > WIDTH - 60.0 {
        "end"
    } else {
        "middle"
    };
    html! {
        circle.tide-turn cx=(one(x)) cy=(one(y)) r="3.5" {}
        text.tide-word.halo x=(one(x)) y=(one(if above { y - 8.0 } else { (y + 16.0).min(TOP + HIGH - 2.0) })) text-anchor=(anchor) { (words) }
    }
}

fn one(number: f64) -> String {
    format!("{number:.1}")
}
