//! A 30, 60 and 90 minute briefing, and what becomes of it on the way.

use std::collections::BTreeSet;

use boat::model::Level;
use brief::{Always, Ask, Briefing, Depth, Engine, Experience, Given, Plan, Trip};
use quantity::Time;

use crate::boats::{WHIMBREL, all, lines};

fn asked(minutes: f64) -> Ask {
    Ask { trip: Trip { anchoring: true, ..Trip::default() }, ..Ask::new(Time::minutes(minutes)) }
}

/// What holds of every plan.
fn holds(briefing: &Briefing<'_>, ask: &Ask, plan: &Plan) {
    let in_plan: BTreeSet<usize> = plan.stops.iter().map(|stop| stop.topic).collect();
    let reading: BTreeSet<usize> = plan.reading.iter().copied().collect();
    assert_eq!(in_plan.len(), plan.stops.len(), "no topic comes twice");
    assert!(in_plan.is_disjoint(&reading));
    let done: BTreeSet<usize> =
        ask.done.iter().filter(|(_, depth)| *depth > Depth::Reading).map(|(at, _)| *at).collect();
    for at in 0..briefing.topics.len() {
        let key = &briefing.topics[at].key;
        assert!(done.contains(&at) || in_plan.contains(&at) || reading.contains(&at), "{key} is lost");
        assert!(!briefing.is_always(at, ask.trip) || !reading.contains(&at), "{key} must be in");
    }
    let mut at = Time::ZERO;
    let mut gone: BTreeSet<usize> = done.clone();
    let mut shown: BTreeSet<usize> = BTreeSet::new();
    let mut runs = ask.engine_runs;
    let mut starts = 0;
    for stop in &plan.stops {
        let topic = &briefing.topics[stop.topic];
        assert!((stop.begins - (at + stop.walk)).abs() < Time::seconds(1e-6));
        at = stop.begins + stop.lasts;
        for earlier in topic.after.iter().filter(|earlier| in_plan.contains(earlier)) {
            assert!(gone.contains(earlier), "{} before {}", topic.key, briefing.topics[*earlier].key);
        }
        if stop.depth == Depth::Shown {
            for earlier in &topic.shown_after {
                let later =
                    plan.stops.iter().any(|stop| stop.topic == *earlier && stop.depth == Depth::Shown);
                assert!(!later || shown.contains(earlier), "{} before {earlier}", topic.key);
            }
            let wants = matches!(topic.engine, Engine::Starts | Engine::Runs);
            assert!(!(topic.engine == Engine::Stopped && runs), "{} with the engine running", topic.key);
            if topic.engine == Engine::Runs && !ask.engine_runs {
                let start = topic.needs.iter().any(|need| shown.contains(need) || done.contains(need));
                assert!(start, "{} is shown before the start", topic.key);
            }
            starts += usize::from(wants && !runs);
            runs = wants;
            shown.insert(stop.topic);
        }
        if stop.then_stop {
            runs = false;
        }
        gone.insert(stop.topic);
    }
    assert!(!runs || plan.stops.is_empty(), "the engine is left running");
    assert_eq!(starts, plan.starts);
    assert!((plan.total - at).abs() < Time::seconds(1e-6));
    if plan.over == Time::ZERO {
        assert!(plan.total <= ask.time + Time::seconds(1e-6), "{:?}", plan.total);
    }
    assert!((0.0..=1.0).contains(&plan.gap) && (0.0..=1.0).contains(&plan.taken_away));
}

/// How often one goes from deck below or up again.
fn level_changes(briefing: &Briefing<'_>, plan: &Plan) -> usize {
    let boat = &WHIMBREL.boat;
    let below: Vec<bool> = plan
        .stops
        .iter()
        .filter_map(|stop| briefing.topics[stop.topic].place)
        .map(|place| matches!(boat.places[place].level, Level::Below | Level::Bilge))
        .collect();
    below.windows(2).filter(|pair| pair[0] != pair[1]).count()
}

/// How often one comes to a place where one has been.
fn places_come_to_again(briefing: &Briefing<'_>, plan: &Plan) -> usize {
    let mut places: Vec<_> = plan.stops.iter().filter_map(|stop| briefing.topics[stop.topic].place).collect();
    places.dedup();
    let once: BTreeSet<_> = places.iter().copied().collect();
    places.len() - once.len()
}

#[test]
fn thirty_sixty_and_ninety_minutes_of_whimbrel() {
    let given = Given { played: &WHIMBREL.played, ..Given::default() };
    let briefing = Briefing::new(&WHIMBREL.boat, &given);
    let mut taken = 0.0;
    for minutes in [30.0, 60.0, 90.0] {
        let ask = asked(minutes);
        let plan = briefing.plan(&ask);
        holds(&briefing, &ask, &plan);
        assert_eq!(plan.over, Time::ZERO, "{minutes}");
        assert!(plan.total > ask.time * 0.97, "time is left over: {:?} of {minutes}", plan.total);
        assert!(plan.starts <= 1, "the engine is started {} times", plan.starts);
        assert!(plan.gap < 0.01, "{}", plan.gap);
        assert!(plan.walk < Time::minutes(6.0), "{:?} of walking", plan.walk);
        // Down to check the engine and the batteries, up to start it, down again: no more than that and one way back.
        assert!(level_changes(&briefing, &plan) <= 5, "{}", level_changes(&briefing, &plan));
        let again = places_come_to_again(&briefing, &plan);
        // The engine's check and the batteries come before the start, what else is told there may come after it.
        assert!(again <= 2, "{again} places are come to a second time in {minutes} minutes");
        let first = &briefing.topics[plan.stops[0].topic];
        assert_eq!(first.key, "welcome", "moving about safely comes first");
        assert!(plan.taken_away > taken, "{} after {taken}", plan.taken_away);
        taken = plan.taken_away;
    }
    let long = briefing.plan(&asked(90.0));
    let start = briefing.find("engine_start_stop").unwrap();
    assert_eq!(long.starts, 1);
    assert!(long.stops.iter().any(|stop| stop.topic == start && stop.depth == Depth::Shown));
}

#[test]
fn more_time_takes_more_risk_away_and_leaves_less_undone() {
    let given = Given { played: &WHIMBREL.played, ..Given::default() };
    let briefing = Briefing::new(&WHIMBREL.boat, &given);
    let plans = [20.0, 35.0, 50.0, 65.0, 80.0, 95.0, 120.0].map(|minutes| briefing.plan(&asked(minutes)));
    for pair in plans.windows(2) {
        assert!(pair[0].taken_away < pair[1].taken_away, "{} to {}", pair[0].taken_away, pair[1].taken_away);
        let [before, after] = [&pair[0], &pair[1]].map(|plan| {
            plan.only_told.iter().filter(|at| briefing.topics[**at].always == Some(Always::File)).count()
        });
        assert!(before > after, "{before} to {after} must still be shown");
    }
}

#[test]
fn every_boat_at_many_times_for_every_crew() {
    let lines = lines();
    for aboard in all() {
        let given = Given { played: &aboard.played, lines: &lines, ..Given::default() };
        let briefing = Briefing::new(&aboard.boat, &given);
        for minutes in [1.0, 40.0, 75.0, 300.0] {
            for experience in [Experience::New, Experience::Often] {
                let ask = Ask { experience, ..asked(minutes) };
                let plan = briefing.plan(&ask);
                holds(&briefing, &ask, &plan);
                assert!(plan.starts <= 1, "{} starts", plan.starts);
                assert!(plan.gap < 0.05, "another choice could be better by {}", plan.gap);
            }
        }
    }
}

#[test]
fn what_must_be_in_stays_in_when_there_is_no_time() {
    let briefing = Briefing::new(&WHIMBREL.boat, &Given { played: &WHIMBREL.played, ..Given::default() });
    let ask = asked(5.0);
    let plan = briefing.plan(&ask);
    holds(&briefing, &ask, &plan);
    assert!(plan.over > Time::minutes(5.0), "{:?}", plan.over);
    assert!(plan.stops.iter().all(|stop| stop.depth == Depth::Short));
}

#[test]
fn all_of_it_fits_into_a_whole_day() {
    let briefing = Briefing::new(&WHIMBREL.boat, &Given { played: &WHIMBREL.played, ..Given::default() });
    let plan = briefing.plan(&asked(600.0));
    assert!(plan.reading.is_empty() && plan.only_told.is_empty());
    assert!((plan.taken_away - 1.0).abs() < 1e-9);
    assert!(plan.gap < 1e-9);
}

/// Ten minutes late in the middle of it: what is done stays done, the rest is planned anew from where one stands.
#[test]
fn a_late_briefing_is_planned_anew() {
    let briefing = Briefing::new(&WHIMBREL.boat, &Given { played: &WHIMBREL.played, ..Given::default() });
    let ask = asked(60.0);
    let plan = briefing.plan(&ask);
    let half = plan.stops.len() / 2;
    let last = &plan.stops[half - 1];
    let gone = last.begins + last.lasts;
    let late = Ask {
        time: ask.time - gone - Time::minutes(10.0),
        done: plan.stops[..half].iter().map(|stop| (stop.topic, stop.depth)).collect(),
        at: briefing.topics[last.topic].place,
        engine_runs: false,
        ..ask.clone()
    };
    let anew = briefing.plan(&late);
    holds(&briefing, &late, &anew);
    assert_eq!(anew.over, Time::ZERO);
    let in_time = Ask { time: ask.time - gone, ..late.clone() };
    let rest = briefing.plan(&in_time);
    assert!(anew.taken_away < rest.taken_away, "less time takes away less");
}

#[test]
fn a_topic_that_was_not_done_is_planned_again() {
    let briefing = Briefing::new(&WHIMBREL.boat, &Given { played: &WHIMBREL.played, ..Given::default() });
    let gas = briefing.find("gas").unwrap();
    for (depth, again) in [(Depth::Reading, true), (Depth::Short, false), (Depth::Shown, false)] {
        let ask = Ask { done: vec![(gas, depth)], ..asked(60.0) };
        let plan = briefing.plan(&ask);
        assert_eq!(plan.stops.iter().any(|stop| stop.topic == gas), again, "{depth:?}");
    }
}

#[test]
fn a_crew_that_anchors_is_shown_anchoring_first() {
    let briefing = Briefing::new(&WHIMBREL.boat, &Given { played: &WHIMBREL.played, ..Given::default() });
    let anchoring = briefing.find("anchoring").unwrap();
    let depth = |plan: &Plan| plan.stops.iter().find(|stop| stop.topic == anchoring).map(|stop| stop.depth);
    let stays = Ask { trip: Trip::default(), ..asked(45.0) };
    assert_eq!(depth(&briefing.plan(&asked(45.0))), Some(Depth::Shown));
    assert_eq!(depth(&briefing.plan(&stays)), Some(Depth::Short));
}

#[test]
fn the_dark_brings_the_lights_in() {
    let briefing = Briefing::new(&all()[1].boat, &Given { played: &all()[1].played, ..Given::default() });
    let lights = briefing.find("navigation_lights").unwrap();
    assert!(!briefing.is_always(lights, Trip::default()));
    let dark = Trip { dark: true, ..Trip::default() };
    assert!(briefing.is_always(lights, dark));
    let plan = briefing.plan(&Ask { trip: dark, ..Ask::new(Time::minutes(30.0)) });
    assert!(plan.stops.iter().any(|stop| stop.topic == lights));
}
