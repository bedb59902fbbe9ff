//! Rates, fleets and spares against published examples, other programs, and brute force.
#![allow(clippy::disallowed_methods, reason = "the tests read the reference data")]
#![allow(clippy::unwrap_used, reason = "a panic is how a test fails")]
#![allow(clippy::print_stdout, reason = "measured figures stand beside the checks")]

use proptest::prelude::*;
use quantity::{Ratio, Time};
use serde_json::Value;
use trace::learn::{Before, Beta, Demand, Fleet, Gamma, Level, Rate, Record, Spread, Whose};

fn read(name: &str) -> Value {
    let path = format!("{}/../../reference/reliability/{name}.json", env!("CARGO_MANIFEST_DIR"));
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn count(value: &Value) -> u32 {
    u32::try_from(value.as_u64().unwrap()).unwrap()
}

fn near(ours: f64, theirs: f64, relative: f64) {
    assert!((ours / theirs - 1.0).abs() < relative, "{ours} against {theirs}");
}

/// The published figure has two significant digits, or as many as it is printed with: ours must round to it.
fn rounds_to(ours: f64, printed: f64, digits: usize) {
    let written = format!("{ours:.*e}", digits - 1);
    assert_eq!(written, format!("{printed:.*e}", digits - 1), "{ours} against {printed}");
}

fn part(value: f64) -> Ratio {
    Ratio::plain(value)
}

const HOUR: Time = Time::hours(1.0);

/// NASA/SP-2009-569, section 4.2, examples 3 and 5: published means and 90 % intervals, and the same computed by another
/// program, to 1e-9.
#[test]
fn the_circulating_pump_is_as_the_guide_says() {
    for case in read("worked")["gamma_poisson"].as_array().unwrap() {
        let prior = Gamma::new(number(&case["prior"]["alpha"]), Time::hours(number(&case["prior"]["beta"])));
        let after =
            prior.update(count(&case["data"]["failures"]), Time::hours(number(&case["data"]["exposure"])));
        let [published, computed] = ["published", "computed"].map(|key| &case[key]);
        near(after.failures(), number(&computed["alpha"]), 1e-12);
        near(after.exposure().as_hours(), number(&computed["beta"]), 1e-12);
        rounds_to(after.mean().times_in(HOUR), number(&published["mean"]), 2);
        near(after.mean().times_in(HOUR), number(&computed["mean"]), 1e-9);
        for (key, at) in [("p05", 0.05), ("p50", 0.5), ("p95", 0.95)] {
            let ours = after.quantile(part(at)).times_in(HOUR);
            near(ours, number(&computed[key]), 1e-9);
            if let Some(printed) = published[key].as_f64() {
                rounds_to(ours, printed, 2);
            }
        }
        if let Some(printed) = published["reliability_1000h"].as_f64() {
            let time = Time::hours(1000.0);
            // The file's figure is that at the expected rate; both round to the published one.
            near(after.mean().spared(time).as_plain(), number(&computed["reliability_1000h"]), 1e-9);
            rounds_to(after.mean().spared(time).as_plain(), printed, 3);
            rounds_to(after.spared(time).as_plain(), printed, 3);
        }
    }
}

/// The same guide, example 1: a relief valve that fails to open.
#[test]
fn the_relief_valve_is_as_the_guide_says() {
    let case = &read("worked")["beta_binomial"][0];
    let prior = Beta::new(number(&case["prior"]["alpha"]), number(&case["prior"]["beta"]));
    let after = prior.update(count(&case["data"]["failures"]), count(&case["data"]["demands"]));
    assert!((after.worth().0 - 3.24).abs() < 1e-12);
    // 189,358 by the guide's own formula; it prints 189,226.
    assert!((after.worth().1 - 189_358.0).abs() < 1e-6);
    for (key, ours) in [
        ("mean", after.mean().as_plain()),
        ("p05", after.quantile(part(0.05)).as_plain()),
        ("p95", after.quantile(part(0.95)).as_plain()),
    ] {
        near(ours, number(&case["computed"][key]), 1e-9);
        rounds_to(ours, number(&case["published"][key]), if key == "p05" { 1 } else { 2 });
    }
}

#[test]
fn rates_turn_into_times_and_chances() {
    let rate = Rate::of(2.0, Time::weeks(10.0));
    assert!((rate.apart().as_weeks() - 5.0).abs() < 1e-12);
    assert!((rate.times_in(Time::weeks(1.0)) - 0.2).abs() < 1e-12);
    let known = Gamma::about(rate, 4.0);
    assert!((known.exposure().as_weeks() - 20.0).abs() < 1e-12);
    assert!((known.mean().times_in(HOUR) / rate.times_in(HOUR) - 1.0).abs() < 1e-12);
    // What is not known spares more than the mean would: Jensen.
    assert!(known.spared(Time::weeks(5.0)) > rate.spared(Time::weeks(5.0)));
    // No failure in a time is the first of the chances of a number.
    let none = Demand::over(&known, Time::weeks(5.0)).exactly(0).as_plain();
    assert!((known.spared(Time::weeks(5.0)).as_plain() - none).abs() < 1e-14);
}

/// University of Southampton EdShare items 6744 and 6210; Hogg, McKean & Craig, exercise 3.2.10.
#[test]
fn published_stocks_are_met() {
    let cases = read("worked")["poisson_stock"].clone();
    for case in cases.as_array().unwrap() {
        let demand = Demand::expected(number(&case["mean"]));
        let stock = demand.stock(part(number(&case["target"]))).unwrap();
        assert_eq!(stock as u64, case["computed"]["stock"].as_u64().unwrap(), "{}", case["name"]);
        let published = &case["published"];
        for key in ["stock", "stock_by_normal_approximation"] {
            if let Some(printed) = published[key].as_u64() {
                assert_eq!(stock as u64, printed);
            }
        }
        for (key, value) in case["computed"].as_object().unwrap() {
            if let Some(pieces) = key.strip_prefix("P_le_") {
                near(demand.at_most(pieces.parse().unwrap()).as_plain(), number(value), 1e-12);
            }
        }
    }
    let bulbs = &cases[0];
    let demand = Demand::expected(3.0);
    for (pieces, value) in bulbs["computed"]["F"].as_object().unwrap() {
        near(demand.at_most(pieces.parse().unwrap()).as_plain(), number(value), 1e-13);
    }
    near(demand.served(5), number(&bulbs["computed"]["expected_satisfied"]), 1e-13);
    // Published from rounded terms as 2.866.
    assert!((demand.served(5) - 2.866).abs() < 1e-3);
    near(demand.mean(), 3.0, 1e-15);
}

/// Both grids of `worked.json`, by another program.
#[test]
fn grids_of_stocks_are_met_exactly() {
    let file = read("worked");
    let rows = |key: &str| -> Vec<Vec<f64>> {
        let row = |row: &Value| row.as_array().unwrap().iter().map(number).collect();
        file[key]["rows"].as_array().unwrap().iter().map(row).collect()
    };
    let poisson = rows("stock_grid");
    let mixed = rows("nb_grid");
    assert_eq!((poisson.len(), mixed.len()), (48, 48));
    for row in poisson {
        let stock = Demand::expected(row[0]).stock(part(row[1])).unwrap();
        assert!((stock as f64 - row[2]).abs() < 0.5, "{row:?}: {stock}");
    }
    for row in mixed {
        let known = Gamma::new(row[0], Time::weeks(row[1]));
        let stock = Demand::over(&known, Time::weeks(row[2])).stock(part(row[3])).unwrap();
        assert!((stock as f64 - row[4]).abs() < 0.5, "{row:?}: {stock}");
    }
}

#[test]
fn no_stock_is_certain_to_do() {
    let demand = Demand::expected(3.0);
    assert_eq!(demand.stock(part(1.1)), None);
    assert_eq!(Demand::expected(1e5).stock(part(0.5)), None, "more than are told apart");
    let nothing = Demand::expected(0.0);
    assert_eq!(nothing.stock(part(0.99)), Some(0));
    assert!(nothing.served(3).abs() < 1e-15);
}

fn fleet_of(case: &Value) -> (Fleet, Vec<Record>) {
    // One unit of the file's time stands for a week here; the results are scaled alike.
    let exposure = case["exposure"].as_array().unwrap();
    let records: Vec<Record> = case["failures"]
        .as_array()
        .unwrap()
        .iter()
        .zip(exposure)
        .map(|(failures, time)| Record { failures: count(failures), exposure: Time::weeks(number(time)) })
        .collect();
    let [shape, rate] = [0, 1].map(|at| number(&case["shape_prior"][at]));
    let [second, scale] = [0, 1].map(|at| number(&case["second_prior"][at]));
    let level = match case["second"].as_str().unwrap() {
        "mean" => Level::Mean(Gamma::new(second, Time::weeks(scale))),
        _ => Level::Worth { shape: second, mean: Time::weeks(second / scale) },
    };
    let before = Before { spread: Spread { shape, mean: shape / rate }, level };
    (Fleet::learn(&records, &before), records)
}

/// `reference/reliability/fleet.json`: the same posteriors by Gauss-Legendre sums over the shape and the rate parameter,
/// two of them once more by adaptive integration, with another program. Its own error is below 1e-13.
#[test]
fn fleets_agree_with_another_programs_integration() {
    let week = Time::weeks(1.0);
    let mut worst = 0.0_f64;
    let mut compared = 0;
    for case in read("fleet")["cases"].as_array().unwrap() {
        assert!(number(&case["largest_change_on_a_coarser_grid"]) < 1e-12);
        let (fleet, records) = fleet_of(case);
        let computed = &case["computed"];
        let mut pairs = vec![(fleet.shape(), number(&computed["shape_mean"]))];
        if let Some(worth) = fleet.worth() {
            pairs.push((worth.as_weeks(), number(&computed["rate_parameter_mean"])));
        }
        let new = fleet.rate(Whose::New);
        for (key, at) in [("p05", 0.05), ("p50", 0.5), ("p95", 0.95)] {
            pairs.push((new.quantile(part(at)).times_in(week), number(&computed["new_boat"][key])));
        }
        if let Some(mean) = computed["mu_mean"].as_f64() {
            pairs.push((new.mean().times_in(week), mean));
        }
        for (at, boat) in computed["boats"].as_array().unwrap().iter().enumerate() {
            let rate = fleet.rate(Whose::Boat(at));
            let (low, high) = rate.likely();
            for (key, ours) in [("mean", rate.mean()), ("p05", low), ("p95", high)] {
                pairs.push((ours.times_in(week), number(&boat[key])));
            }
        }
        assert_eq!(records.len(), computed["boats"].as_array().unwrap().len());
        let largest = pairs.iter().map(|(ours, theirs)| (ours / theirs - 1.0).abs()).fold(0.0, f64::max);
        println!(
            "{}: {} points, {} numbers, largest difference {largest:.1e}",
            case["name"],
            fleet.points(),
            pairs.len()
        );
        worst = worst.max(largest);
        compared += pairs.len();
    }
    assert_eq!(compared, 173);
    assert!(worst < 1e-9, "{worst:e}");
}

/// The ten pumps of Gaver & O'Muircheartaigh 1987 with the priors of George, Makov & Smith 1993, as printed in the manual
/// of Mamba.jl (doc/examples/pumps.rst, read there): means by simulation, each with its standard error.
#[test]
fn the_ten_pumps_are_as_published() {
    let case = &read("fleet")["cases"][0];
    assert_eq!(case["name"], "ten pumps");
    let (fleet, _) = fleet_of(case);
    let published = [
        (0.0597276, 0.000357021),
        (0.0997635, 0.00113173),
        (0.0889841, 0.000510879),
        (0.116179, 0.000382914),
        (0.603654, 0.00612325),
        (0.608916, 0.00155659),
        (0.894307, 0.0301097),
        (0.884304, 0.0252293),
        (1.56235, 0.0238079),
        (1.98785, 0.0102204),
    ];
    let mut off = Vec::new();
    for (at, (mean, error)) in published.iter().enumerate() {
        off.push((fleet.rate(Whose::Boat(at)).mean().times_in(Time::weeks(1.0)) - mean) / error);
    }
    off.push((fleet.shape() - 0.679247) / 0.00708272);
    off.push((fleet.worth().unwrap().as_weeks() - 0.893892) / 0.0182549);
    println!("ten pumps, in standard errors of the simulation: {off:.2?}");
    assert!(off.iter().all(|off| off.abs() < 3.0), "{off:?}");
}

fn weeks(records: &[(u32, f64)]) -> Vec<Record> {
    records
        .iter()
        .map(|(failures, time)| Record { failures: *failures, exposure: Time::weeks(*time) })
        .collect()
}

fn usual() -> Before {
    Before::class(Rate::of(1.0, Time::weeks(40.0)), 2.0)
}

#[test]
fn a_fleet_without_records_is_as_its_class_says() {
    let fleet = Fleet::learn(&[], &usual());
    let week = Time::weeks(1.0);
    near(fleet.rate(Whose::New).mean().times_in(week), 1.0 / 40.0, 1e-9);
    near(fleet.shape(), 2.0, 1e-9);
    // A boat of which only the fleet is known is a new one.
    let unseen = Fleet::learn(&weeks(&[(0, 0.0)]), &usual());
    near(unseen.rate(Whose::Boat(0)).mean().times_in(week), 1.0 / 40.0, 1e-9);
}

#[test]
fn a_boat_with_few_records_leans_on_the_fleet() {
    let fleet = Fleet::learn(&weeks(&[(6, 24.0), (5, 22.0), (7, 25.0), (1, 2.0), (0, 2.0)]), &usual());
    let own = |at: usize| fleet.rate(Whose::Boat(at)).mean().times_in(Time::weeks(1.0));
    let new = fleet.rate(Whose::New).mean().times_in(Time::weeks(1.0));
    // One failure in two weeks alone would be 0.5 a week, none would be nothing; both are drawn towards the others.
    assert!(own(3) < 0.35 && own(3) > new, "{} of {new}", own(3));
    assert!(own(4) > 0.05 && own(4) < new, "{} of {new}", own(4));
    let (low, high) = fleet.rate(Whose::Boat(4)).likely();
    let (close_low, close_high) = fleet.rate(Whose::Boat(0)).likely();
    let wide = |low: Rate, high: Rate| high.times_in(Time::weeks(1.0)) / low.times_in(Time::weeks(1.0));
    assert!(wide(low, high) > wide(close_low, close_high), "less is known of it");
}

/// The demand of one boat is the mixture of negative binomials, whose first chance is that of no failure; the demand of
/// several has the mean of the sum, but a wider spread than independent boats would.
#[test]
fn boats_of_one_fleet_share_its_fate() {
    let fleet = Fleet::learn(&weeks(&[(3, 24.0), (1, 22.0), (0, 9.0)]), &usual());
    let season = Time::weeks(20.0);
    let boats =
        [(Whose::Boat(0), season), (Whose::Boat(1), season), (Whose::Boat(2), season), (Whose::New, season)];
    let together = fleet.demand(&boats);
    let each: Vec<Demand> = boats.iter().map(|boat| fleet.demand(&[*boat])).collect();
    for ((whose, time), demand) in boats.iter().zip(&each) {
        near(demand.exactly(0).as_plain(), fleet.rate(*whose).spared(*time).as_plain(), 1e-9);
        near(
            demand.mean(),
            (1..400).map(|pieces| pieces as f64 * demand.exactly(pieces).as_plain()).sum(),
            1e-6,
        );
    }
    let apart = each.iter().skip(1).fold(each[0].clone(), |sum, next| sum.and(next));
    near(together.mean(), apart.mean(), 1e-9);
    let service = part(0.99);
    assert!(together.stock(service) >= apart.stock(service));
    assert!(together.exactly(0) > apart.exactly(0), "none at all is likelier if they share their fate");
}

fn few() -> impl Strategy<Value = Vec<(f64, f64, f64)>> {
    prop::collection::vec((0.2_f64..6.0, 1.0_f64..30.0, 0.5_f64..10.0), 1..=3)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]

    /// A sum of demands equals the sum over all combinations of numbers.
    #[test]
    fn demands_add_up_as_all_combinations_do(boats in few()) {
        let demands: Vec<Demand> = boats
            .iter()
            .map(|(failures, worth, time)| Demand::over(&Gamma::new(*failures, Time::weeks(*worth)), Time::weeks(*time)))
            .collect();
        let sum = demands.iter().skip(1).fold(demands[0].clone(), |sum, next| sum.and(next));
        for pieces in 0..6 {
            let mut chance = 0.0;
            for number in 0..7_usize.pow(3) {
                let split = [number % 7, number / 7 % 7, number / 49];
                let unused = split[demands.len()..].iter().sum::<usize>();
                if unused == 0 && split.iter().sum::<usize>() == pieces {
                    chance += demands.iter().zip(split).map(|(demand, one)| demand.exactly(one).as_plain()).product::<f64>();
                }
            }
            prop_assert!((sum.exactly(pieces).as_plain() - chance).abs() < 1e-12);
        }
    }

    /// The stock is the least that will do, and what is served grows to the mean.
    #[test]
    fn a_stock_is_the_least_that_will_do((failures, worth, time) in (0.2_f64..6.0, 1.0_f64..30.0, 0.5_f64..10.0), service in 0.01_f64..0.999) {
        let demand = Demand::over(&Gamma::new(failures, Time::weeks(worth)), Time::weeks(time));
        let stock = demand.stock(part(service)).unwrap();
        prop_assert!(demand.at_most(stock).as_plain() >= service);
        prop_assert!(stock == 0 || demand.at_most(stock - 1).as_plain() < service);
        prop_assert!(demand.served(stock) <= demand.mean() + 1e-12);
        prop_assert!((demand.served(2000) - demand.mean()).abs() < 1e-9 * demand.mean().max(1.0));
    }

    /// A quantile is where the distribution has come to that part: checked through the chance that no more fails, which
    /// is a sum of its own.
    #[test]
    fn knowing_grows_with_what_is_seen(failures in 0.2_f64..6.0, worth in 1.0_f64..30.0, seen in 0_u32..9, time in 0.5_f64..50.0) {
        let before = Gamma::new(failures, Time::weeks(worth));
        let after = before.update(seen, Time::weeks(time));
        let week = Time::weeks(1.0);
        let own = f64::from(seen) / time;
        let (a, b) = (before.mean().times_in(week), after.mean().times_in(week));
        prop_assert!(b >= a.min(own) - 1e-12 && b <= a.max(own) + 1e-12, "between what was thought and what was seen");
        prop_assert!(after.quantile(part(0.1)) < after.quantile(part(0.5)));
        prop_assert!(after.quantile(part(0.5)).times_in(week) < b, "a gamma's median is below its mean");
    }
}
