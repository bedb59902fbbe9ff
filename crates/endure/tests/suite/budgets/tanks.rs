//! Sections 8a to 8d: water, waste, gas and diesel.

use super::{near, reckoned, whole_days};

const GALLON: f64 = 3.785_411_784;

fn tank(kind: &str, capacity: &str, usable: f64) -> String {
    format!(
        "\n[stores.{kind}]\nname = \"{kind}\"\nkind = \"{kind}\"\ncapacity = \"{capacity}\"\nusable = \"{usable} %\"\n"
    )
}

fn load(kind: &str, lines: &str) -> String {
    format!("\n[loads.use]\nname = \"Use\"\nkind = \"{kind}\"\n{lines}\n")
}

/// Days at anchor.
fn days(count: usize) -> Vec<&'static str> {
    vec!["night = \"anchored\""; count]
}

#[test]
fn water_of_a_week_section_8a() {
    // 4 people × 7 days × 3.7 gal = 103.6 gal; with 30 % reserve about 135 gal (its 494 L is a misprint).
    let text = tank("water", &format!("{} L", 135.0 * GALLON), 100.0)
        + &load("water", &format!("runs = \"daily\"\na_day_each = \"{} L\"", 3.7 * GALLON));
    let week = reckoned(&text, &whole_days(4, &days(7), ""));
    near(week.took("use"), 103.6 * GALLON, 1e-9);
    near(1.0 - week.level(0, 7 * 24), 103.6 / 135.0, 1e-5);
    assert!(week.log.spent[0].is_none(), "the reserve is kept");
    // Drinking and rinsing only: 1 gal (3.8 L) a person a day.
    let text = tank("water", "400 L", 100.0) + &load("water", "runs = \"daily\"\na_day_each = \"3.8 L\"");
    near(reckoned(&text, &whole_days(4, &days(7), "")).took("use"), 4.0 * 7.0 * 3.8, 1e-9);
}

#[test]
fn observed_water_section_8a() {
    // A couple, 43 L a day out of 520 L: about 12 days.
    let text = tank("water", "520 L", 100.0) + &load("water", "runs = \"daily\"\na_day = \"43 L\"");
    let dry = reckoned(&text, &whole_days(2, &days(14), "")).log.spent[0].unwrap();
    near(dry as f64 / 1440.0, 12.0, 0.05);
    // A couple with foot pumps: 320 L last more than 14 days at 11 L each at most. The plan's own figure goes first.
    let text = tank("water", "320 L", 100.0) + &load("water", "runs = \"daily\"\na_day_each = \"25 L\"");
    let fortnight = reckoned(&text, &whole_days(2, &days(14), "water_each = \"11 L\""));
    assert!(fortnight.log.spent[0].is_none());
    near(fortnight.took("use"), 308.0, 1e-9);
}

#[test]
fn the_plan_s_water_is_for_all_uses_together() {
    let text = tank("water", "400 L", 100.0)
        + &load("water", "runs = \"daily\"\na_day_each = \"15 L\"")
        + "\n[loads.showers]\nname = \"Showers\"\nkind = \"water\"\nruns = \"daily\"\na_day_each = \"5 L\"\n";
    let day = reckoned(&text, &whole_days(4, &days(1), "water_each = \"12 L\""));
    near(day.took("use"), 36.0, 1e-9);
    near(day.took("showers"), 12.0, 1e-9);
}

#[test]
fn a_holding_tank_of_1_4_times_section_8b() {
    // 4 people × 10 days × 3 gal × 1.4 = 168 gal (636 L): 1.4 because it counts as full at five sevenths.
    let flush = 3.0 * GALLON / 5.0;
    let text = tank("waste", &format!("{} L", 168.0 * GALLON), 100.0 / 1.4)
        + &load("waste", &format!("runs = \"event\"\nper = \"flush\"\ntakes = \"{flush} L\""));
    let trip = reckoned(&text, &whole_days(4, &days(10), "flushes_each = 5"));
    near(trip.took("use"), 120.0 * GALLON, 1e-9);
    near(trip.level(0, 240), 1.0 / 1.4, 1e-5);
    near(trip.voyage.ledgers[0].capacity, 636.0, 0.001);
    let longer = reckoned(&text, &whole_days(4, &days(11), "flushes_each = 5"));
    let full = longer.log.spent[0].unwrap() as f64 / 1440.0;
    assert!((10.0..11.0).contains(&full), "{full}");
}

#[test]
fn a_yacht_s_guest_handbook_section_8b() {
    // 21 and 13 gal, 4 people: empty every other day, so about 16 L each a day.
    let second =
        tank("waste", &format!("{} L", 13.0 * GALLON), 100.0).replace("[stores.waste]", "[stores.aft]");
    let text = tank("waste", &format!("{} L", 21.0 * GALLON), 100.0)
        + &second
        + &load("waste", "runs = \"event\"\nper = \"flush\"\ntakes = \"3.2 L\"");
    let full = reckoned(&text, &whole_days(4, &days(4), "flushes_each = 5")).log.spent[0].unwrap();
    // 128 L in two days of the 128.7 L; nobody flushes at night, so it is full at the first flush of the third day.
    assert!((2.0..2.3).contains(&(full as f64 / 1440.0)), "{full}");
    // A tank of 25 gal that takes 64 % holds about 16 gal.
    let text = tank("waste", &format!("{} L", 25.0 * GALLON), 64.0)
        + &load("waste", "runs = \"event\"\nper = \"flush\"\ntakes = \"2 L\"");
    near(reckoned(&text, &whole_days(4, &days(2), "")).voyage.ledgers[0].usable, 16.0 * GALLON, 1e-9);
}

const POUND: f64 = 0.453_592_37;

#[test]
fn cooking_gas_section_8c() {
    // A family of five: 20 lb in 40 days, 227 g a day, 45 g each; with daily bread 30 days, 302 g; a couple 92 g.
    for (crew, each, a_day, lasts) in
        [(5, 45.0, 227.0, Some(40.0)), (5, 60.4, 302.0, Some(30.0)), (2, 46.0, 92.0, None)]
    {
        let text = tank("gas", &format!("{} kg", 20.0 * POUND), 100.0)
            + &load("gas", &format!("runs = \"daily\"\na_day_each = \"{each} g\"\npart_of_day = \"meals\""));
        let trip = reckoned(&text, &whole_days(crew, &days(45), ""));
        near(trip.voyage.ledgers[0].capacity * 1000.0, 20.0 * POUND * 1000.0, 1e-9);
        let whole = reckoned(
            &text.replace("capacity = \"", "count = 9\ncapacity = \""),
            &whole_days(crew, &days(45), ""),
        );
        near(whole.took("use") * 1000.0 / 45.0, a_day, 0.01);
        match lasts {
            Some(lasts) => near(trip.log.spent[0].unwrap() as f64 / 1440.0, lasts, 0.025),
            // 99 days are longer than a plan may be.
            None => assert!(trip.log.spent[0].is_none()),
        }
    }
}

#[test]
fn diesel_under_way_section_8d() {
    let engine = tank("diesel", "200 L", 100.0)
        + &load("diesel", "runs = \"engine\"\nburns = \"2.5 L/h\"\nat = \"2200 rpm\"");
    let legs = |rpm: u32| {
        format!("legs = [{{ by = \"motor\", from = \"08:00\", for = \"5 h\", rpm = \"{rpm} rpm\" }}]")
    };
    // 11 to 13 m, 35 to 50 hp, 5.5 to 6 kn: 2 to 2.5 L/h (owners).
    near(reckoned(&engine, &whole_days(4, &[&legs(2200)], "")).took("use"), 12.5, 1e-9);
    // The burn halves at about 80 % of the speed (boat diesel text).
    near(reckoned(&engine, &whole_days(4, &[&legs(1760)], "")).took("use"), 6.25, 0.12);
}
