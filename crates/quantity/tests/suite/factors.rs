//! Every factor against the definitions and against an outside library.
//!
//! Sources: the library `uom` 0.38 (its tables `src/si/*.rs`), whose factors for units that are not SI
//! follow the printed tables of NIST Special Publication 811 (2008), appendix B.8, and so are rounded to
//! seven figures; and the definitions of the units in that appendix, cited from memory.

use quantity::{Dimension, Quantity, RotationalSpeed, Speed, Temperature, Unit, find_unit, units};
use uom::Conversion;
use uom::si::f64::ThermodynamicTemperature;
use uom::si::thermodynamic_temperature::{degree_celsius, degree_fahrenheit, kelvin};
use uom::si::{
    angle, area, electric_charge, electric_current, electric_potential, electrical_resistance, energy, force,
    frequency, length, mass, mass_rate, power, pressure, ratio, time, velocity, volume, volume_rate,
};

/// How far the outside library's figure can be trusted.
enum Figures {
    /// It is the nearest f64 to the exact factor, or a quotient of such.
    Full,
    /// It is rounded to seven figures, as NIST prints it.
    Seven,
    /// It is another unit under the same name.
    Different,
}
use Figures::{Different, Full, Seven};

fn coefficient<U: Conversion<f64, T = f64>>(_: U) -> f64 {
    U::coefficient()
}

/// Symbol, the outside library's factor to the coherent SI unit, and how far to trust it.
fn outside() -> Vec<(&'static str, f64, Figures)> {
    vec![
        ("Ah", coefficient(electric_charge::ampere_hour), Full),
        ("mAh", coefficient(electric_charge::milliampere_hour), Full),
        ("A·s", coefficient(electric_charge::coulomb), Full),
        ("V", coefficient(electric_potential::volt), Full),
        ("mV", coefficient(electric_potential::millivolt), Full),
        ("A", coefficient(electric_current::ampere), Full),
        ("mA", coefficient(electric_current::milliampere), Full),
        ("W", coefficient(power::watt), Full),
        ("kW", coefficient(power::kilowatt), Full),
        ("hp", coefficient(power::horsepower), Seven),
        ("PS", coefficient(power::horsepower_metric), Seven),
        ("Wh", coefficient(energy::watt_hour), Full),
        ("kWh", coefficient(energy::kilowatt_hour), Full),
        ("J", coefficient(energy::joule), Full),
        ("kJ", coefficient(energy::kilojoule), Full),
        ("MJ", coefficient(energy::megajoule), Full),
        ("Ω", coefficient(electrical_resistance::ohm), Full),
        ("mΩ", coefficient(electrical_resistance::milliohm), Full),
        ("L", coefficient(volume::liter), Full),
        ("mL", coefficient(volume::milliliter), Full),
        ("m³", coefficient(volume::cubic_meter), Full),
        ("gal", coefficient(volume::gallon), Seven),
        ("qt", coefficient(volume::quart_liquid), Seven),
        ("pt", coefficient(volume::pint_liquid), Seven),
        ("fl oz", coefficient(volume::fluid_ounce), Seven),
        ("imp gal", coefficient(volume::gallon_imperial), Full),
        ("kg", coefficient(mass::kilogram), Full),
        ("g", coefficient(mass::gram), Full),
        ("t", coefficient(mass::ton), Full),
        ("lb", coefficient(mass::pound), Seven),
        ("oz", coefficient(mass::ounce), Seven),
        ("m", coefficient(length::meter), Full),
        ("cm", coefficient(length::centimeter), Full),
        ("mm", coefficient(length::millimeter), Full),
        ("km", coefficient(length::kilometer), Full),
        ("NM", coefficient(length::nautical_mile), Full),
        ("ft", coefficient(length::foot), Full),
        ("in", coefficient(length::inch), Full),
        // DIFFERENCE: NIST tabulates the fathom of six US survey feet, 1.828804 m; charts use 1.8288 m.
        ("fathom", coefficient(length::fathom), Different),
        ("m²", coefficient(area::square_meter), Full),
        ("ft²", coefficient(area::square_foot), Seven),
        ("s", coefficient(time::second), Full),
        ("ms", coefficient(time::millisecond), Full),
        ("min", coefficient(time::minute), Full),
        ("h", coefficient(time::hour), Full),
        ("d", coefficient(time::day), Full),
        // It has no week; seven days.
        ("wk", 7.0 * coefficient(time::day), Full),
        ("kn", coefficient(velocity::knot), Full),
        ("m/s", coefficient(velocity::meter_per_second), Full),
        ("km/h", coefficient(velocity::kilometer_per_hour), Full),
        ("mph", coefficient(velocity::mile_per_hour), Full),
        ("°C", coefficient(degree_celsius), Full),
        ("°F", coefficient(degree_fahrenheit), Full),
        ("K", coefficient(kelvin), Full),
        ("bar", coefficient(pressure::bar), Full),
        ("mbar", coefficient(pressure::millibar), Full),
        ("kPa", coefficient(pressure::kilopascal), Full),
        ("psi", coefficient(pressure::psi), Seven),
        ("N", coefficient(force::newton), Full),
        ("kN", coefficient(force::kilonewton), Full),
        ("lbf", coefficient(force::pound_force), Seven),
        ("Hz", coefficient(frequency::hertz), Full),
        ("kHz", coefficient(frequency::kilohertz), Full),
        ("MHz", coefficient(frequency::megahertz), Full),
        ("°", coefficient(angle::degree), Full),
        ("rad", coefficient(angle::radian), Full),
        // It has neither litres nor gallons in an hour.
        ("L/h", coefficient(volume::liter) / coefficient(time::hour), Full),
        ("L/min", coefficient(volume_rate::liter_per_minute), Full),
        ("m³/h", coefficient(volume_rate::cubic_meter_per_hour), Full),
        ("gal/h", coefficient(volume::gallon) / coefficient(time::hour), Seven),
        ("gal/min", coefficient(volume_rate::gallon_per_minute), Seven),
        ("kg/h", coefficient(mass_rate::kilogram_per_hour), Full),
        ("g/h", coefficient(mass_rate::gram_per_hour), Full),
        ("lb/h", coefficient(mass_rate::pound_per_hour), Seven),
        ("%", coefficient(ratio::percent), Full),
        ("", coefficient(ratio::ratio), Full),
    ]
}

/// The unit of the table that leads to the coherent SI unit of a dimension, and the step from there.
fn si(dimension: Dimension) -> (&'static str, f64, f64) {
    match dimension {
        Dimension::Charge => ("A·s", 1.0, 1.0),
        Dimension::Energy => ("J", 1.0, 1.0),
        Dimension::Volume => ("m³", 1.0, 1.0),
        Dimension::Speed => ("m/s", 1.0, 1.0),
        Dimension::Temperature => ("K", 1.0, 1.0),
        Dimension::Pressure => ("kPa", 1000.0, 1.0),
        Dimension::Angle => ("rad", 1.0, 1.0),
        Dimension::VolumeRate => ("m³/h", 1.0, 3600.0),
        Dimension::MassRate => ("kg/h", 1.0, 3600.0),
        dimension => (Unit::canonical(dimension).symbol(), 1.0, 1.0),
    }
}

fn by_symbol(symbol: &str) -> &'static Unit {
    units().iter().find(|unit| unit.symbol() == symbol).unwrap()
}

/// How many coherent SI units one of `unit` is, by way of this crate's own conversion.
fn in_si(unit: &Unit) -> f64 {
    let (symbol, times, over) = si(unit.dimension());
    let si = by_symbol(symbol);
    // Offsets are checked apart; the size of a unit is the difference of two readings.
    let size = if unit.dimension() == Dimension::Temperature {
        unit.factor() / si.factor()
    } else {
        Quantity::new(1.0, unit).as_unit(si).unwrap()
    };
    size * times / over
}

fn ulps_apart(a: f64, b: f64) -> u64 {
    a.to_bits().abs_diff(b.to_bits())
}

/// Half a step of the seventh figure of `value`, with a hair for the rounding of both numbers to f64.
fn half_a_seventh_figure(value: f64) -> f64 {
    let scientific = format!("{value:e}");
    let (_, exponent) = scientific.split_once('e').unwrap();
    let step: f64 = format!("1e{}", exponent.parse::<i32>().unwrap() - 6).parse().unwrap();
    0.5 * step * (1.0 + 1e-6)
}

#[test]
fn every_factor_agrees_with_an_outside_library() {
    for (symbol, theirs, figures) in outside() {
        let ours = in_si(by_symbol(symbol));
        match figures {
            // One step is left for km/h, which goes through knots on its way; all others are equal.
            Full => assert!(ulps_apart(ours, theirs) <= 1, "{symbol}: {ours:e}, outside {theirs:e}"),
            Seven => assert!(
                (ours - theirs).abs() <= half_a_seventh_figure(theirs),
                "{symbol}: {ours:e}, outside {theirs:e}"
            ),
            Different => {
                assert!((ours / theirs - 1.0).abs() < 3e-6, "{symbol}: {ours:e}, outside {theirs:e}");
            }
        }
    }
}

#[test]
fn no_unit_goes_unchecked() {
    let checked: Vec<&str> = outside().iter().map(|(symbol, ..)| *symbol).collect();
    for unit in units() {
        // Turning speed has one unit, so there is no factor to check.
        if unit.dimension() != Dimension::RotationalSpeed {
            assert!(checked.contains(&unit.symbol()), "{}", unit.symbol());
        }
    }
    assert_eq!(RotationalSpeed::rpm(1500.0).as_rpm(), 1500.0);
}

#[test]
fn factors_are_the_definitions() {
    // Whole-number arithmetic on the definitions, so that no rounding can hide a slip of a digit.
    let inch_hundredths_of_mm = 2540_u64;
    let cubic_inch = 254_u64.pow(3); // in units of 1e-6 cm³
    let check = |symbol: &str, exact: u64, over: f64| {
        let factor = by_symbol(symbol).factor();
        assert_eq!(factor.to_bits(), (exact as f64 / over).to_bits(), "{symbol}");
    };
    check("gal", 231 * cubic_inch, 1e9);
    check("ft", 12 * inch_hundredths_of_mm, 1e5);
    check("fathom", 72 * inch_hundredths_of_mm, 1e5);
    check("ft²", (12 * 254_u64).pow(2), 1e8);
    check("lb", 45_359_237, 1e8);
    check("lbf", 45_359_237 * 980_665, 1e13);
    check("PS", 75 * 980_665, 1e5);
    // 550 ft·lbf/s is 74569987158227022 in units of 1e-14 W; too many digits for one f64 step.
    assert_eq!(550_u128 * 3048 * 45_359_237 * 980_665, 74_569_987_158_227_022_000);
    assert_eq!(by_symbol("hp").factor().to_bits(), "745.69987158227022".parse::<f64>().unwrap().to_bits());
    // A statute mile is 5280 feet, 1609.344 m.
    assert_eq!(5280 * 3048, 16_093_440);
    assert_eq!(by_symbol("mph").factor().to_bits(), (1609.344_f64 / 1852.0).to_bits());
}

#[test]
fn temperature_scales_agree_with_an_outside_library() {
    for tenth in (-4600..=4600).step_by(7) {
        let reading = f64::from(tenth) / 10.0;
        let theirs = ThermodynamicTemperature::new::<degree_fahrenheit>(reading);
        let ours = Temperature::fahrenheit(reading);
        // They hold kelvin, so a few parts in 1e16 of 300 K are lost on either way.
        assert!((ours.as_celsius() - theirs.get::<degree_celsius>()).abs() < 3e-13, "{reading} °F");
        assert!((ours.as_kelvin() - theirs.get::<kelvin>()).abs() < 3e-13, "{reading} °F");
        assert!((ours.as_fahrenheit() - reading).abs() < 3e-13, "{reading} °F");
    }
}

#[test]
fn a_knot_is_a_nautical_mile_in_an_hour() {
    let metres = find_unit("m").unwrap();
    let run = Speed::knots(1.0) * quantity::Time::hours(1.0);
    assert_eq!(Quantity::from(run).as_unit(metres), Ok(1852.0));
}
