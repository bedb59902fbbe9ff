//! How far off the reckoning by the minute is from one in finer steps.
//!
//! Measured on a usual week of the three demonstration boats, against steps of 15 s:
//!
//! - Without thermostats, with moments of windlass and starter, a combiner, and charging limited by voltage at work,
//!   levels at whole hours in steps of a minute lie within 0.4 hundredths of the whole (the worst: 0.26).
//! - A thermostat switches a part of a step earlier or later, and since each run begins where the last one ended, its
//!   runs drift against each other by as much as a run, whatever the step. Then levels lie within 2 hundredths (the
//!   worst: 1.6; a compressor of 5 A that runs for an hour and a half takes 7.5 Ah).
//! - What a thermostat's load takes over the week differs by less than 3 parts in a hundred (the worst: 2.4, a heater
//!   that runs for a few minutes at a time).
//!
//! All of it is less than the 5 hundredths by which a battery monitor may be off.

use boat::model::Boat;
use boat::trip::{Clock, EngineRun, Saving, Trip};
use endure::forecast::as_planned;
use endure::log::Ledgered;
use endure::plan::{Wish, usual};
use endure::voyage::Habit;
use endure::{Voyage, marks::Marks};
use proptest::prelude::*;
use quantity::{Current, Time};

use super::random::{Has, numbers, sea};
use crate::budgets::demo;

/// The most by which levels of two courses differ, at the hours that both have, with the store and the hour.
fn apart(a: &Marks, b: &Marks) -> (f64, usize, usize) {
    let mut most = (0.0, 0, 0);
    for (place, (a, b)) in a.levels.iter().zip(&b.levels).enumerate() {
        for (hour, (a, b)) in a.iter().zip(b).enumerate() {
            let off = f64::from((a - b).abs());
            if off > most.0 {
                most = (off, place, hour);
            }
        }
    }
    most
}

fn reckoned(boat: &Boat, trip: &Trip, seconds: f64) -> (Marks, Ledgered) {
    as_planned(&Voyage::with_step(boat, trip, Time::seconds(seconds)).unwrap())
}

/// A week with two hours of engine on one evening and, where there is an inlet, a night on shore power.
fn week(boat: &Boat) -> Trip {
    let mut trip = usual(boat, &Wish::week(4, "2027-07-10".parse().unwrap()));
    trip.days[3].engine.push(EngineRun { from: Clock::at(18, 0), lasts: Time::hours(2.0), rpm: None });
    trip.days[5].night = boat::model::Activity::Alongside;
    if boat.feeds.iter().any(|feed| matches!(feed.kind, boat::model::SourceKind::Shore(_))) {
        trip.days[5].dock.pedestal = Some(Current::amps(30.0));
    }
    trip
}

/// All boats and steps, so that a failure shows the whole table.
fn table(with_thermostats: bool, bounds: [f64; 3]) {
    let (mut told, mut worst) = (Vec::new(), 0.0_f64);
    for name in ["whimbrel", "dunlin", "turnstone"] {
        let boat = demo(name);
        let mut trip = week(&boat);
        if !with_thermostats {
            let thermostats = Voyage::new(&boat, &trip).unwrap().lines;
            let thermostats =
                thermostats.iter().filter(|line| matches!(line.habit, Habit::Thermostat { .. }));
            trip.off = thermostats
                .map(|line| Saving { load: boat.loads[line.load].id.clone(), span: trip.span })
                .collect();
        }
        let (fine, _) = reckoned(&boat, &trip, 15.0);
        for (seconds, bound) in [120.0, 60.0, 30.0].into_iter().zip(bounds) {
            let (off, place, hour) = apart(&reckoned(&boat, &trip, seconds).0, &fine);
            told.push(format!("{name}, {seconds} s: {off:.5} of store {place} in hour {hour}"));
            worst = worst.max(off / bound);
        }
    }
    assert!(worst <= 1.0, "{}", told.join("\n"));
}

#[test]
fn without_thermostats_a_minute_is_within_four_thousandths() {
    table(false, [0.01, 0.004, 0.002]);
}

#[test]
fn with_thermostats_a_minute_is_within_one_run() {
    table(true, [0.02; 3]);
}

#[test]
fn what_thermostats_take_in_a_week_hardly_hangs_on_the_step() {
    for name in ["whimbrel", "dunlin", "turnstone"] {
        let boat = demo(name);
        let trip = week(&boat);
        let lines = Voyage::new(&boat, &trip).unwrap().lines;
        let (minute, fine) = (reckoned(&boat, &trip, 60.0).1, reckoned(&boat, &trip, 15.0).1);
        for (at, line) in
            lines.iter().enumerate().filter(|(_, line)| matches!(line.habit, Habit::Thermostat { .. }))
        {
            let (one, other) = (minute.whole[at], fine.whole[at]);
            let load = &boat.loads[line.load].name;
            assert!((one - other).abs() <= 0.03 * other.max(1.0), "{name}, {load}: {one} {other}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    /// Where a bank runs flat in one of them, all that follows would differ. Events are written to the minute, so
    /// that both steps have them at their moment.
    #[test]
    fn halving_the_step_changes_little(numbers in numbers()) {
        let sea = sea(&numbers, Has::Steady);
        let [minute, half] = [60.0, 30.0].map(|seconds| reckoned(&sea.boat, &sea.trip, seconds).0);
        let banks = Voyage::new(&sea.boat, &sea.trip).unwrap().banks.len();
        prop_assume!((0..banks).all(|bank| minute.wanting[bank] + half.wanting[bank] <= 0.0));
        let off = apart(&minute, &half);
        prop_assert!(off.0 <= 0.004, "{off:?}\n{}", sea.text);
    }
}
