//! What must hold of every check.

use boat::model::Boat;
use endure::luck::Luck;
use endure::meter::{Checked, Fit, check};
use endure::voyage::Voyage;
use endure::{Forecast, reckon};

use super::{compiled, read, sandpiper, shown, to_read, voyage};

const PLAN: &str = "trip = 1\n[plan]\ncrew = 3\nstarts = \"2027-07-10\"\nfrom = \"15:00\"\nuntil = \"10:00\"\n\
    [[days]]\n[[days]]\nlegs = [{ by = \"motor\", from = \"11:00\", for = \"40 min\" }]\n[[days]]\nnight = \"alongside\"\n";

fn with(boat: &Boat, readings: &[(u32, &str, &str, &str)], off: &[f64]) -> Voyage {
    let mut voyage = voyage(boat, &format!("{PLAN}{}", to_read(readings)), 10.0);
    let mut seen = shown(&voyage, &Luck::middle(&voyage));
    for (seen, (.., sort)) in seen.iter_mut().zip(readings) {
        if *sort == "engine" {
            *seen = 40.0 / 60.0;
        }
    }
    let seen: Vec<f64> = seen.iter().zip(off).map(|(seen, off)| seen + off).collect();
    read(&mut voyage, &seen);
    voyage
}

fn one(readings: &[(u32, &str, &str, &str)], off: &[f64]) -> Checked {
    let boat = sandpiper();
    check(&boat, &with(&boat, readings, off), 5, 200)
}

fn digits(forecast: &Forecast) -> String {
    format!("{forecast:?}")
}

#[test]
fn without_readings_the_forecast_stays_bit_for_bit() {
    let boat = sandpiper();
    let voyage = voyage(&boat, PLAN, 10.0);
    let checked = check(&boat, &voyage, 5, 100);
    let plain = Forecast::of(&boat, &voyage, &reckon(&voyage, 5, 0..100));
    assert_eq!(digits(&checked.forecast), digits(&plain));
    assert_eq!(digits(&checked.before), digits(&plain));
    assert!(checked.readings.is_empty() && checked.learned.is_empty());
    assert_eq!(checked.fit, Fit::Well);
}

#[test]
fn a_reading_as_expected_narrows_the_bands_and_is_never_flagged() {
    for (store, sort, place) in
        [("house", "voltage", 0), ("house", "level", 0), ("water", "level", 1), ("holding", "level", 2)]
    {
        for (day, at) in [(1, "21:00"), (2, "07:00"), (2, "21:00"), (3, "07:00")] {
            let checked = one(&[(day, at, store, sort)], &[0.0]);
            assert_eq!(checked.readings[0].fit, Fit::Well, "{store} {day} {at}: {:?}", checked.readings[0]);
            assert_eq!(checked.fit, Fit::Well, "{store} {day} {at}: {:?}", checked.stores);
            let hour = ((day - 1) * 24 + at[..2].parse::<u32>().unwrap() - 15 - 1) as usize;
            let wide = |forecast: &Forecast| {
                let band = forecast.stores[place].hours[hour];
                band.high - band.low
            };
            let (now, before) = (wide(&checked.forecast), wide(&checked.before));
            assert!(now <= before * 1.02, "{store} {sort} {day} {at}: {now} for {before}");
        }
    }
    // Where the plan leaves much open, much is won.
    let checked = one(&[(3, "07:00", "holding", "level")], &[0.0]);
    let wide = |forecast: &Forecast| forecast.stores[2].hours[39].high - forecast.stores[2].hours[39].low;
    assert!(wide(&checked.forecast) < 0.75 * wide(&checked.before));
}

#[test]
fn engine_hours_as_planned_fit_and_others_do_not() {
    assert_eq!(one(&[(2, "20:00", "", "engine")], &[0.0]).fit, Fit::Well);
    let checked = one(&[(2, "20:00", "", "engine")], &[1.0]);
    assert_eq!(checked.fit, Fit::NotAtAll);
    assert!(!checked.stores[0].low && checked.stores[0].crew.contains("more time"));
}

#[test]
fn the_order_of_readings_of_one_time_does_not_matter() {
    let these =
        [(2, "07:00", "house", "voltage"), (2, "07:00", "water", "level"), (2, "07:00", "water", "level")];
    let turned = [these[2], these[0], these[1]];
    let one_way = one(&these, &[-0.1, 0.02, -0.03]);
    let other = one(&turned, &[-0.03, -0.1, 0.02]);
    assert_eq!(digits(&one_way.forecast), digits(&other.forecast));
    assert_eq!(one_way.learned, other.learned);
    for (at, to) in [(0, 1), (1, 2), (2, 0)] {
        assert_eq!(one_way.readings[at].words, other.readings[to].words);
        assert!((one_way.readings[at].tail - other.readings[to].tail).abs() < 1e-12);
    }
}

#[test]
fn readings_that_contradict_each_other_are_flagged() {
    let checked = one(&[(2, "07:00", "water", "level"), (2, "07:10", "water", "level")], &[0.0, -0.4]);
    assert_eq!(checked.readings[0].fit, Fit::Well);
    assert_eq!(checked.readings[1].fit, Fit::NotAtAll);
    assert_eq!(checked.fit, Fit::NotAtAll);
    // One slip does not overturn what the other says.
    let band = checked.forecast.stores[1].hours[16];
    let planned = checked.before.stores[1].hours[16].middle;
    assert!((band.middle - planned).abs() < 0.05, "{band:?} for {planned}");
}

#[test]
fn what_is_off_is_told_with_what_to_do() {
    let readings = |store: &'static str| [(2, "07:00", store, "level"), (2, "21:00", store, "level")];
    let low = one(&readings("water"), &[-0.2, -0.3]);
    assert_eq!(low.fit, Fit::NotAtAll);
    assert!(low.stores[0].low && low.stores[0].crew.contains("leak") && low.stores[0].crew.contains("tap"));
    assert!(!low.stores[0].suspects.is_empty());
    let full = one(&readings("holding"), &[0.3, 0.4]);
    assert!(!full.stores[0].low && full.stores[0].next[0].contains("Do not flush past full"));
    assert!(full.stores[0].suspects[0].words.contains("running in"));
    let habits = one(&readings("holding"), &[0.06, 0.1]);
    assert!(
        habits.learned.iter().any(|one| one.contains("L a day to the holding tank, not 10")),
        "{:?}",
        habits.learned
    );
}

#[test]
fn the_same_seed_gives_the_same_check() {
    let readings = [(2, "07:00", "house", "level"), (2, "21:00", "house", "voltage")];
    let twice = [0, 1].map(|_| format!("{:?}", one(&readings, &[-0.2, -0.4])));
    assert_eq!(twice[0], twice[1]);
}

/// Whimbrel's tanks are used forward first: with 60 % of both left, the forward one is nearly used up and the other
/// full. A gauge shows one tank, not both.
#[test]
fn the_gauge_of_one_tank_of_two_is_read_as_such() {
    let boat = compiled("whimbrel.toml", include_str!("../../../../../demo/whimbrel.toml"));
    let readings = [(3, "07:00", "water_tank_forward", "level"), (3, "07:00", "water_tank_port", "level")];
    let mut voyage = voyage(&boat, &format!("{PLAN}{}", to_read(&readings)), 10.0);
    // Nothing left to chance: what is expected is then what is planned.
    voyage.lines.iter_mut().for_each(|line| line.spread = 0.0);
    voyage.ledgers.iter_mut().for_each(|ledger| ledger.gauge_error = 0.0);
    let both = shown(&voyage, &Luck::middle(&voyage))[0];
    let ledger = voyage.ledgers.iter().find(|one| one.stores.len() == 2 && !one.fills()).unwrap();
    let (forward, all, usable) = (ledger.parts[0].1, ledger.capacity, ledger.usable / ledger.capacity);
    let gone = (1.0 - both) * all;
    assert!(gone < usable * forward, "the first tank is not yet used up");
    read(&mut voyage, &[1.0 - gone / forward, 1.0]);
    let checked = check(&boat, &voyage, 5, 100);
    for (reading, expected) in checked.readings.iter().zip([1.0 - gone / forward, 1.0]) {
        assert_eq!(reading.fit, Fit::Well);
        assert!((f64::from(reading.expected.middle) - expected).abs() < 0.005, "{reading:?} for {expected}");
    }
}
