//! Defects: found, seen again, mended, closed, and what sails with them.

use records::{DefectStanding, EventId, Severity, What, Why};

use crate::aid::{Log, account, charter, crew, defect, odd, whimbrel};

fn seen(defect: EventId, severity: Option<Severity>) -> What {
    What::SeenAgain { defect, words: "Still there.".to_owned(), severity, photos: vec![] }
}

fn closed(defect: EventId) -> What {
    What::Closed { defect, words: "Dry for a day.".to_owned() }
}

fn the(log: &Log, id: EventId) -> DefectStanding {
    log.standing().boats[&whimbrel()].defects[&id].clone()
}

/// What is said of a defect.
#[derive(Debug, Clone, Copy)]
enum Then {
    Seen,
    Mended,
    Closed,
}

#[test]
fn open_and_how_often() {
    use Then::{Closed, Mended, Seen};
    let rows: &[(&[Then], bool, u32)] = &[
        (&[], true, 1),
        (&[Seen, Seen], true, 1),
        (&[Mended], true, 1),
        (&[Mended, Closed], false, 1),
        (&[Closed, Closed], false, 1),
        (&[Closed, Seen], true, 2),
        (&[Closed, Seen, Seen, Closed], false, 2),
        (&[Closed, Seen, Closed, Seen], true, 3),
        (&[Seen, Closed, Closed, Seen, Mended], true, 2),
    ];
    for (story, open, times) in rows {
        let mut log = Log::of_boat();
        let id = log.say(0, defect("pump", Severity::Hinders));
        for (minutes, then) in (1..).zip(*story) {
            let what = match then {
                Seen => seen(id, None),
                Mended => What::Mended { defect: id, words: String::new(), took: None, cost: None },
                Closed => closed(id),
            };
            log.say(minutes, what);
        }
        let standing = the(&log, id);
        assert_eq!((standing.open(), standing.times()), (*open, *times), "{story:?}");
    }
}

#[test]
fn a_crew_can_make_it_worse_and_only_the_base_less() {
    let rows = [
        (true, Severity::Safety, Severity::Safety),
        (true, Severity::Cosmetic, Severity::Hinders),
        (false, Severity::Cosmetic, Severity::Cosmetic),
    ];
    for (by_crew, said, wanted) in rows {
        let mut log = Log::of_boat();
        let id = log.say(0, defect("pump", Severity::Hinders));
        if by_crew {
            log.hand(crew("link"), "phone");
        }
        log.say(1, seen(id, Some(said)));
        assert_eq!(the(&log, id).severity, wanted, "{by_crew} {said:?}");
    }
}

#[test]
fn what_lets_her_go() {
    // Severity now, severity covered, reason, whether a crew says it, whether it is for this charter only, closed and
    // seen since.
    let safety = Severity::Safety;
    let rows = [
        (safety, safety, "Spare pump aboard.", false, true, false, 1),
        (safety, safety, "Spare pump aboard.", false, false, false, 1),
        (safety, Severity::Hinders, "Spare pump aboard.", false, true, false, 0),
        (Severity::Hinders, safety, "Spare pump aboard.", false, true, false, 1),
        (safety, safety, "  ", false, true, false, 0),
        (safety, safety, "We like risk.", true, true, false, 0),
        (safety, safety, "Spare pump aboard.", false, true, true, 0),
    ];
    for (severity, covers, reason, by_crew, only, again, wanted) in rows {
        let mut log = Log::of_boat();
        let id = log.say(0, defect("pump", severity));
        log.on_charter = only;
        if by_crew {
            log.hand(crew("link"), "phone");
        }
        let event = log.say(1, What::SailsWith { defect: id, covers, reason: reason.to_owned() });
        log.hand(account("jo"), "dock-1");
        if again {
            log.say(2, closed(id));
            log.say(3, seen(id, None));
        }
        let standing = the(&log, id);
        assert_eq!(standing.let_go(&charter()).count(), wanted, "{reason} {covers:?}");
        let other = records::CharterId::new("another");
        assert_eq!(standing.let_go(&other).count(), if only { 0 } else { wanted });
        let flags = odd(&log.standing(), event);
        assert_eq!(flags.contains(&Why::NotTheirs), by_crew);
        assert_eq!(flags.contains(&Why::NoReason), reason.trim().is_empty());
    }
}

#[test]
fn what_is_said_before_the_finding_has_come_waits_for_it() {
    let mut log = Log::of_boat();
    let found = log.make(0, defect("pump", Severity::Hinders));
    let event = log.say(1, closed(found.id));
    assert_eq!(odd(&log.standing(), event), [Why::NoSuchDefect]);
    let id = log.put(found);
    assert_eq!(odd(&log.standing(), event), []);
    assert!(!the(&log, id).open());
}

#[test]
fn a_withdrawn_finding_leaves_no_defect() {
    let mut log = Log::of_boat();
    let id = log.say(0, defect("pump", Severity::Hinders));
    let again = log.say(1, seen(id, None));
    log.answer(2, id, crate::aid::withdrawn());
    let standing = log.standing();
    assert!(standing.boats[&whimbrel()].defects.is_empty());
    assert_eq!(odd(&standing, again), [Why::NoSuchDefect]);
}

#[test]
fn two_corrections_of_a_finding_leave_the_worse() {
    let mut log = Log::of_boat();
    let id = log.say(0, defect("pump", Severity::Hinders));
    log.answer(1, id, defect("pump", Severity::Safety));
    log.hand(account("mo"), "dock-2").answer(2, id, defect("pump", Severity::Cosmetic));
    assert_eq!(the(&log, id).severity, Severity::Safety);
}

#[test]
fn tasks_parts_and_the_fault_are_kept_with_it() {
    let mut log = Log::of_boat();
    let id = log.say(0, defect("pump", Severity::Hinders));
    let pieces = records::Pieces { part: "Impeller".to_owned(), count: 1, held: records::Held::Ashore };
    log.say(1, What::Diagnosed { defect: id, fault: "impeller_worn".to_owned() });
    log.say(2, What::TaskSet { defect: id, words: "Renew it.".to_owned(), by: None });
    log.say(3, What::PartUsed { defect: id, pieces: pieces.clone(), cost: Some("68 USD".parse().unwrap()) });
    let standing = the(&log, id);
    assert_eq!(standing.fault.as_deref(), Some("impeller_worn"));
    assert_eq!(standing.tasks[0].1, "Renew it.");
    assert_eq!(standing.parts[0].1, pieces);
    assert_eq!(standing.found.who, account("jo"));
}
