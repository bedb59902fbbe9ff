//! Whether a reading can be: what is refused, what is asked again.

use quantity::{Mass, Ratio, Time, Voltage, Volume};
use records::{Amount, Doubt, Impossible, Judged, Level, Meter, Past, Reading, Walk, What, plausible};

use crate::aid::{Log, at, sanderling, whimbrel};

fn engine(hours: f64) -> Reading {
    Reading::EngineHours { engine: "engine".to_owned(), hours: Time::hours(hours) }
}

fn litres(store: &str, litres: f64) -> Reading {
    Reading::Tank { store: store.to_owned(), level: Level::Volume(Volume::litres(litres)) }
}

fn part(store: &str, percent: f64) -> Reading {
    Reading::Tank { store: store.to_owned(), level: Level::Part(Ratio::percent(percent)) }
}

fn volts(store: &str, volts: f64) -> Reading {
    Reading::Voltage { store: store.to_owned(), voltage: Voltage::volts(volts) }
}

fn charge(store: &str, percent: f64) -> Reading {
    Reading::Charge { store: store.to_owned(), charge: Ratio::percent(percent) }
}

fn gas(kilograms: f64) -> Reading {
    Reading::Gas { store: "gas".to_owned(), mass: Mass::kilograms(kilograms) }
}

fn refused(why: Impossible) -> Judged {
    Judged::Refused(why)
}

fn asked(why: Doubt) -> Judged {
    Judged::AskAgain(why)
}

/// Without a reading before it.
#[test]
fn alone() {
    use Impossible::{Negative, NoSuchThing, NotANumber, OverCapacity, OverFilling, OverFull};
    let diesel = OverCapacity { capacity: Volume::litres(150.0) };
    let twelve = Doubt::Voltage { least: Voltage::volts(9.0), most: Voltage::volts(16.0) };
    let twenty_four = Doubt::Voltage { least: Voltage::volts(18.0), most: Voltage::volts(32.0) };
    let rows = [
        (engine(0.0), Judged::Accepted),
        (engine(812.3), Judged::Accepted),
        (engine(-0.1), refused(Negative)),
        (engine(f64::NAN), refused(NotANumber)),
        (engine(f64::INFINITY), refused(NotANumber)),
        (Reading::EngineHours { engine: "oar".to_owned(), hours: Time::hours(1.0) }, refused(NoSuchThing)),
        (litres("diesel", 150.0), Judged::Accepted),
        (litres("diesel", 150.1), refused(diesel)),
        (litres("diesel", -1.0), refused(Negative)),
        (part("diesel", 100.0), Judged::Accepted),
        (part("diesel", 101.0), refused(diesel)),
        (part("diesel", -1.0), refused(Negative)),
        // Two tanks of 200 L.
        (litres("water", 400.0), Judged::Accepted),
        (litres("water", 401.0), refused(OverCapacity { capacity: Volume::litres(400.0) })),
        (litres("house", 10.0), refused(NoSuchThing)),
        (litres("barrel", 10.0), refused(NoSuchThing)),
        (volts("house", 12.6), Judged::Accepted),
        (volts("house", 9.0), Judged::Accepted),
        (volts("house", 16.0), Judged::Accepted),
        (volts("house", 8.9), asked(twelve)),
        (volts("house", 16.1), asked(twelve)),
        (volts("house", 126.0), asked(twelve)),
        (volts("house", -12.0), refused(Negative)),
        (volts("thruster", 25.2), Judged::Accepted),
        (volts("thruster", 12.6), asked(twenty_four)),
        (volts("thruster", 33.0), asked(twenty_four)),
        (volts("diesel", 12.0), refused(NoSuchThing)),
        (charge("house", 0.0), Judged::Accepted),
        (charge("house", 100.0), Judged::Accepted),
        (charge("house", 101.0), refused(OverFull)),
        (charge("house", -1.0), refused(Negative)),
        (charge("water", 50.0), refused(NoSuchThing)),
        (gas(9.0), Judged::Accepted),
        (gas(9.1), refused(OverFilling { filling: Mass::kilograms(9.0) })),
        (gas(-1.0), refused(Negative)),
    ];
    let boat = sanderling();
    for (reading, wanted) in rows {
        assert_eq!(plausible(&reading, at(0), &Past::default(), &boat), wanted, "{reading:?}");
    }
}

/// After a reading two hours earlier.
#[test]
fn after_another() {
    let fuller = |litres| asked(Doubt::FullerUnfilled { more: Volume::litres(litres) });
    let clock = |ran| asked(Doubt::MoreHoursThanTheClock { ran: Time::hours(ran), passed: Time::hours(2.0) });
    let rows = [
        (engine(800.0), engine(800.0), false, Judged::Accepted),
        (engine(800.0), engine(802.0), false, Judged::Accepted),
        // The meter's last digit may just have turned.
        (engine(800.0), engine(802.1), false, Judged::Accepted),
        (engine(800.0), engine(802.25), false, clock(2.25)),
        (engine(800.0), engine(899.0), false, clock(99.0)),
        (
            engine(800.0),
            engine(799.9),
            false,
            refused(Impossible::MeterWentBack { last: Time::hours(800.0) }),
        ),
        (litres("diesel", 50.0), litres("diesel", 40.0), false, Judged::Accepted),
        // Within the 8 % of 150 L that its gauge may be off.
        (litres("diesel", 50.0), litres("diesel", 62.0), false, Judged::Accepted),
        (litres("diesel", 50.0), litres("diesel", 63.0), false, fuller(13.0)),
        (litres("diesel", 50.0), part("diesel", 50.0), false, fuller(25.0)),
        (litres("diesel", 50.0), litres("diesel", 140.0), true, Judged::Accepted),
        (litres("water", 100.0), litres("water", 150.0), false, fuller(50.0)),
        (litres("holding", 10.0), litres("holding", 60.0), false, Judged::Accepted),
        (gas(2.0), gas(2.1), false, Judged::Accepted),
        (gas(2.0), gas(2.25), false, asked(Doubt::HeavierUnfilled { more: Mass::grams(250.0) })),
        (gas(2.0), gas(4.5), false, asked(Doubt::HeavierUnfilled { more: Mass::kilograms(2.5) })),
        (gas(2.0), gas(4.5), true, Judged::Accepted),
        (volts("house", 12.0), volts("house", 14.4), false, Judged::Accepted),
        (charge("house", 40.0), charge("house", 95.0), false, Judged::Accepted),
    ];
    let boat = sanderling();
    for (last, reading, filled, wanted) in rows {
        let past = Past { last: Some((last.clone(), at(0))), filled };
        assert_eq!(plausible(&reading, at(120), &past, &boat), wanted, "{last:?}, then {reading:?}");
    }
}

#[test]
fn before_the_last() {
    let boat = sanderling();
    let past = Past { last: Some((engine(800.0), at(60))), filled: false };
    assert_eq!(plausible(&engine(805.0), at(0), &past, &boat), asked(Doubt::BeforeTheLast));
    let back = refused(Impossible::MeterWentBack { last: Time::hours(800.0) });
    assert_eq!(plausible(&engine(799.0), at(0), &past, &boat), back);
}

#[test]
fn the_past_comes_from_the_records() {
    let mut log = Log::of_boat();
    let read = |reading| What::Read { walk: Walk::Between, reading };
    let fill = |litres| What::Filled {
        store: "diesel".to_owned(),
        amount: Amount::Volume(Volume::litres(litres)),
        cost: None,
    };
    let meter = Meter::Tank("diesel".to_owned());
    let past = |log: &Log| Past::of(&log.standing().boats[&whimbrel()], &meter);
    log.say(0, fill(20.0));
    assert_eq!(past(&log), Past::default());
    log.say(10, read(litres("diesel", 50.0)));
    assert_eq!(past(&log), Past { last: Some((litres("diesel", 50.0), at(10))), filled: false });
    log.say(20, fill(80.0));
    assert!(past(&log).filled);
    log.say(30, read(litres("diesel", 130.0)));
    assert!(!past(&log).filled);
}

#[test]
fn a_new_meter_may_show_less() {
    let mut log = Log::of_boat();
    log.say(0, What::Read { walk: Walk::Between, reading: engine(800.0) });
    let meter = Meter::EngineHours("engine".to_owned());
    let judge = |log: &Log| {
        plausible(&engine(1.0), at(120), &Past::of(&log.standing().boats[&whimbrel()], &meter), &sanderling())
    };
    assert_eq!(judge(&log), refused(Impossible::MeterWentBack { last: Time::hours(800.0) }));
    let engine = "engine".to_owned();
    log.say(10, What::MeterReplaced { engine, old: Some(Time::hours(800.5)), new: Time::ZERO });
    assert_eq!(judge(&log), Judged::Accepted, "an hour in the 110 minutes since");
    let past = Past::of(&log.standing().boats[&whimbrel()], &meter);
    let ran = Doubt::MoreHoursThanTheClock { ran: Time::hours(5.0), passed: Time::minutes(110.0) };
    let five = Reading::EngineHours { engine: "engine".to_owned(), hours: Time::hours(5.0) };
    assert_eq!(plausible(&five, at(120), &past, &sanderling()), asked(ran));
}
