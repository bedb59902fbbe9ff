//! Where moon and sun stand on the average, and how the moon's slowly turning path bends the tide.
//!
//! Mean longitudes: Meeus, Astronomical Algorithms (1998), chapters 25 and 47. The moon's path and the factors:
//! Schureman, Manual of Harmonic Analysis and Prediction of Tides (US Coast and Geodetic Survey, Special
//! Publication 98, 1958), equations by their number there. Both are written from memory and held against two
//! programs by other authors in the tests.

/// The second of 2000-01-01 12:00 UTC, from which centuries are counted.
const J2000: f64 = 946_728_000.0;
const SECONDS_A_CENTURY: f64 = 86_400.0 * 36_525.0;
/// Degrees an hour that the mean sun turns, by definition of the hour.
const TURN: f64 = 15.0;
const HOURS_A_CENTURY: f64 = 24.0 * 36_525.0;

/// The five angles that arguments are made of, in the order T, s, h, p, p1; degrees, or degrees an hour.
pub(super) type Five = [f64; 5];

/// Which bending of Schureman's applies: a factor f on the amplitude and an angle u on the phase.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Node {
    Mm,
    Mf,
    O1,
    K1,
    J1,
    Oo1,
    M1,
    M2,
    K2,
    L2,
    M3,
}

/// Factor on the amplitude, and angle added to the argument, in degrees.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bend {
    pub(super) factor: f64,
    pub(super) angle: f64,
}

/// Moon and sun at a moment.
pub(super) struct Heavens {
    /// The five angles, degrees; T is the hour angle of the mean sun at Greenwich.
    pub(super) angles: Five,
    bends: [Bend; 11],
}

/// Degrees an hour by which the five angles grow; the slow changes of that are left out.
pub(super) const RATES: Five = [
    TURN,
    481_267.881_234 / HOURS_A_CENTURY,
    36_000.769_83 / HOURS_A_CENTURY,
    4_069.013_729 / HOURS_A_CENTURY,
    1.719_54 / HOURS_A_CENTURY,
];

impl Heavens {
    /// At so many seconds after 1970-01-01 00:00 UTC.
    pub(super) fn at(seconds: f64) -> Self {
        let t = (seconds - J2000) / SECONDS_A_CENTURY;
        let turn = 180.0 + (seconds / 3600.0).rem_euclid(24.0) * TURN;
        let moon = series(t, [218.316_447_7, 481_267.881_234_21, -0.001_578_6, 1.0 / 538_841.0]);
        let sun = series(t, [280.466_46, 36_000.769_83, 0.000_303_2, 0.0]);
        let perigee = series(t, [83.353_246_5, 4_069.013_728_7, -0.010_320, -1.0 / 80_053.0]);
        let node = series(t, [125.044_547_9, -1_934.136_289_1, 0.002_075_4, 1.0 / 467_441.0]);
        let perihelion = series(t, [282.937_35, 1.719_54, 0.000_456_9, 0.0]);
        Self { angles: [turn, moon, sun, perigee, perihelion], bends: bends(node, perigee) }
    }

    pub(super) fn bend(&self, node: Node) -> Bend {
        self.bends[node as usize]
    }
}

/// A polynomial in centuries, in degrees.
fn series(t: f64, terms: [f64; 4]) -> f64 {
    terms.iter().rev().fold(0.0, |sum, term| sum * t + term).rem_euclid(360.0)
}

/// The moon's path at an angle of its node: Schureman, section on the moon's orbit.
struct Path {
    /// Its slope to the equator.
    slope: f64,
    /// Right ascension of where it crosses the equator.
    nu: f64,
    /// Longitude on the path of that crossing.
    xi: f64,
}

impl Path {
    /// From the longitude of the node, radians.
    fn of(node: f64) -> Self {
        let slope = libm::acos(0.91370 - 0.03569 * libm::cos(node));
        let nu = libm::asin(0.08968 * libm::sin(node) / libm::sin(slope));
        let node = libm::atan2(libm::sin(node), libm::cos(node));
        let half = libm::atan2(0.64412 * libm::sin(node / 2.0), libm::cos(node / 2.0));
        Self { slope, nu, xi: node - 2.0 * half - nu }
    }

    /// The phase angle of K1, equation 224.
    fn nu_of_k1(&self) -> f64 {
        libm::atan(libm::sin(self.nu) / (libm::cos(self.nu) + 0.334_766 / libm::sin(2.0 * self.slope)))
    }

    /// The phase angle of K2, twice the one of equation 232.
    fn twice_nu_of_k2(&self) -> f64 {
        let sine = libm::sin(self.slope);
        libm::atan(libm::sin(2.0 * self.nu) / (libm::cos(2.0 * self.nu) + 0.072_618_4 / (sine * sine)))
    }
}

/// All factors and angles for a node and a perigee in degrees, in the order of [`Node`].
fn bends(node: f64, perigee: f64) -> [Bend; 11] {
    let path = Path::of(node.to_radians());
    let (sine, half_cosine) = (libm::sin(path.slope), libm::cos(path.slope / 2.0));
    let double = libm::sin(2.0 * path.slope);
    let half_sine = libm::sin(path.slope / 2.0);
    let squared = half_cosine * half_cosine;
    let apse = perigee.to_radians() - path.xi;
    let (xi, nu) = (path.xi, path.nu);
    let o1 = sine * squared / 0.37988;
    let m2 = squared * squared / 0.91544;
    let k1 = 0.8965 * double * double + 0.6001 * double * libm::cos(nu) + 0.1006;
    let k2 = 19.0444 * sine * sine * sine * sine + 2.7702 * sine * sine * libm::cos(2.0 * nu) + 0.0981;
    let (l2_factor, l2_angle) = l2(half_sine / half_cosine, apse);
    let bend = |factor: f64, angle: f64| Bend { factor, angle: angle.to_degrees() };
    [
        bend((2.0 / 3.0 - sine * sine) / 0.5021, 0.0),
        bend(sine * sine / 0.1578, -2.0 * xi),
        bend(o1, 2.0 * xi - nu),
        bend(k1.sqrt(), -path.nu_of_k1()),
        bend(double / 0.7214, -nu),
        bend(sine * half_sine * half_sine / 0.0164, -2.0 * xi - nu),
        bend(o1 * (2.310 + 1.435 * libm::cos(2.0 * apse)).sqrt(), xi - nu + m1(libm::cos(path.slope), apse)),
        bend(m2, 2.0 * (xi - nu)),
        bend(k2.sqrt(), -path.twice_nu_of_k2()),
        bend(m2 * l2_factor, 2.0 * (xi - nu) - l2_angle),
        bend(squared * squared * squared / 0.8758, 3.0 * (xi - nu)),
    ]
}

/// The angle Q of M1, in the same quarter as the moon's mean anomaly from the crossing: equation 203.
fn m1(cosine: f64, apse: f64) -> f64 {
    libm::atan2((5.0 * cosine - 1.0) * libm::sin(apse), (7.0 * cosine + 1.0) * libm::cos(apse))
}

/// One over the factor R of L2, and its angle: equations 213 and 214.
fn l2(half_tangent: f64, apse: f64) -> (f64, f64) {
    let squared = half_tangent * half_tangent;
    let cosine = libm::cos(2.0 * apse);
    let factor = (1.0 - 12.0 * squared * cosine + 36.0 * squared * squared).sqrt();
    (factor, libm::atan(libm::sin(2.0 * apse) / (1.0 / (6.0 * squared) - cosine)))
}
