//! Peukert's law against `reference/oracles/peukert.csv`.

use endure::battery::peukert::{capacity, exponent, time_to_empty};
use quantity::{Charge, Time};

use super::amps;
use crate::fuel::judge::{assert_near, assert_printed, table};

#[test]
fn both_forms_meet_the_table() {
    let rows = table("peukert.csv");
    assert_eq!(rows.len(), 43);
    for row in rows {
        let rated = Charge::amp_hours(row.number("capacity_ah"));
        // C / I^k is the same law with C the capacity at 1 A.
        let over = match row.text("rated_hours") {
            "" => rated / amps(1.0),
            hours => Time::hours(hours.parse().unwrap()),
        };
        let drawn = amps(row.number("current_a"));
        let time = time_to_empty(rated, over, row.number("k"), drawn);
        assert_printed(time.as_hours(), row.text("hours"), "hours");
        assert_printed((drawn * time).as_amp_hours(), row.text("delivered_ah"), "delivered");
    }
}

/// The table is rounded; rows of its formula (`reference/oracles/scripts/tables.py`) with all their digits.
#[test]
fn the_formula_to_all_digits() {
    let rows = [
        (100.0, 20.0, 1.2, 10.0, 8.705505632961241),
        (400.0, 20.0, 1.12, 80.0, 4.233726561812635),
        (225.0, 20.0, 1.25, 112.5, 1.1246826503806981),
    ];
    for (rated, hours, k, drawn, wanted) in rows {
        let found = time_to_empty(Charge::amp_hours(rated), Time::hours(hours), k, amps(drawn));
        assert_near(found.as_hours(), wanted, 1e-9, "hours");
    }
}

#[test]
fn the_three_functions_agree() {
    let (rated, over) = (Charge::amp_hours(220.0), Time::hours(20.0));
    let fast = capacity(rated, over, 1.25, Time::hours(2.0));
    assert_near(exponent((rated, over), (fast, Time::hours(2.0))), 1.25, 1e-12, "exponent");
    let time = time_to_empty(rated, over, 1.25, fast / Time::hours(2.0));
    assert_near(time.as_hours(), 2.0, 1e-12, "time");
}
