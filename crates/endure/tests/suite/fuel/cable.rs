//! Cables against the formula's table and two printed tables: `reference/oracles/voltage_drop_12v.csv`.

use endure::cable::*;
use proptest::prelude::*;
use quantity::{Area, Current, Length, Voltage};

use super::judge::{Row, assert_near, assert_printed, table};

fn needed(row: &Row, form: Form) -> Area {
    let volts = Voltage::volts(12.0) * (row.number("max_drop_pct") / 100.0);
    let (current, feet) = (Current::amps(row.number("row_value")), Length::feet(row.number("column_value")));
    area_needed(form, current, feet, volts).expect("the table has sound rows")
}

fn place(gauge: &str) -> usize {
    GAUGES.iter().position(|known| known.name() == gauge).expect("the gauge is on the list")
}

#[test]
fn both_forms_meet_the_formulas_table() {
    let rows = table("voltage_drop_12v.csv");
    assert_eq!(rows.len(), 280);
    for row in &rows {
        let mils = needed(row, Form::CircularMils);
        assert_printed(as_circular_mils(mils), row.text("circular_mils_needed"), "circular mils");
        let metric = needed(row, Form::Metric);
        assert_printed(as_square_millimetres(metric), row.text("metric_s_mm2_needed"), "square millimetres");
        let by_formula = gauge_for(mils).map_or(">4/0", Gauge::name);
        assert_eq!(by_formula, row.text("size_awg_formula"));
        let size = metric_for(metric).map(as_square_millimetres);
        match (size, row.text("metric_size_mm2").parse::<f64>().ok()) {
            (Some(found), Some(printed)) => assert_near(found, printed, 1e-12, "metric size"),
            (found, printed) => assert_eq!(found.is_some(), printed.is_some()),
        }
        let gauge = GAUGES[place(row.text("size_printed_table"))];
        let (current, feet) =
            (Current::amps(row.number("row_value")), Length::feet(row.number("column_value")));
        let lost = drop(Form::CircularMils, current, feet, gauge.area()).unwrap();
        assert_printed(lost.as_volts(), row.text("drop_v_with_printed_size"), "drop");
    }
}

/// Rows of `reference/oracles/scripts/voltage_drop.py` with all their digits, since the table is rounded.
#[test]
fn both_forms_meet_full_digits() {
    let rows = [
        (3.0, 10.0, 5.0, 1493.0555555556, 0.694266666667, 0.331790123457),
        (3.0, 100.0, 30.0, 89583.3333333333, 41.656, 19.907407407407),
        (10.0, 80.0, 100.0, 71666.6666666667, 33.3248, 53.086419753086),
    ];
    for (percent, amps, feet, mils, square_millimetres, drop_in_gauge_18) in rows {
        let (current, length) = (Current::amps(amps), Length::feet(feet));
        let permitted = Voltage::volts(0.12 * percent);
        let area = |form| area_needed(form, current, length, permitted).unwrap();
        assert_near(as_circular_mils(area(Form::CircularMils)), mils, 1e-9, "circular mils");
        assert_near(
            as_square_millimetres(area(Form::Metric)),
            square_millimetres,
            1e-9,
            "square millimetres",
        );
        let lost = drop(Form::CircularMils, current, length, GAUGES[0].area()).unwrap();
        assert_near(lost.as_volts(), drop_in_gauge_18, 1e-9, "drop");
    }
}

/// The printed tables are partly rounded by hand: within one size, as the README of the table says.
#[test]
fn the_printed_tables_agree_within_one_size() {
    let mut same = 0;
    for row in table("voltage_drop_12v.csv") {
        let printed = place(row.text("size_printed_table"));
        let found =
            gauge_for(needed(&row, Form::CircularMils)).map_or(GAUGES.len(), |gauge| place(gauge.name()));
        assert!(
            printed.abs_diff(found) <= 1,
            "{} A: printed {printed}, found {found}",
            row.text("row_value")
        );
        same += usize::from(printed == found);
    }
    assert_eq!(same, 235, "cells that are the same, as the README counts them");
}

/// The gauge's law, from memory: each size is the 39th root of 92 from the next, 0.005 inches at 36.
#[test]
fn gauges_are_what_their_law_gives() {
    let numbers = [18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 0, -1, -2, -3];
    for (gauge, number) in GAUGES.into_iter().zip(numbers) {
        let mils = 5.0 * 92.0_f64.powf(f64::from(36 - number) / 39.0);
        assert_near(as_circular_mils(gauge.area()), mils * mils, 0.005, gauge.name());
    }
}

/// "The refrigerator cuts out at 10.6 V at its end of the cable while the bank still reads higher":
/// `reference/trade-facts.md` section 9c.
#[test]
fn a_thin_cable_cuts_the_refrigerator_out_before_the_bank_is_flat() {
    let (current, round_trip, area) = (Current::amps(6.0), Length::metres(14.0), square_millimetres(1.5));
    let cut_out = Voltage::volts(10.6);
    let bank = at_source(cut_out, current, round_trip, area).unwrap();
    // 10.75 × 6 A × 45.93 ft ÷ 2960 circular mils is 1.0008 V, by hand.
    assert!((bank.as_volts() - 11.6008).abs() < 0.0005, "the bank reads {bank}");
    let arrives = at_load(bank, current, round_trip, area).unwrap();
    assert_near(arrives.as_volts(), 10.6, 1e-12, "there and back");
    let words = say_cut_out("the refrigerator", cut_out, current, round_trip, area).unwrap();
    assert_eq!(
        words,
        "At 6 A, the cable to the refrigerator takes 1.001 V. When the refrigerator cuts out at 10.6 V at its \
         end of the cable, the bank still reads 11.6 V. Look for a thin cable or a bad joint before you blame \
         the bank."
    );
    assert!(HEAT_CAUTION.contains("too hot"));
}

#[test]
fn bad_figures_are_refused_with_how_to_mend_them() {
    let (volts, amps) = (Voltage::volts(12.0), Current::amps(5.0));
    let (metres, area) = (Length::metres(10.0), square_millimetres(2.5));
    let faults = [
        at_load(volts, -amps, metres, area).unwrap_err(),
        at_load(volts, amps, Length::metres(f64::NAN), area).unwrap_err(),
        at_load(volts, amps, metres, square_millimetres(0.0)).unwrap_err(),
        at_load(volts, Current::amps(500.0), metres, area).unwrap_err(),
        area_needed(Form::Metric, amps, metres, Voltage::ZERO).unwrap_err(),
    ];
    assert_eq!(
        faults.map(|fault| fault.to_string()),
        [
            "The current is given as -5 A. It cannot be below zero. Give zero or more.",
            "The length of the cable is not a number that can be worked with. Give an ordinary figure.",
            "The thickness of the cable is given as 0 mm². Nothing can be worked out from that. Give more than \
             zero.",
            "The current is given as 500 A. Give at most 167.9 A, which is all that this cable could pass.",
            "The voltage that the cable may take is given as 0 V. Nothing can be worked out from that. Give more \
             than zero.",
        ]
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, ..ProptestConfig::default() })]

    /// The size that is asked for loses exactly what is permitted, and the named size no more.
    #[test]
    fn the_needed_area_loses_what_is_permitted(
        amps in 0.1..100.0_f64, metres in 0.5..30.0_f64, volts in 0.1..2.0_f64, metric in any::<bool>(),
    ) {
        let form = if metric { Form::Metric } else { Form::CircularMils };
        let (current, length, permitted) = (Current::amps(amps), Length::metres(metres), Voltage::volts(volts));
        let area = area_needed(form, current, length, permitted).unwrap();
        let lost = drop(form, current, length, area).unwrap();
        prop_assert!((lost / permitted - 1.0).abs() < 1e-12);
        if let Some(gauge) = gauge_for(area) {
            prop_assert!(drop(form, current, length, gauge.area()).unwrap() <= permitted * (1.0 + 1e-8));
        }
        let cautious = drop(Form::CircularMils, current, length, area).unwrap();
        prop_assert!(cautious >= drop(Form::Metric, current, length, area).unwrap());
    }
}
