//! The type of each dimension, with its units by name.

use crate::typed::{amount, dimension};

dimension! {
    /// Electric charge; held in amp-hours.
    Charge {
        AMP_HOUR: amp_hours, as_amp_hours, "amp-hours";
        MILLIAMP_HOUR: milliamp_hours, as_milliamp_hours, "milliamp-hours";
        AMP_SECOND: amp_seconds, as_amp_seconds, "amp-seconds (coulombs)";
    }
}

dimension! {
    /// Voltage; held in volts.
    Voltage {
        VOLT: volts, as_volts, "volts";
        MILLIVOLT: millivolts, as_millivolts, "millivolts";
    }
}

dimension! {
    /// Electric current; held in amps.
    Current {
        AMP: amps, as_amps, "amps";
        MILLIAMP: milliamps, as_milliamps, "milliamps";
    }
}

dimension! {
    /// Power; held in watts.
    Power {
        WATT: watts, as_watts, "watts";
        KILOWATT: kilowatts, as_kilowatts, "kilowatts";
        HORSEPOWER: horsepower, as_horsepower, "mechanical horsepower (550 ft·lbf/s)";
        METRIC_HORSEPOWER: metric_horsepower, as_metric_horsepower, "metric horsepower (PS)";
    }
}

dimension! {
    /// Energy; held in watt-hours.
    Energy {
        WATT_HOUR: watt_hours, as_watt_hours, "watt-hours";
        KILOWATT_HOUR: kilowatt_hours, as_kilowatt_hours, "kilowatt-hours";
        JOULE: joules, as_joules, "joules";
        KILOJOULE: kilojoules, as_kilojoules, "kilojoules";
        MEGAJOULE: megajoules, as_megajoules, "megajoules";
    }
}

dimension! {
    /// Electric resistance; held in ohms.
    Resistance {
        OHM: ohms, as_ohms, "ohms";
        MILLIOHM: milliohms, as_milliohms, "milliohms";
    }
}

dimension! {
    /// Volume; held in litres.
    Volume {
        LITRE: litres, as_litres, "litres";
        MILLILITRE: millilitres, as_millilitres, "millilitres";
        CUBIC_METRE: cubic_metres, as_cubic_metres, "cubic metres";
        US_GAL: us_gallons, as_us_gallons, "US gallons";
        US_QUART: us_quarts, as_us_quarts, "US quarts";
        US_PINT: us_pints, as_us_pints, "US pints";
        US_FLUID_OUNCE: us_fluid_ounces, as_us_fluid_ounces, "US fluid ounces";
        IMPERIAL_GAL: imperial_gallons, as_imperial_gallons, "imperial gallons";
    }
}

dimension! {
    /// Mass, which people call weight; held in kilograms.
    Mass {
        KILOGRAM: kilograms, as_kilograms, "kilograms";
        GRAM: grams, as_grams, "grams";
        TONNE: tonnes, as_tonnes, "tonnes";
        POUND_MASS: pounds, as_pounds, "pounds";
        OUNCE: ounces, as_ounces, "ounces";
    }
}

dimension! {
    /// Length, depth or distance; held in metres.
    Length {
        METRE: metres, as_metres, "metres";
        CENTIMETRE: centimetres, as_centimetres, "centimetres";
        MILLIMETRE: millimetres, as_millimetres, "millimetres";
        KILOMETRE: kilometres, as_kilometres, "kilometres";
        NAUTICAL_MILE: nautical_miles, as_nautical_miles, "nautical miles";
        FOOT: feet, as_feet, "feet";
        INCH: inches, as_inches, "inches";
        FATHOM: fathoms, as_fathoms, "fathoms of six feet";
    }
}

dimension! {
    /// Area; held in square metres.
    Area {
        SQUARE_METRE: square_metres, as_square_metres, "square metres";
        SQUARE_FOOT: square_feet, as_square_feet, "square feet";
    }
}

dimension! {
    /// A length of time, never a time of day; held in seconds. A day is 24 hours.
    Time {
        SECOND: seconds, as_seconds, "seconds";
        MILLISECOND: milliseconds, as_milliseconds, "milliseconds";
        MINUTE: minutes, as_minutes, "minutes";
        HOUR: hours, as_hours, "hours";
        DAY: days, as_days, "days of 24 hours";
        WEEK: weeks, as_weeks, "weeks of seven days";
    }
}

dimension! {
    /// Turning speed of a shaft; held in revolutions per minute.
    RotationalSpeed {
        RPM: rpm, as_rpm, "revolutions per minute";
    }
}

dimension! {
    /// Speed; held in knots.
    Speed {
        KNOT: knots, as_knots, "knots";
        METRE_PER_SECOND: metres_per_second, as_metres_per_second, "metres per second";
        KILOMETRE_PER_HOUR: kilometres_per_hour, as_kilometres_per_hour, "kilometres per hour";
        MILE_PER_HOUR: miles_per_hour, as_miles_per_hour, "statute miles per hour";
    }
}

dimension! {
    /// Pressure; held in bar.
    Pressure {
        BAR: bar, as_bar, "bar";
        MILLIBAR: millibar, as_millibar, "millibar (hectopascals)";
        KILOPASCAL: kilopascals, as_kilopascals, "kilopascals";
        PSI: psi, as_psi, "pounds-force per square inch";
    }
}

dimension! {
    /// Force; held in newtons.
    Force {
        NEWTON: newtons, as_newtons, "newtons";
        KILONEWTON: kilonewtons, as_kilonewtons, "kilonewtons";
        POUND_OF_FORCE: pounds_force, as_pounds_force, "pounds-force";
    }
}

dimension! {
    /// Frequency; held in hertz.
    Frequency {
        HERTZ: hertz, as_hertz, "hertz";
        KILOHERTZ: kilohertz, as_kilohertz, "kilohertz";
        MEGAHERTZ: megahertz, as_megahertz, "megahertz";
    }
}

dimension! {
    /// Angle; held in degrees.
    Angle {
        DEGREE: degrees, as_degrees, "degrees";
        RADIAN: radians, as_radians, "radians";
    }
}

dimension! {
    /// Volume in a time: what a pump moves or an engine burns; held in litres per hour.
    VolumeRate {
        LITRE_PER_HOUR: litres_per_hour, as_litres_per_hour, "litres per hour";
        LITRE_PER_MINUTE: litres_per_minute, as_litres_per_minute, "litres per minute";
        CUBIC_METRE_PER_HOUR: cubic_metres_per_hour, as_cubic_metres_per_hour, "cubic metres per hour";
        US_GAL_PER_HOUR: us_gallons_per_hour, as_us_gallons_per_hour, "US gallons per hour";
        US_GAL_PER_MINUTE: us_gallons_per_minute, as_us_gallons_per_minute, "US gallons per minute";
    }
}

dimension! {
    /// Mass in a time: what a gas burner uses; held in kilograms per hour.
    MassRate {
        KILOGRAM_PER_HOUR: kilograms_per_hour, as_kilograms_per_hour, "kilograms per hour";
        GRAM_PER_HOUR: grams_per_hour, as_grams_per_hour, "grams per hour";
        POUND_PER_HOUR: pounds_per_hour, as_pounds_per_hour, "pounds per hour";
    }
}

dimension! {
    /// A part of a whole or a plain number; held as the plain number (50 % is 0.5).
    Ratio {
        PLAIN: plain, as_plain, "wholes (0.5 is a half)";
        PERCENT: percent, as_percent, "hundredths (50 is a half)";
    }
}

amount!(
    Charge,
    Voltage,
    Current,
    Power,
    Energy,
    Resistance,
    Volume,
    Mass,
    Length,
    Area,
    Time,
    RotationalSpeed,
    Speed,
    Pressure,
    Force,
    Frequency,
    Angle,
    VolumeRate,
    MassRate,
    Ratio,
);
