//! What is due: by engine hours, days, charters, date.

use jiff::civil::Date;
use quantity::Time;
use records::{Bound, CharterId, Due, Reading, State, Walk, What, Window, due};

use crate::aid::{DAY, Log, MINUTE, plan, sanderling, whimbrel};

fn hours(hours: f64) -> What {
    let reading = Reading::EngineHours { engine: "engine".to_owned(), hours: Time::hours(hours) };
    What::Read { walk: Walk::Between, reading }
}

fn done(line: &str, hours: Option<f64>) -> What {
    What::UpkeepDone {
        line: line.to_owned(),
        hours: hours.map(Time::hours),
        parts: vec![],
        took: None,
        work: None,
        cost: None,
    }
}

/// How the lines stand on a day.
fn on(log: &Log, today: &str) -> Vec<(String, Due)> {
    let boat = sanderling();
    let today: Date = today.parse().unwrap();
    let standing = log.standing().boats.get(&whimbrel()).cloned().unwrap_or_default();
    let due = due(&boat, &standing, today, &Window::USUAL);
    due.into_iter().map(|due| (boat.upkeep[due.line].id.clone(), due)).collect()
}

fn line(log: &Log, today: &str, line: &str) -> Option<Due> {
    on(log, today).into_iter().find(|(id, _)| id == line).map(|(_, due)| due)
}

const fn days(days: i64) -> i64 {
    days * DAY / MINUTE
}

#[test]
fn never_told_is_not_known() {
    let log = Log::of_boat();
    for name in ["oil", "impeller_yearly", "breaker_test"] {
        let due = line(&log, "2026-06-06", name).unwrap();
        assert_eq!((due.bounds, due.state), (vec![Bound::NeverDone], State::Unknown), "{name}");
    }
    assert_eq!(line(&log, "2026-06-06", "flares").unwrap().state, State::Later);
}

/// Oil every 200 h or 365 days; done on 6 June 2026 at 800.0 h.
#[test]
fn by_hours_and_days() {
    let rows = [
        ("2026-06-06", 800.0, 200.0, 365, State::Later),
        ("2026-06-20", 979.9, 20.1, 351, State::Later),
        ("2026-06-20", 980.0, 20.0, 351, State::Soon),
        ("2026-06-20", 1000.0, 0.0, 351, State::Now),
        ("2026-06-20", 1000.5, -0.5, 351, State::Overdue),
        ("2027-05-22", 810.0, 190.0, 15, State::Later),
        ("2027-05-23", 810.0, 190.0, 14, State::Soon),
        ("2027-06-06", 810.0, 190.0, 0, State::Now),
        ("2027-06-07", 810.0, 190.0, -1, State::Overdue),
    ];
    for (today, now, left, days_left, state) in rows {
        let mut log = Log::of_boat();
        log.say(0, done("oil", Some(800.0)));
        log.say(days(10), hours(now));
        let due = line(&log, today, "oil").unwrap();
        let Bound::Hours { engine, left: hours_left } = &due.bounds[0] else {
            unreachable!("hours come first")
        };
        assert!((hours_left.as_hours() - left).abs() < 1e-9 && engine == "engine", "{due:?}");
        let on: Date = "2027-06-06".parse().unwrap();
        assert_eq!(due.bounds[1], Bound::Days { on, left: days_left });
        assert_eq!(due.state, state, "{today} at {now} h");
    }
}

/// The day on which it was done is a day at the base: 02:00 UTC on the 7th is still the 6th there.
#[test]
fn days_are_days_at_the_base() {
    let mut log = Log::of_boat();
    log.say(18 * 60, done("oil", Some(800.0)));
    let due = line(&log, "2026-06-06", "oil").unwrap();
    assert!(due.bounds.contains(&Bound::Days { on: "2027-06-06".parse().unwrap(), left: 365 }));
}

#[test]
fn without_hours_the_reading_before_counts() {
    let mut log = Log::of_boat();
    log.say(0, hours(790.0));
    log.say(10, done("oil", None));
    log.say(days(3), hours(800.0));
    let due = line(&log, "2026-06-06", "oil").unwrap();
    assert!(due.bounds.contains(&Bound::Hours { engine: "engine".to_owned(), left: Time::hours(190.0) }));
    // The impeller is not the engine, but the boat has only one.
    log.say(days(3), done("impeller_yearly", Some(800.0)));
    let due = line(&log, "2026-06-06", "impeller_yearly").unwrap();
    assert_eq!(due.bounds, [Bound::Hours { engine: "engine".to_owned(), left: Time::hours(300.0) }]);
}

#[test]
fn without_any_reading_nobody_can_say() {
    let mut log = Log::of_boat();
    log.say(0, done("impeller_yearly", None));
    assert_eq!(line(&log, "2026-06-06", "impeller_yearly").unwrap().state, State::Unknown);
    log.say(10, hours(800.0));
    let due = line(&log, "2026-06-06", "impeller_yearly").unwrap();
    assert_eq!(due.bounds, [Bound::NoHours], "it was not read before the doing");
}

/// Done at 790 h; 10 h later a new meter begins at nothing, and shows 7 h now: 17 h since.
#[test]
fn over_a_new_meter() {
    let mut log = Log::of_boat();
    log.say(0, hours(790.0));
    log.say(1, done("oil", Some(790.0)));
    let engine = "engine".to_owned();
    log.say(days(2), What::MeterReplaced { engine, old: Some(Time::hours(800.0)), new: Time::ZERO });
    log.say(days(3), hours(7.0));
    let due = line(&log, "2026-06-06", "oil").unwrap();
    assert!(
        due.bounds.contains(&Bound::Hours { engine: "engine".to_owned(), left: Time::hours(183.0) }),
        "{due:?}"
    );
}

/// Read at 3 h of the new meter, done at its 5 h, shows 7 h now. It is not known which meter showed 5 h, so the reading
/// counts: 4 h since.
#[test]
fn done_under_a_new_meter() {
    let mut log = Log::of_boat();
    log.say(0, hours(790.0));
    let engine = "engine".to_owned();
    log.say(days(2), What::MeterReplaced { engine, old: Some(Time::hours(800.0)), new: Time::ZERO });
    log.say(days(3), hours(3.0));
    log.say(days(4), done("oil", Some(5.0)));
    log.say(days(5), hours(7.0));
    let due = line(&log, "2026-06-06", "oil").unwrap();
    assert!(
        due.bounds.contains(&Bound::Hours { engine: "engine".to_owned(), left: Time::hours(196.0) }),
        "{due:?}"
    );
}

#[test]
fn by_charters() {
    let mut log = Log::new();
    let states = [State::Later, State::Soon, State::Now, State::Overdue];
    log.on_charter = false;
    log.say(0, done("breaker_test", None));
    for (charters, wanted) in (0_i64..).zip(states) {
        let due = line(&log, "2026-06-06", "breaker_test").unwrap();
        assert_eq!(due.bounds, [Bound::Charters { left: 2 - charters }]);
        assert_eq!(due.state, wanted, "after {charters}");
        let id = CharterId::new(format!("c{charters}"));
        for (hour, what) in (1..).zip([plan(), What::Readied, What::CheckedOut]) {
            let event = log.make(days(charters * 7) + hour * 60, what).on(id.clone());
            log.put(event);
        }
    }
    log.say(days(30), done("breaker_test", None));
    assert_eq!(line(&log, "2026-07-06", "breaker_test").unwrap().bounds, [Bound::Charters { left: 2 }]);
}

/// The flares are to be renewed on 20 July 2026.
#[test]
fn by_date() {
    let rows = [
        (None, "2026-07-05", Some((15, State::Later))),
        (None, "2026-07-06", Some((14, State::Soon))),
        (None, "2026-07-20", Some((0, State::Now))),
        (None, "2026-07-21", Some((-1, State::Overdue))),
        // Done on the 6th of July or later it is met; done in June the date stands.
        (Some(days(30)), "2026-07-21", None),
        (Some(days(50)), "2026-07-26", None),
        (Some(days(29)), "2026-07-21", Some((-1, State::Overdue))),
    ];
    for (when, today, wanted) in rows {
        let mut log = Log::of_boat();
        if let Some(when) = when {
            log.say(when, done("flares", None));
        }
        let due = line(&log, today, "flares");
        let found = due.map(|due| match due.bounds[..] {
            [Bound::Date { left, .. }] => (left, due.state),
            _ => unreachable!("it has a date only"),
        });
        assert_eq!(found, wanted, "{when:?} {today}");
    }
}

#[test]
fn the_most_pressing_comes_first() {
    let mut log = Log::of_boat();
    log.say(0, done("oil", Some(800.0)));
    log.say(1, hours(1001.0));
    let names: Vec<String> = on(&log, "2026-07-06").into_iter().map(|(id, _)| id).collect();
    assert_eq!(names, ["oil", "impeller_yearly", "breaker_test", "flares"]);
}
