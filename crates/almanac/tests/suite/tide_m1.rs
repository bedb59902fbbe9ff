//! The constituents M1 and M3, about which the programs behind the oracle differ, taken apart.
//!
//! Both of Schureman's Table 2 and of the IHO's list (Tidal, Water Level and Currents Working Group, Annex A) have
//! the argument of M1 as T - s + h, with T the hour angle of the mean sun, and an angle u that goes round once with the
//! moon's perigee. Schureman: -90°, xi - nu + Q, tan Q = (5 cos I - 1)/(7 cos I + 1) tan P, Q in P's quarter. IHO:
//! f sin u = sin p + 0.2 sin(p - N), f cos u = 2 cos p + 0.4 cos(p - N).
//!
//! The first program of the oracle counts the perigee twice (in its argument T - s + h + p, and in u), and turns M3 by
//! half (a constant for an hour angle that is nil at midnight, used with one that is nil at noon). The second takes M1
//! with +90°, which belongs to the other hour angle too. Put into the formulas here, these slips give their columns
//! to a millimetre; so they are all that the differences are.

use almanac::tide::{self, Station};
use jiff::Timestamp;

use crate::reference::{Table, Worst, time};

/// What goes wrong in one of the programs.
#[derive(Clone, Copy)]
struct Slips {
    /// The perigee counted once more.
    perigee: bool,
    /// Degrees added to M1.
    m1: f64,
    /// Degrees added to M3.
    m3: f64,
}

const NONE: Slips = Slips { perigee: false, m1: 0.0, m3: 0.0 };
const FIRST: Slips = Slips { perigee: true, m1: 0.0, m3: 180.0 };
const SECOND: Slips = Slips { perigee: false, m1: 180.0, m3: 0.0 };

/// T, s, h, p and N in degrees: linear in time, which is near enough for one summer.
fn angles(at: Timestamp) -> [f64; 5] {
    let days = (at.as_second() - 946_728_000) as f64 / 86_400.0;
    [
        180.0 + (at.as_second() % 86_400) as f64 / 240.0,
        218.3165 + 13.176_396_48 * days,
        280.4665 + 0.985_647_36 * days,
        83.3532 + 0.111_403_53 * days,
        125.0445 - 0.052_953_76 * days,
    ]
}

/// M1 and M3 together in metres, by the IHO's formulas.
fn by_the_iho(station: &Station, at: Timestamp, slips: Slips) -> f64 {
    let [t, moon, sun, p, n] = angles(at);
    let (sine, cosine) =
        (|degrees: f64| libm::sin(degrees.to_radians()), |degrees: f64| libm::cos(degrees.to_radians()));
    let (up, along) = (sine(p) + 0.2 * sine(p - n), 2.0 * cosine(p) + 0.4 * cosine(p - n));
    let bend = libm::atan2(up, along).to_degrees();
    let m1 = t - moon + sun - 90.0 + bend + slips.m1 + if slips.perigee { p } else { 0.0 };
    let m3 = 3.0 * (t - moon + sun) - 3.21 * sine(n) + slips.m3;
    let m3_factor = libm::pow(1.0007 - 0.0373 * cosine(n) + 0.0002 * cosine(2.0 * n), 1.5);
    let swing = |name: &str, factor: f64, argument: f64| {
        let found = station.constituents.iter().find(|one| one.constituent.name() == name).unwrap();
        factor * found.amplitude.as_metres() * cosine(argument - found.phase.as_degrees())
    };
    swing("M1", libm::hypot(up, along), m1) + swing("M3", m3_factor, m3)
}

/// What the two make of the height that is shown.
fn ours(station: &Station, at: Timestamp) -> f64 {
    let mut less = station.clone();
    less.constituents.retain(|one| !["M1", "M3"].contains(&one.constituent.name()));
    (tide::height(station, at) - tide::height(&less, at)).as_metres()
}

fn compare(mut see: impl FnMut(&'static Station, Timestamp, &dyn Fn(&str) -> f64)) {
    for row in Table::read("tides_hourly.csv").rows() {
        let station = tide::station(row.text("station")).unwrap();
        see(station, time(&row.text("time_utc").replace('Z', ":00Z")), &|column| row.number(column));
    }
}

/// The largest that the two come to is 48 mm, at Friday Harbor.
#[test]
fn schureman_and_the_iho_agree() {
    let mut worst = Worst::default();
    compare(|station, at, _| {
        worst.note(ours(station, at) - by_the_iho(station, at, NONE), || format!("{} {at}", station.name));
    });
    worst.check("M1 and M3 by Schureman and by the IHO, m", 0.003);
}

#[test]
fn the_other_programs_differ_by_their_slips_alone() {
    let (mut iho, mut pytides) = (Worst::default(), Worst::default());
    compare(|station, at, column| {
        let where_ = || format!("{} {at}", station.name);
        let theirs = column("iho_m") - column("iho_no_m1m3_m");
        iho.note(theirs - by_the_iho(station, at, FIRST), where_);
        // Its factors are Schureman's, so that ours stand for them: M1 turned by half, M3 as it is.
        let theirs = column("pytides2_m") - column("pytides2_no_m1m3_m");
        let m3 = by_the_iho(station, at, NONE) + by_the_iho(station, at, SECOND);
        pytides.note(theirs - (m3 - ours(station, at)), where_);
    });
    iho.check("the first program's M1 and M3 with its slips, m", 0.001);
    pytides.check("the second program's M1 and M3 with its slip, m", 0.001);
}

/// Constituents of nearly the same speed are late by nearly the same angle: at each station the phase of M1 must
/// lie nearer to the mean of its neighbours O1 and K1 than to what it would be with either slip of 83° or 180°.
#[test]
fn the_published_phases_are_for_this_argument() {
    for station in tide::stations() {
        let phase = |name: &str| {
            let found = station.constituents.iter().find(|one| one.constituent.name() == name).unwrap();
            found.phase.as_degrees()
        };
        let away = phase("M1") - f64::midpoint(phase("O1"), phase("K1"));
        assert!(away.abs() < 45.0, "{}: {away}", station.name);
    }
}
