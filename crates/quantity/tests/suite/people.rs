//! Rounded print for people.

use quantity::{
    Charge, Length, Mass, Power, Pressure, Quantity, Ratio, Speed, System, Temperature, Time, Volume,
    VolumeRate,
};

#[track_caller]
fn check(value: impl Into<Quantity>, metric: &str, us: &str) {
    let value = value.into();
    assert_eq!(value.display(System::Metric), metric);
    assert_eq!(value.display(System::UsCustomary), us);
}

#[test]
fn each_system_has_its_units() {
    check(Volume::litres(400.0), "400 L", "105.7 gal");
    check(Volume::litres(0.25), "250 mL", "8.454 fl oz");
    check(Charge::amp_hours(230.0), "230 Ah", "230 Ah");
    check(Charge::amp_hours(0.05), "50 mAh", "50 mAh");
    check(Power::watts(1499.99), "1.5 kW", "1.5 kW");
    check(Mass::kilograms(11.0), "11 kg", "24.25 lb");
    check(Mass::kilograms(12_500.0), "12.5 t", "27558 lb");
    check(Length::metres(1.68), "1.68 m", "5 ft 6 in");
    check(Length::metres(13.99), "13.99 m", "45.9 ft");
    check(Length::nautical_miles(12.0), "12 NM", "12 NM");
    check(Length::metres(-0.02), "-2 cm", "-0.7874 in");
    check(Temperature::celsius(20.0), "20 °C", "68 °F");
    check(Temperature::celsius(-5.0), "-5 °C", "23 °F");
    check(Pressure::bar(2.5), "2.5 bar", "36.26 psi");
    check(Speed::knots(6.25), "6.25 kn", "6.25 kn");
    check(VolumeRate::litres_per_hour(3.5), "3.5 L/h", "0.9246 gal/h");
    check(Ratio::plain(1.0 / 3.0), "33.33 %", "33.33 %");
}

#[test]
fn times_are_said_as_people_say_them() {
    check(Time::seconds(3.0), "3 s", "3 s");
    check(Time::seconds(0.25), "250 ms", "250 ms");
    check(Time::seconds(59.99), "59.99 s", "59.99 s");
    check(Time::seconds(90.2), "1 min 30 s", "1 min 30 s");
    check(Time::minutes(90.01), "1 h 30 min", "1 h 30 min");
    check(Time::hours(30.0), "30 h", "30 h");
    check(Time::hours(60.2), "2 d 12 h", "2 d 12 h");
    check(Time::minutes(-90.0), "-1 h 30 min", "-1 h 30 min");
}

#[test]
fn nothing_is_nothing() {
    check(Charge::ZERO, "0 Ah", "0 Ah");
    check(Volume::ZERO, "0 L", "0 gal");
    check(Time::ZERO, "0 s", "0 s");
    check(Length::ZERO, "0 m", "0 ft");
    check(Mass::ZERO, "0 kg", "0 lb");
}
