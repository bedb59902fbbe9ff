//! Corrections, corrections of corrections, withdrawals, and answers to what has not come.

use records::{EventId, Severity, Standing, Walk, What, Why};
use serde_json::json;

use crate::aid::{Log, account, charter, count, defect, odd, plan, withdrawn};

/// What is known of the count of the tethers at check-out.
fn tethers(standing: &Standing) -> Vec<u32> {
    let charter = standing.charters.get(&charter());
    let counts = charter.and_then(|charter| charter.counts.get(&(Walk::CheckOut, "tether".to_owned())));
    counts.into_iter().flatten().map(|one| one.count).collect()
}

/// An answer: to which event, by its place in the row, and what it says.
type Answer = (usize, Option<u32>);

/// Counts four tethers, answers as told (a number corrects, nothing withdraws), and tells what counts.
fn check(answers: &[Answer], wanted: &[u32]) {
    let mut log = Log::new();
    let mut made: Vec<EventId> = vec![log.say(0, count(Walk::CheckOut, "tether", 4))];
    for (minutes, (to, number)) in (1..).zip(answers) {
        let what = number.map_or_else(withdrawn, |number| count(Walk::CheckOut, "tether", number));
        made.push(log.answer(minutes, made[*to], what));
    }
    let standing = log.standing();
    assert_eq!(tethers(&standing), wanted, "{answers:?}");
    assert_eq!(log.records.len(), answers.len() + 1, "nothing is lost");
    let shown: usize = standing.answers.values().map(std::collections::BTreeSet::len).sum();
    assert_eq!(shown, answers.len(), "every answer is shown: {answers:?}");
}

#[test]
fn what_counts() {
    let rows: &[(&[Answer], &[u32])] = &[
        (&[], &[4]),
        (&[(0, Some(3))], &[3]),
        (&[(0, None)], &[]),
        // A correction of a correction.
        (&[(0, Some(3)), (1, Some(2))], &[2]),
        // A correction that is withdrawn: the first count stands again.
        (&[(0, Some(3)), (1, None)], &[4]),
        // A withdrawal that is withdrawn.
        (&[(0, None), (1, None)], &[4]),
        (&[(0, None), (1, None), (2, None)], &[]),
        // A withdrawal that is corrected into a count.
        (&[(0, None), (1, Some(1))], &[1]),
        // A correction of a correction that is withdrawn.
        (&[(0, Some(3)), (1, Some(2)), (2, None)], &[3]),
        // Two corrections of one event: both are kept.
        (&[(0, Some(3)), (0, Some(2))], &[3, 2]),
        (&[(0, Some(3)), (0, Some(2)), (1, None)], &[2]),
        (&[(0, Some(3)), (0, Some(2)), (2, Some(3))], &[3, 3]),
        // One withdraws and another corrects: the correction is kept.
        (&[(0, None), (0, Some(2))], &[2]),
        (&[(0, None), (0, None)], &[]),
    ];
    for (answers, wanted) in rows {
        check(answers, wanted);
    }
}

#[test]
fn two_corrections_are_a_disagreement_until_one_gives_way() {
    let mut log = Log::new();
    let first = log.say(0, count(Walk::CheckOut, "tether", 4));
    let one = log.answer(1, first, count(Walk::CheckOut, "tether", 3));
    let other = log.hand(account("mo"), "dock-2").answer(2, first, count(Walk::CheckOut, "tether", 2));
    let standing = log.standing();
    assert_eq!(odd(&standing, one), [Why::CorrectedTwice]);
    assert_eq!(standing.disagreements.len(), 1);
    assert_eq!(standing.disagreements[0].events, [one, other].into());
    log.answer(3, other, count(Walk::CheckOut, "tether", 3));
    assert_eq!(log.standing().disagreements, []);
}

#[test]
fn an_answer_waits_for_its_event() {
    let mut log = Log::new();
    let late = log.make(0, count(Walk::CheckOut, "tether", 4));
    let answer = log.answer(1, late.id, count(Walk::CheckOut, "tether", 3));
    let second = log.answer(2, answer, count(Walk::CheckOut, "tether", 2));
    let standing = log.standing();
    assert_eq!(tethers(&standing), [] as [u32; 0]);
    assert_eq!(standing.waiting[&late.id], [answer].into());
    assert_eq!(odd(&standing, answer), [Why::Waiting { on: late.id }]);
    assert_eq!(odd(&standing, second), [], "what it answers is here");
    log.put(late);
    let standing = log.standing();
    assert_eq!(tethers(&standing), [2]);
    assert!(standing.waiting.is_empty() && odd(&standing, answer).is_empty());
}

#[test]
fn a_circle_counts_for_nothing_and_stops_nothing() {
    let mut log = Log::new();
    let one = log.make(0, count(Walk::CheckOut, "tether", 4));
    let other = log.make(1, count(Walk::CheckOut, "tether", 3)).answering(one.id);
    let itself = log.make(2, count(Walk::CheckOut, "tether", 1));
    let (first, third) = (one.id, itself.id);
    log.put(itself.answering(third));
    log.put(one.answering(other.id));
    let second = log.put(other);
    let free = log.say(3, count(Walk::CheckOut, "tether", 5));
    let standing = log.standing();
    assert_eq!(tethers(&standing), [5]);
    for event in [first, second, third] {
        assert_eq!(odd(&standing, event), [Why::Circle]);
    }
    assert_eq!(odd(&standing, free), []);
}

#[test]
fn what_is_not_understood_takes_the_place_of_nothing() {
    let mut log = Log::new();
    let first = log.say(0, count(Walk::CheckOut, "tether", 4));
    let unread = log.answer(1, first, What::Other(json!({"kind": "counted_by_scale"})));
    assert_eq!(tethers(&log.standing()), [4]);
    // But what answers it, and is understood, does.
    log.answer(2, unread, count(Walk::CheckOut, "tether", 2));
    assert_eq!(tethers(&log.standing()), [2]);
}

#[test]
fn a_withdrawal_must_name_what_it_withdraws() {
    let mut log = Log::new();
    let lonely = log.say(0, withdrawn());
    assert_eq!(odd(&log.standing(), lonely), [Why::AnswersNothing]);
}

#[test]
fn a_correction_keeps_the_time_and_hand_of_what_it_corrects() {
    let mut log = Log::new();
    let first = log.say(0, count(Walk::CheckOut, "tether", 4));
    log.say(60, count(Walk::HandBack, "tether", 2));
    let second = log.hand(account("mo"), "office").answer(600, first, count(Walk::CheckOut, "tether", 3));
    let standing = log.standing();
    let last = &standing.boats[&crate::aid::whimbrel()].counted["tether"];
    assert_eq!(last.count, 2, "the correction of the first count is not the last count");
    let counts = &standing.charters[&charter()].counts[&(Walk::CheckOut, "tether".to_owned())];
    assert_eq!((counts[0].mark.event, counts[0].mark.content), (first, second));
    assert_eq!(counts[0].mark.who, account("jo"));
}

#[test]
fn a_wrong_boat_can_be_corrected() {
    let mut log = Log::of_boat();
    let wrong = log.say(0, defect("rail", Severity::Safety));
    log.boat = records::BoatId::new("dunlin");
    log.answer(1, wrong, defect("rail", Severity::Safety));
    // What is said of the defect goes with it, by whichever of its names.
    log.say(2, What::Closed { defect: wrong, words: "Mended.".to_owned() });
    let standing = log.standing();
    assert!(standing.boats.get(&crate::aid::whimbrel()).is_none_or(|boat| boat.defects.is_empty()));
    assert!(!standing.boats[&log.boat].defects[&wrong].open());
}

#[test]
fn a_withdrawn_plan_leaves_a_charter_without_one() {
    let mut log = Log::new();
    let planned = log.say(0, plan());
    log.answer(1, planned, withdrawn());
    log.say(2, What::Readied);
    let standing = log.standing();
    assert_eq!(standing.charters[&charter()].plan, None);
    assert_eq!(standing.charters[&charter()].life, records::Life::Unknown);
}
