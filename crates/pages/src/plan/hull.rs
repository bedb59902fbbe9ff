//! The outline of the hull seen from above, from its kind, length and beam.
//!
//! It is a sketch to recognise the boat by, not her lines: a smooth curve from the stem to the greatest beam, a
//! little narrower at the transom; a catamaran has two such hulls and a bridge deck between them.

use boat::model::{Hull, Particulars};

/// The breadth of one of two hulls, as a part of the beam over all.
const TWIN: f64 = 0.29;
/// Where the bridge deck of two hulls begins and ends, as parts of the length.
const BRIDGE: (f64, f64) = (0.265, 0.9);
/// How many stretches each side is drawn with.
const STATIONS: u32 = 48;

/// The hull from above. Lengths in metres: `aft` from the bow, `across` from the centreline, starboard positive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Outline {
    /// One hull or two.
    pub(crate) kind: Hull,
    /// Length over all.
    pub(crate) length: f64,
    /// Greatest beam.
    pub(crate) beam: f64,
}

impl Outline {
    /// The outline of a boat; measures that can't be drawn are taken as one metre.
    pub(crate) fn of(boat: &Particulars) -> Self {
        let sound = |metres: f64| if metres.is_finite() && metres > 0.0 { metres } else { 1.0 };
        Self { kind: boat.hull, length: sound(boat.length.as_metres()), beam: sound(boat.beam.as_metres()) }
    }

    /// The stretches of hull at a distance from the bow, from port to starboard.
    pub(crate) fn spans(&self, aft: f64) -> Vec<(f64, f64)> {
        let t = aft / self.length;
        if !(0.0..=1.0).contains(&t) {
            return Vec::new();
        }
        let half = self.half(t);
        let hulls = self.middles().into_iter().map(|middle| (middle - half, middle + half));
        let hulls: Vec<(f64, f64)> = hulls.collect();
        match (self.bridge(), hulls.as_slice()) {
            (Some((from, to)), [port, starboard]) if (from..=to).contains(&aft) => {
                vec![(port.0, starboard.1)]
            }
            _ => hulls,
        }
    }

    /// The outline as a closed ring of points (aft, across).
    pub(crate) fn ring(&self) -> Vec<(f64, f64)> {
        let edge = |middle: f64, side: f64, from: f64, to: f64| -> Vec<(f64, f64)> {
            let station = |i: u32| from + (to - from) * f64::from(i) / f64::from(STATIONS);
            (0..=STATIONS)
                .map(|i| (station(i) * self.length, middle + side * self.half(station(i))))
                .collect()
        };
        match self.middles().as_slice() {
            [port, starboard] => [
                edge(*port, -1.0, 0.0, 1.0),
                edge(*port, 1.0, 1.0, BRIDGE.1),
                edge(*starboard, -1.0, BRIDGE.1, 1.0),
                edge(*starboard, 1.0, 1.0, 0.0),
                edge(*starboard, -1.0, 0.0, BRIDGE.0),
                edge(*port, 1.0, BRIDGE.0, 0.0),
            ]
            .concat(),
            _ => [edge(0.0, -1.0, 0.0, 1.0), edge(0.0, 1.0, 1.0, 0.0)].concat(),
        }
    }

    /// The corners of the net between the bows of two hulls, if there are two.
    pub(crate) fn net(&self) -> Option<[(f64, f64); 4]> {
        let [port, starboard] = self.middles()[..] else { return None };
        let (fore, aft) = (BRIDGE.0 * 0.4, BRIDGE.0);
        let inner = |t: f64| (port + self.half(t), starboard - self.half(t));
        let at = |t: f64, across: f64| (t * self.length, across);
        Some([at(fore, inner(fore).0), at(aft, inner(aft).0), at(aft, inner(aft).1), at(fore, inner(fore).1)])
    }

    /// Where the bridge deck begins and ends, if there is one.
    fn bridge(&self) -> Option<(f64, f64)> {
        match self.kind {
            Hull::Monohull => None,
            Hull::Catamaran => Some((BRIDGE.0 * self.length, BRIDGE.1 * self.length)),
        }
    }

    /// Half the breadth of one hull at a part of the length.
    fn half(&self, t: f64) -> f64 {
        match self.kind {
            Hull::Monohull => self.beam / 2.0 * fullness(t, 0.64, 0.18),
            Hull::Catamaran => self.beam * TWIN / 2.0 * fullness(t, 0.42, 0.35),
        }
    }

    /// The middle of each hull, from port to starboard.
    fn middles(&self) -> Vec<f64> {
        match self.kind {
            Hull::Monohull => vec![0.0],
            Hull::Catamaran => {
                let middle = self.beam * (1.0 - TWIN) / 2.0;
                vec![-middle, middle]
            }
        }
    }
}

/// How full the hull is at a part `t` of its length: 0 at the stem, 1 at `widest`, `less` narrower at the transom.
fn fullness(t: f64, widest: f64, less: f64) -> f64 {
    if t < widest {
        let left = 1.0 - t / widest;
        1.0 - left * left * (1.0 + left) / 2.0
    } else {
        let s = (t - widest) / (1.0 - widest);
        1.0 - less * s * s
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_single_hull_is_pointed_and_as_wide_as_her_beam() {
        let hull = Outline { kind: Hull::Monohull, length: 13.0, beam: 4.0 };
        assert_eq!(hull.spans(0.0), vec![(0.0, 0.0)]);
        assert_eq!(hull.spans(0.64 * 13.0), vec![(-2.0, 2.0)]);
        assert!(hull.spans(13.1).is_empty(), "nothing beyond the transom");
        assert!(hull.net().is_none());
    }

    #[test]
    fn two_hulls_join_at_the_bridge_deck() {
        let hull = Outline { kind: Hull::Catamaran, length: 12.0, beam: 6.7 };
        assert_eq!(hull.spans(1.0).len(), 2);
        assert!(hull.net().is_some());
        assert_eq!(hull.spans(6.0).len(), 1);
        let (port, starboard) = hull.spans(0.42 * 12.0)[0];
        assert!((port + 3.35).abs() < 1e-9 && (starboard - 3.35).abs() < 1e-9, "{port} {starboard}");
    }
}
