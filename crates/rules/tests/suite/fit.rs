//! Lifejackets that fit: adults, and children by weight.

use boat::model::Gear;
use proptest::prelude::*;
use quantity::{Length, Mass};
use rules::{Carried, Crew, Finding, Inquiry, Standing};

use crate::cases::{find, inquiry, piece};

fn jackets(count: u32, from: f64, to: f64) -> Carried {
    Carried {
        fits_from: Some(Mass::kilograms(from)),
        fits_to: Some(Mass::kilograms(to)),
        ..piece(Gear::LifejacketChild, count)
    }
}

fn asked(adults: u32, weights: &[f64], aboard: Vec<Carried>) -> Inquiry {
    let children = weights.iter().map(|weight| Mass::kilograms(*weight)).collect();
    Inquiry { crew: Crew { adults, children }, ..inquiry(Length::metres(11.0), aboard) }
}

fn found(adults: u32, weights: &[f64], aboard: Vec<Carried>) -> Finding {
    let asked = asked(adults, weights, aboard);
    assert_eq!(
        find("usa", &asked, "lifejackets").unwrap().standing,
        find("canada", &asked, "lifejackets").unwrap().standing
    );
    find("canada", &asked, "lifejackets").unwrap()
}

#[test]
fn a_childs_jacket_is_none_for_a_grown_up_nor_the_other_way_round() {
    let grown = |count| piece(Gear::LifejacketAdult, count);
    assert_eq!(found(2, &[], vec![grown(2)]).standing, Standing::Met);
    assert_eq!(found(2, &[], vec![grown(1), jackets(3, 15.0, 40.0)]).standing, Standing::Missing);
    assert_eq!(found(2, &[20.0], vec![grown(5)]).standing, Standing::Missing);
    assert_eq!(found(2, &[20.0], vec![grown(2), jackets(1, 15.0, 40.0)]).standing, Standing::Met);
}

#[test]
fn the_bounds_of_weight_are_within() {
    for (weight, standing) in
        [(14.9, Standing::Missing), (15.0, Standing::Met), (40.0, Standing::Met), (40.1, Standing::Missing)]
    {
        let found = found(0, &[weight], vec![jackets(1, 15.0, 40.0)]);
        assert_eq!(found.standing, standing, "{weight}");
        assert_eq!(found.reasons.is_empty(), standing == Standing::Met);
    }
}

#[test]
fn a_jacket_of_which_no_weight_is_said_is_not_known_to_fit() {
    let found = found(0, &[20.0], vec![piece(Gear::LifejacketChild, 1)]);
    assert_eq!(found.standing, Standing::Unknown);
    assert!(found.reasons[0].contains("20 kg"), "{:?}", found.reasons);
}

/// The jacket that fits both must go to the child whom nothing else fits.
#[test]
fn jackets_are_given_out_so_that_all_get_one() {
    let aboard = vec![jackets(1, 10.0, 40.0), jackets(1, 15.0, 25.0)];
    assert_eq!(found(0, &[20.0, 35.0], aboard.clone()).standing, Standing::Met);
    assert_eq!(found(0, &[20.0, 20.0], aboard.clone()).standing, Standing::Met);
    assert_eq!(found(0, &[35.0, 35.0], aboard).standing, Standing::Missing);
}

#[test]
fn an_expired_jacket_fits_nobody() {
    let old = Carried { expires: Some("2027-07-16".parse().unwrap()), ..jackets(1, 15.0, 40.0) };
    assert_eq!(found(0, &[20.0], vec![old.clone()]).standing, Standing::Expired);
    assert_eq!(found(0, &[20.0], vec![old, jackets(1, 15.0, 40.0)]).standing, Standing::Met);
}

/// An adult's jacket that says which weights it fits serves a heavy child, and then no adult.
#[test]
fn a_heavy_child_may_take_a_grown_ups_jacket() {
    let grown = |count| Carried {
        fits_from: Some(Mass::kilograms(40.0)),
        fits_to: Some(Mass::kilograms(120.0)),
        ..piece(Gear::LifejacketAdult, count)
    };
    assert_eq!(found(1, &[45.0], vec![grown(2)]).standing, Standing::Met);
    assert_eq!(found(2, &[45.0], vec![grown(2)]).standing, Standing::Missing);
}

/// Whether every child can have a jacket, tried in every order of jackets.
fn possible(weights: &[f64], ranges: &[(f64, f64)], used: &mut Vec<bool>) -> bool {
    let Some((weight, others)) = weights.split_first() else { return true };
    (0..ranges.len()).any(|at| {
        let (from, to) = ranges[at];
        if used[at] || *weight < from || *weight > to {
            return false;
        }
        used[at] = true;
        let done = possible(others, ranges, used);
        used[at] = false;
        done
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn children_are_fitted_whenever_they_can_be(
        weights in proptest::collection::vec(8.0..50.0_f64, 0..5),
        ranges in proptest::collection::vec((5.0..45.0_f64, 0.0..25.0_f64), 0..6),
    ) {
        let ranges: Vec<(f64, f64)> = ranges.iter().map(|(from, wide)| (*from, from + wide)).collect();
        let aboard = ranges.iter().map(|(from, to)| jackets(1, *from, *to)).collect();
        let met = found(0, &weights, aboard).standing == Standing::Met;
        prop_assert_eq!(met, possible(&weights, &ranges, &mut vec![false; ranges.len()]));
    }
}
