//! Names can be removed on request, and the boat's records stay.

use records::{Name, Person, PersonId, Persons, Role, Signature, Stage, Stroke, Strokes, Walk, What, Why};
use serde_json::json;

use crate::aid::{Log, charter, count, odd, plan, signed, withdrawn};

fn drawn(person: &str) -> What {
    let strokes = Strokes::Points(vec![Stroke(vec![(123, 456)])]);
    What::Signed(Signature {
        walk: Walk::CheckOut,
        role: Role::Skipper,
        person: PersonId::new(person),
        strokes,
    })
}

fn persons() -> Persons {
    let mut persons = Persons::default();
    for (id, name) in [("p1", "Robin Rowe"), ("p2", "Kim Quill")] {
        persons.put(Person { id: PersonId::new(id), name: name.to_owned(), reach: None });
    }
    persons
}

#[test]
fn a_removed_name_is_gone_and_the_records_stay() {
    let mut log = Log::new();
    log.say(0, plan());
    log.say(1, What::Readied);
    log.say(2, count(Walk::CheckOut, "tether", 4));
    let signature = log.say(3, drawn("p1"));
    let other = log.say(4, drawn("p2"));
    let unread =
        log.say(5, What::Other(json!({"kind": "signed_twice", "person": "p1", "strokes": [[[7, 7]]]})));
    let before = log.standing();
    let (p1, mut persons) = (PersonId::new("p1"), persons());
    assert_eq!(persons.name(&p1, &before), Name::Known("Robin Rowe"));
    log.say(6, What::PersonRemoved { person: p1.clone() });
    let after = log.standing();
    assert_eq!(persons.name(&p1, &after), Name::Removed, "even while the record is still on this device");
    assert_eq!(persons.forget_removed(&after), std::slice::from_ref(&p1));
    assert_eq!(persons.name(&PersonId::new("p2"), &after), Name::Known("Kim Quill"));
    assert_eq!(persons.name(&PersonId::new("p3"), &after), Name::NotHere);
    let (old, new) = (&before.charters[&charter()], &after.charters[&charter()]);
    assert_eq!((old.life, &old.counts, &old.plan), (new.life, &new.counts, &new.plan));
    assert_eq!(new.signed[0].signature.strokes, Strokes::Removed);
    assert_eq!(new.signed[1].signature, old.signed[1].signature);
    assert_eq!(new.came_to(Stage::Readied), old.came_to(Stage::Readied));

    // What is stored can be overwritten, and the standing is the same.
    let clean = log.records.without_removed();
    assert_eq!(clean.standing(), after);
    let text = |id| serde_json::to_string(clean.get(id).unwrap()).unwrap();
    assert!(!text(signature).contains("123") && text(other).contains("123"));
    assert!(!text(unread).contains("strokes"));

    // A device that has not heard of it yet sends the old content: nothing comes back, and no twin is flagged.
    let mut mixed = clean.clone();
    mixed.merge(&log.records);
    assert_eq!(mixed.standing(), after);
    assert_eq!(mixed.without_removed(), clean);
}

#[test]
fn a_removal_cannot_be_taken_back() {
    let mut log = Log::new();
    log.say(0, drawn("p1"));
    let removal = log.say(1, What::PersonRemoved { person: PersonId::new("p1") });
    let back = log.answer(2, removal, withdrawn());
    let standing = log.standing();
    assert_eq!(odd(&standing, back), [Why::CantBeAnswered]);
    assert!(odd(&standing, removal).is_empty());
    assert!(standing.removed.contains(&PersonId::new("p1")));
    assert_eq!(standing.charters[&charter()].signed[0].signature.strokes, Strokes::Removed);
}

#[test]
fn a_removal_that_was_itself_misplaced_still_removes() {
    // It answers an event that has not come: it waits in all else, but a name is not kept for that.
    let mut log = Log::new();
    log.answer(0, records::EventId::from_bits(5), What::PersonRemoved { person: PersonId::new("p1") });
    assert!(log.standing().removed.contains(&PersonId::new("p1")));
}

#[test]
fn a_signature_counts_after_the_name_is_gone() {
    let mut log = Log::new();
    log.say(0, signed(Walk::CheckOut, Role::Skipper, "p1"));
    log.say(1, What::PersonRemoved { person: PersonId::new("p1") });
    assert_eq!(log.standing().charters[&charter()].signed.len(), 1);
}
