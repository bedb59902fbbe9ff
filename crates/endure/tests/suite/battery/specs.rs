//! Facts that make no sense are refused in words that say what is wrong and how to mend it.

use endure::battery::kibam::{FitError, Kibam};
use endure::battery::{BankSpec, Charging, Chemistry};
use quantity::{Charge, Ratio, Resistance, Temperature, Time, Voltage};

use super::spec;

#[test]
fn nonsense_is_refused() {
    let agm = || spec(Chemistry::Agm, 200.0);
    let lfp = || spec(Chemistry::Lfp, 200.0);
    let wrong = [
        (spec(Chemistry::Agm, 0.0), "hold"),
        (spec(Chemistry::Agm, -200.0), "hold"),
        (spec(Chemistry::Agm, f64::NAN), "hold"),
        (spec(Chemistry::Agm, f64::INFINITY), "hold"),
        (BankSpec { health: Ratio::ZERO, ..agm() }, "left"),
        (BankSpec { health: Ratio::plain(80.0), ..agm() }, "left"),
        (BankSpec { health: Ratio::plain(f64::NAN), ..agm() }, "left"),
        (BankSpec { nominal: Voltage::volts(14.0), ..agm() }, "can't be of 14 V"),
        (BankSpec { nominal: Voltage::volts(0.0), ..agm() }, "can't be of"),
        (BankSpec { nominal: Voltage::volts(230.0), ..agm() }, "can't be of"),
        (BankSpec { accepts: Some(Ratio::plain(-0.1)), ..agm() }, "accept"),
        (BankSpec { accepts: Some(Ratio::plain(25.0)), ..agm() }, "accept"),
        (BankSpec { bulk: Some(Voltage::volts(12.0)), ..agm() }, "charged at 12 V"),
        (BankSpec { bulk: Some(Voltage::volts(28.8)), ..agm() }, "charged at 28.8 V"),
        (BankSpec { bulk: Some(Voltage::volts(15.5)), ..lfp() }, "charged at"),
        (BankSpec { float: Some(Voltage::volts(f64::NAN)), ..agm() }, "charged at"),
        (
            BankSpec { bulk: Some(Voltage::volts(14.0)), float: Some(Voltage::volts(14.4)), ..agm() },
            "kept full",
        ),
        (BankSpec { in_per_out: Some(0.9), ..agm() }, "for each Ah"),
        (BankSpec { in_per_out: Some(f64::NAN), ..agm() }, "for each Ah"),
        (BankSpec { resistance: Some(Resistance::ohms(0.0)), ..agm() }, "resist"),
        (
            BankSpec { charging: Some(Charging { drop: 0.0, ..Charging::LEAD }), ..agm() },
            "resists being charged",
        ),
        (
            BankSpec { charging: Some(Charging { crowding: f64::NAN, ..Charging::LEAD }), ..agm() },
            "resists being",
        ),
        (BankSpec { least_charge: Some(Temperature::celsius(f64::NAN)), ..lfp() }, "can't be at"),
        (BankSpec { self_discharge: Some(Ratio::plain(1.5)), ..agm() }, "by itself"),
        (BankSpec { switches_off: Some(Ratio::plain(1.0)), ..lfp() }, "switch off"),
        (BankSpec { switches_off: Some(Ratio::plain(0.1)), ..agm() }, "no protection"),
    ];
    for (spec, part) in wrong {
        let error = spec.at(Temperature::celsius(20.0), Time::minutes(1.0)).expect_err("nonsense is refused");
        let words = error.to_string();
        assert!(words.contains(part), "{words} does not say {part}");
        assert!(error.what.ends_with('.') && error.mend.ends_with('.') && words.len() > 30, "{words}");
    }
    for (celsius, minutes) in
        [(20.0, 0.0), (20.0, -1.0), (20.0, f64::NAN), (f64::NAN, 1.0), (f64::INFINITY, 1.0)]
    {
        assert!(agm().at(Temperature::celsius(celsius), Time::minutes(minutes)).is_err());
    }
}

#[test]
fn banks_of_every_usual_voltage_are_taken() {
    for volts in [6.0, 12.0, 12.8, 24.0, 25.6, 36.0, 48.0, 51.2] {
        for chemistry in Chemistry::ALL {
            let spec = BankSpec { nominal: Voltage::volts(volts), ..spec(chemistry, 100.0) };
            let bank = spec.at(Temperature::celsius(20.0), Time::minutes(1.0)).expect("a usual voltage");
            let per_nominal = bank.rest_voltage(&bank.with_share(Ratio::plain(0.6))).as_volts() / volts;
            assert!((0.95..1.1).contains(&per_nominal), "{chemistry:?} {volts} V: {per_nominal}");
        }
    }
}

#[test]
fn impossible_ratings_are_refused() {
    let rated = |one: f64, ten: f64, twenty: f64| {
        let over = |amp_hours, hours| (Charge::amp_hours(amp_hours), Time::hours(hours));
        Kibam::fit([over(one, 1.0), over(ten, 10.0), over(twenty, 20.0)])
    };
    assert!(rated(60.0, 93.0, 100.0).is_ok());
    assert_eq!(rated(0.0, 93.0, 100.0), Err(FitError::NotPositive));
    assert_eq!(rated(60.0, f64::NAN, 100.0), Err(FitError::NotPositive));
    assert_eq!(rated(60.0, 100.0, 93.0), Err(FitError::NotRising));
    assert_eq!(rated(100.0, 100.0, 100.0), Err(FitError::NotRising));
    // Nearly nothing in an hour but nearly all in ten: no two wells do that.
    assert_eq!(rated(1.0, 99.9, 100.0), Err(FitError::NoSuchWells));
    for error in [FitError::NotPositive, FitError::NotRising, FitError::NoSuchWells] {
        assert!(error.to_string().matches('.').count() >= 2, "says what and how to mend");
    }
}
