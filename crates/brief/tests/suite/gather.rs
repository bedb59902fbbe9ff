//! Nothing that a crew must know is without a topic.

use std::collections::BTreeSet;

use boat::model::{Id, Subject, Who};
use brief::{Always, Briefing, Engine, Flaw, Given, Law, Origin};

use crate::boats::{WHIMBREL, all, lines};

#[test]
fn every_list_that_a_crew_may_follow_is_taught() {
    for aboard in all() {
        let briefing = Briefing::new(&aboard.boat, &Given { played: &aboard.played, ..Given::default() });
        for (id, list) in aboard.boat.procedures.iter_ids().filter(|(_, list)| list.who != Who::Base) {
            let taught = briefing.topics.iter().filter(|topic| topic.procedures.contains(&id)).count();
            assert!(taught > 0, "{} is taught by no topic", list.id);
        }
    }
}

#[test]
fn everything_to_find_in_an_emergency_is_pointed_at_in_every_briefing() {
    for aboard in all() {
        let briefing = Briefing::new(&aboard.boat, &Given { played: &aboard.played, ..Given::default() });
        for (id, item) in aboard.boat.items.iter_ids().filter(|(_, item)| item.emergency) {
            assert!(briefing.topics.iter().any(|topic| topic.items.contains(&id)), "{}", item.id);
        }
        for topic in briefing.topics.iter().filter(|topic| topic.origin == Origin::Find) {
            assert_eq!(topic.always, Some(Always::Emergency), "{}", topic.key);
        }
    }
}

/// A caution is given by a topic, shown at a step of a list that a topic teaches, or belongs to the base's own lists.
#[test]
fn every_caution_reaches_the_crew() {
    for aboard in all() {
        let boat = &aboard.boat;
        let briefing = Briefing::new(boat, &Given { played: &aboard.played, ..Given::default() });
        let mut reached = BTreeSet::new();
        for topic in &briefing.topics {
            reached.extend(topic.cautions.iter().copied());
            for list in &topic.procedures {
                reached.extend(&boat.procedures[*list].cautions);
                reached.extend(&aboard.played[list.index()].cautions);
            }
        }
        for (id, list) in boat.procedures.iter_ids().filter(|(_, list)| list.who == Who::Base) {
            reached.extend(&list.cautions);
            reached.extend(&aboard.played[id.index()].cautions);
        }
        for (id, caution) in boat.cautions.iter_ids() {
            assert!(reached.contains(&id), "{} of {}", caution.id, boat.particulars.name);
        }
    }
}

#[test]
fn no_line_of_a_published_list_is_uncovered() {
    let lines = lines();
    assert!(lines.len() > 30, "{}", lines.len());
    for aboard in all() {
        let given = Given { played: &aboard.played, lines: &lines, ..Given::default() };
        let briefing = Briefing::new(&aboard.boat, &given);
        for cover in briefing.cover(&lines) {
            assert!(cover.is_whole(), "{:?}", cover.line);
        }
    }
    // Without the lists nothing is made up for them.
    let bare = Briefing::new(&all()[1].boat, &Given { played: &all()[1].played, ..Given::default() });
    assert!(bare.cover(&lines).iter().any(|cover| !cover.is_whole()));
    assert!(bare.topics.iter().all(|topic| topic.origin != Origin::Line));
}

#[test]
fn whimbrels_file_covers_every_line_itself() {
    let lines = lines();
    let given = Given { played: &WHIMBREL.played, lines: &lines, ..Given::default() };
    let briefing = Briefing::new(&WHIMBREL.boat, &given);
    let made: Vec<&str> = briefing
        .topics
        .iter()
        .filter(|topic| topic.origin == Origin::Line)
        .map(|topic| topic.key.as_str())
        .collect();
    assert!(made.is_empty(), "{made:?}");
}

#[test]
fn the_engine_is_known_from_the_lists() {
    let briefing = Briefing::new(&WHIMBREL.boat, &Given { played: &WHIMBREL.played, ..Given::default() });
    let engine = |key: &str| briefing.topics[briefing.find(key).unwrap()].engine;
    assert_eq!(engine("engine_start_stop"), Engine::Starts);
    assert_eq!(engine("anchoring"), Engine::Runs);
    assert_eq!(engine("thruster"), Engine::Runs);
    assert_eq!(engine("engine_daily"), Engine::Stopped);
    assert_eq!(engine("galley_fire"), Engine::Either, "nobody lights a fire to show it");
    assert_eq!(engine("welcome"), Engine::Either);
}

#[test]
fn what_is_not_in_order_is_told_and_safety_always() {
    let item = WHIMBREL.boat.items.iter_ids().find(|(_, item)| item.id == "anchor_light").unwrap().0;
    let flaw = |id: &str, safety| Flaw {
        id: id.to_owned(),
        name: "the anchor light".to_owned(),
        words: "The anchor light is out: hang the torch in the rigging.".to_owned(),
        item: Some(item),
        safety,
    };
    let flaws = [flaw("a", true), flaw("b", false)];
    let given = Given { played: &WHIMBREL.played, flaws: &flaws, ..Given::default() };
    let briefing = Briefing::new(&WHIMBREL.boat, &given);
    let topic = |key: &str| &briefing.topics[briefing.find(key).unwrap()];
    assert_eq!(topic("defect.a").always, Some(Always::Defect));
    assert_eq!(topic("defect.b").always, None);
    assert_eq!(topic("defect.a").place, Some(WHIMBREL.boat.items[item].place));
}

#[test]
fn what_the_law_asks_for_is_pointed_at_once() {
    let boat = &WHIMBREL.boat;
    let (pointed, row) = boat.items.iter_ids().find(|(_, item)| item.id == "lifebuoy").unwrap();
    let known = Law { name: row.name.clone(), item: Some(pointed), place: row.place };
    let locker = boat.places.iter_ids().find(|(_, place)| place.id == "nav_station").unwrap().0;
    let bell = Law { name: "Bell".to_owned(), item: None, place: locker };
    let law = [known, bell];
    let given = Given { played: &WHIMBREL.played, law: &law, ..Given::default() };
    let briefing = Briefing::new(boat, &given);
    let find = &briefing.topics[briefing.find("find.nav_station").unwrap()];
    assert!(find.words.contains("Bell"), "{}", find.words);
    assert!(
        briefing.topics.iter().all(|topic| topic.origin != Origin::Find || !topic.items.contains(&pointed))
    );
    assert!(find.about.contains(&Subject::SafetyEquipment));
}

#[test]
fn keys_are_unlike_each_other_and_nothing_comes_before_itself() {
    let lines = lines();
    for aboard in all() {
        let given = Given { played: &aboard.played, lines: &lines, ..Given::default() };
        let briefing = Briefing::new(&aboard.boat, &given);
        let keys: BTreeSet<&str> = briefing.topics.iter().map(|topic| topic.key.as_str()).collect();
        assert_eq!(keys.len(), briefing.topics.len());
        for at in 0..briefing.topics.len() {
            let mut open: Vec<usize> = vec![at];
            let mut seen = BTreeSet::new();
            while let Some(next) = open.pop() {
                let topic = &briefing.topics[next];
                for earlier in topic.after.iter().chain(&topic.shown_after) {
                    assert_ne!(*earlier, at, "{} comes before itself", briefing.topics[at].key);
                    if seen.insert(*earlier) {
                        open.push(*earlier);
                    }
                }
            }
        }
        for topic in &briefing.topics {
            assert!(topic.short <= topic.takes && topic.short.as_seconds() > 0.0, "{}", topic.key);
        }
    }
}
