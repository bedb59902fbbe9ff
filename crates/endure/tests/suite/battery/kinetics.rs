//! The two wells against `reference/oracles/leadacid_kibam_*`, traces of another program's kinetic model, and against
//! a matrix exponential of the differential equations.

use endure::battery::Chemistry;
use endure::battery::kibam::{FitError, Kibam, Stride, Wells};
use proptest::prelude::*;
use quantity::{Charge, Current, Time};

use crate::fuel::judge::{Row, assert_near, table};

/// A number of `leadacid_kibam_params.json` by the name of its set and its key.
fn noted(set: &str, key: &str) -> f64 {
    let path = format!("{}/../../reference/oracles/leadacid_kibam_params.json", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).expect("the file is there");
    let (_, set) = text.split_once(&format!("\"{set}\": {{")).expect("the set is there");
    let (_, value) = set.split_once(&format!("\"{key}\": ")).expect("the key is there");
    let end = value.find([',', '\n', '}']).expect("the number ends");
    value[..end].trim().parse().expect("a number")
}

const SETS: [&str; 3] = ["agm400", "flooded220", "agm200"];

/// The constants that the traces were made with.
fn grid(set: &str) -> Kibam {
    Kibam {
        c: noted(set, "c_grid"),
        k: noted(set, "k_grid"),
        most: Charge::amp_hours(noted(set, "oracle_qmax")),
    }
}

/// `leadacid_kibam_params.json`: the constants that a root finder gives, to a ten-thousandth as its README asks.
#[test]
fn constants_are_those_of_a_root_finder() {
    let mut worst: f64 = 0.0;
    for set in SETS {
        let rated = [("qn_ah", noted(set, "tn_h")), ("q10_ah", 10.0), ("q20_ah", 20.0)]
            .map(|(key, hours)| (Charge::amp_hours(noted(set, key)), Time::hours(hours)));
        let found = Kibam::fit(rated).unwrap();
        for (value, key) in
            [(found.c, "c_root"), (found.k, "k_root"), (found.most.as_amp_hours(), "qmax_root")]
        {
            assert_near(value, noted(set, key), 1e-4, key);
            worst = worst.max((value / noted(set, key) - 1.0).abs());
        }
        for (charge, time) in rated {
            assert_near(found.capacity(time) / charge, 1.0, 1e-12, "what was rated comes out again");
        }
    }
    assert!(worst < 1e-9, "off by {worst:e}: both solve for the root");
}

/// `leadacid_kibam_discharge.csv`: the closed form to a millionth; the other program, which counts its last step of
/// a minute, lies above by less than a minute of current.
#[test]
fn capacity_falls_with_the_rate_as_tabled() {
    let rows = table("leadacid_kibam_discharge.csv");
    assert_eq!(rows.len(), 27);
    for row in rows {
        let kibam = grid(row.text("set"));
        let over = Time::hours(row.number("hours_to_empty_closed_form"));
        let capacity = kibam.capacity(over);
        assert_near(capacity.as_amp_hours(), row.number("capacity_closed_form_ah"), 1e-6, "capacity");
        let minute = Current::amps(row.number("current_a")) * Time::minutes(1.0);
        let over = Charge::amp_hours(row.number("capacity_oracle_ah")) - capacity;
        assert!(over > Charge::amp_hours(-1e-5) && over < minute, "{over} of {minute}");
    }
}

/// Emptied step by step, the wells give what the closed form says.
#[test]
fn steps_add_up_to_the_closed_form() {
    for set in SETS {
        let kibam = grid(set);
        for hours in [1_u32, 5, 20] {
            let over = Time::hours(f64::from(hours));
            let current = kibam.capacity(over) / over;
            let stride = kibam.over(Time::minutes(1.0));
            let mut wells = kibam.rest(kibam.most);
            for _ in 0..60 * hours {
                assert!(stride.most_drawn(wells) >= current * (1.0 - 1e-9));
                wells = stride.step(wells, -current);
            }
            assert!((wells.available / kibam.most).abs() < 1e-10, "{set} {hours}: {wells:?}");
        }
    }
}

/// What the other program does with a demand (out of the battery if positive): currents below 0.01 A are none, the
/// rest is held within what the wells allow.
fn allowed(stride: &Stride, wells: Wells, demand: f64) -> f64 {
    if demand.abs() < 0.01 {
        0.0
    } else if demand > 0.0 {
        demand.min(stride.most_drawn(wells).as_amps())
    } else {
        -(-demand).min(stride.most_taken(wells).as_amps())
    }
}

/// Follows a trace from full and gives the steps in which a load, and a charge, was cut.
fn follow(name: &str) -> (usize, usize) {
    let kibam = grid("agm400");
    let stride = kibam.over(Time::minutes(5.0));
    let mut wells = kibam.rest(kibam.most);
    let (mut unmet, mut held_back) = (0, 0);
    let rows = table(name);
    assert_eq!(rows.len(), 864);
    for row in rows {
        let demand = row.number("demand_a");
        let current = allowed(&stride, wells, demand);
        wells = stride.step(wells, Current::amps(-current));
        assert_close(current, row.number("applied_a"), "current");
        assert_close(wells.available.as_amp_hours(), row.number("q1_end_ah"), "at hand");
        assert_close(wells.bound.as_amp_hours(), row.number("q2_end_ah"), "bound");
        unmet += usize::from(demand > 0.0 && current < demand - 1e-6);
        held_back += usize::from(demand < 0.0 && current > demand + 1e-6);
    }
    (unmet, held_back)
}

/// A millionth of an Ah (or A), as the README of the traces asks; they are printed to the hundred-millionth.
fn assert_close(found: f64, wanted: f64, what: &str) {
    assert!((found - wanted).abs() < 1e-6, "{what}: found {found}, wanted {wanted}");
}

/// `leadacid_kibam_trace72h.csv`, with the counts of `leadacid_kibam_params.json`.
#[test]
fn three_days_go_as_traced() {
    assert_eq!(follow("leadacid_kibam_trace72h.csv"), (0, 53));
}

/// `leadacid_kibam_trace72h_runs_empty.csv`, an edge case: 89 steps have loads that are not met.
#[test]
fn three_days_with_twice_the_load_run_empty_as_traced() {
    assert_eq!(follow("leadacid_kibam_trace72h_runs_empty.csv"), (89, 26));
}

/// `leadacid_kibam_charge.csv`: charging at a quarter of the Ah, held back by the wells.
#[test]
fn the_wells_hold_charging_back_as_tabled() {
    let mut runs: Vec<Vec<Row>> = Vec::new();
    for row in table("leadacid_kibam_charge.csv") {
        let key = |row: &Row| ["set", "soc0_pct", "dt_min"].map(|column| row.text(column).to_owned());
        match runs.last_mut() {
            Some(run) if key(&run[0]) == key(&row) => run.push(row),
            _ => runs.push(vec![row]),
        }
    }
    assert_eq!(runs.len(), 12);
    for run in runs {
        let kibam = grid(run[0].text("set"));
        let minutes = run[0].number("dt_min");
        let stride = kibam.over(Time::minutes(minutes));
        let mut wells = kibam.rest(kibam.most * (run[0].number("soc0_pct") / 100.0));
        let mut done = 0.0;
        for row in run {
            let upto = (row.number("t_end_h") * 60.0 / minutes).round();
            while done < upto {
                let limit = -stride.most_taken(wells).as_amps();
                let current = allowed(&stride, wells, row.number("demand_a"));
                wells = stride.step(wells, Current::amps(-current));
                done += 1.0;
                if done >= upto {
                    assert_close(limit, row.number("kinetic_limit_a"), "limit");
                    assert_close(current, row.number("applied_a"), "current");
                }
            }
            assert_close(wells.available.as_amp_hours(), row.number("q1_ah"), "at hand");
            assert_close(wells.bound.as_amp_hours(), row.number("q2_ah"), "bound");
        }
    }
}

/// The exponential of the differential equations' matrix by its series: a way to the step that shares no formula with
/// it. `independent_ode_check` of the params file did the same to the traces.
fn by_matrix(kibam: &Kibam, wells: Wells, into: f64, hours: f64) -> [f64; 2] {
    let (c, k) = (kibam.c, kibam.k);
    let rates = [[-k * (1.0 - c), k * c, into], [k * (1.0 - c), -k * c, 0.0], [0.0; 3]]
        .map(|row| row.map(|value| value * hours));
    let mut term = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
    let mut sum = term;
    for order in 1..30 {
        term = product(term, rates).map(|row| row.map(|value| value / f64::from(order)));
        for (row, add) in sum.iter_mut().zip(term) {
            for (value, more) in row.iter_mut().zip(add) {
                *value += more;
            }
        }
    }
    let start = [wells.available.as_amp_hours(), wells.bound.as_amp_hours(), 1.0];
    [0, 1].map(|row| (0..3).map(|at| sum[row][at] * start[at]).sum())
}

fn product(a: [[f64; 3]; 3], b: [[f64; 3]; 3]) -> [[f64; 3]; 3] {
    std::array::from_fn(|row| std::array::from_fn(|column| (0..3).map(|at| a[row][at] * b[at][column]).sum()))
}

/// The params file notes 5.5e-9 Ah between its traces and a matrix exponential.
#[test]
fn traces_obey_the_differential_equations() {
    let noted = noted("independent_ode_check", "max_abs_diff_ah");
    assert!(noted < 1e-8, "{noted}");
    let kibam = grid("agm400");
    for name in ["leadacid_kibam_trace72h.csv", "leadacid_kibam_trace72h_runs_empty.csv"] {
        let mut worst: f64 = 0.0;
        let mut wells = kibam.rest(kibam.most);
        for row in table(name) {
            let [available, bound] = by_matrix(&kibam, wells, -row.number("applied_a"), 1.0 / 12.0);
            worst = worst.max((available - row.number("q1_end_ah")).abs());
            worst = worst.max((bound - row.number("q2_end_ah")).abs());
            wells = Wells { available: Charge::amp_hours(available), bound: Charge::amp_hours(bound) };
        }
        assert!(worst < 1e-8, "{name}: {worst:e} Ah");
    }
}

fn any_kibam() -> impl Strategy<Value = Kibam> {
    (0.15..0.95, 0.05..3.0, 20.0..1000.0).prop_map(|(c, k, most)| Kibam {
        c,
        k,
        most: Charge::amp_hours(most),
    })
}

proptest! {
    /// One step is two half steps, and is what the differential equations say.
    #[test]
    fn a_step_is_two_half_steps(
        kibam in any_kibam(), level in 0.0..1.0, tilt in -0.3..0.3, rate in -0.5..0.5, seconds in 10.0..900.0,
    ) {
        let rest = kibam.rest(kibam.most * level);
        let shift = rest.bound.min(rest.available) * tilt;
        let wells = Wells { available: rest.available + shift, bound: rest.bound - shift };
        let into = Current::amps(kibam.most.as_amp_hours() * rate);
        let whole = kibam.over(Time::seconds(seconds)).step(wells, into);
        let half = kibam.over(Time::seconds(seconds / 2.0));
        let halves = half.step(half.step(wells, into), into);
        prop_assert!(((whole.available - halves.available) / kibam.most).abs() < 1e-12);
        prop_assert!(((whole.bound - halves.bound) / kibam.most).abs() < 1e-12);
        let [available, bound] = by_matrix(&kibam, wells, into.as_amps(), seconds / 3600.0);
        let most = kibam.most.as_amp_hours();
        prop_assert!(((whole.available.as_amp_hours() - available) / most).abs() < 1e-11);
        prop_assert!(((whole.bound.as_amp_hours() - bound) / most).abs() < 1e-11);
        let net = into * Time::seconds(seconds);
        prop_assert!(((whole.held() - wells.held() - net) / kibam.most).abs() < 1e-13);
    }

    /// The most that can be drawn or put in leaves the well at hand empty, or full, to the last digits.
    #[test]
    fn limits_are_limits(kibam in any_kibam(), level in 0.0..1.0, seconds in 10.0..900.0) {
        let wells = kibam.rest(kibam.most * level);
        let stride = kibam.over(Time::seconds(seconds));
        let emptied = stride.step(wells, -stride.most_drawn(wells));
        prop_assert!((emptied.available / kibam.most).abs() < 1e-12);
        prop_assert!(emptied.bound >= Charge::ZERO);
        let filled = stride.step(wells, stride.most_taken(wells));
        prop_assert!((filled.available / kibam.most - kibam.c).abs() < 1e-12);
        prop_assert!(filled.held() <= kibam.most * (1.0 + 1e-12));
    }

    /// Whatever constants a battery has, its three capacities give them back.
    #[test]
    fn constants_come_back(c in 0.2..0.85, k in 0.1..2.0) {
        let kibam = Kibam { c, k, most: Charge::amp_hours(100.0) };
        let rated = [1.0, 10.0, 20.0].map(|hours| {
            let over = Time::hours(hours);
            (kibam.capacity(over), over)
        });
        let found = Kibam::fit(rated).unwrap();
        prop_assert!((found.c - c).abs() < 1e-6 && (found.k - k).abs() < 1e-6, "{found:?}");
    }
}

#[test]
fn capacities_that_fit_nothing_are_refused() {
    let refused = [
        (FitError::NotPositive, [(0.0, 1.0), (90.0, 10.0), (100.0, 20.0)]),
        (FitError::NotPositive, [(f64::NAN, 1.0), (90.0, 10.0), (100.0, 20.0)]),
        (FitError::NotPositive, [(50.0, -1.0), (90.0, 10.0), (100.0, 20.0)]),
        (FitError::NotRising, [(60.0, 1.0), (50.0, 10.0), (100.0, 20.0)]),
        (FitError::NotRising, [(100.0, 1.0), (100.0, 10.0), (100.0, 20.0)]),
        (FitError::NotRising, [(60.0, 10.0), (90.0, 1.0), (100.0, 20.0)]),
        // More over one hour than any two wells give beside so little over ten.
        (FitError::NoSuchWells, [(89.9, 1.0), (90.0, 10.0), (100.0, 20.0)]),
    ];
    for (wanted, rated) in refused {
        let rated = rated.map(|(charge, hours)| (Charge::amp_hours(charge), Time::hours(hours)));
        assert_eq!(Kibam::fit(rated), Err(wanted), "{rated:?}");
        assert!(wanted.to_string().contains('.'), "it says what to do");
    }
}

/// The constants kept with each chemistry are those that its rated capacities give.
#[test]
fn kept_constants_are_fitted_ones() {
    let hundred = Charge::amp_hours(100.0);
    for chemistry in [Chemistry::Flooded, Chemistry::Agm, Chemistry::Gel] {
        let found = chemistry.fitted(hundred).unwrap().expect("a lead battery has two wells");
        let kept = chemistry.kibam(hundred);
        assert_near(kept.c, found.c, 1e-9, "c");
        assert_near(kept.k, found.k, 1e-9, "k");
        assert_near(kept.most / found.most, 1.0, 1e-9, "most");
        assert_near(kept.capacity(Time::hours(20.0)) / hundred, 1.0, 1e-12, "the 20 hour rate");
    }
    assert_eq!(Chemistry::Lfp.fitted(hundred), Ok(None));
    assert_eq!(Chemistry::Agm.fitted(Charge::ZERO), Err(FitError::NotPositive));
}
