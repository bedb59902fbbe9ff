//! Events by programs: in any order, however often, days late; and what is refused of a batch, one by one.

use crate::doors::{Doors, Key, event};
use axum::http::StatusCode;
use records::{AccountId, Event, Hand, LinkId, Moment, Records, Severity, Taken, Walk, What};
use serde_json::{Value, json};
use store::TokenHash;

/// What a hand counted, as the account that sends it.
fn counted(key: Key, tail: u128, line: &str, count: u32) -> Event {
    let what = What::Counted { walk: Walk::Between, line: line.to_owned(), count, note: None };
    let made = event(tail, "wader", "c-one", what);
    Event { who: who(key), charter: None, ..made }
}

fn who(key: Key) -> Hand {
    match key {
        Key::Crew | Key::OtherCrew => Hand::Crew(LinkId::new(TokenHash::of(key.secret()).as_str())),
        _ => Hand::Account(AccountId::new(key.secret())),
    }
}

fn ids(said: &Value, part: &str) -> Vec<String> {
    let all = said[part].as_array().unwrap_or_else(|| panic!("no {part} in {said}"));
    all.iter().map(|one| one.as_str().or_else(|| one["id"].as_str()).expect("a name").to_owned()).collect()
}

/// A small generator of chance (Steele, Lea, Flood, "Fast splittable pseudorandom number generators", 2014).
fn next(state: &mut u64) -> u64 {
    *state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let mut z = *state;
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

#[tokio::test]
async fn batches_in_any_order_and_twice_come_to_the_same_as_all_at_once() {
    let doors = Doors::open().await;
    let mut all = Vec::new();
    for device in 0..6_u128 {
        for step in 0..40_u128 {
            let key = [Key::Hand, Key::Skipper, Key::Manager][usize::try_from(device % 3).expect("small")];
            let mut made =
                counted(key, 1000 * (device + 1) + step, "tether", u32::try_from(step).expect("small"));
            made.device = records::DeviceId::new(format!("phone-{device}"));
            // Days late: the phone was without signal.
            made.at = Moment::from_milliseconds(
                made.at.milliseconds() - i64::try_from(device).expect("small") * 86_400_000,
            );
            all.push((key, made));
        }
    }
    let mut chance = 7;
    let mut sent: Vec<&(Key, Event)> = all.iter().chain(all.iter().step_by(3)).collect();
    for at in (1..sent.len()).rev() {
        let other = usize::try_from(next(&mut chance) % (at as u64 + 1)).expect("small");
        sent.swap(at, other);
    }
    let mut taken = Vec::new();
    let mut known = 0;
    for key in [Key::Skipper, Key::Manager, Key::Hand] {
        let own: Vec<&Event> = sent.iter().filter(|(by, _)| *by == key).map(|(_, made)| made).collect();
        for batch in own.chunks(25) {
            let (status, said) = doors.tell(key, &json!({ "events": batch })).await;
            assert_eq!(status, StatusCode::OK, "{said}");
            assert_eq!(said["refused"], json!([]), "{said}");
            assert_eq!(said["twins"], json!([]), "{said}");
            taken.extend(ids(&said, "taken"));
            known += ids(&said, "known").len();
        }
    }
    taken.sort();
    let mut names: Vec<String> = all.iter().map(|(_, made)| made.id.to_string()).collect();
    names.sort();
    assert_eq!(taken, names, "each is taken once");
    assert!(known > 0, "some came again");
    let (status, said) = doors.look(Key::Hand, "/api/events?most=1000").await;
    assert_eq!(status, StatusCode::OK);
    let kept = said["events"].as_array().expect("a list");
    let back =
        kept.iter().map(|row| serde_json::from_value::<Event>(row["event"].clone()).expect("an event"));
    let fold = |events: Vec<Event>| {
        let records: Records = events.into_iter().map(|event| Taken { event, received: None }).collect();
        records.standing().boats
    };
    let told: Vec<Event> = back.filter(|event| event.charter.is_none()).collect();
    assert_eq!(told.len(), all.len());
    assert_eq!(fold(told), fold(all.into_iter().map(|(_, made)| made).collect()));
}

#[tokio::test]
async fn what_may_not_be_said_is_refused_by_itself_and_the_rest_is_taken() {
    let doors = Doors::open().await;
    let good = counted(Key::Hand, 1, "tether", 4);
    let others = counted(Key::Manager, 2, "tether", 9);
    let strange = Event { boat: records::BoatId::new("dodo"), ..counted(Key::Hand, 3, "tether", 4) };
    let forbidden = Event { who: who(Key::Hand), ..event(4, "wader", "c-one", What::Settled) };
    let batch = json!({ "events": [good, others, strange, forbidden, { "id": "x" }, 7] });
    let (status, said) = doors.tell(Key::Hand, &batch).await;
    assert_eq!(status, StatusCode::OK);
    assert_eq!(ids(&said, "taken"), [good.id.to_string()]);
    let refused = said["refused"].as_array().expect("a list");
    let words = ["somebody else", "no boat “dodo”", "handover skipper", "can't be read", "can't be read"];
    for ((at, one), words) in (1..).zip(refused).zip(words) {
        assert_eq!(one["at"], at, "{one}");
        assert!(one["why"].as_str().is_some_and(|why| why.contains(words)), "{one} does not say: {words}");
    }
    assert_eq!(refused.len(), 5);
    let twin = Event { id: good.id, ..counted(Key::Hand, 9, "tether", 5) };
    let (_, said) = doors.tell(Key::Hand, &json!({ "events": [twin, good] })).await;
    assert_eq!(
        (ids(&said, "twins"), ids(&said, "known")),
        (vec![good.id.to_string()], vec![good.id.to_string()])
    );
}

#[tokio::test]
async fn a_crew_tells_only_of_its_own_boat_and_only_what_is_its_to_tell() {
    let doors = Doors::open().await;
    let found = |tail, boat: &str, charter: &str| {
        let what = What::Found(records::Defect {
            item: "hob".to_owned(),
            words: "The left burner does not light.".to_owned(),
            severity: Severity::Hinders,
            photos: Vec::new(),
            fault: None,
        });
        Event { who: who(Key::Crew), ..event(tail, boat, charter, what) }
    };
    let own = found(1, "wader", "c-one");
    let ready = Event { who: who(Key::Crew), ..event(3, "wader", "c-one", What::Readied) };
    let (status, said) =
        doors.tell(Key::Crew, &json!({ "events": [own, found(2, "other", "c-two"), ready] })).await;
    assert_eq!(status, StatusCode::OK);
    assert_eq!(ids(&said, "taken"), [own.id.to_string()]);
    assert_eq!(said["refused"].as_array().map(Vec::len), Some(2), "{said}");
    let (_, boat) = doors.look(Key::Crew, "/api/boats/wader").await;
    assert_eq!(boat["defects"][0]["words"], "The left burner does not light.");
    assert_eq!(doors.look(Key::OtherCrew, "/api/boats/wader").await.0, StatusCode::FORBIDDEN);
}

/// Whoever corrects something must be one who might have said it: else a crew could take back what it owes.
#[tokio::test]
async fn only_who_might_have_said_it_may_correct_it() {
    let doors = Doors::open().await;
    let damage =
        What::ChargeAdded { reason: "A torn sail".to_owned(), amount: "90.00 USD".parse().expect("money") };
    let damage = event(1, "wader", "c-one", damage);
    let note = |tail, key, answers: Option<&Event>, words: &str| {
        let made = event(tail, "wader", "c-one", What::Noted { words: words.to_owned() });
        Event { who: who(key), answers: answers.map(|event| event.id), ..made }
    };
    let own = note(2, Key::Crew, None, "A shackle is gone");
    let ready = event(4, "wader", "c-one", What::Readied);
    doors.tell(Key::Manager, &json!({ "events": [damage, ready] })).await;
    doors.tell(Key::Crew, &json!({ "events": [own] })).await;
    let gone = |tail, key, answered: &Event| {
        let what = What::Withdrawn { reason: "no".to_owned() };
        Event { who: who(key), answers: Some(answered.id), ..event(tail, "wader", "c-one", what) }
    };
    let nowhere = note(99, Key::Manager, None, "never sent");
    for (key, made, words) in [
        (Key::Crew, gone(10, Key::Crew, &damage), "only what it told itself"),
        (Key::Crew, note(11, Key::Crew, Some(&damage), "it was torn before"), "only what it told itself"),
        (Key::Crew, gone(12, Key::Crew, &nowhere), "Send that first"),
        (Key::Hand, gone(13, Key::Hand, &damage), "Only a handover skipper may correct that"),
        (Key::Hand, gone(17, Key::Hand, &ready), "Only a handover skipper may correct that"),
    ] {
        let (_, said) = doors.tell(key, &json!({ "events": [made] })).await;
        assert_eq!(said["taken"], json!([]), "{said}");
        assert!(said["refused"][0]["why"].as_str().is_some_and(|why| why.contains(words)), "{said}");
    }
    // Its own it may, in one batch with it too, in any order.
    let second = note(3, Key::Crew, None, "The dinghy leaks");
    let batch = [gone(14, Key::Crew, &own), gone(15, Key::Crew, &second), second.clone()];
    let (_, said) = doors.tell(Key::Crew, &json!({ "events": batch })).await;
    assert_eq!(ids(&said, "taken").len(), 3, "{said}");
    let (_, said) = doors.tell(Key::Skipper, &json!({ "events": [gone(16, Key::Skipper, &damage)] })).await;
    assert_eq!(ids(&said, "taken").len(), 1, "{said}");
}

#[tokio::test]
async fn a_batch_that_is_too_large_or_no_batch_is_told_so() {
    let doors = Doors::open().await;
    let many: Vec<Event> = (0..1001).map(|tail| counted(Key::Hand, tail, "tether", 1)).collect();
    for (batch, words) in [
        (json!({ "events": many }), "at most 1000 at once"),
        (json!({}), "missing field"),
        (json!({ "events": [], "more": 1 }), "unknown field"),
        (json!([]), "JSON"),
    ] {
        let (status, said) = doors.tell(Key::Hand, &batch).await;
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(said["error"].as_str().is_some_and(|what| what.contains(words)), "{said}");
    }
}

cases![
    batches_in_any_order_and_twice_come_to_the_same_as_all_at_once,
    what_may_not_be_said_is_refused_by_itself_and_the_rest_is_taken,
    a_crew_tells_only_of_its_own_boat_and_only_what_is_its_to_tell,
    only_who_might_have_said_it_may_correct_it,
    a_batch_that_is_too_large_or_no_batch_is_told_so,
];
