//! Diesel, gas and heat against outside tables and trade figures.

mod cable;
pub(crate) mod judge;
mod supply;

use endure::fuel::*;
use judge::{assert_near, assert_printed, table};
use proptest::prelude::*;
use quantity::*;

const HORSEPOWER_HOUR: f64 = 0.745_699_872;

fn engine(rated_kilowatts: f64, consumption: f64, exponent: f64) -> Engine {
    let make = || {
        let consumption = SpecificConsumption::grams_per_kilowatt_hour(consumption);
        Engine::rated(Power::kilowatts(rated_kilowatts), RotationalSpeed::rpm(3000.0), consumption)?
            .with_exponent(Exponent::new(exponent)?)
            .with_idle(VolumeRate::litres_per_hour(1e-9))
    };
    make().expect("the engine has sound figures")
}

/// `reference/oracles/propeller_law.csv`: rows of the formula.
#[test]
fn the_propeller_law_meets_its_table() {
    let rows = table("propeller_law.csv");
    assert_eq!(rows.len(), 48);
    for row in rows {
        let engine = engine(row.number("rated_kw"), row.number("sfc_g_per_kwh"), row.number("exponent"))
            .with_density(Density::kilograms_per_litre(row.number("diesel_kg_per_l")))
            .unwrap();
        let speed = RotationalSpeed::rpm(3000.0 * row.number("rpm_fraction"));
        let power = engine.shaft_power(speed).unwrap().unwrap();
        assert_printed(power.as_kilowatts(), row.text("shaft_kw"), "shaft power");
        assert_printed(engine.burn(speed).unwrap().as_litres_per_hour(), row.text("litres_per_h"), "burn");
    }
}

/// Rows of `reference/oracles/scripts/tables.py` with all their digits, since the table is rounded.
#[test]
fn the_propeller_law_meets_full_digits() {
    let rows = [
        (29.0, 240.0, 2.5, 0.3, 1.429555875088, 0.408444535740),
        (29.0, 240.0, 3.0, 0.3, 0.783000000000, 0.223714285714),
        (41.0, 230.0, 2.5, 0.7, 16.808499933070, 4.602327362626),
        (55.0, 250.0, 3.0, 0.9, 40.095000000000, 11.933035714286),
    ];
    for (rated, consumption, exponent, part, power, burn) in rows {
        let engine = engine(rated, consumption, exponent);
        let speed = RotationalSpeed::rpm(3000.0 * part);
        let found = engine.shaft_power(speed).unwrap().unwrap().as_kilowatts();
        assert_near(found, power, 1e-9, "shaft power");
        assert_near(engine.burn(speed).unwrap().as_litres_per_hour(), burn, 1e-9, "burn");
    }
}

/// `reference/oracles/gas_burners.csv`, and rows of its script with all their digits.
#[test]
fn burners_take_what_the_table_says() {
    let rows = table("gas_burners.csv");
    assert_eq!(rows.len(), 12);
    for row in rows {
        let gas = if row.text("fuel") == "propane" { Gas::Propane } else { Gas::Butane };
        let input = Power::kilowatts(row.number("burner_input_kw"));
        for (rating, column) in [(Rating::Gross, "g_per_h_gross_rating"), (Rating::Net, "g_per_h_net_rating")]
        {
            let found = burner_rate(input, gas, rating).unwrap().as_grams_per_hour();
            assert_printed(found, row.text(column), column);
        }
    }
    let full = [
        (Gas::Propane, 0.6, 42.9167494536, 46.6119982736),
        (Gas::Butane, 0.6, 43.9471007121, 47.6085519065),
        (Gas::Propane, 1.75, 125.1738525730, 135.9516616314),
        (Gas::Butane, 3.0, 219.7355035605, 238.0427595327),
    ];
    for (gas, kilowatts, gross, net) in full {
        let rate = |rating| burner_rate(Power::kilowatts(kilowatts), gas, rating).unwrap();
        assert_near(rate(Rating::Gross).as_grams_per_hour(), gross, 1e-9, "gross");
        assert_near(rate(Rating::Net).as_grams_per_hour(), net, 1e-9, "net");
    }
}

/// `reference/oracles/fuels.csv`. Its README says not to use the printed 3.33 kWh/L.
#[test]
fn fuels_have_the_heat_and_consumption_of_the_table() {
    let rows = table("fuels.csv");
    let value = |fuel: &str, quantity: &str| {
        let row = rows.iter().find(|row| row.text("fuel") == fuel && row.text("quantity") == quantity);
        row.map(|row| row.text("value").to_owned()).unwrap()
    };
    for (gas, name) in [(Gas::Propane, "propane"), (Gas::Butane, "butane")] {
        for (rating, which) in [(Rating::Gross, "higher heating value"), (Rating::Net, "lower heating value")]
        {
            let found = gas_energy(gas, rating, Mass::kilograms(1.0)).as_megajoules();
            assert_printed(found, &value(name, which), which);
        }
    }
    // A supplier's rounded chart: 49 MJ/kg and 25 MJ/L gross, against the textbook's table.
    let supplier: f64 = value("LPG (propane)", "energy per kg (gross, rounded)").parse().unwrap();
    let gross = gas_energy(Gas::Propane, Rating::Gross, Mass::kilograms(1.0)).as_megajoules();
    assert_near(gross, supplier, 0.03, "supplier's heat");
    for (consumption, which) in [
        (SpecificConsumption::LOW, "brake specific consumption, low"),
        (SpecificConsumption::AVERAGE, "brake specific consumption, average"),
        (SpecificConsumption::HIGH, "brake specific consumption, high"),
    ] {
        assert_printed(consumption.as_grams_per_kilowatt_hour(), &value("diesel", which), which);
    }
    let net: f64 = value("light diesel", "lower heating value").parse().unwrap();
    let density = Density::DIESEL.as_kilograms_per_litre();
    assert_printed(density, &value("light diesel", "density high"), "density");
    let heat = Energy::megajoules(net * density);
    // The round 10 kWh/L of heaters is the net heat of a litre.
    assert_near(
        diesel_energy(Volume::litres(1.0)).as_kilowatt_hours(),
        heat.as_kilowatt_hours(),
        0.01,
        "heat",
    );
    let large = Energy::kilowatt_hours(23.0 * HORSEPOWER_HOUR) / Power::kilowatts(1.0);
    let per_litre = large.as_hours() / Volume::us_gallons(1.0).as_litres();
    assert_printed(per_litre, &value("diesel", "23 hp h per US gallon, recomputed"), "23 hp h");
}

/// `reference/trade-facts.md` section 8c, line by line.
#[test]
fn gas_lasts_as_cruisers_found() {
    let bottle = Mass::pounds(20.0);
    for (days, grams, people, each) in
        [(40.0, 227.0, 5.0, Some(45.0)), (30.0, 302.0, 5.0, None), (99.0, 92.0, 2.0, None)]
    {
        let a_day = daily_use(bottle, Time::days(days)).unwrap();
        assert!((a_day.as_grams() - grams).abs() < 0.5, "{a_day} against {grams} g");
        if let Some(each) = each {
            assert!((a_day.as_grams() / people - each).abs() < 0.5);
        }
        assert_near(days_left(bottle, a_day).unwrap().as_days(), days, 1e-12, "days");
    }
    // 21,600 BTU/lb is the gross heat. The "46 MJ/kg, 12.9 kWh/kg" printed beside it as gross is the net.
    let printed =
        (btu_per_hour(21_600.0) * Time::hours(1.0)).as_megajoules() / Mass::pounds(1.0).as_kilograms();
    let heat = |rating| gas_energy(Gas::Propane, rating, Mass::kilograms(1.0));
    assert_near(heat(Rating::Gross).as_megajoules(), printed, 0.005, "gross heat");
    assert_near(heat(Rating::Net).as_kilowatt_hours(), 12.9, 0.005, "net heat");
    for rating in [Rating::Gross, Rating::Net] {
        let rate = burner_rate(btu_per_hour(10_000.0), Gas::Propane, rating).unwrap();
        assert!((rate.as_kilograms_per_hour() - 0.2).abs() < 0.05, "10,000 BTU/h takes {rate}");
    }
    let (least, most) = bottle_may_hold(bottle);
    assert_near(least.as_pounds(), 15.0, 1e-12, "least");
    assert_near(most.as_pounds(), 20.0, 1e-12, "most");
    assert_near(
        hours_left(bottle, MassRate::kilograms_per_hour(0.2)).unwrap().as_hours(),
        45.36,
        1e-3,
        "hours",
    );
}

/// `reference/trade-facts.md` section 8d, line by line.
#[test]
fn diesel_burns_as_texts_say() {
    let litres = |gallons: f64| Volume::imperial_gallons(gallons).as_litres();
    assert!((litres(0.05) - 0.23).abs() < 0.005);
    assert!((litres(1.0) / 20.0 - 0.23).abs() < 0.005);
    assert!((litres(4.5) / 100.0 - 0.205).abs() < 0.0005);
    assert!((Volume::us_gallons(1.0).as_litres() / 23.0 - 0.165).abs() < 0.0005);
    // The same figures as specific consumption: poor, usual and good engines, and the small one of a manual.
    let a_horsepower_hour = Energy::kilowatt_hours(HORSEPOWER_HOUR);
    let burns = |what: SpecificConsumption| what.fuel(a_horsepower_hour, Density::DIESEL).as_litres();
    assert!(burns(SpecificConsumption::LOW) > 0.165 && burns(SpecificConsumption::AVERAGE) < 0.205);
    assert!((burns(SpecificConsumption::SMALL_ENGINE) - 0.23).abs() < 0.01);
    let small = SpecificConsumption::SMALL_ENGINE.fuel(Energy::kilowatt_hours(1.0), Density::DIESEL);
    assert!((small.as_litres() - 0.32).abs() < 0.005);
    // 196 g/hp h is printed beside 268 g/kWh; the two differ by half a hundredth.
    let metric = SpecificConsumption::grams_per_metric_horsepower_hour(196.0);
    assert_near(metric.as_grams_per_kilowatt_hour(), 268.0, 0.006, "metric horsepower");
    // "Burn halves at about 80 % of maximum speed", with the default exponent.
    let engine = Engine::known(VolumeRate::litres_per_hour(8.0), RotationalSpeed::rpm(3000.0)).unwrap();
    let slower = engine.burn(RotationalSpeed::rpm(2400.0)).unwrap();
    assert!((slower.as_litres_per_hour() / 8.0 - 0.5).abs() < 0.02);
    assert!((hull_speed(Length::feet(33.0), 1.34).unwrap().as_knots() - 7.7).abs() < 0.05);
    assert!((hull_speed(Length::feet(33.0), 1.2).unwrap().as_knots() - 6.9).abs() < 0.05);
}

/// `reference/trade-facts.md` section 8e.
#[test]
fn heaters_burn_and_draw_as_printed() {
    let burn = heater_burn(Power::kilowatts(1.0), Ratio::percent(80.0)).unwrap();
    assert_near(burn.as_litres_per_hour(), 0.125, 1e-12, "a kilowatt of heat");
    for class in [4.0, 5.0, 10.0, 12.0] {
        let of_class = || HEATER_ROWS.iter().filter(|row| row.class == Power::kilowatts(class));
        let most = of_class().map(|row| btu_per_hour(row.btu_per_hour).as_kilowatts()).fold(0.0, f64::max);
        assert!((most / class - 1.0).abs() < 0.06, "the {class} kW class gives {most} kW");
        let falls = of_class().zip(of_class().skip(1)).all(|(more, less)| more.current > less.current);
        assert!(falls, "the current of the {class} kW class falls with the heat");
    }
}

#[test]
fn the_thirds_rule_sends_her_back_after_a_third() {
    let tank = Volume::litres(150.0);
    let burn = VolumeRate::litres_per_hour(2.5);
    let found = endurance(tank, burn, Reserve::ThirdOf(tank)).unwrap();
    assert_near(found.reserve.as_litres(), 50.0, 1e-12, "a third kept");
    assert_near(found.until_reserve.as_hours(), 40.0, 1e-12, "two thirds");
    assert_near(found.turn_back.as_hours(), 20.0, 1e-12, "a third out");
    assert_near(found.until_empty.as_hours(), 60.0, 1e-12, "all");
    assert_near(found.range(Speed::knots(6.0)).unwrap().as_nautical_miles(), 240.0, 1e-12, "range");
    // Later on the way the third is still of what she began with.
    let later = endurance(Volume::litres(40.0), burn, Reserve::ThirdOf(tank)).unwrap();
    assert!(later.is_into_reserve() && !found.is_into_reserve());
    assert_eq!(later.until_reserve, Time::ZERO);
    let stated = endurance(tank, burn, Reserve::Stated(Volume::litres(20.0))).unwrap();
    assert_near(stated.until_reserve.as_hours(), 52.0, 1e-12, "stated");
    let part = endurance(tank, burn, Reserve::PartOf(tank, Ratio::percent(20.0))).unwrap();
    assert_near(part.until_reserve.as_hours(), 48.0, 1e-12, "part");
}

/// The floor is common practice; what counts is that a running engine never burns less, and that it is said.
#[test]
fn a_running_engine_burns_at_least_its_idle() {
    let known = Engine::known(VolumeRate::litres_per_hour(2.3), RotationalSpeed::rpm(2000.0)).unwrap();
    assert_eq!(known.burn(RotationalSpeed::rpm(800.0)).unwrap(), IDLE_UNKNOWN_ENGINE);
    assert_eq!(known.burn(RotationalSpeed::ZERO).unwrap(), VolumeRate::ZERO);
    assert_eq!(known.burn(RotationalSpeed::rpm(2000.0)).unwrap(), VolumeRate::litres_per_hour(2.3));
    let rated = Engine::rated(
        Power::kilowatts(29.0),
        RotationalSpeed::rpm(3000.0),
        SpecificConsumption::SMALL_ENGINE,
    );
    let rated = rated.unwrap();
    assert_near(rated.idle().as_litres_per_hour(), 0.58, 1e-12, "idle of 29 kW");
    let charging = rated.burn_out_of_gear(Power::kilowatts(2.0)).unwrap();
    assert_near(charging.as_litres_per_hour(), 0.58 + 2.0 * 268.0 / 840.0, 1e-12, "idle and alternator");
    assert!(rated.assumptions().iter().any(|said| said.contains("common practice")));
    let measured = rated.with_idle(VolumeRate::litres_per_hour(0.9)).unwrap();
    assert_eq!(measured.burn(RotationalSpeed::rpm(700.0)).unwrap(), VolumeRate::litres_per_hour(0.9));
    assert!(measured.assumptions().iter().any(|said| said.contains("0.9 L/h") && said.contains("as stated")));
}

/// A litre warmed by a kelvin takes 1.163 Wh (from memory: 4.186 kJ).
#[test]
fn warming_water_takes_what_physics_says() {
    let (cold, hot) = (Temperature::celsius(15.0), Temperature::celsius(60.0));
    let energy = energy_to_warm(Volume::litres(40.0), cold, hot).unwrap();
    assert_near(energy.as_watt_hours(), 40.0 * 45.0 * 1.163, 2e-4, "40 litres");
    let time = time_to_warm(Volume::litres(40.0), cold, hot, Power::watts(1200.0)).unwrap();
    assert_near(time.as_hours(), energy.as_watt_hours() / 1200.0, 1e-12, "time");
    assert_eq!(energy_to_warm(Volume::litres(40.0), hot, cold).unwrap(), Energy::ZERO);
}

#[test]
fn bad_figures_are_refused_with_how_to_mend_them() {
    let rpm = RotationalSpeed::rpm;
    let known = Engine::known(VolumeRate::litres_per_hour(2.0), rpm(2000.0)).unwrap();
    let rated = engine(29.0, 240.0, 3.0);
    let faults = [
        Engine::known(VolumeRate::litres_per_hour(-2.0), rpm(2000.0)).unwrap_err(),
        known.burn(rpm(f64::NAN)).unwrap_err(),
        rated.burn(rpm(3200.0)).unwrap_err(),
        Exponent::new(9.0).unwrap_err(),
        heater_burn(Power::kilowatts(2.0), Ratio::percent(120.0)).unwrap_err(),
        endurance(Volume::litres(9.0), VolumeRate::ZERO, Reserve::Stated(Volume::ZERO)).unwrap_err(),
        known.with_idle(VolumeRate::litres_per_hour(3.0)).unwrap_err(),
    ];
    assert_eq!(
        faults.map(|fault| fault.to_string()),
        [
            "The known burn is given as -2 L/h. Nothing can be worked out from that. Give more than zero.",
            "The speed of the engine is not a number that can be worked with. Give an ordinary figure.",
            "The speed of the engine is given as 3200 rpm. Give at most 3000 rpm, where the engine is rated.",
            "The exponent of the propeller law is given as 9. Give at most 4, which is steeper than any propeller.",
            "The efficiency of the heater is given as 120 %. Give at most 100 %, since no heater gives more than \
             is in the fuel.",
            "The burn is given as 0 L/h. Nothing can be worked out from that. Give more than zero.",
            "The idle burn is given as 3 L/h. Give at most 2 L/h, which it burns at 2000 rpm.",
        ]
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, ..ProptestConfig::default() })]

    /// Faster is never cheaper, whatever is known of the engine.
    #[test]
    fn more_speed_never_burns_less(
        burn in 0.3..30.0_f64, at in 1000.0..4000.0_f64, exponent in 1.0..4.0_f64,
        slow in 0.0..6000.0_f64, more in 0.0..2000.0_f64,
    ) {
        let engine = Engine::known(VolumeRate::litres_per_hour(burn), RotationalSpeed::rpm(at)).unwrap()
            .with_exponent(Exponent::new(exponent).unwrap());
        let at_speed = |rpm: f64| engine.burn(RotationalSpeed::rpm(rpm)).unwrap();
        prop_assert!(at_speed(slow) <= at_speed(slow + more));
    }

    /// One known point of a rated engine tells the same burn as its rating does, but for the idle.
    #[test]
    fn a_known_point_and_the_rating_agree(
        rated in 10.0..80.0_f64, exponent in 2.0..3.5_f64, known in 0.5..1.0_f64, asked in 0.5..1.0_f64,
    ) {
        let full = engine(rated, 240.0, exponent);
        let speed = |part: f64| RotationalSpeed::rpm(3000.0 * part);
        let point = Engine::known(full.burn(speed(known)).unwrap(), speed(known)).unwrap()
            .with_exponent(Exponent::new(exponent).unwrap())
            .with_idle(VolumeRate::litres_per_hour(1e-9)).unwrap();
        let (one, other) = (full.burn(speed(asked)).unwrap(), point.burn(speed(asked)).unwrap());
        prop_assert!((one / other - 1.0).abs() < 1e-9);
    }

    /// What is usable and what is kept are what there is, and a larger reserve never lasts longer.
    #[test]
    fn reserves_add_up(left in 0.0..500.0_f64, burn in 0.1..20.0_f64, kept in 0.0..400.0_f64, more in 0.0..50.0_f64) {
        let with = |reserve: f64| {
            let reserve = Reserve::Stated(Volume::litres(reserve));
            endurance(Volume::litres(left), VolumeRate::litres_per_hour(burn), reserve).unwrap()
        };
        let found = with(kept);
        prop_assert!((found.usable + found.reserve).as_litres() >= left.min(kept) - 1e-9);
        prop_assert!(found.until_reserve <= found.until_empty);
        prop_assert!(with(kept + more).until_reserve <= found.until_reserve);
    }
}
