//! What is told of a boat: meters, new meters, kit, parts, and what hands disagree on.

use quantity::{Ratio, Time};
use records::{About, BoatId, Held, Level, Look, Meter, Pieces, Priced, Reading, Walk, What, Why, ashore};

use crate::aid::{Log, account, at, charter, count, crew, odd, plan, whimbrel, withdrawn};

fn hours(walk: Walk, hours: f64) -> What {
    What::Read {
        walk,
        reading: Reading::EngineHours { engine: "engine".to_owned(), hours: Time::hours(hours) },
    }
}

fn pieces(count: u32, held: Held) -> Pieces {
    Pieces { part: "Impeller".to_owned(), count, held }
}

#[test]
fn the_last_reading_of_each_meter() {
    let mut log = Log::of_boat();
    let store = || "diesel".to_owned();
    let level = |part| Reading::Tank { store: store(), level: Level::Part(Ratio::percent(part)) };
    log.say(30, What::Read { walk: Walk::Between, reading: level(40.0) });
    log.say(10, What::Read { walk: Walk::Between, reading: level(90.0) });
    log.say(20, hours(Walk::Between, 812.3));
    let standing = log.standing();
    let boat = &standing.boats[&whimbrel()];
    let last = boat.last(&Meter::Tank(store())).unwrap();
    assert_eq!(
        (last.reading.clone(), last.mark.when),
        (level(40.0), crate::aid::at(30)),
        "the later, though told first"
    );
    assert_eq!(boat.last(&Meter::EngineHours("engine".to_owned())).unwrap().total, Some(Time::hours(812.3)));
    assert_eq!(boat.last(&Meter::Gas(store())), None);
}

/// Hours in all after each reading, worked by hand.
#[test]
fn a_new_meter_goes_on_where_the_old_one_stopped() {
    let replaced = |old: Option<f64>, new| What::MeterReplaced {
        engine: "engine".to_owned(),
        old: old.map(Time::hours),
        new: Time::hours(new),
    };
    let read = |at| hours(Walk::Between, at);
    let rows: [(Vec<What>, Vec<f64>); 5] = [
        (vec![read(100.0), read(120.0)], vec![100.0, 120.0]),
        // The old one went on to 125 h, the new one began at nothing.
        (vec![read(120.0), replaced(Some(125.0), 0.0), read(7.0)], vec![120.0, 132.0]),
        // Nobody could read the old one any more: its last reading counts.
        (vec![read(120.0), replaced(None, 2.0), read(7.0)], vec![120.0, 125.0]),
        // Twice.
        (
            vec![read(50.0), replaced(Some(60.0), 0.0), read(5.0), replaced(Some(10.0), 30.0), read(31.0)],
            vec![50.0, 65.0, 71.0],
        ),
        // Never read before.
        (vec![replaced(None, 3.0), read(4.0)], vec![4.0]),
    ];
    for (story, wanted) in rows {
        let mut log = Log::of_boat();
        for (minutes, what) in (0..).zip(story) {
            log.say(minutes, what);
        }
        let standing = log.standing();
        let sights = &standing.boats[&whimbrel()].meters[&Meter::EngineHours("engine".to_owned())];
        let totals: Vec<Time> = sights.iter().filter_map(|sight| sight.total).collect();
        assert_eq!(totals, wanted.into_iter().map(Time::hours).collect::<Vec<_>>());
    }
}

#[test]
fn the_last_count_and_look() {
    let mut log = Log::of_boat();
    log.say(0, count(Walk::Between, "tether", 4));
    log.say(1, count(Walk::Between, "tether", 3));
    let look = |look| What::Checked { walk: Walk::Between, item: "lifebuoy".to_owned(), look, note: None };
    log.say(2, look(Look::NotOk));
    let wrong = log.say(3, look(Look::Ok));
    log.answer(4, wrong, withdrawn());
    let standing = log.standing();
    let boat = &standing.boats[&whimbrel()];
    assert_eq!(boat.counted["tether"].count, 3);
    assert_eq!(boat.looked["lifebuoy"].look, Look::NotOk);
}

#[test]
fn parts_in_stock() {
    let mut log = Log::of_boat();
    log.say(0, What::StockUsed(pieces(1, Held::Ashore)));
    assert_eq!(log.standing().ashore["Impeller"].count, -1, "never counted: it may well have been there");
    assert!(log.standing().flags.is_empty());
    log.say(1, What::StockCounted(pieces(3, Held::Ashore)));
    log.say(2, What::StockReceived(pieces(5, Held::Ashore).into()));
    let line = "impeller_yearly".to_owned();
    let parts = vec![pieces(1, Held::Ashore).into()];
    log.say(3, What::UpkeepDone { line, hours: None, parts, took: None, work: None, cost: None });
    let found = log.say(4, crate::aid::defect("pump", records::Severity::Hinders));
    log.say(5, What::PartUsed { defect: found, pieces: pieces(2, Held::Ashore), cost: None });
    log.say(6, What::StockCounted(pieces(1, Held::Aboard)));
    let standing = log.standing();
    assert_eq!(standing.ashore["Impeller"].count, 3 + 5 - 1 - 2);
    assert_eq!(
        standing.boats[&whimbrel()].stock["Impeller"].count,
        1,
        "what is aboard is counted for itself"
    );
    let too_many = log.say(7, What::StockUsed(pieces(2, Held::Aboard)));
    let standing = log.standing();
    assert_eq!(odd(&standing, too_many), [Why::StockBelowNothing]);
    assert_eq!(standing.boats[&whimbrel()].stock["Impeller"].count, -1);
}

/// By hand: 10.00 for 3 is 3.333 each, 6.667 for two; 0.05 for 2 is 2.5 cents each, and halves go up.
#[test]
fn what_parts_cost_by_the_last_price() {
    let came = |count, cost: Option<&str>| {
        let cost = cost.map(|cost| cost.parse().unwrap());
        What::StockReceived(Priced { pieces: pieces(count, Held::Ashore), cost })
    };
    let cases: [(u32, &str, u32, &str); 7] = [
        (3, "10.00 USD", 1, "3.33 USD"),
        (3, "10.00 USD", 2, "6.67 USD"),
        (3, "10.00 USD", 6, "20.00 USD"),
        (2, "0.05 USD", 1, "0.03 USD"),
        (2, "0.05 USD", 0, "0.00 USD"),
        (7, "1000 JPY", 2, "286 JPY"),
        (1, "0.00 EUR", 9, "0.00 EUR"),
    ];
    for (bought, cost, count, wanted) in cases {
        let mut log = Log::of_boat();
        log.say(0, came(1, Some("99.00 USD")));
        log.say(1, came(bought, Some(cost)));
        log.say(2, came(4, None));
        let standing = log.standing();
        let price = standing.ashore["Impeller"].price_of(count);
        assert_eq!(price.map(|price| price.to_string()).as_deref(), Some(wanted));
    }
    let mut log = Log::of_boat();
    log.say(0, came(4, None));
    assert_eq!(log.standing().ashore["Impeller"].price_of(1), None, "nobody said");
    log.say(1, came(1, Some("90000000000000000.00 USD")));
    assert_eq!(log.standing().ashore["Impeller"].price_of(4_000_000), None, "more than can be written");
}

/// Counted on Whimbrel's page, taken for Dunlin, received again on Whimbrel's: each boat's events by themselves.
#[test]
fn parts_ashore_are_counted_up_over_all_boats_in_the_order_of_time() {
    let mut whimbrel = Log::of_boat();
    let mut dunlin = Log::of_boat();
    dunlin.boat = BoatId::new("dunlin");
    dunlin.say(1, What::StockUsed(pieces(2, Held::Ashore)));
    whimbrel.say(10, What::StockCounted(pieces(3, Held::Ashore)));
    dunlin.say(20, What::StockUsed(pieces(2, Held::Ashore)));
    let price = Some("30.00 USD".parse().unwrap());
    let priced = Priced { pieces: pieces(4, Held::Ashore), cost: price };
    whimbrel.say(30, What::StockReceived(priced));
    let used = dunlin.say(40, What::StockUsed(pieces(1, Held::Ashore)));
    dunlin.answer(41, used, withdrawn());
    dunlin.say(50, What::StockUsed(pieces(9, Held::Aboard)));
    let standings = [dunlin.standing(), whimbrel.standing()];
    let stock = &ashore(&standings)["Impeller"];
    assert_eq!(stock.count, 3 - 2 + 4, "what was used before the count is in the count");
    assert_eq!(stock.counted.as_ref().unwrap().when, at(10));
    assert_eq!(stock.since_counted(), (4, 2));
    assert_eq!(stock.last_price(), price.map(|price| (4, price)));
    let mut again = standings;
    again.reverse();
    assert_eq!(ashore(&again)["Impeller"], *stock);
    assert!(again.iter().all(|standing| standing.flags.is_empty()), "what is used ashore may be another's");
}

/// Who counts, on what, and how many.
type Voice = (bool, &'static str, u32);

#[test]
fn two_hands_who_disagree_are_both_kept_and_shown() {
    let rows: &[(Walk, &[Voice], &[u32], bool)] = &[
        (Walk::CheckOut, &[(false, "dock-1", 4)], &[4], false),
        (Walk::CheckOut, &[(false, "dock-1", 4), (true, "phone", 4)], &[4, 4], false),
        (Walk::CheckOut, &[(false, "dock-1", 4), (true, "phone", 3)], &[4, 3], true),
        (Walk::HandBack, &[(false, "dock-1", 4), (true, "phone", 3)], &[4, 3], true),
        // Who counts again on the same device corrects themselves.
        (Walk::CheckOut, &[(false, "dock-1", 4), (false, "dock-1", 3)], &[3], false),
        (Walk::CheckOut, &[(false, "dock-1", 4), (true, "phone", 3), (true, "phone", 4)], &[4, 4], false),
        // Two hands on one device.
        (Walk::CheckOut, &[(false, "dock-1", 4), (true, "dock-1", 3)], &[4, 3], true),
        // One hand on two devices.
        (Walk::CheckOut, &[(false, "dock-1", 4), (false, "dock-2", 3)], &[4, 3], true),
        // Under way things get lost from hour to hour.
        (Walk::UnderWay, &[(false, "dock-1", 4), (true, "phone", 3)], &[4, 3], false),
    ];
    for (walk, voices, kept, disagree) in rows {
        let mut log = Log::new();
        for (minutes, (by_crew, device, number)) in (0..).zip(*voices) {
            let who = if *by_crew { crew("link") } else { account("jo") };
            log.hand(who, device).say(minutes, count(*walk, "tether", *number));
        }
        let standing = log.standing();
        let counts = &standing.charters[&charter()].counts[&(*walk, "tether".to_owned())];
        assert_eq!(counts.iter().map(|one| one.count).collect::<Vec<_>>(), *kept, "{walk:?} {voices:?}");
        let about = About::Kit("tether".to_owned());
        assert_eq!(standing.disputed(&charter(), *walk, &about), *disagree, "{walk:?} {voices:?}");
    }
}

#[test]
fn two_walks_are_not_one() {
    let mut log = Log::new();
    log.say(0, count(Walk::CheckOut, "tether", 4));
    log.hand(crew("link"), "phone").say(1, count(Walk::HandBack, "tether", 3));
    assert_eq!(log.standing().disagreements, []);
}

#[test]
fn readings_and_looks_can_be_disputed_too() {
    let mut log = Log::new();
    log.say(0, plan());
    let look = |look| What::Checked { walk: Walk::HandBack, item: "lifebuoy".to_owned(), look, note: None };
    let one = [log.say(1, hours(Walk::HandBack, 800.0)), log.say(2, look(Look::Ok))];
    log.hand(crew("link"), "phone");
    let other = [log.say(3, hours(Walk::HandBack, 801.0)), log.say(4, look(Look::NotOk))];
    log.hand(account("mo"), "dock-2").say(5, look(Look::NotLookedAt));
    let standing = log.standing();
    let found: Vec<_> =
        standing.disagreements.iter().map(|one| (one.about.clone(), one.events.clone())).collect();
    let engine = About::Meter(Meter::EngineHours("engine".to_owned()));
    let item = About::Item("lifebuoy".to_owned());
    assert_eq!(found, [(engine, [one[0], other[0]].into()), (item, [one[1], other[1]].into())]);
}
