//! Where readings are linear in what is unknown, the answer is known in closed form.

use endure::meter::{Checked, check};
use endure::voyage::Voyage;

use super::{read, sandpiper, to_read, voyage};

const HALF_FULL: &str = "trip = 1\n[plan]\ncrew = 2\nstarts = \"2027-07-10\"\nfrom = \"15:00\"\nuntil = \"10:00\"\n\
    levels = [{ store = \"water\", level = \"60 %\" }]\n[[days]]\n[[days]]\n[[days]]\n[[days]]\nnight = \"alongside\"\n";
/// The errors of the boat's gauge and of the level at the start, as parts, and of the use.
const GAUGE: f64 = 0.08;
const START: f64 = 0.04;
const USE: f64 = 0.04;

/// Weighed mean and variance of what the drawings have of something.
fn moments(checked: &Checked, value: impl Fn(&endure::luck::Luck) -> f64) -> (f64, f64) {
    let posterior = &checked.posterior;
    let all = posterior.lucks.iter().zip(&posterior.weights);
    let mean: f64 = all.clone().map(|(luck, weight)| weight * value(luck)).sum();
    let square: f64 = all.map(|(luck, weight)| weight * value(luck) * value(luck)).sum();
    (mean, square - mean * mean)
}

fn water(voyage: &Voyage) -> usize {
    voyage
        .ledgers
        .iter()
        .position(|one| one.liquid == Some(boat::model::Liquid::Water))
        .expect("a water tank")
}

fn slips_do_not_matter(seen: f64, expected: f64) {
    // With 3 slips in 100 readings over the whole gauge, a reading within two of its errors is hardly ever one.
    assert!((seen - expected).abs() < 2.0 * GAUGE);
}

/// Gelman et al., Bayesian Data Analysis (third edition, 2013), section 2.5: a normal mean with known variance. The
/// posterior precision is the sum of the precisions, its mean is weighed by them.
#[test]
fn one_reading_of_a_level_is_the_conjugate_normal_update() {
    let boat = sandpiper();
    // A minute after the start nothing has been used: the reading is of the level at the start alone.
    let plan = format!("{HALF_FULL}{}", to_read(&[(1, "15:10", "water", "level")]));
    let mut voyage = voyage(&boat, &plan, 10.0);
    let at = water(&voyage);
    for seen in [0.52, 0.60, 0.68] {
        read(&mut voyage, &[seen]);
        let checked = check(&boat, &voyage, 7, 4000);
        let (mean, variance) = moments(&checked, |luck| luck.ledgers[at]);
        let used = 0.6 - super::shown(&voyage, &endure::luck::Luck::middle(&voyage))[0];
        slips_do_not_matter(seen, 0.6);
        let (prior, likely) = (1.0 / (START * START), 2.0 / (GAUGE * GAUGE));
        let exact = (0.6 * prior + (seen + used) * likely) / (prior + likely);
        let exact_variance = 1.0 / (prior + likely);
        // Four standard errors of a mean and of a variance from so many equal normal drawings.
        let error = 4.0 * (exact_variance / checked.effective).sqrt() + slip_shift(seen);
        assert!((mean - exact).abs() < error, "{seen}: {mean} for {exact}, within {error}");
        let error = (4.0 * (2.0 / checked.effective).sqrt() + 0.03) * exact_variance;
        assert!((variance - exact_variance).abs() < error, "{seen}: {variance} for {exact_variance}");
    }
}

/// What the chance of a slip moves the mean by at most: its posterior part times the move.
fn slip_shift(seen: f64) -> f64 {
    let wide: f64 = (START * START + GAUGE * GAUGE / 2.0).sqrt();
    let density = (-((seen - 0.6) / wide).powi(2) / 2.0).exp() / (wide * std::f64::consts::TAU.sqrt());
    let slip = 0.03 / (0.97 * density + 0.03);
    slip * (seen - 0.6).abs() * START * START / (wide * wide)
}

/// Kalman, Journal of Basic Engineering 82 (1960) 35; in the form of Bishop (2006), section 13.3.1: the filter with
/// the level at the start, the daily use and the gauge's lasting error as its state, over three readings.
#[test]
fn three_readings_are_kalmans_filter() {
    let boat = sandpiper();
    let times = [(1, "21:00"), (2, "21:00"), (3, "21:00")];
    let readings: Vec<_> = times.iter().map(|(day, at)| (*day, *at, "water", "level")).collect();
    let mut voyage = voyage(&boat, &format!("{HALF_FULL}{}", to_read(&readings)), 10.0);
    let at = water(&voyage);
    let line = voyage.lines.iter().position(|line| boat.loads[line.load].id == "washing").unwrap();
    let planned = super::shown(&voyage, &endure::luck::Luck::middle(&voyage));
    let seen = [planned[0] - 0.05, planned[1] - 0.07, planned[2] - 0.04];
    read(&mut voyage, &seen);
    let checked = check(&boat, &voyage, 11, 4000);
    let (mut mean, mut spread) = ([0.6, 1.0, 0.0], [[0.0; 3]; 3]);
    let own = GAUGE / 2.0;
    spread[0][0] = START * START;
    // The factor on the use is exp of a normal score times 4 %: nearly one plus it.
    spread[1][1] = USE * USE;
    spread[2][2] = own * own;
    for (planned, seen) in planned.iter().zip(seen) {
        let row = [1.0, -(0.6 - planned), 1.0];
        filter(&mut mean, &mut spread, row, own * own, seen);
    }
    let (level, level_variance) = moments(&checked, |luck| luck.ledgers[at]);
    let (factor, factor_variance) = moments(&checked, |luck| luck.lines[line]);
    for (name, found, variance, exact, exact_variance) in [
        ("level", level, level_variance, mean[0], spread[0][0]),
        ("use", factor, factor_variance, mean[1], spread[1][1]),
    ] {
        // Four standard errors, and what slips and the exponential add: a tenth of the spread.
        let error = 4.0 * (exact_variance / checked.effective).sqrt() + 0.1 * exact_variance.sqrt();
        assert!((found - exact).abs() < error, "{name}: {found} for {exact}, within {error}");
        let error = (4.0 * (2.0 / checked.effective).sqrt() + 0.08) * exact_variance;
        assert!((variance - exact_variance).abs() < error, "{name}: {variance} for {exact_variance}");
    }
}

/// One update step.
fn filter(mean: &mut [f64; 3], spread: &mut [[f64; 3]; 3], row: [f64; 3], noise: f64, seen: f64) {
    let along: [f64; 3] = std::array::from_fn(|at| (0..3).map(|other| spread[at][other] * row[other]).sum());
    let total = (0..3).map(|at| row[at] * along[at]).sum::<f64>() + noise;
    let surprise = seen - (0..3).map(|at| row[at] * mean[at]).sum::<f64>();
    for at in 0..3 {
        mean[at] += along[at] / total * surprise;
        for other in 0..3 {
            spread[at][other] -= along[at] * along[other] / total;
        }
    }
}

/// A reading far outside, as often as not, needs drawings where the plan has none: the answer must stay the closed
/// form's. Four readings of one level lie three spreads of the start off.
#[test]
fn drawing_again_around_far_readings_keeps_the_closed_form() {
    let boat = sandpiper();
    let readings: Vec<_> =
        ["15:10", "15:20", "15:30", "15:40"].iter().map(|at| (1, *at, "water", "level")).collect();
    let mut voyage = voyage(&boat, &format!("{HALF_FULL}{}", to_read(&readings)), 10.0);
    for ledger in &mut voyage.ledgers {
        ledger.gauge_error = 0.04;
    }
    let at = water(&voyage);
    let planned = super::shown(&voyage, &endure::luck::Luck::middle(&voyage));
    let seen: Vec<f64> = planned.iter().map(|planned| planned - 0.06).collect();
    read(&mut voyage, &seen);
    let checked = check(&boat, &voyage, 3, 500);
    let start: f64 = 0.02;
    // Four readings with own errors of 0.02 are one with half of that, and the lasting error comes on top.
    let noise = 0.02_f64.powi(2) / 4.0 + 0.02_f64.powi(2);
    let exact = 0.6 - 0.06 * start * start / (start * start + noise);
    let exact_variance = 1.0 / (1.0 / (start * start) + 1.0 / noise);
    let (mean, variance) = moments(&checked, |luck| luck.ledgers[at]);
    let error = 4.0 * (exact_variance / checked.effective).sqrt() + 0.1 * exact_variance.sqrt();
    assert!((mean - exact).abs() < error, "{mean} for {exact}, within {error}");
    assert!((variance / exact_variance - 1.0).abs() < 4.0 * (2.0 / checked.effective).sqrt() + 0.08);
}
