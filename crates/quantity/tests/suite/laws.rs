//! Products and quotients against figures worked by hand.

use quantity::{
    Area, Charge, Current, Energy, Length, Mass, MassRate, Power, Ratio, Resistance, Speed, Temperature,
    TemperatureDifference, Time, Voltage, Volume, VolumeRate,
};

/// Checks `a * b = c` both ways round and the two divisions; all figures are exact in binary.
macro_rules! check {
    ($a:expr, $b:expr, $c:expr) => {
        let (a, b, c) = ($a, $b, $c);
        assert_eq!(a * b, c);
        assert_eq!(b * a, c);
        assert_eq!(c / a, b);
        assert_eq!(c / b, a);
    };
}

#[test]
fn products_and_their_divisions() {
    check!(Power::watts(60.0), Time::hours(1.5), Energy::watt_hours(90.0));
    check!(Power::watts(1.0), Time::seconds(3600.0), Energy::joules(3600.0));
    check!(Voltage::volts(12.5), Current::amps(4.0), Power::watts(50.0));
    check!(Current::amps(5.0), Time::minutes(90.0), Charge::amp_hours(7.5));
    check!(Charge::amp_hours(200.0), Voltage::volts(12.5), Energy::kilowatt_hours(2.5));
    check!(Current::amps(2.0), Resistance::ohms(6.0), Voltage::volts(12.0));
    check!(VolumeRate::litres_per_hour(3.5), Time::hours(2.0), Volume::litres(7.0));
    check!(VolumeRate::litres_per_minute(8.0), Time::minutes(15.0), Volume::litres(120.0));
    check!(MassRate::kilograms_per_hour(0.25), Time::hours(2.0), Mass::grams(500.0));
    check!(Speed::knots(6.0), Time::hours(2.0), Length::nautical_miles(12.0));
    check!(Length::metres(4.0), Length::metres(2.5), Area::square_metres(10.0));
}

#[test]
fn like_goes_with_like() {
    let bank = Charge::amp_hours(230.0);
    assert_eq!(bank + Charge::milliamp_hours(500.0), Charge::amp_hours(230.5));
    assert_eq!(bank - Charge::amp_hours(30.0), Charge::amp_hours(200.0));
    assert_eq!(-bank, Charge::amp_hours(-230.0));
    assert_eq!((-bank).abs(), bank);
    assert_eq!(bank * 0.5, Charge::amp_hours(115.0));
    assert_eq!(0.5 * bank, bank / 2.0);
    assert_eq!(bank * Ratio::percent(50.0), Charge::amp_hours(115.0));
    assert_eq!(Charge::amp_hours(115.0) / bank, 0.5);
    assert_eq!([bank, bank, bank].into_iter().sum::<Charge>(), Charge::amp_hours(690.0));
    assert!(Charge::milliamp_hours(1.0) < bank);
    assert_eq!(bank.min(Charge::ZERO), Charge::ZERO);
    assert_eq!(bank.max(Charge::ZERO), bank);
    assert_eq!(bank.held_between(Charge::ZERO, Charge::amp_hours(100.0)), Charge::amp_hours(100.0));
    assert_eq!(
        bank.held_between(Charge::amp_hours(300.0), Charge::amp_hours(100.0)),
        Charge::amp_hours(300.0)
    );
    let mut left = bank;
    left -= Charge::amp_hours(30.0);
    left += Charge::amp_hours(10.0);
    assert_eq!(left, Charge::amp_hours(210.0));
}

#[test]
fn temperatures_step_by_differences() {
    let (cold, warm) = (Temperature::celsius(10.0), Temperature::celsius(35.0));
    assert_eq!(warm - cold, TemperatureDifference::kelvin(25.0));
    assert_eq!((warm - cold).as_fahrenheit_steps(), 45.0);
    assert_eq!(cold + TemperatureDifference::fahrenheit_steps(45.0), warm);
    assert_eq!(warm - TemperatureDifference::kelvin(25.0), cold);
    assert_eq!((warm - cold) * 2.0, TemperatureDifference::kelvin(50.0));
}
