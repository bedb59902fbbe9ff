//! The circle in which she swings, seen from above and true to scale.

use endure::tackle::{Advice, Swing};
use maud::{Markup, html};

use super::{margin_words, up};
use crate::vessel::Vessel;

/// Units of the drawing.
const SIDE: f64 = 360.0;
const EDGE: f64 = 26.0;

pub(super) fn section(vessel: &Vessel, advice: &Advice) -> Markup {
    let (Some(low), Some(high)) = (advice.swing_low, advice.swing_high) else { return Markup::default() };
    html! {
        h3 { "How far she swings" }
        figure.course-sheet.sea-sheet.swing {
            (drawing(&low, &high, vessel.boat.particulars.length.as_metres(), vessel.boat.particulars.beam.as_metres()))
            figcaption.small {
                "Keep a circle around the anchor clear: its radius is " strong { (up(low.radius)) } " at the lowest water and "
                strong { (up(high.radius)) } " at the highest. That is the rode pulled straight and her length; " (margin_words()) "."
            }
        }
    }
}

fn drawing(low: &Swing, high: &Swing, long: f64, wide: f64) -> Markup {
    let middle = SIDE / 2.0;
    let largest = low.radius.as_metres().max(high.radius.as_metres());
    let scale = (middle - EDGE) / largest;
    let reach = high.reach_at_load.unwrap_or(high.straight_reach).as_metres();
    let bow = middle + reach * scale;
    let same = (low.radius.as_metres() - high.radius.as_metres()).abs() * scale < 14.0;
    html! {
        svg.scene viewBox=(format!("0 0 {SIDE} {SIDE}")) role="img" aria-label="The swinging circle from above" focusable="false" {
            circle class="ring low" cx=(middle) cy=(middle) r=(one(low.radius.as_metres() * scale)) {}
            circle class="ring high" cx=(middle) cy=(middle) r=(one(high.radius.as_metres() * scale)) {}
            path class="scene-wind" d=(format!("M{middle} 40v34m-6 -10l6 10 6 -10")) {}
            text.halo x=(middle + 10.0) y="60" { "wind" }
            line class="scene-rode" x1=(middle) x2=(middle) y1=(middle) y2=(one(bow)) {}
            path class="scene-hull" d=(hull(middle, bow, long * scale, wide * scale)) {}
            circle class="scene-anchor" cx=(middle) cy=(middle) r="4" {}
            text.halo x=(middle + 8.0) y=(middle + 4.0) { "anchor" }
            text.halo x=(middle) y=(one(EDGE - 10.0)) text-anchor="middle" { "low water: " (metres(low)) }
            @if same {
                text.halo x=(middle) y=(SIDE - 8.0) text-anchor="middle" { "high water: " (metres(high)) }
            } @else {
                text.halo x=(one(middle - high.radius.as_metres() * scale * 0.7 + 6.0)) y=(one(middle + high.radius.as_metres() * scale * 0.72)) { "high water: " (metres(high)) }
            }
        }
    }
}

fn metres(swing: &Swing) -> String {
    format!("{:.0} m", swing.radius.as_metres().ceil())
}

fn one(number: f64) -> String {
    format!("{number:.1}")
}

/// A hull from above, bow up.
fn hull(x: f64, bow: f64, long: f64, wide: f64) -> String {
    let half = wide / 2.0;
    let (waist, stern) = (bow + long * 0.55, bow + long);
    format!(
        "M{x} {bow:.1}C{:.1} {:.1} {:.1} {:.1} {:.1} {waist:.1}L{:.1} {stern:.1}H{:.1}L{:.1} {waist:.1}C{:.1} {:.1} {:.1} {:.1} {x} {bow:.1}Z",
        x + half * 0.6,
        bow + long * 0.15,
        x + half,
        bow + long * 0.35,
        x + half,
        x + half * 0.75,
        x - half * 0.75,
        x - half,
        x - half,
        bow + long * 0.35,
        x - half * 0.6,
        bow + long * 0.15
    )
}
