//! How the rode lies between anchor and bow, seen from the side and true to scale.

use std::fmt::Write as _;

use endure::tackle::{Advice, Lie};
use maud::{Markup, html};
use quantity::Length;

use super::ask::AnchorAsk;
use crate::vessel::Vessel;

/// Units of the drawing: its width, its edge, points of a curve.
const WIDTH: f64 = 360.0;
const EDGE: f64 = 14.0;
const POINTS: u32 = 24;

pub(super) fn section(vessel: &Vessel, ask: &AnchorAsk, advice: &Advice) -> Markup {
    let Some(lie) = &advice.lie else { return Markup::default() };
    let tackle = ask.tackle(&vessel.boat);
    let chain = tackle.and_then(|tackle| tackle.chain).unwrap_or(Length::ZERO);
    let bow_height = tackle.and_then(|tackle| tackle.bow_height).unwrap_or(Length::ZERO);
    let rope = (advice.rode - chain).max(Length::ZERO);
    html! {
        h3 { "How the rode lies in the strongest wind" }
        figure.course-sheet.sea-sheet {
            (drawing(advice, lie, (rope.as_metres(), bow_height.as_metres(), vessel.boat.particulars.length.as_metres())))
            figcaption.small { (told(lie, rope)) }
        }
    }
}

fn told(lie: &Lie, rope: Length) -> String {
    let what = if rope > Length::ZERO { "chain and rope" } else { "chain" };
    let metres = |length: Length| format!("{:.0} m", length.as_metres());
    if lie.lifts {
        format!(
            "True to scale, at the highest water. All of the {what} is off the bottom and pulls the anchor up by {:.1}\u{b0}.",
            lie.anchor_angle.as_degrees()
        )
    } else {
        format!(
            "True to scale, at the highest water. {} of chain rest on the bottom, {} hang. The pull on the anchor is level.",
            metres(lie.on_bottom),
            metres(lie.hanging)
        )
    }
}

/// All in metres: the rope that is out, the bow roller above the water, the boat's length.
fn drawing(advice: &Advice, lie: &Lie, (rope, bow_height, boat): (f64, f64, f64)) -> Markup {
    let (reach, height) = (lie.reach.as_metres(), advice.height.as_metres());
    let scale = (WIDTH - 2.0 * EDGE) / (reach + boat);
    // Room above for the deck and the words.
    let top = 34.0;
    let bottom = top + height * scale;
    let bow = EDGE + reach * scale;
    let full = bottom + 26.0;
    let surface = top + bow_height * scale;
    html! {
        svg.scene.wide viewBox=(format!("0 0 {WIDTH} {full:.1}")) role="img" aria-label="The rode from the anchor on the bottom to the bow, seen from the side" focusable="false" {
            rect class="scene-sea" x="0" width=(WIDTH) y=(one(surface)) height=(one(bottom - surface)) {}
            line class="scene-bottom" x1="0" x2=(WIDTH) y1=(one(bottom)) y2=(one(bottom)) {}
            path class="scene-hull" d=(hull(bow, top, boat * scale, surface)) {}
            path class="scene-rode" d=(rode(lie, rope, scale, bottom, bow, top)) {}
            path class="scene-anchor" d=(format!("M{:.1} {:.1}l-7 -3.5v7z", EDGE, bottom)) {}
            text x=(one(EDGE)) y=(one(bottom + 17.0)) { "anchor" }
            text x=(one(bow)) y="14" text-anchor="end" { "bow roller" }
            line class="scene-lead" x1=(one(bow)) x2=(one(bow)) y1="18" y2=(one(top - 2.0)) {}
            text x=(WIDTH - 4.0) y=(one(bottom + 17.0)) text-anchor="end" { "bottom, " (format!("{height:.1} m below the roller")) }
        }
    }
}

fn one(number: f64) -> String {
    format!("{number:.1}")
}

/// A hull from its bow aft, of which the water hides the lower part.
fn hull(bow: f64, top: f64, long: f64, surface: f64) -> String {
    let stern = bow + long;
    let low = surface + (surface - top) * 0.35;
    format!(
        "M{bow:.1} {top:.1}L{stern:.1} {:.1}L{:.1} {low:.1}L{:.1} {low:.1}Z",
        top + (surface - top) * 0.25,
        stern - long * 0.06,
        bow + long * 0.1
    )
}

/// Along the bottom, up the catenary of the chain, straight along the rope.
fn rode(lie: &Lie, rope: f64, scale: f64, bottom: f64, bow: f64, top: f64) -> String {
    let (low, high) = (libm::tan(lie.anchor_angle.as_radians()), libm::tan(lie.bow_angle.as_radians()));
    let on_bottom = lie.on_bottom.as_metres();
    let chain = (lie.hanging.as_metres() - rope).max(0.0);
    let mut out = format!("M{EDGE} {bottom:.1}L{:.1} {bottom:.1}", EDGE + on_bottom * scale);
    if chain > 0.0 && high > low {
        // Of a catenary, the length over the difference of its slopes is the load over the weight.
        let flat = chain / (high - low);
        let (from, rise) = (libm::asinh(low), libm::hypot(1.0, low));
        for point in 1..=POINTS {
            let slope = low + (high - low) * f64::from(point) / f64::from(POINTS);
            let x = EDGE + (on_bottom + flat * (libm::asinh(slope) - from)) * scale;
            let y = bottom - flat * (libm::hypot(1.0, slope) - rise) * scale;
            // Writing to a String can't fail.
            let _ = write!(out, "L{x:.1} {y:.1}");
        }
    }
    let _ = write!(out, "L{bow:.1} {top:.1}");
    out
}
