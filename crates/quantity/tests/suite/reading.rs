//! What people write and what it means.

use quantity::{
    Angle, Area, Charge, Current, Dimension, Energy, Force, Frequency, Length, Mass, MassRate, Power,
    Pressure, Quantity, Ratio, Resistance, RotationalSpeed, Speed, Temperature, Time, Voltage, Volume,
    VolumeRate,
};

#[track_caller]
fn check(text: &str, wanted: impl Into<Quantity>) {
    assert_eq!(Quantity::parse(text), Ok(wanted.into()), "{text}");
}

#[test]
fn a_number_and_a_unit() {
    check("230 Ah", Charge::amp_hours(230.0));
    check("230Ah", Charge::amp_hours(230.0));
    check("  230   Ah  ", Charge::amp_hours(230.0));
    check("230\u{a0}Ah", Charge::amp_hours(230.0));
    check("2300 mAh", Charge::milliamp_hours(2300.0));
    check("12.8 V", Voltage::volts(12.8));
    check("50 mV", Voltage::volts(0.05));
    check("5 A", Current::amps(5.0));
    check("1.5 kW", Power::watts(1500.0));
    check("40 hp", Power::horsepower(40.0));
    check("40 PS", Power::metric_horsepower(40.0));
    check("3.6 kJ", Energy::watt_hours(1.0));
    check("240 Ω", Resistance::ohms(240.0));
    check("400 L", Volume::litres(400.0));
    check("0.4 m3", Volume::litres(400.0));
    check("0.4 m³", Volume::litres(400.0));
    check("5 kg", Mass::kilograms(5.0));
    check("40 m²", Area::square_metres(40.0));
    check("3 s", Time::seconds(3.0));
    check("1500 rpm", RotationalSpeed::rpm(1500.0));
    check("6 kn", Speed::knots(6.0));
    check("6 kN", Force::newtons(6000.0));
    check("-5 °C", Temperature::celsius(-5.0));
    check("\u{2212}5 °C", Temperature::celsius(-5.0));
    check("+5 °C", Temperature::celsius(5.0));
    check("2.5 bar", Pressure::bar(2.5));
    check("156.8 MHz", Frequency::hertz(156_800_000.0));
    check("15°", Angle::degrees(15.0));
    check("1.2 L/h", VolumeRate::litres_per_hour(1.2));
    check("1.2 L / h", VolumeRate::litres_per_hour(1.2));
    check("150 g/h", MassRate::grams_per_hour(150.0));
    check("50 %", Ratio::plain(0.5));
    check("0.5", Ratio::plain(0.5));
    check(".5 V", Voltage::volts(0.5));
    check("1e3 W", Power::kilowatts(1.0));
    check("1E-3 W", Power::watts(0.001));
}

#[test]
fn every_spelling_of_every_unit_is_read_as_that_unit() {
    for unit in quantity::units() {
        let symbol = std::iter::once(unit.symbol());
        let spellings =
            symbol.chain(unit.other_symbols().iter().copied()).chain(unit.words().iter().copied());
        for spelling in spellings {
            check(&format!("7{spelling}"), Quantity::new(7.0, unit));
            check(&format!("7 {spelling}"), Quantity::new(7.0, unit));
        }
        for word in unit.words() {
            check(&format!("7 {}", word.to_uppercase()), Quantity::new(7.0, unit));
            check(&format!("7 {}", word.replace(' ', "-")), Quantity::new(7.0, unit));
        }
    }
}

#[test]
fn a_plain_gallon_is_the_us_gallon() {
    check("10 gallons", Volume::us_gallons(10.0));
    check("10 US gal", Volume::us_gallons(10.0));
    check("10 imp gal", Volume::imperial_gallons(10.0));
}

#[test]
fn parts_of_descending_units_are_one_quantity() {
    check("1 h 30 min", Time::minutes(90.0));
    check("1h30min", Time::minutes(90.0));
    check("2 d 12 h", Time::hours(60.0));
    check("-1 h 30 min", Time::minutes(-90.0));
    check("1 min 2.5 s", Time::seconds(62.5));
    check("5 ft 6 in", Length::inches(66.0));
    check("5ft6in", Length::inches(66.0));
    check("5'6\"", Length::inches(66.0));
    check("5 ft 2 in", Length::inches(62.0));
    check("8 lb 4 oz", Mass::ounces(132.0));
}

#[test]
fn a_type_reads_only_its_own() {
    assert_eq!(Charge::parse("230 Ah"), Ok(Charge::amp_hours(230.0)));
    assert_eq!("400 L".parse(), Ok(Volume::litres(400.0)));
    assert_eq!("50 %".parse(), Ok(Ratio::percent(50.0)));
    assert_eq!("0.5".parse(), Ok(Ratio::percent(50.0)));
    assert!(Charge::parse("230 V").is_err());
    assert!(Charge::parse("230").is_err());
    assert_eq!(Quantity::parse_as("3 s", Dimension::Time), Ok(Time::seconds(3.0).into()));
}

#[test]
fn temperature_scales_meet_where_they_should() {
    // The fixed points of the scales: NIST SP 811 (2008), B.8, degree Fahrenheit; cited from memory.
    check("32 °F", Temperature::celsius(0.0));
    check("212 °F", Temperature::celsius(100.0));
    check("-40 °F", Temperature::celsius(-40.0));
    check("273.15 K", Temperature::celsius(0.0));
}

#[test]
fn quantities_of_different_kinds_are_neither_equal_nor_ordered() {
    let (charge, voltage) = (Quantity::parse("1 Ah").unwrap(), Quantity::parse("1 V").unwrap());
    assert_ne!(charge, voltage);
    assert_eq!(charge.partial_cmp(&voltage), None);
    assert!(charge < Quantity::parse("1100 mAh").unwrap());
    assert!(Voltage::try_from(charge).is_err());
    assert_eq!(Charge::try_from(charge), Ok(Charge::amp_hours(1.0)));
}
