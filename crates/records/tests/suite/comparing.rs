//! What changed between two walks.

use quantity::{Mass, Ratio, Time, Volume};
use records::{
    Amount, Change, Differences, EventId, Filled, KitChange, Known, Level, Meter, Reading, Severity,
    Standing, Walk, Walked, What, compare, differences,
};

use crate::aid::{Log, account, charter, count, crew, defect, plan, sanderling};

fn change<T>(of: &str, out: T, back: T, filled: T, used: T, off: Option<T>) -> Change<T> {
    Change { of: of.to_owned(), out, back, filled, used, give_or_take: off }
}

fn kit(line: &str, expected: u32, counted: u32) -> KitChange {
    KitChange { line: line.to_owned(), expected, counted }
}

fn walked(counts: &[(&str, &[u32])], readings: &[Reading]) -> Walked {
    let known = |said: &[u32]| match said {
        [one] => Known::Agreed(*one),
        several => Known::Disputed(several.to_vec()),
    };
    Walked {
        counts: counts.iter().map(|(line, said)| ((*line).to_owned(), known(said))).collect(),
        readings: readings.iter().map(|one| (one.meter(), Known::Agreed(one.clone()))).collect(),
    }
}

fn tank(store: &str, level: Level) -> Reading {
    Reading::Tank { store: store.to_owned(), level }
}

fn part(percent: f64) -> Level {
    Level::Part(Ratio::percent(percent))
}

fn litres(litres: f64) -> Volume {
    Volume::litres(litres)
}

fn gas(kilograms: f64) -> Reading {
    Reading::Gas { store: "gas".to_owned(), mass: Mass::kilograms(kilograms) }
}

fn engine(hours: f64) -> Reading {
    Reading::EngineHours { engine: "engine".to_owned(), hours: Time::hours(hours) }
}

#[test]
fn kit_that_is_missing_or_more() {
    let out = walked(&[("winch_handle", &[2]), ("tether", &[4]), ("sponge", &[1]), ("chart", &[1])], &[]);
    let back =
        walked(&[("winch_handle", &[1]), ("tether", &[5]), ("sponge", &[1, 0]), ("bucket", &[1])], &[]);
    let found = compare(&out, &back, &sanderling(), &Filled::default());
    assert_eq!(found.missing, [kit("winch_handle", 2, 1)]);
    assert_eq!(found.extra, [kit("tether", 4, 5)]);
    assert_eq!(found.disputed_kit, ["sponge".to_owned()].into());
    assert_eq!(found.uncounted, ["bucket".to_owned(), "chart".to_owned()].into());
}

/// Worked by hand: 150 L of diesel, a gauge that may be off by 8 %; two water tanks of 200 L.
#[test]
fn levels_gas_and_hours() {
    let out =
        walked(&[], &[tank("diesel", part(100.0)), tank("water", part(100.0)), gas(9.0), engine(800.0)]);
    let level = Level::Volume(litres(112.5));
    let back = walked(&[], &[tank("diesel", level), tank("water", part(25.0)), gas(4.0), engine(825.5)]);
    let filled = Filled {
        volumes: [("diesel".to_owned(), litres(60.0))].into(),
        masses: [("gas".to_owned(), Mass::kilograms(1.5))].into(),
        emptied: std::collections::BTreeSet::new(),
    };
    let found = compare(&out, &back, &sanderling(), &filled);
    let diesel =
        change("diesel", litres(150.0), litres(112.5), litres(60.0), litres(97.5), Some(litres(12.0)));
    let water = change("water", litres(400.0), litres(100.0), litres(0.0), litres(300.0), None);
    assert_eq!(found.tanks, [diesel, water]);
    let kilograms = Mass::kilograms;
    assert_eq!(
        found.gas,
        [change("gas", kilograms(9.0), kilograms(4.0), kilograms(1.5), kilograms(6.5), None)]
    );
    let hours = Time::hours;
    assert_eq!(found.hours, [change("engine", hours(800.0), hours(825.5), hours(0.0), hours(25.5), None)]);
    assert!(found.unread.is_empty());
}

#[test]
fn meters_that_tell_nothing() {
    let barrel = tank("barrel", part(50.0));
    let out = walked(&[], &[gas(9.0), engine(800.0), barrel.clone()]);
    let mut back = walked(&[], &[gas(9.0), barrel.clone()]);
    back.readings.insert(gas(1.0).meter(), Known::Disputed(vec![gas(1.0), gas(2.0)]));
    let found = compare(&out, &back, &sanderling(), &Filled::default());
    assert_eq!(found.unread, [engine(0.0).meter(), barrel.meter()].into());
    assert_eq!(found.disputed_meters, [Meter::Gas("gas".to_owned())].into());
    assert!(found.hours.is_empty() && found.gas.is_empty() && found.tanks.is_empty());
}

#[test]
fn nothing_changed_nothing_found() {
    let same = walked(&[("tether", &[4])], &[gas(9.0)]);
    let found = compare(&same, &same, &sanderling(), &Filled::default());
    let gas = change("gas", Mass::kilograms(9.0), Mass::kilograms(9.0), Mass::ZERO, Mass::ZERO, None);
    assert_eq!(found, Differences { gas: vec![gas], ..Differences::default() });
}

/// A charter with a walk each, told from the records.
fn story() -> (Log, Vec<EventId>) {
    let mut log = Log::new();
    let read = |walk, reading| What::Read { walk, reading };
    let harm = |item: &str| What::Damaged {
        item: item.to_owned(),
        words: "Bent.".to_owned(),
        photos: vec![],
        estimate: None,
    };
    let fill = |litres: f64| What::Filled {
        store: "diesel".to_owned(),
        amount: Amount::Volume(Volume::litres(litres)),
        cost: None,
    };
    let day = 1440;
    let known = log.say(0, defect("rail", Severity::Cosmetic));
    let told = [
        (1, plan()),
        (2, What::Readied),
        (3, fill(30.0)),
        (4, count(Walk::Readying, "tether", 4)),
        (5, count(Walk::Readying, "winch_handle", 2)),
        (6, count(Walk::CheckOut, "winch_handle", 1)),
        (7, read(Walk::CheckOut, engine(800.0))),
        (8, read(Walk::CheckOut, tank("diesel", part(100.0)))),
        (9, What::CheckedOut),
        (3 * day, fill(40.0)),
        (7 * day, read(Walk::HandBack, engine(3.0))),
        (7 * day + 1, read(Walk::HandBack, tank("diesel", part(80.0)))),
        (7 * day + 2, count(Walk::HandBack, "tether", 3)),
        (7 * day + 3, count(Walk::HandBack, "winch_handle", 1)),
    ];
    for (minutes, what) in told {
        log.say(minutes, what);
    }
    let engine = "engine".to_owned();
    log.say(4 * day, What::MeterReplaced { engine, old: Some(Time::hours(820.0)), new: Time::ZERO });
    let harms = [log.say(7 * day + 4, harm("rail")), log.say(7 * day + 5, harm("lifebuoy"))];
    log.say(7 * day + 6, What::HandedBack);
    log.say(8 * day, fill(30.0));
    (log, vec![known, harms[0], harms[1]])
}

fn found(standing: &Standing) -> Differences {
    differences(standing, &charter(), &sanderling()).unwrap()
}

#[test]
fn of_a_charter_from_the_records() {
    let (log, events) = story();
    let found = found(&log.standing());
    assert_eq!(found.missing, [kit("tether", 4, 3)], "the crew's own count of winch handles stands");
    // 20 h to the change of the meter and 3 h after it.
    assert_eq!(found.hours[0].used, Time::hours(23.0));
    assert_eq!(found.tanks[0].filled, litres(40.0), "what was filled before and after is not theirs");
    assert_eq!(found.tanks[0].used, litres(70.0));
    let harms: Vec<_> = found.damage.iter().map(|one| (one.event, one.known_before.clone())).collect();
    assert_eq!(harms, [(events[1], [events[0]].into()), (events[2], [].into())]);
    assert_eq!(differences(&log.standing(), &records::CharterId::new("c9"), &sanderling()), None);
}

#[test]
fn a_disagreement_in_the_records_is_one_here() {
    let (mut log, _) = story();
    log.hand(crew("link"), "phone").say(7 * 1440 + 20, count(Walk::HandBack, "tether", 4));
    let found = found(&log.standing());
    assert_eq!(found.missing, []);
    assert_eq!(found.disputed_kit, ["tether".to_owned()].into());
    let standing = log.hand(account("jo"), "dock-1").standing();
    let back = Walked::of(&standing.charters[&charter()], Walk::HandBack);
    assert_eq!(back.counts["tether"], Known::Disputed(vec![3, 4]));
}
