//! Lithium against `reference/oracles/lfp_pysam_*` (charge counted, to a millionth) and `lfp_pybamm_*` (a
//! physics-based cell: shape).

use endure::battery::{Bank, BankSpec, Charged, Charging, Chemistry, Flow, Stage};
use quantity::{Current, Ratio, Temperature, Time, Voltage};

use super::{Largest, NO_LIMIT, amps, assert_measured, by_minutes, spec};
use crate::fuel::judge::{Row, table};

/// As the oracle: nothing lost, no resistance to charging, and no voltage limits but those of the protection.
fn oracle(switches_off: f64) -> BankSpec {
    BankSpec {
        in_per_out: Some(1.0),
        self_discharge: Some(Ratio::ZERO),
        accepts: Some(Ratio::plain(10.0)),
        bulk: Some(Voltage::volts(14.6)),
        charging: Some(Charging { drop: 1e-9, crowding: 1e-9 }),
        switches_off: Some(Ratio::plain(switches_off)),
        ..spec(Chemistry::Lfp, 299.0)
    }
}

/// The oracle's demand: positive discharges.
fn demand(bank: &Bank, state: &mut Charged, demand: f64) -> Flow {
    bank.step(state, amps(demand.max(0.0)), amps((-demand).max(0.0)), NO_LIMIT)
}

/// The oracle's current and charge, to a millionth; returns how many steps were cut.
fn follow(bank: &Bank, state: &mut Charged, rows: &[Row], what: &str) -> (usize, usize) {
    let (mut currents, mut charges) = (Largest::default(), Largest::default());
    let (mut cut, mut limited) = (0, 0);
    for (number, row) in rows.iter().enumerate() {
        let wanted = row.number("demand_a");
        let flow = demand(bank, state, wanted);
        cut += usize::from(flow.unmet > amps(1e-6));
        limited += usize::from(flow.taken < amps(-wanted - 1e-6));
        let at = || format!("row {number}");
        currents.see((flow.net.as_amps() + row.number("applied_a")) / 299.0, at);
        charges.see(bank.held(state).as_amp_hours() / row.number("q_end_ah") - 1.0, at);
    }
    currents.at_most(1e-6, rows.len(), &format!("{what}: current"));
    charges.at_most(1e-6, rows.len(), &format!("{what}: charge"));
    (cut, limited)
}

#[test]
fn three_days_are_counted_as_by_the_oracle() {
    for (name, cut, limited) in [("lfp_pysam_trace72h", 0, 41), ("lfp_pysam_trace72h_runs_empty", 286, 29)] {
        let bank = by_minutes(&oracle(0.1), 5.0);
        let rows = table(&format!("{name}.csv"));
        assert_eq!(rows.len(), 864);
        assert_eq!(follow(&bank, &mut bank.full(), &rows, name), (cut, limited), "{name}: steps cut short");
    }
}

#[test]
fn charging_is_counted_as_by_the_oracle() {
    let bank = by_minutes(&oracle(0.1), 5.0);
    let mut rows = table("lfp_pysam_charge.csv");
    assert_eq!(rows.len(), 180);
    while !rows.is_empty() {
        let of_run = |row: &Row| {
            row.text("soc0_pct") == rows[0].text("soc0_pct")
                && row.text("demand_a") == rows[0].text("demand_a")
        };
        let run = rows.iter().take_while(|row| of_run(row)).count();
        let next = rows.split_off(run);
        let start = rows[0].number("soc0_pct") / 100.0;
        let (cut, _) = follow(&bank, &mut bank.with_share(Ratio::plain(start)), &rows, "charge");
        assert_eq!(cut, 0);
        rows = next;
    }
}

/// Until the protection switches off near empty; the oracle has none.
#[test]
fn discharges_are_counted_as_by_the_oracle() {
    let bank = by_minutes(&oracle(0.0), 1.0);
    let rows = table("lfp_pysam_discharge.csv");
    let mut off = Largest::default();
    for rate in ["0.05", "0.1", "0.2", "0.5", "1.0"] {
        let mut state = bank.full();
        let mut minutes = 0.0;
        for row in rows.iter().filter(|row| row.text("c_rate") == rate && row.number("soc_end_pct") > 3.0) {
            while minutes < (row.number("t_h") * 60.0).round() {
                demand(&bank, &mut state, 300.0 * rate.parse::<f64>().unwrap());
                minutes += 1.0;
            }
            off.see(bank.held(&state).as_amp_hours() / row.number("q_end_ah") - 1.0, || {
                format!("{rate} at {minutes} min")
            });
        }
    }
    let count = rows.iter().filter(|row| row.number("soc_end_pct") > 3.0).count();
    assert!(count > 200);
    off.at_most(1e-6, count, "discharge: charge");
}

/// The two oracles disagree on voltage: the data-sheet points of this one lie up to 0.18 V a cell above
/// the physics-based cell, more than both tolerances together (0.1 V a pack, 0.05 V a cell). The bank follows the
/// physics-based cell, so the demanded 0.1 V of this one is not met; how far off it is stands here.
#[test]
fn the_data_sheet_voltages_are_this_far_off() {
    let bank = by_minutes(&oracle(0.0), 5.0);
    let (mut off, mut between) = (Largest::default(), Largest::default());
    for row in table("lfp_pysam_trace72h.csv") {
        let share = row.number("soc_end_pct");
        if !(20.0..=90.0).contains(&share) {
            continue;
        }
        let state = bank.with_share(Ratio::percent(share));
        let ours = bank.voltage(&state, amps(-row.number("applied_a"))).as_volts();
        off.see(row.number("v_pack_end") - ours, || format!("{share} %"));
    }
    let slow: Vec<_> =
        table("lfp_pysam_discharge.csv").into_iter().filter(|row| row.text("c_rate") == "0.05").collect();
    for row in cell_rows("DFN", "100") {
        let share = row.number("remaining_pct");
        if (20.0..=90.0).contains(&share) {
            let near = slow.iter().min_by(|a, b| {
                let away = |row: &Row| (row.number("soc_end_pct") - share).abs();
                away(a).total_cmp(&away(b))
            });
            let pack = near.expect("there are rows").number("v_pack_end");
            between.see(pack - 4.0 * row.number("v_cell"), || format!("{share} %"));
        }
    }
    assert_measured(off.size, 0.612, 0.01, "data-sheet pack against the bank, V");
    assert_measured(between.size, 0.707, 0.01, "data-sheet pack against the physics-based cell, V");
}

fn cell_rows(model: &str, hours: &str) -> Vec<Row> {
    table("lfp_pybamm_voltage_curve.csv")
        .into_iter()
        .filter(|row| row.text("model") == model && row.text("nominal_hours") == hours)
        .collect()
}

/// The rest curve was taken from the 100 h rows and the resistance from the middle of the 5 h rows, so the 5 h shape
/// and the charges below are the check. The simpler model SPM has so few points under 35 % that the table's straight
/// lines between them are not the model's own; it is compared above.
#[test]
fn voltages_meet_the_physics_based_cell() {
    for (model, hours, from, count) in
        [("DFN", "100", 20.0, 29), ("DFN", "5", 20.0, 29), ("SPM", "100", 35.0, 23), ("SPM", "5", 35.0, 23)]
    {
        // The cell's own capacity when emptied slowly.
        let bank = by_minutes(&spec(Chemistry::Lfp, 2.24774), 1.0);
        let mut off = Largest::default();
        for row in cell_rows(model, hours) {
            if (from..=90.0).contains(&row.number("remaining_pct")) {
                let state = bank.with_share(Ratio::plain(1.0 - row.number("discharged_ah") / 2.24774));
                let volts = bank.voltage(&state, amps(-2.3 / hours.parse::<f64>().unwrap())).as_volts() / 4.0;
                off.see(volts - row.number("v_cell"), || format!("{} %", row.text("remaining_pct")));
            }
        }
        off.at_most(0.05, count, &format!("{model} {hours} h, V a cell"));
    }
}

/// Capacity within 5 % up to the 5 h rate; faster, the cell gives less and a counter of charge does not know.
#[test]
fn capacities_meet_the_physics_based_cell() {
    let rows = table("lfp_pybamm_discharge.csv");
    assert_eq!(rows.len(), 12);
    let mut off = Largest::default();
    for row in &rows {
        let rated = rows
            .iter()
            .find(|other| other.text("model") == row.text("model") && other.text("nominal_hours") == "20")
            .expect("the 20 h row is there");
        let bank = by_minutes(&spec(Chemistry::Lfp, rated.number("capacity_ah")), 1.0);
        let mut state = bank.full();
        let mut given = 0.0;
        loop {
            let flow = demand(&bank, &mut state, row.number("current_a"));
            given -= (flow.net * Time::minutes(1.0)).as_amp_hours();
            if flow.unmet > Current::ZERO {
                break;
            }
        }
        let error = given / row.number("capacity_ah") - 1.0;
        if row.number("nominal_hours") >= 5.0 {
            off.see(error, || format!("{} h", row.text("nominal_hours")));
        } else {
            let measured = if row.text("nominal_hours") == "2" { 0.069 } else { 0.163 };
            assert_measured(
                error,
                measured,
                0.002,
                &format!("over {} h: too much by", row.text("nominal_hours")),
            );
        }
    }
    off.at_most(0.05, 8, "capacity to 2.5 V a cell");
}

/// Charging from 10 % at a held current, then a held voltage.
#[test]
fn charging_meets_the_physics_based_cell() {
    let rows = table("lfp_pybamm_cccv.csv");
    for (rate, held, count, hours, end) in
        [("2", "3.6", 28, 1.835, 0.9), ("5", "3.6", 70, 4.525, 0.9), ("2", "3.5", 28, 1.831, 0.9)]
    {
        let run: Vec<_> = rows
            .iter()
            .filter(|row| row.text("charge_rate_hours") == rate && row.text("v_limit_cell") == held)
            .collect();
        // What the run puts in brings it from 10 % to full.
        let last = run.last().expect("there are rows");
        assert!((last.number("t_h") - hours).abs() < 0.001);
        let capacity = last.number("charged_ah_from_10pct") / end;
        let bulk = Voltage::volts(held.parse::<f64>().unwrap() * 4.0);
        let bank = by_minutes(
            &BankSpec {
                bulk: Some(bulk),
                in_per_out: Some(1.0),
                self_discharge: Some(Ratio::ZERO),
                accepts: Some(Ratio::plain(1.0)),
                ..spec(Chemistry::Lfp, capacity)
            },
            1.0,
        );
        let mut off = Largest::default();
        for row in &run {
            let share = 0.1 + row.number("charged_ah_from_10pct") / capacity;
            if (0.2..=0.9).contains(&share) {
                let state = bank.with_share(Ratio::plain(share));
                let volts = bank.voltage(&state, amps(row.number("charge_current_a"))).as_volts() / 4.0;
                off.see(volts - row.number("v_cell"), || format!("{share:.3}"));
            }
        }
        off.at_most(0.05, count, &format!("charge over {rate} h to {held} V, V a cell"));
        let mut state = bank.with_share(Ratio::percent(10.0));
        let current = amps(2.3 / rate.parse::<f64>().unwrap());
        let mut minutes = 0.0;
        while bank.step(&mut state, Current::ZERO, current, NO_LIMIT).stage != Stage::Float {
            minutes += 1.0;
            assert!(minutes < 600.0, "never full");
        }
        assert_measured(minutes / 60.0 / hours, 1.0, 0.03, "time to full over the cell's");
    }
}

#[test]
fn protection_switches_off_and_charging_switches_on() {
    let bank = by_minutes(&spec(Chemistry::Lfp, 100.0), 1.0);
    let mut state = bank.with_share(Ratio::percent(3.0));
    let mut minutes = 0;
    let flow = loop {
        let flow = bank.step(&mut state, amps(20.0), Current::ZERO, NO_LIMIT);
        if flow.switched_off {
            break flow;
        }
        minutes += 1;
    };
    assert!((3..=9).contains(&minutes), "{minutes} min");
    assert!(
        flow.switched_off && state.switched_off() && flow.unmet == amps(20.0) && flow.net == Current::ZERO
    );
    // Its own voltage recovers, but it stays off until something charges it; the source feeds loads meanwhile.
    let small = bank.step(&mut state, amps(0.1), Current::ZERO, NO_LIMIT);
    assert!(small.switched_off && small.unmet == amps(0.1));
    let fed = bank.step(&mut state, amps(10.0), amps(10.0), NO_LIMIT);
    assert!(fed.switched_off && fed.unmet == Current::ZERO && fed.taken == amps(10.0));
    let charged = bank.step(&mut state, amps(10.0), amps(40.0), NO_LIMIT);
    assert!(!charged.switched_off && charged.net > Current::ZERO);
    assert!(bank.step(&mut state, amps(1.0), Current::ZERO, NO_LIMIT).unmet == Current::ZERO);
}

#[test]
fn a_cold_bank_feeds_loads_but_takes_no_charge() {
    let freezing = spec(Chemistry::Lfp, 200.0).at(Temperature::celsius(-0.5), Time::minutes(1.0)).unwrap();
    let mut state = freezing.with_share(Ratio::percent(50.0));
    let held = freezing.held(&state);
    let flow = freezing.step(&mut state, amps(5.0), amps(40.0), NO_LIMIT);
    assert!(flow.too_cold && flow.taken == amps(5.0) && flow.net == Current::ZERO);
    assert!(freezing.held(&state) < held);
    let flow = freezing.step(&mut state, amps(5.0), Current::ZERO, NO_LIMIT);
    assert!(!flow.too_cold && flow.net == amps(-5.0));
    let mild = by_minutes(&spec(Chemistry::Lfp, 200.0), 1.0);
    assert!(!mild.step(&mut state, amps(5.0), amps(40.0), NO_LIMIT).too_cold);
}
