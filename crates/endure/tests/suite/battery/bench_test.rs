//! The AGM bench test of `reference/trade-facts.md`, section 9c: one run fits the charging form, the other judges it.
//!
//! The battery was rated 105 Ah and gave 95.7 Ah. Read in a stored text of the test itself: what it held after an hour
//! was counted by discharging again, so charging losses are in it; in bulk 26.67 Ah went in at 0.2 C, which is 80
//! minutes at 20 A, and by the same sum the 13.3 % of the run at 0.4 C are 20 minutes at 40 A. So "1 h at 0.2 C ends at
//! absorption start" in section 9c is not what was tested: an hour at 20 A puts in 20 Ah, not 26.67.

use endure::battery::{Bank, BankSpec, Charging, Chemistry, Stage};
use quantity::{Charge, Current, Ratio, Temperature, Time, Voltage};

use super::{assert_measured, tell};

const STEP: Time = Time::seconds(15.0);

/// What a run showed.
#[derive(Debug)]
struct Run {
    /// Ah put in before the charger was at its voltage.
    bulk: f64,
    /// Ah stored after an hour.
    hour: f64,
    /// Share of the capacity after an hour.
    share: f64,
    /// Hours to the tail of 0.5 %.
    full: f64,
    /// Ah put in for each Ah stored.
    toll: f64,
}

fn bank(charging: Charging) -> Bank {
    BankSpec {
        health: Ratio::plain(95.69 / 105.0),
        // The test's charger was not held back below its 40 A.
        accepts: Some(Ratio::plain(0.5)),
        charging: Some(charging),
        ..BankSpec::new(Chemistry::Agm, Charge::amp_hours(105.0))
    }
    .at(Temperature::celsius(25.0), STEP)
    .expect("the bench test's battery is a sound one")
}

fn run(charging: Charging, amps: f64) -> Run {
    let bank = bank(charging);
    let mut state = bank.with_share(Ratio::plain(0.5));
    let begun = bank.held(&state);
    let mut run = Run { bulk: 0.0, hour: 0.0, share: 0.0, full: f64::INFINITY, toll: 0.0 };
    let (mut put_in, mut in_bulk) = (Charge::ZERO, true);
    for number in 1..=4 * 60 * 12 {
        let flow = bank.step(&mut state, Current::ZERO, Current::amps(amps), Voltage::volts(14.4));
        put_in += flow.taken * STEP;
        in_bulk &= flow.stage == Stage::Bulk;
        if in_bulk {
            run.bulk = put_in.as_amp_hours();
        }
        let stored = bank.held(&state) - begun;
        if number == 4 * 60 {
            run.hour = stored.as_amp_hours();
            run.share = bank.share(&state).as_plain();
        }
        if flow.stage == Stage::Float {
            run.full = (STEP * f64::from(number)).as_hours();
            run.toll = put_in / stored;
            break;
        }
    }
    run
}

/// The sum of squares of what the run at 0.4 C misses in its three figures: 20 minutes in bulk, 33.43 Ah stored after
/// an hour, 5.5 hours to full.
fn miss(charging: Charging) -> f64 {
    let run = run(charging, 40.0);
    [run.bulk / (40.0 / 3.0), run.hour / 33.43, run.full / 5.5]
        .map(|part| (part - 1.0) * (part - 1.0))
        .iter()
        .sum()
}

/// Fits the two constants: from a rough guess by the best of eight neighbours, ever nearer.
fn fitted() -> Charging {
    let mut best = Charging { drop: 0.8, crowding: 1.0 };
    let mut least = miss(best);
    let mut reach = 0.4;
    while reach > 0.004 {
        let near = |drop: f64, crowding: f64| Charging {
            drop: (best.drop + drop * reach).max(0.01),
            crowding: (best.crowding + crowding * reach).max(0.01),
        };
        let ways = [(1., 0.), (-1., 0.), (0., 1.), (0., -1.), (1., 1.), (-1., -1.), (1., -1.), (-1., 1.)];
        let tries = ways.map(|(drop, crowding)| near(drop, crowding));
        let found = tries.into_iter().map(|one| (miss(one), one)).min_by(|a, b| a.0.total_cmp(&b.0));
        match found {
            Some((sum, one)) if sum < least => (least, best) = (sum, one),
            _ => reach /= 2.0,
        }
    }
    best
}

/// The constants kept are those of the fit, rounded to a hundredth.
#[test]
fn the_constants_are_fitted_to_the_run_at_two_fifths() {
    let (found, kept) = (fitted(), Charging::LEAD);
    tell(&format!("fitted {found:?}, misses {:.5}; kept {kept:?}, misses {:.5}", miss(found), miss(kept)));
    assert!(miss(kept) < miss(found) * 1.02);
    assert!((found.drop - kept.drop).abs() < 0.03 && (found.crowding - kept.crowding).abs() < 0.03);
}

/// How near the fit comes to its own three figures: two constants can't meet them all.
#[test]
fn the_fitted_run_is_this_near() {
    let run = run(Charging::LEAD, 40.0);
    let minutes = run.bulk / 40.0 * 60.0;
    assert_measured(minutes, 20.0, 0.3, "0.4 C: minutes in bulk (bench 20)");
    assert_measured(0.5 + run.bulk / 95.69, 0.639, 0.003, "0.4 C: absorption begins at (bench 0.633)");
    assert_measured(run.hour, 32.0, 0.1, "0.4 C: Ah stored in the first hour (bench 33.4)");
    assert_measured(run.share, 0.835, 0.002, "0.4 C: share after an hour (bench 0.85)");
    assert_measured(run.full, 5.43, 0.05, "0.4 C: hours to full (bench 5.5)");
    assert_measured(run.toll, 1.096, 0.003, "0.4 C: Ah put in for each stored (written 1.1)");
}

/// What was not fitted: the run at 0.2 C. The bank takes all of a small charger's current for longer than the bench's
/// battery did: absorption begins 5 points of charge, or 13 minutes, too late. Full comes 20 minutes too late.
#[test]
fn the_other_run_is_foretold_this_far_off() {
    let [fast, slow] = [40.0, 20.0].map(|amps| run(Charging::LEAD, amps));
    assert_measured(slow.bulk / 20.0 * 60.0, 92.7, 1.0, "0.2 C: minutes in bulk (bench 80)");
    assert_measured(0.5 + slow.bulk / 95.69, 0.823, 0.005, "0.2 C: absorption begins at (bench 0.774)");
    assert_measured(slow.full, 6.04, 0.05, "0.2 C: hours to full (bench 5.7)");
    assert_measured((slow.full - fast.full) * 60.0, 36.0, 2.0, "minutes that 0.2 C takes longer (bench 12)");
}

/// Why the wells of the kinetic model do not limit charging here: with constants from discharging they let in less
/// than the bench's battery took, even at no resistance at all.
#[test]
fn wells_from_discharging_would_let_in_too_little() {
    let bank = bank(Charging::LEAD);
    let (kibam, stride) = (bank.kibam(), bank.kibam().over(STEP));
    let begun = bank.with_share(Ratio::plain(0.5)).wells();
    let mut wells = begun;
    let mut hours = 0.0;
    let mut hour = Charge::ZERO;
    loop {
        let current = stride.most_taken(wells).min(Current::amps(40.0));
        wells = stride.step(wells, current);
        hours += STEP.as_hours();
        if hours <= 1.0 + 1e-9 {
            hour = wells.held() - begun.held();
        }
        if current < Current::amps(0.005 * 95.69) {
            break;
        }
    }
    assert!(wells.held() < kibam.most);
    assert_measured(hour.as_amp_hours(), 30.0, 0.1, "wells alone: Ah in the first hour (bench 33.4)");
    assert_measured(hours, 8.5, 0.1, "wells alone: hours to full (bench 5.5)");
}
