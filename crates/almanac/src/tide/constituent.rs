//! The constituents: the regular swings that a tide is made of, as Schureman's Table 2 has them.

use std::fmt;

use quantity::Time;

use super::moon::{Five, Heavens, Node, RATES};

/// One of the regular swings that a tide is made of, such as M2, the moon's half-daily one.
///
/// The 37 that the United States' tide tables are made with are known.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Constituent(u8);

/// Name, how many of T, s, h, p, p1, further degrees, and the bendings with how often each counts.
struct Row(&'static str, [i8; 5], i16, &'static [(Node, i8)]);

/// Schureman's Table 2, with T the hour angle of the mean sun, which is 180 degrees at midnight.
const ROWS: &[Row] = &[
    Row("M2", [2, -2, 2, 0, 0], 0, &[(Node::M2, 1)]),
    Row("S2", [2, 0, 0, 0, 0], 0, &[]),
    Row("N2", [2, -3, 2, 1, 0], 0, &[(Node::M2, 1)]),
    Row("K1", [1, 0, 1, 0, 0], -90, &[(Node::K1, 1)]),
    Row("M4", [4, -4, 4, 0, 0], 0, &[(Node::M2, 2)]),
    Row("O1", [1, -2, 1, 0, 0], 90, &[(Node::O1, 1)]),
    Row("M6", [6, -6, 6, 0, 0], 0, &[(Node::M2, 3)]),
    Row("MK3", [3, -2, 3, 0, 0], -90, &[(Node::M2, 1), (Node::K1, 1)]),
    Row("S4", [4, 0, 0, 0, 0], 0, &[]),
    Row("MN4", [4, -5, 4, 1, 0], 0, &[(Node::M2, 2)]),
    Row("NU2", [2, -3, 4, -1, 0], 0, &[(Node::M2, 1)]),
    Row("S6", [6, 0, 0, 0, 0], 0, &[]),
    Row("MU2", [2, -4, 4, 0, 0], 0, &[(Node::M2, 1)]),
    Row("2N2", [2, -4, 2, 2, 0], 0, &[(Node::M2, 1)]),
    Row("OO1", [1, 2, 1, 0, 0], -90, &[(Node::Oo1, 1)]),
    Row("LAM2", [2, -1, 0, 1, 0], 180, &[(Node::M2, 1)]),
    Row("S1", [1, 0, 0, 0, 0], 0, &[]),
    Row("M1", [1, -1, 1, 0, 0], -90, &[(Node::M1, 1)]),
    Row("J1", [1, 1, 1, -1, 0], -90, &[(Node::J1, 1)]),
    Row("MM", [0, 1, 0, -1, 0], 0, &[(Node::Mm, 1)]),
    Row("SSA", [0, 0, 2, 0, 0], 0, &[]),
    Row("SA", [0, 0, 1, 0, 0], 0, &[]),
    Row("MSF", [0, 2, -2, 0, 0], 0, &[(Node::M2, -1)]),
    Row("MF", [0, 2, 0, 0, 0], 0, &[(Node::Mf, 1)]),
    Row("RHO", [1, -3, 3, -1, 0], 90, &[(Node::O1, 1)]),
    Row("Q1", [1, -3, 1, 1, 0], 90, &[(Node::O1, 1)]),
    Row("T2", [2, 0, -1, 0, 1], 0, &[]),
    Row("R2", [2, 0, 1, 0, -1], 180, &[]),
    Row("2Q1", [1, -4, 1, 2, 0], 90, &[(Node::O1, 1)]),
    Row("P1", [1, 0, -1, 0, 0], 90, &[]),
    Row("2SM2", [2, 2, -2, 0, 0], 0, &[(Node::M2, -1)]),
    Row("M3", [3, -3, 3, 0, 0], 0, &[(Node::M3, 1)]),
    Row("L2", [2, -1, 2, -1, 0], 180, &[(Node::L2, 1)]),
    Row("2MK3", [3, -4, 3, 0, 0], 90, &[(Node::M2, 2), (Node::K1, -1)]),
    Row("K2", [2, 0, 2, 0, 0], 0, &[(Node::K2, 1)]),
    Row("M8", [8, -8, 8, 0, 0], 0, &[(Node::M2, 4)]),
    Row("MS4", [4, -2, 2, 0, 0], 0, &[(Node::M2, 1)]),
];

/// Other ways in which the same are written.
const ALSO: &[(&str, &str)] =
    &[("LAMBDA2", "LAM2"), ("LDA2", "LAM2"), ("RHO1", "RHO"), ("2MS2", "MU2"), ("MO3", "2MK3")];

impl Constituent {
    /// All that are known, in the usual order of the United States' lists.
    pub fn all() -> impl Iterator<Item = Self> {
        (0_u8..).map_while(|at| (usize::from(at) < ROWS.len()).then_some(Self(at)))
    }

    /// The one of a name, such as `M2`; capitals and small letters are alike.
    pub fn find(name: &str) -> Option<Self> {
        let name = name.to_ascii_uppercase();
        let name = ALSO.iter().find(|(other, _)| *other == name).map_or(name.as_str(), |(_, usual)| usual);
        Self::all().find(|one| one.name() == name)
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        self.row().0
    }

    /// How long a swing takes.
    pub fn period(self) -> Time {
        Time::hours(360.0 / self.speed())
    }

    fn row(self) -> &'static Row {
        &ROWS[usize::from(self.0)]
    }

    /// Degrees an hour. That of M1 is without the turning of its angle Q, which goes with the bending.
    pub(super) fn speed(self) -> f64 {
        sum(self.row().1, &RATES)
    }

    /// The factor on its amplitude, and its argument V + u at Greenwich in degrees.
    pub(super) fn swing(self, heavens: &Heavens) -> (f64, f64) {
        let Row(_, counts, further, nodes) = self.row();
        let argument = sum(*counts, &heavens.angles) + f64::from(*further);
        nodes.iter().fold((1.0, argument), |(factor, argument), (node, times)| {
            let bend = heavens.bend(*node);
            let power = (0..times.unsigned_abs()).fold(1.0, |power, _| power * bend.factor);
            (factor * power, argument + f64::from(*times) * bend.angle)
        })
    }
}

fn sum(counts: [i8; 5], angles: &Five) -> f64 {
    counts.iter().zip(angles).map(|(count, angle)| f64::from(*count) * angle).sum()
}

impl fmt::Display for Constituent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

impl fmt::Debug for Constituent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Constituent({})", self.name())
    }
}
