//! The one table of units: what each is called, what it is worth, and where it is printed.
//!
//! Factors lead to the canonical unit of the dimension (the one with no factor) and are exact by
//! definition where a note does not say otherwise. A factor is kept as `times` over `over`, both exact,
//! so that reading "230 mAh" rounds once. Sources: SI Brochure, 9th edition (2019), tables 4, 7 and 8 for
//! metric units, hour, litre, tonne and the prefixes; NIST Special Publication 811 (2008), appendix B.8
//! for inch, foot, yard-based fathom, nautical mile, pound, gallons, horsepower, psi and °F. Both are cited
//! from memory; the tests check every factor against an outside library and the definitions.

use crate::dimension::Dimension as D;
use crate::unit::{System, Unit};

const METRIC: &[System] = &[System::Metric];
const US: &[System] = &[System::UsCustomary];
const BOTH: &[System] = &[System::Metric, System::UsCustomary];

/// Litres in a US gallon: 231 cubic inches of 2.54 cm.
const US_GALLON: f64 = 3.785411784;
/// Kilograms in a pound.
const POUND: f64 = 0.45359237;
/// Newtons in a pound-force: a pound at standard gravity, 9.80665 m/s².
const POUND_FORCE: f64 = 4.4482216152605;

/// Names each unit once, as a constant for the typed constructors and as a row of the table.
macro_rules! table {
    ($($name:ident = $unit:expr;)*) => {
        $(pub(crate) const $name: Unit = $unit;)*
        pub(crate) static UNITS: &[Unit] = &[$($name),*];
    };
}

table! {
    AMP_HOUR = Unit::new(D::Charge, "Ah", &["A·h", "A h", "A.h"],
        &["amp hour", "amp hours", "ampere hour", "ampere hours"])
        .printed(BOTH, 1.0);
    MILLIAMP_HOUR = Unit::new(D::Charge, "mAh", &["mA·h", "mA h"], &["milliamp hour", "milliamp hours"])
        .over(1000.0).printed(BOTH, 0.0);
    AMP_SECOND = Unit::new(D::Charge, "A·s", &["As", "A s", "A.s"],
        &["amp second", "amp seconds", "coulomb", "coulombs"])
        .over(3600.0);

    VOLT = Unit::new(D::Voltage, "V", &[], &["volt", "volts"]).printed(BOTH, 1.0);
    MILLIVOLT = Unit::new(D::Voltage, "mV", &[],
        &["millivolt", "millivolts"]).over(1000.0).printed(BOTH, 0.0);

    AMP = Unit::new(D::Current, "A", &[], &["amp", "amps", "ampere", "amperes"]).printed(BOTH, 1.0);
    MILLIAMP = Unit::new(D::Current, "mA", &[], &["milliamp", "milliamps", "milliampere", "milliamperes"])
        .over(1000.0).printed(BOTH, 0.0);

    WATT = Unit::new(D::Power, "W", &[], &["watt", "watts"]).printed(BOTH, 0.0);
    KILOWATT = Unit::new(D::Power, "kW", &[],
        &["kilowatt", "kilowatts"]).times(1000.0).printed(BOTH, 1000.0);
    // 550 foot pounds-force a second, 745.69987158227022 W exactly.
    HORSEPOWER = Unit::new(D::Power, "hp", &["HP"], &["horsepower", "horsepower", "mechanical horsepower"])
        .times(745.6998715822702);
    // 75 kilogram-force metres a second; the rating plates of European engines.
    METRIC_HORSEPOWER = Unit::new(D::Power, "PS", &["CV", "cv", "pk"],
        &["metric horsepower", "metric horsepower", "metric hp"])
        .times(735.49875);

    WATT_HOUR = Unit::new(D::Energy, "Wh", &["W·h", "W h"],
        &["watt hour", "watt hours"]).printed(BOTH, 0.0);
    KILOWATT_HOUR = Unit::new(D::Energy, "kWh", &["kW·h", "kW h"], &["kilowatt hour", "kilowatt hours"])
        .times(1000.0).printed(BOTH, 1000.0);
    JOULE = Unit::new(D::Energy, "J", &[], &["joule", "joules"]).over(3600.0);
    KILOJOULE = Unit::new(D::Energy, "kJ", &[], &["kilojoule", "kilojoules"]).over(3.6);
    MEGAJOULE = Unit::new(D::Energy, "MJ", &[], &["megajoule", "megajoules"]).times(1000.0).over(3.6);

    OHM = Unit::new(D::Resistance, "Ω", &["\u{2126}"], &["ohm", "ohms"]).printed(BOTH, 1.0);
    MILLIOHM = Unit::new(D::Resistance, "mΩ", &["m\u{2126}", "mohm"], &["milliohm", "milliohms"])
        .over(1000.0).printed(BOTH, 0.0);

    LITRE = Unit::new(D::Volume, "L", &["l", "ltr", "ltrs"], &["litre", "litres", "liter", "liters"])
        .printed(METRIC, 1.0);
    MILLILITRE = Unit::new(D::Volume, "mL", &["ml", "cc", "cm3", "cm³"],
        &["millilitre", "millilitres", "milliliter", "milliliters"])
        .over(1000.0).printed(METRIC, 0.0);
    CUBIC_METRE = Unit::new(D::Volume, "m³", &["m3", "m^3"],
        &["cubic metre", "cubic metres", "cubic meter", "cubic meters"])
        .times(1000.0);
    US_GAL = Unit::new(D::Volume, "gal", &["US gal", "gal US", "gals"],
        &["gallon", "gallons", "US gallon", "US gallons"])
        .times(US_GALLON).printed(US, US_GALLON / 2.0);
    US_QUART = Unit::new(D::Volume, "qt", &["US qt", "qts"], &["quart", "quarts", "US quart", "US quarts"])
        .times(US_GALLON).over(4.0);
    US_PINT = Unit::new(D::Volume, "pt", &["US pt", "pts"], &["pint", "pints", "US pint", "US pints"])
        .times(US_GALLON).over(8.0);
    US_FLUID_OUNCE = Unit::new(D::Volume, "fl oz", &["floz", "fl. oz.", "US fl oz"],
        &["fluid ounce", "fluid ounces"])
        .times(US_GALLON).over(128.0).printed(US, 0.0);
    IMPERIAL_GAL = Unit::new(D::Volume, "imp gal", &["UK gal", "gal UK", "gal imp"],
        &["imperial gallon", "imperial gallons", "UK gallon", "UK gallons"]).times(4.54609);

    KILOGRAM = Unit::new(D::Mass, "kg", &["kgs"],
        &["kilogram", "kilograms", "kilo", "kilos"]).printed(METRIC, 1.0);
    GRAM = Unit::new(D::Mass, "g", &[], &["gram", "grams"]).over(1000.0).printed(METRIC, 0.0);
    TONNE = Unit::new(D::Mass, "t", &[], &["tonne", "tonnes"]).times(1000.0).printed(METRIC, 10_000.0);
    POUND_MASS = Unit::new(D::Mass, "lb", &["lbs"], &["pound", "pounds"]).times(POUND).printed(US, POUND);
    OUNCE = Unit::new(D::Mass, "oz", &[], &["ounce", "ounces"]).times(POUND).over(16.0).printed(US, 0.0);

    METRE = Unit::new(D::Length, "m", &[], &["metre", "metres", "meter", "meters"]).printed(METRIC, 1.0);
    CENTIMETRE = Unit::new(D::Length, "cm", &[],
        &["centimetre", "centimetres", "centimeter", "centimeters"])
        .over(100.0).printed(METRIC, 0.01);
    MILLIMETRE = Unit::new(D::Length, "mm", &[],
        &["millimetre", "millimetres", "millimeter", "millimeters"])
        .over(1000.0).printed(METRIC, 0.0);
    KILOMETRE = Unit::new(D::Length, "km", &[], &["kilometre", "kilometres", "kilometer", "kilometers"])
        .times(1000.0).printed(METRIC, 1000.0);
    NAUTICAL_MILE = Unit::new(D::Length, "NM", &["nmi"],
        &["nautical mile", "nautical miles", "sea mile", "sea miles"])
        .times(1852.0).printed(BOTH, 1852.0);
    FOOT = Unit::new(D::Length, "ft", &["'", "′"], &["foot", "feet"]).times(0.3048).printed(US, 0.3048);
    INCH = Unit::new(D::Length, "in", &["\"", "″"],
        &["inch", "inches"]).times(2.54).over(100.0).printed(US, 0.0);
    // Six international feet, not the survey foot.
    FATHOM = Unit::new(D::Length, "fathom", &["ftm"], &["fathom", "fathoms"]).times(1.8288);

    SQUARE_METRE = Unit::new(D::Area, "m²", &["m2", "m^2", "sq m"],
        &["square metre", "square metres", "square meter", "square meters"])
        .printed(METRIC, 0.0);
    SQUARE_FOOT = Unit::new(D::Area, "ft²", &["ft2", "ft^2", "sq ft"], &["square foot", "square feet"])
        .times(0.09290304).printed(US, 0.0);

    SECOND = Unit::new(D::Time, "s", &["sec", "secs"], &["second", "seconds"]).printed(BOTH, 1.0);
    MILLISECOND = Unit::new(D::Time, "ms", &[],
        &["millisecond", "milliseconds"]).over(1000.0).printed(BOTH, 0.0);
    MINUTE = Unit::new(D::Time, "min", &["mins"], &["minute", "minutes"]).times(60.0);
    HOUR = Unit::new(D::Time, "h", &["hr", "hrs"], &["hour", "hours"]).times(3600.0);
    DAY = Unit::new(D::Time, "d", &[], &["day", "days"]).times(86_400.0);
    // No months or years: they have no fixed length.
    WEEK = Unit::new(D::Time, "wk", &["wks"], &["week", "weeks"]).times(604_800.0);

    RPM = Unit::new(D::RotationalSpeed, "rpm", &["RPM", "r/min"],
        &["revolution per minute", "revolutions per minute"])
        .printed(BOTH, 0.0);

    KNOT = Unit::new(D::Speed, "kn", &["kt", "kts"], &["knot", "knots"]).printed(BOTH, 0.0);
    METRE_PER_SECOND = Unit::new(D::Speed, "m/s", &["mps"],
        &["metre per second", "metres per second", "meters per second"])
        .times(3600.0).over(1852.0);
    KILOMETRE_PER_HOUR = Unit::new(D::Speed, "km/h", &["kph", "kmh"],
        &["kilometre per hour", "kilometres per hour", "kilometers per hour"])
        .times(1000.0).over(1852.0);
    MILE_PER_HOUR = Unit::new(D::Speed, "mph", &["mi/h"], &["mile per hour", "miles per hour"])
        .times(1609.344).over(1852.0);

    CELSIUS = Unit::new(D::Temperature, "°C", &["℃", "degC", "deg C"],
        &["degree Celsius", "degrees Celsius", "Celsius", "degrees C"])
        .printed(METRIC, 0.0);
    FAHRENHEIT = Unit::new(D::Temperature, "°F", &["℉", "degF", "deg F"],
        &["degree Fahrenheit", "degrees Fahrenheit", "Fahrenheit", "degrees F"])
        .less(32.0).times(5.0).over(9.0).printed(US, 0.0);
    KELVIN = Unit::new(D::Temperature, "K", &[], &["kelvin", "kelvins"]).less(273.15);

    BAR = Unit::new(D::Pressure, "bar", &[], &["bar", "bars"]).printed(METRIC, 1.0);
    MILLIBAR = Unit::new(D::Pressure, "mbar", &["mb", "hPa"],
        &["millibar", "millibars", "hectopascal", "hectopascals"])
        .over(1000.0).printed(METRIC, 0.0);
    KILOPASCAL = Unit::new(D::Pressure, "kPa", &[], &["kilopascal", "kilopascals"]).over(100.0);
    // A pound-force on a square inch of 2.54 cm: exact as the quotient of two exact numbers.
    PSI = Unit::new(D::Pressure, "psi", &["PSI", "lb/in²"],
        &["pound per square inch", "pounds per square inch"])
        .times(POUND_FORCE).over(64.516).printed(US, 0.0);

    NEWTON = Unit::new(D::Force, "N", &[], &["newton", "newtons"]).printed(METRIC, 0.0);
    KILONEWTON = Unit::new(D::Force, "kN", &[],
        &["kilonewton", "kilonewtons"]).times(1000.0).printed(METRIC, 1000.0);
    POUND_OF_FORCE = Unit::new(D::Force, "lbf", &[],
        &["pound force", "pounds force"]).times(POUND_FORCE).printed(US, 0.0);

    HERTZ = Unit::new(D::Frequency, "Hz", &[], &["hertz", "hertz"]).printed(BOTH, 0.0);
    KILOHERTZ = Unit::new(D::Frequency, "kHz", &[],
        &["kilohertz", "kilohertz"]).times(1e3).printed(BOTH, 1e3);
    MEGAHERTZ = Unit::new(D::Frequency, "MHz", &[],
        &["megahertz", "megahertz"]).times(1e6).printed(BOTH, 1e6);

    DEGREE = Unit::new(D::Angle, "°", &["deg"], &["degree", "degrees"]).printed(BOTH, 0.0);
    // Not exact: a half turn is 180° and π radians.
    RADIAN = Unit::new(D::Angle, "rad", &[],
        &["radian", "radians"]).times(180.0).over(std::f64::consts::PI);

    LITRE_PER_HOUR = Unit::new(D::VolumeRate, "L/h", &["l/h", "lph", "L/hr", "l/hr"],
        &["litre per hour", "litres per hour", "liter per hour", "liters per hour"]).printed(METRIC, 0.0);
    LITRE_PER_MINUTE = Unit::new(D::VolumeRate, "L/min", &["l/min", "lpm"],
        &["litre per minute", "litres per minute", "liter per minute", "liters per minute"])
        .times(60.0).printed(METRIC, 300.0);
    CUBIC_METRE_PER_HOUR = Unit::new(D::VolumeRate, "m³/h", &["m3/h", "m^3/h"],
        &["cubic metre per hour", "cubic metres per hour"])
        .times(1000.0);
    US_GAL_PER_HOUR = Unit::new(D::VolumeRate, "gal/h", &["US gal/h", "gph", "GPH", "gal/hr"],
        &["gallon per hour", "gallons per hour"])
        .times(US_GALLON).printed(US, 0.0);
    US_GAL_PER_MINUTE = Unit::new(D::VolumeRate, "gal/min", &["US gal/min", "gpm", "GPM"],
        &["gallon per minute", "gallons per minute"])
        .times(US_GALLON * 60.0).printed(US, US_GALLON * 60.0);

    KILOGRAM_PER_HOUR = Unit::new(D::MassRate, "kg/h", &["kg/hr"],
        &["kilogram per hour", "kilograms per hour"])
        .printed(METRIC, 1.0);
    GRAM_PER_HOUR = Unit::new(D::MassRate, "g/h", &["g/hr"], &["gram per hour", "grams per hour"])
        .over(1000.0).printed(METRIC, 0.0);
    POUND_PER_HOUR = Unit::new(D::MassRate, "lb/h", &["lb/hr", "lbs/h"],
        &["pound per hour", "pounds per hour"])
        .times(POUND).printed(US, 0.0);

    PERCENT = Unit::new(D::Ratio, "%", &["pct"],
        &["percent", "percent", "per cent"]).over(100.0).printed(BOTH, 0.0);
    // A number without a unit; it has no symbol and no word.
    PLAIN = Unit::new(D::Ratio, "", &[], &[]);
}
