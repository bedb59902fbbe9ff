//! Exact print: the natural unit, the shortest digits, the same value when read back.

use quantity::{
    Angle, Charge, Energy, Frequency, Length, Power, Quantity, Ratio, Speed, Temperature, Time, Voltage,
    Volume, VolumeRate,
};

#[track_caller]
fn check(value: impl Into<Quantity>, text: &str) {
    let value = value.into();
    assert_eq!(value.to_string(), text);
    assert_eq!(Quantity::parse(text), Ok(value));
}

#[test]
fn the_natural_unit() {
    check(Charge::amp_hours(230.0), "230 Ah");
    check(Charge::milliamp_hours(50.0), "50 mAh");
    check(Power::watts(1500.0), "1.5 kW");
    check(Power::watts(999.0), "999 W");
    check(Time::seconds(3.0), "3 s");
    check(Time::minutes(90.0), "1 h 30 min");
    check(Time::hours(36.0), "36 h");
    check(Time::days(2.5), "2 d 12 h");
    check(Time::minutes(-90.0), "-1 h 30 min");
    check(Time::seconds(90.5), "90.5 s");
    check(Length::metres(5000.0), "5 km");
    check(Length::nautical_miles(12.0), "12 NM");
    check(Length::metres(12.5), "12.5 m");
    check(Temperature::celsius(-5.0), "-5 °C");
    check(Frequency::megahertz(156.8), "156.8 MHz");
    check(Angle::degrees(15.0), "15°");
    check(Ratio::plain(0.5), "50 %");
    check(VolumeRate::litres_per_hour(500.0), "500 L/h");
    check(VolumeRate::litres_per_minute(40.0), "40 L/min");
    check(Speed::knots(6.0), "6 kn");
    check(Volume::litres(0.0), "0 L");
}

#[test]
fn digits_are_the_fewest_that_read_back() {
    // 0.29 times 100 is 28.999999999999996, but 29 over 100 is 0.29.
    check(Ratio::plain(0.29), "29 %");
    let thirds = Energy::joules(1.0);
    assert_eq!(Quantity::parse(&thirds.to_string()), Ok(thirds.into()));
    check(Volume::litres(1e300), "1e300 L");
    check(Volume::litres(1e-300), "1e-297 mL");
}

#[test]
fn both_zeros_are_kept() {
    // The two zeros are equal as numbers, so their print tells them apart.
    for (zero, text) in [(0.0, "0 V"), (-0.0, "-0 V")] {
        assert_eq!(Voltage::volts(zero).to_string(), text);
        assert_eq!(Voltage::parse(text).unwrap().to_string(), text);
    }
}

#[test]
fn padding_is_kept() {
    assert_eq!(format!("[{:>8}]", Charge::amp_hours(230.0)), "[  230 Ah]");
}
