//! The life of a charter: every stage after every other, and what is out of turn.

use std::collections::BTreeSet;

use records::{EventId, Life, Reading, Stage, Standing, Walk, What, Why};

use crate::aid::{Log, charter, odd, plan, withdrawn};

/// The events that tell of a stage, in the order of a life.
fn stages() -> [(Stage, What); 6] {
    [
        (Stage::Planned, plan()),
        (Stage::Readied, What::Readied),
        (Stage::CheckedOut, What::CheckedOut),
        (Stage::Out, What::Left),
        (Stage::HandedBack, What::HandedBack),
        (Stage::Settled, What::Settled),
    ]
}

fn life(standing: &Standing) -> Life {
    standing.charters.get(&charter()).map_or(Life::Unknown, |charter| charter.life)
}

/// A charter that has come to a stage.
fn come_to(stage: Option<Stage>) -> (Log, Vec<EventId>) {
    let mut log = Log::new();
    let told = stages().into_iter().filter(|(at, _)| stage.is_some_and(|stage| *at <= stage));
    let ids = told.zip(0..).map(|((_, what), day)| log.say(day * 1440, what)).collect();
    (log, ids)
}

/// From each stage, what each event does: the life that follows, and whether the event is odd.
#[test]
fn every_edge() {
    use Stage::{CheckedOut, HandedBack, Out, Planned, Readied, Settled};
    let from =
        [None, Some(Planned), Some(Readied), Some(CheckedOut), Some(Out), Some(HandedBack), Some(Settled)];
    for stage in from {
        for (next, what) in stages() {
            let (mut log, _) = come_to(stage);
            let event = log.say(10_000, what);
            let standing = log.standing();
            let (wanted, why) = match (stage, next) {
                // Forwards by one, or over the leaving, which may be untold.
                (None, Planned) => (Life::At(Planned), None),
                (Some(Planned), Readied) => (Life::At(Readied), None),
                (Some(Readied), CheckedOut) => (Life::At(CheckedOut), None),
                (Some(CheckedOut), Out) => (Life::At(Out), None),
                (Some(CheckedOut | Out), HandedBack) => (Life::At(HandedBack), None),
                (Some(HandedBack), Settled) => (Life::At(Settled), None),
                // Too early: it is kept, and waits for the stage before it.
                (None, _) => (Life::Unknown, Some(Why::OutOfTurn { stage: Planned })),
                (Some(Planned), _) if next > Readied => {
                    (Life::At(Planned), Some(Why::OutOfTurn { stage: Readied }))
                }
                (Some(Readied), _) if next > CheckedOut => {
                    (Life::At(Readied), Some(Why::OutOfTurn { stage: CheckedOut }))
                }
                (Some(at @ (CheckedOut | Out)), Settled) => {
                    (Life::At(at), Some(Why::OutOfTurn { stage: HandedBack }))
                }
                // There already. She may be made ready again, and leave again.
                (Some(at), Readied | Out) => (Life::At(at), None),
                (Some(at), next) => (Life::At(at), Some(Why::Again { stage: next })),
            };
            assert_eq!(life(&standing), wanted, "{stage:?}, then {next:?}");
            assert_eq!(odd(&standing, event), Vec::from_iter(why), "{stage:?}, then {next:?}");
            let furthest = standing.charters[&charter()].furthest;
            assert_eq!(furthest, Some(next).max(stage), "the world may be ahead of the records");
        }
    }
}

/// A stage that was told too early takes its place as soon as what is missing has come, whatever the clocks say.
#[test]
fn every_order_of_telling_comes_to_the_same_life() {
    for order in permutations(6) {
        let mut log = Log::new();
        let mut told = BTreeSet::new();
        for (minutes, at) in (0..).zip(order) {
            let (stage, what) = stages()[at].clone();
            log.say(minutes, what);
            told.insert(stage);
            let mut wanted = Life::Unknown;
            for stage in Stage::ALL {
                if told.contains(&stage) {
                    wanted = Life::At(stage);
                } else if !stage.may_be_untold() {
                    break;
                }
            }
            assert_eq!(life(&log.standing()), wanted, "{told:?}");
        }
    }
}

fn permutations(count: usize) -> Vec<Vec<usize>> {
    if count == 0 {
        return vec![Vec::new()];
    }
    let shorter = permutations(count - 1);
    let with = |row: &Vec<usize>| {
        let row = row.clone();
        (0..count).map(move |at| {
            let mut longer = row.clone();
            longer.insert(at, count - 1);
            longer
        })
    };
    shorter.iter().flat_map(with).collect()
}

#[test]
fn cancelling() {
    let cancel = || What::Cancelled { reason: "Gale.".to_owned() };
    for stage in [None].into_iter().chain(Stage::ALL.map(Some)) {
        let (mut log, _) = come_to(stage);
        let event = log.say(10_000, cancel());
        let standing = log.standing();
        let gone = stage.filter(|stage| *stage >= Stage::CheckedOut);
        let (wanted, why) = match gone {
            Some(stage) => (Life::At(stage), vec![Why::OutOfTurn { stage }]),
            None => (Life::Cancelled, vec![]),
        };
        assert_eq!(life(&standing), wanted, "{stage:?}");
        assert_eq!(odd(&standing, event), why, "{stage:?}");
        let back = log.answer(10_001, event, withdrawn());
        let standing = log.standing();
        assert_eq!(life(&standing), stage.map_or(Life::Unknown, Life::At), "taken back: {stage:?}");
        assert_eq!(odd(&standing, back), []);
    }
}

#[test]
fn what_comes_after_a_cancellation_is_flagged() {
    let (mut log, ids) = come_to(Some(Stage::Planned));
    log.say(2000, What::Cancelled { reason: "Gale.".to_owned() });
    let readied = log.say(3000, What::Readied);
    let standing = log.standing();
    assert_eq!(life(&standing), Life::Cancelled);
    assert_eq!(odd(&standing, readied), [Why::AfterCancelled]);
    assert_eq!(odd(&standing, ids[0]), []);
}

#[test]
fn a_call_or_a_reading_under_way_tells_that_she_is_out() {
    let hours = Reading::EngineHours { engine: "engine".to_owned(), hours: quantity::Time::hours(5.0) };
    let call = What::Called { symptom: "no_water".to_owned(), answers: vec![], advice: String::new() };
    let reading = |walk| What::Read { walk, reading: hours.clone() };
    let rows = [
        (call.clone(), Stage::Out),
        (reading(Walk::UnderWay), Stage::Out),
        (reading(Walk::CheckOut), Stage::CheckedOut),
    ];
    for (what, wanted) in rows {
        let (mut log, _) = come_to(Some(Stage::CheckedOut));
        log.say(10_000, what.clone());
        assert_eq!(life(&log.standing()), Life::At(wanted), "{what:?}");
    }
    let (mut log, _) = come_to(Some(Stage::Readied));
    log.say(10_000, call);
    let standing = log.standing();
    assert_eq!(life(&standing), Life::At(Stage::Readied), "a call before check-out is no leaving");
    assert_eq!(standing.charters[&charter()].furthest, Some(Stage::Readied));
}

#[test]
fn stages_against_the_clock_are_flagged_and_stand() {
    let mut log = Log::new();
    log.say(0, plan());
    let readied = log.say(500, What::Readied);
    let out = log.say(100, What::CheckedOut);
    let standing = log.hand(crate::aid::account("mo"), "dock-2").standing();
    assert_eq!(life(&standing), Life::At(Stage::CheckedOut));
    assert!(odd(&standing, out).contains(&Why::AgainstTheClock { before: readied }));
}

#[test]
fn a_change_of_the_plan_tells_that_there_is_one() {
    let What::Planned(promised) = plan() else { unreachable!("it is a plan") };
    let mut log = Log::new();
    log.say(0, What::Changed(records::Plan { crew: Some(6), ..promised }));
    log.say(1, What::Readied);
    assert_eq!(life(&log.standing()), Life::At(Stage::Readied));
    // The plan itself comes late, and was made before: the change stands.
    log.say(-100, plan());
    let standing = log.standing();
    let (_, plan) = standing.charters[&charter()].plan.as_ref().unwrap();
    assert_eq!((plan.crew, life(&standing)), (Some(6), Life::At(Stage::Readied)));
}

#[test]
fn two_hands_may_both_tell_a_stage() {
    let (mut log, ids) = come_to(Some(Stage::CheckedOut));
    let second = log.hand(crate::aid::account("mo"), "dock-2").say(2 * 1440 + 1, What::CheckedOut);
    let standing = log.standing();
    let marks: Vec<EventId> =
        standing.charters[&charter()].stages[&Stage::CheckedOut].iter().map(|mark| mark.event).collect();
    assert_eq!(marks, [ids[2], second]);
    assert_eq!(odd(&standing, second), [Why::Again { stage: Stage::CheckedOut }]);
}

#[test]
fn what_belongs_to_a_charter_must_name_it() {
    let mut log = Log::of_boat();
    for (what, needs) in [
        (plan(), true),
        (What::Readied, true),
        (What::Settled, true),
        (What::Cancelled { reason: String::new() }, true),
        (crate::aid::count(Walk::CheckOut, "tether", 1), true),
        (crate::aid::count(Walk::Between, "tether", 1), false),
        (crate::aid::count(Walk::Readying, "tether", 1), false),
        (What::Noted { words: String::new() }, false),
        (What::Emptied { store: "holding".to_owned() }, false),
    ] {
        let event = log.say(0, what.clone());
        assert_eq!(odd(&log.standing(), event).contains(&Why::NoCharter), needs, "{what:?}");
    }
}

#[test]
fn another_boat_than_the_plans() {
    let (mut log, _) = come_to(Some(Stage::Planned));
    let ours = log.say(2000, What::Readied);
    log.boat = records::BoatId::new("dunlin");
    let other = log.say(2001, What::Readied);
    let standing = log.standing();
    assert_eq!(odd(&standing, ours), []);
    assert_eq!(odd(&standing, other), [Why::AnotherBoat]);
    // The plan can be changed to the other boat.
    let What::Planned(plan) = plan() else { unreachable!("it is a plan") };
    log.say(2002, What::Changed(plan));
    let standing = log.standing();
    assert_eq!(odd(&standing, ours), [Why::AnotherBoat]);
    assert_eq!(odd(&standing, other), []);
    assert_eq!(standing.charters[&charter()].boat, log.boat);
}

#[test]
fn what_is_owed_does_not_change_unseen_after_it_was_settled() {
    let (mut log, _) = come_to(Some(Stage::Settled));
    let amount = "10.00 USD".parse().unwrap();
    let late = log.say(9000, What::ChargeAdded { reason: "Lost key.".to_owned(), amount });
    let standing = log.standing();
    assert_eq!(odd(&standing, late), [Why::AfterSettled]);
    assert_eq!(life(&standing), Life::At(Stage::Settled));
}
