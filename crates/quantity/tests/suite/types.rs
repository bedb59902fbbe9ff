//! Every constructor and getter goes by the unit in its name.

use quantity::{
    Angle, Area, Charge, Current, Energy, Force, Frequency, Length, Mass, MassRate, Power, Pressure,
    Quantity, Ratio, Resistance, RotationalSpeed, Speed, Temperature, Time, Voltage, Volume, VolumeRate,
};

/// The symbol, seven of the unit by the constructor, and what the getter says of seven read from text.
macro_rules! row {
    ($type:ident, $make:ident, $get:ident, $symbol:literal) => {
        ($symbol, Quantity::from($type::$make(7.0)), $type::parse(concat!("7 ", $symbol)).unwrap().$get())
    };
}

#[test]
fn constructors_and_getters_go_by_their_unit() {
    let rows = [
        row!(Charge, amp_hours, as_amp_hours, "Ah"),
        row!(Charge, milliamp_hours, as_milliamp_hours, "mAh"),
        row!(Charge, amp_seconds, as_amp_seconds, "A·s"),
        row!(Voltage, volts, as_volts, "V"),
        row!(Voltage, millivolts, as_millivolts, "mV"),
        row!(Current, amps, as_amps, "A"),
        row!(Current, milliamps, as_milliamps, "mA"),
        row!(Power, watts, as_watts, "W"),
        row!(Power, kilowatts, as_kilowatts, "kW"),
        row!(Power, horsepower, as_horsepower, "hp"),
        row!(Power, metric_horsepower, as_metric_horsepower, "PS"),
        row!(Energy, watt_hours, as_watt_hours, "Wh"),
        row!(Energy, kilowatt_hours, as_kilowatt_hours, "kWh"),
        row!(Energy, joules, as_joules, "J"),
        row!(Energy, kilojoules, as_kilojoules, "kJ"),
        row!(Energy, megajoules, as_megajoules, "MJ"),
        row!(Resistance, ohms, as_ohms, "Ω"),
        row!(Resistance, milliohms, as_milliohms, "mΩ"),
        row!(Volume, litres, as_litres, "L"),
        row!(Volume, millilitres, as_millilitres, "mL"),
        row!(Volume, cubic_metres, as_cubic_metres, "m³"),
        row!(Volume, us_gallons, as_us_gallons, "gal"),
        row!(Volume, us_quarts, as_us_quarts, "qt"),
        row!(Volume, us_pints, as_us_pints, "pt"),
        row!(Volume, us_fluid_ounces, as_us_fluid_ounces, "fl oz"),
        row!(Volume, imperial_gallons, as_imperial_gallons, "imp gal"),
        row!(Mass, kilograms, as_kilograms, "kg"),
        row!(Mass, grams, as_grams, "g"),
        row!(Mass, tonnes, as_tonnes, "t"),
        row!(Mass, pounds, as_pounds, "lb"),
        row!(Mass, ounces, as_ounces, "oz"),
        row!(Length, metres, as_metres, "m"),
        row!(Length, centimetres, as_centimetres, "cm"),
        row!(Length, millimetres, as_millimetres, "mm"),
        row!(Length, kilometres, as_kilometres, "km"),
        row!(Length, nautical_miles, as_nautical_miles, "NM"),
        row!(Length, feet, as_feet, "ft"),
        row!(Length, inches, as_inches, "in"),
        row!(Length, fathoms, as_fathoms, "fathom"),
        row!(Area, square_metres, as_square_metres, "m²"),
        row!(Area, square_feet, as_square_feet, "ft²"),
        row!(Time, seconds, as_seconds, "s"),
        row!(Time, milliseconds, as_milliseconds, "ms"),
        row!(Time, minutes, as_minutes, "min"),
        row!(Time, hours, as_hours, "h"),
        row!(Time, days, as_days, "d"),
        row!(Time, weeks, as_weeks, "wk"),
        row!(RotationalSpeed, rpm, as_rpm, "rpm"),
        row!(Speed, knots, as_knots, "kn"),
        row!(Speed, metres_per_second, as_metres_per_second, "m/s"),
        row!(Speed, kilometres_per_hour, as_kilometres_per_hour, "km/h"),
        row!(Speed, miles_per_hour, as_miles_per_hour, "mph"),
        row!(Pressure, bar, as_bar, "bar"),
        row!(Pressure, millibar, as_millibar, "mbar"),
        row!(Pressure, kilopascals, as_kilopascals, "kPa"),
        row!(Pressure, psi, as_psi, "psi"),
        row!(Force, newtons, as_newtons, "N"),
        row!(Force, kilonewtons, as_kilonewtons, "kN"),
        row!(Force, pounds_force, as_pounds_force, "lbf"),
        row!(Frequency, hertz, as_hertz, "Hz"),
        row!(Frequency, kilohertz, as_kilohertz, "kHz"),
        row!(Frequency, megahertz, as_megahertz, "MHz"),
        row!(Angle, degrees, as_degrees, "°"),
        row!(Angle, radians, as_radians, "rad"),
        row!(VolumeRate, litres_per_hour, as_litres_per_hour, "L/h"),
        row!(VolumeRate, litres_per_minute, as_litres_per_minute, "L/min"),
        row!(VolumeRate, cubic_metres_per_hour, as_cubic_metres_per_hour, "m³/h"),
        row!(VolumeRate, us_gallons_per_hour, as_us_gallons_per_hour, "gal/h"),
        row!(VolumeRate, us_gallons_per_minute, as_us_gallons_per_minute, "gal/min"),
        row!(MassRate, kilograms_per_hour, as_kilograms_per_hour, "kg/h"),
        row!(MassRate, grams_per_hour, as_grams_per_hour, "g/h"),
        row!(MassRate, pounds_per_hour, as_pounds_per_hour, "lb/h"),
        row!(Ratio, plain, as_plain, ""),
        row!(Ratio, percent, as_percent, "%"),
        row!(Temperature, celsius, as_celsius, "°C"),
        row!(Temperature, fahrenheit, as_fahrenheit, "°F"),
        row!(Temperature, kelvin, as_kelvin, "K"),
    ];
    // A new unit needs a row here, unless it is only read.
    assert_eq!(rows.len(), quantity::units().len());
    for (symbol, made, got) in rows {
        assert_eq!(Quantity::parse(&format!("7 {symbol}")), Ok(made), "{symbol}");
        // One rounding into the canonical unit and one out of it; offsets cost a few more digits.
        let slack = if symbol == "K" || symbol == "°F" { 1e-13 } else { 2e-15 };
        assert!((got - 7.0).abs() <= slack, "{symbol}: {got}");
    }
}
