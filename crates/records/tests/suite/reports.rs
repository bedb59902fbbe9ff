//! The owner's costs by month, and the fault finder's counts.

use quantity::{Money, Time};
use records::{
    Amount, BoatId, CharterId, Defect, EventId, Held, Moment, Month, Pieces, Priced, Severity, What, costs,
    exposure, failures,
};

use crate::aid::{DAY, Log, MINUTE, at, defect, plan, whimbrel};

fn money(text: &str) -> Money {
    text.parse().unwrap()
}

fn upkeep(cost: &str) -> What {
    What::UpkeepDone {
        line: "oil".to_owned(),
        hours: None,
        parts: vec![],
        took: None,
        work: None,
        cost: Some(money(cost)),
    }
}

/// Worked by hand. The base's clocks are four hours behind UTC.
#[test]
fn costs_by_boat_and_month() {
    let mut log = Log::of_boat();
    log.say(0, upkeep("210.50 USD"));
    // 1 July 2026, 02:00 UTC, is still June there; 05:00 UTC is July.
    let july = 24 * DAY / MINUTE + 16 * 60;
    log.say(july + 120, upkeep("99.99 USD"));
    log.say(july + 300, upkeep("40.00 EUR"));
    log.say(july + 301, upkeep("0.01 USD"));
    let found = log.say(july + 302, defect("pump", Severity::Hinders));
    let pieces = Pieces { part: "Impeller".to_owned(), count: 1, held: Held::Ashore };
    log.say(july + 303, What::PartUsed { defect: found, pieces, cost: Some(money("68.00 USD")) });
    let mended =
        What::Mended { defect: found, words: String::new(), took: None, cost: Some(money("60.00 USD")) };
    log.say(july + 304, mended);
    log.say(july + 305, What::Mended { defect: found, words: String::new(), took: None, cost: None });
    let amount = Amount::Volume(quantity::Volume::litres(80.0));
    log.say(july + 306, What::Filled { store: "diesel".to_owned(), amount, cost: Some(money("116.72 USD")) });
    let costs = costs(&log.standing(), Time::hours(-4.0));
    let month = |month| (whimbrel(), Month { year: 2026, month });
    assert_eq!(costs.len(), 2);
    let june = &costs[&month(6)];
    assert_eq!(june.upkeep.of("USD"), Some(money("310.49 USD")));
    assert_eq!((june.mending.iter().count(), june.unpriced), (0, 0));
    let july = &costs[&month(7)];
    assert_eq!(july.upkeep.iter().collect::<Vec<_>>(), [money("40.00 EUR"), money("0.01 USD")]);
    assert_eq!(july.mending.of("USD"), Some(money("128.00 USD")));
    assert_eq!(july.filling.of("USD"), Some(money("116.72 USD")));
    assert_eq!(july.unpriced, 1);
    assert!(!july.upkeep.too_much());
}

/// Worked by hand.
#[test]
fn work_parts_and_the_rest_are_told_apart() {
    let mut log = Log::of_boat();
    let pieces = Pieces { part: "Impeller".to_owned(), count: 1, held: Held::Ashore };
    let priced = |cost: &str| Priced { pieces: pieces.clone(), cost: Some(money(cost)) };
    let done = |parts: Vec<Priced>, work: Option<&str>, cost: Option<&str>| What::UpkeepDone {
        line: "oil".to_owned(),
        hours: None,
        parts,
        took: None,
        work: work.map(money),
        cost: cost.map(money),
    };
    log.say(0, done(vec![priced("68.00 USD"), priced("5.00 EUR")], Some("90.00 USD"), None));
    log.say(1, done(vec![], None, Some("210.50 USD")));
    let amount = Amount::Volume(quantity::Volume::litres(80.0));
    log.say(2, What::Filled { store: "diesel".to_owned(), amount, cost: Some(money("1.50 USD")) });
    let of = |log: &Log| costs(&log.standing(), Time::ZERO).into_values().next().unwrap();
    let all = of(&log);
    let sums = |sums: &records::Sums| sums.iter().map(|sum| sum.to_string()).collect::<Vec<_>>().join(" ");
    assert_eq!(sums(&all.work), "90.00 USD");
    assert_eq!(sums(&all.parts), "5.00 EUR 68.00 USD");
    assert_eq!(sums(&all.other), "212.00 USD");
    assert_eq!(sums(&all.upkeep), "5.00 EUR 368.50 USD");
    assert_eq!(all.unpriced, 0);
    // A part of which nobody said what it cost, unless one sum is said for everything.
    log.say(3, done(vec![pieces.clone().into()], Some("90.00 USD"), None));
    log.say(4, done(vec![pieces.clone().into()], None, Some("90.00 USD")));
    log.say(5, done(vec![], None, None));
    assert_eq!(of(&log).unpriced, 2);
    let mut both = all.work.clone();
    both.join(&all.parts);
    assert_eq!(sums(&both), "5.00 EUR 158.00 USD");
}

#[test]
fn a_sum_that_does_not_fit_says_so() {
    let mut log = Log::of_boat();
    let most = Money::from_minor(i64::MAX, "USD");
    for _ in 0..2 {
        log.say(
            0,
            What::UpkeepDone {
                line: "oil".to_owned(),
                hours: None,
                parts: vec![],
                took: None,
                work: None,
                cost: most,
            },
        );
    }
    let costs = costs(&log.standing(), Time::ZERO);
    let of = costs.values().next().unwrap();
    assert!(of.upkeep.too_much());
    assert_eq!(of.upkeep.of("USD"), most);
}

fn fault(name: &str) -> What {
    What::Found(Defect {
        item: "pump".to_owned(),
        words: "No water at the exhaust.".to_owned(),
        severity: Severity::Hinders,
        photos: vec![],
        fault: Some(name.to_owned()),
    })
}

fn seen(defect: EventId) -> What {
    What::SeenAgain { defect, words: String::new(), severity: None, photos: vec![] }
}

/// A charter from day to day.
fn sail(log: &mut Log, name: &str, from: i64, until: Option<i64>) {
    let day = DAY / MINUTE;
    let mut story = vec![(0, plan()), (1, What::Readied), (from * day, What::CheckedOut)];
    story.extend(until.map(|until| (until * day, What::HandedBack)));
    for (minutes, what) in story {
        let event = log.make(minutes, what).on(CharterId::new(name));
        log.put(event);
    }
}

#[test]
fn counts_and_exposure() {
    let mut log = Log::of_boat();
    sail(&mut log, "c1", 0, Some(7));
    sail(&mut log, "c2", 7, Some(10));
    let day = DAY / MINUTE;
    let one = log.say(day, fault("impeller_worn"));
    log.say(2 * day, seen(one));
    log.say(3 * day, What::Closed { defect: one, words: String::new() });
    log.say(8 * day, seen(one));
    log.say(9 * day, fault("impeller_worn"));
    let named_later = log.say(9 * day, defect("pump", Severity::Hinders));
    log.say(9 * day + 1, What::Diagnosed { defect: named_later, fault: "belt_slack".to_owned() });
    let wrong = log.say(9 * day, fault("belt_slack"));
    log.answer(9 * day + 2, wrong, crate::aid::withdrawn());
    log.say(9 * day, defect("rail", Severity::Cosmetic));
    log.boat = BoatId::new("dunlin");
    sail(&mut log, "c3", 2, None);
    let rows: Vec<(String, String, u32, f64)> = failures(&log.standing(), at(20 * day))
        .into_iter()
        .map(|row| (row.boat.to_string(), row.fault, row.count, row.exposure.as_days()))
        .collect();
    let wanted = [("belt_slack", 1), ("impeller_worn", 3)];
    let wanted = wanted.map(|(fault, count)| ("whimbrel".to_owned(), fault.to_owned(), count, 10.0));
    assert_eq!(rows, wanted, "twice by one defect that came back, once by another");
    // Dunlin never failed, and was out from Monday, 08:00 UTC, to the planned end on Saturday, 13:00 UTC.
    let exposure = exposure(&log.standing(), at(20 * day));
    assert_eq!(exposure[&BoatId::new("dunlin")], Time::days(5.0) + Time::hours(5.0));
    assert_eq!(exposure[&whimbrel()], Time::days(10.0));
    let early = records::exposure(&log.standing(), at(3 * day));
    assert_eq!(early[&BoatId::new("dunlin")], Time::days(1.0));
    assert_eq!(early[&whimbrel()], Time::days(3.0));
    assert_eq!(failures(&log.standing(), Moment::from_milliseconds(0)), []);
}
