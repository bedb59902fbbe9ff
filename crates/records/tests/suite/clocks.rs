//! Wrong clocks: what is flagged, and in which order things are told.

use records::{DeviceId, EARLIEST, Event, EventId, Hand, Moment, Records, SLACK_MILLISECONDS, What, Why};

use crate::aid::{DAY, HOUR, MINUTE, account, at, odd, whimbrel};

/// An event of a test: its device, when by its clock and when it was received (both in minutes after Saturday
/// morning), and the one that it answers, by its place in the row.
struct Row(&'static str, i64, Option<i64>, Option<usize>);

/// Makes the events, with names that rise on each device, and gives back their names and moments in minutes.
fn placed(rows: &[Row]) -> (Vec<EventId>, Vec<i64>, records::Standing) {
    let mut records = Records::new();
    let mut ids: Vec<EventId> = Vec::new();
    for (Row(device, minutes, received, answers), tail) in rows.iter().zip(1..) {
        // A maker of names that does not let them fall when its clock goes back, as RFC 9562 asks.
        let before =
            rows.iter().zip(&ids).filter(|(row, _)| row.0 == *device).map(|(_, id)| id.made().unwrap());
        let id = EventId::version_7(before.chain([at(*minutes)]).max().unwrap(), tail);
        let what = What::Noted { words: format!("{tail}") };
        let hand: Hand = account("jo");
        let event = Event::new(id, at(*minutes), hand, DeviceId::new(*device), whimbrel(), what);
        let answered = answers.map(|to| ids[to]);
        records.take(Event { answers: answered, ..event }, received.map(at));
        ids.push(id);
    }
    let standing = records.standing();
    let base = at(0).milliseconds();
    let when = ids.iter().map(|id| (standing.when[id].milliseconds() - base).div_euclid(MINUTE)).collect();
    (ids, when, standing)
}

#[test]
fn sound_clocks_are_believed() {
    let rows = [
        Row("a", 0, Some(5), None),
        Row("b", 3, Some(6000), None),
        Row("a", 9, None, Some(1)),
        Row("b", 12, Some(11), None),
    ];
    let (_, when, standing) = placed(&rows);
    assert_eq!(
        when,
        [0, 3, 9, 11],
        "within the slack of what the base's clock says, the base's clock is right"
    );
    assert!(standing.flags.is_empty(), "{:?}", standing.flags);
}

#[test]
fn a_clock_that_is_ahead() {
    let rows = [Row("a", 2880, Some(10), None), Row("b", 20, Some(30), None)];
    let (ids, when, standing) = placed(&rows);
    assert_eq!(when, [10, 20], "placed where it was received");
    assert_eq!(odd(&standing, ids[0]), [Why::ClockAhead { known: at(10) }]);
    assert_eq!(odd(&standing, ids[1]), []);
}

#[test]
fn a_clock_that_is_ahead_is_found_by_the_answer_to_it() {
    // It has not been at the base itself, but someone answered it, and the answer has.
    let rows = [Row("a", 2880, None, None), Row("b", 30, Some(40), Some(0))];
    let (ids, when, standing) = placed(&rows);
    assert_eq!(when, [40, 40]);
    assert_eq!(odd(&standing, ids[0]), [Why::ClockAhead { known: at(40) }]);
    let order = |id: EventId| (standing.when[&id], id);
    assert!(order(ids[0]) < order(ids[1]), "an answer comes after what it answers");
}

#[test]
fn a_clock_that_goes_back() {
    // Ten minutes fast, then set right between the second and the third event.
    let rows = [
        Row("a", 10, None, None),
        Row("a", 13, None, None),
        Row("a", 5, None, None),
        Row("a", 7, None, None),
    ];
    let (ids, when, standing) = placed(&rows);
    assert_eq!(when, [5, 5, 5, 7], "what a device did, it did in this order");
    assert_eq!(odd(&standing, ids[2]), [Why::ClockWentBack { after: ids[1] }]);
    let told: Vec<&str> = standing.boats[&whimbrel()].notes.iter().map(|(_, words)| words.as_str()).collect();
    assert_eq!(told, ["1", "2", "3", "4"]);
}

/// A phone two days fast whose maker of names forgets: its clock is set right, and names fall. What it made under the
/// right clock is not drawn to where the others were received.
#[test]
fn names_that_fall_when_a_clock_is_set_right() {
    let note = |minutes: i64, tail: u128| {
        let (id, what) = (EventId::version_7(at(minutes), tail), What::Noted { words: format!("{tail}") });
        Event::new(id, at(minutes), account("jo"), DeviceId::new("a"), whimbrel(), what)
    };
    let mut records = Records::new();
    let fast = [note(2880, 1), note(2890, 2)];
    let right = [note(60, 3), note(70, 4)];
    for (event, received) in fast.iter().zip([1, 11]).chain(right.iter().zip([65, 75])) {
        records.take(event.clone(), Some(at(received)));
    }
    let standing = records.standing();
    let when: Vec<Moment> = fast.iter().chain(&right).map(|event| standing.when[&event.id]).collect();
    assert_eq!(when, [at(1), at(11), at(60), at(70)]);
    assert!(right.iter().all(|event| odd(&standing, event.id).is_empty()), "{:?}", standing.flags);
}

/// A device whose names contradict what it says: the answer has the lesser name.
#[test]
fn names_that_contradict_an_answer_give_way() {
    let note = |minutes: i64, tail: u128| {
        let (id, what) = (EventId::version_7(at(minutes), tail), What::Noted { words: format!("{tail}") });
        Event::new(id, at(minutes), account("jo"), DeviceId::new("a"), whimbrel(), what)
    };
    let (said, later) = (note(100, 1), note(200, 3));
    let answer = note(20, 2).answering(said.id);
    let mut records = Records::new();
    for event in [&said, &answer, &later] {
        records.take(event.clone(), None);
    }
    let standing = records.standing();
    assert_eq!(odd(&standing, answer.id), [Why::BeforeItsCause { cause: said.id }]);
    assert!(standing.when[&said.id] < standing.when[&answer.id]);
    assert_eq!((standing.when[&said.id], standing.when[&later.id]), (at(100), at(200)));
}

#[test]
fn a_clock_that_went_back_by_less_than_the_slack() {
    let rows = [Row("a", 10, None, None), Row("a", 6, None, None)];
    let (_, when, standing) = placed(&rows);
    assert_eq!(when, [6, 6]);
    assert!(standing.flags.is_empty());
}

#[test]
fn a_clock_that_is_behind() {
    let rows =
        [Row("a", 600, Some(601), None), Row("b", -1440, Some(700), Some(0)), Row("b", -1430, None, None)];
    let (ids, when, standing) = placed(&rows);
    assert_eq!(when, [600, 600, 600], "after what it names, and what it did next no earlier");
    assert_eq!(odd(&standing, ids[1]), [Why::BeforeItsCause { cause: ids[0] }]);
}

#[test]
fn a_clock_that_was_never_set() {
    let unset = |minutes: i64| {
        (Moment::from_milliseconds(minutes * MINUTE).milliseconds() - at(0).milliseconds()) / MINUTE
    };
    let rows = [
        Row("a", 100, None, None),
        Row("a", unset(3), Some(400), None),
        Row("a", unset(4), None, None),
        Row("a", 300, None, None),
        Row("b", unset(9), Some(50), None),
        Row("c", unset(9), None, None),
    ];
    let (ids, when, standing) = placed(&rows);
    assert_eq!(when[..5], [100, 100, 100, 300, 50], "only what is known otherwise says when it was");
    assert_eq!(standing.when[&ids[5]], Moment::from_milliseconds(9 * MINUTE), "nothing is known otherwise");
    for at in [1, 2, 4, 5] {
        assert_eq!(odd(&standing, ids[at]), [Why::ClockUnset]);
    }
    assert!(odd(&standing, ids[0]).is_empty() && odd(&standing, ids[3]).is_empty());
}

#[test]
fn the_least_that_is_flagged() {
    let slack = SLACK_MILLISECONDS / MINUTE;
    for (ahead, flagged) in [(slack, false), (slack + 1, true)] {
        let (ids, _, standing) = placed(&[Row("a", 100 + ahead, Some(100), None)]);
        assert_eq!(!odd(&standing, ids[0]).is_empty(), flagged, "{ahead} minutes ahead of the base");
        let (ids, _, standing) = placed(&[Row("a", 100 + ahead, None, None), Row("a", 100, None, None)]);
        assert_eq!(!odd(&standing, ids[1]).is_empty(), flagged, "{ahead} minutes back");
    }
    // 1 January 2024, 00:00 UTC, is 19723 days after 1 January 1970.
    assert_eq!(EARLIEST.milliseconds(), 19_723 * DAY);
    assert_eq!(at(60).since(at(0)).as_hours().to_string(), "1");
    assert_eq!(HOUR, 60 * MINUTE);
}

#[test]
fn received_twice_the_earlier_counts() {
    let mut records = Records::new();
    let id = EventId::version_7(at(100), 1);
    let what = What::Noted { words: String::new() };
    let event = Event::new(id, at(100), account("jo"), DeviceId::new("a"), whimbrel(), what);
    for received in [None, Some(at(300)), Some(at(20)), Some(at(400)), None] {
        records.take(event.clone(), received);
    }
    let standing = records.standing();
    assert_eq!(odd(&standing, id), [Why::ClockAhead { known: at(20) }]);
    assert_eq!(standing.when[&id], at(20));
}
