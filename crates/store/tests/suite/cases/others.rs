//! Persons, links, photos, settings, attempts.

use jiff::SignedDuration;
use store::{Hand, Link, Person, Photo, PhotoHash, StoreError, TokenHash};

use crate::base::{Base, at, event, events};

pub(crate) async fn persons_can_be_removed(base: Base) {
    let store = base.open().await;
    let person = |id: &str, charter: &str| Person {
        id: id.into(),
        charter: charter.into(),
        fields: r#"{"name":"Made Up"}"#.into(),
    };
    for (id, charter) in [("b", "one"), ("a", "one"), ("c", "two"), ("d", "two")] {
        store.save_person(&person(id, charter)).await.unwrap();
    }
    let mut moved = person("b", "two");
    moved.fields = "{}".into();
    store.save_person(&moved).await.unwrap();
    assert_eq!(store.person("b").await.unwrap(), Some(moved.clone()));
    assert_eq!(store.persons("two").await.unwrap(), [moved, person("c", "two"), person("d", "two")]);
    assert!(store.remove_person("a").await.unwrap());
    assert!(!store.remove_person("a").await.unwrap());
    assert_eq!(store.remove_persons("two").await.unwrap(), 3);
    assert_eq!(store.person("c").await.unwrap(), None);
    let text = Person { fields: "Made Up".into(), ..person("e", "one") };
    assert!(matches!(store.save_person(&text).await, Err(StoreError::Unstorable { .. })));
    assert!(!format!("{:?}", person("e", "one")).contains("Made Up"), "no names in logs");
}

pub(crate) async fn links_end_and_are_taken_back(base: Base) {
    let store = base.open().await;
    let token = TokenHash::of("secret");
    let link = Link {
        token: token.clone(),
        boat: "whimbrel".into(),
        charter: "one".into(),
        ends: at(60),
        revoked: None,
    };
    store.add_link(&link).await.unwrap();
    assert!(matches!(store.add_link(&link).await, Err(StoreError::Taken { .. })));
    let found = store.link(&token).await.unwrap().unwrap();
    assert_eq!(found, link);
    assert!(found.holds(at(59)) && !found.holds(at(60)));
    store.revoke_link(&token, at(10)).await.unwrap();
    store.revoke_link(&token, at(20)).await.unwrap();
    let found = store.link(&token).await.unwrap().unwrap();
    assert_eq!(found.revoked, Some(at(10)));
    assert!(!found.holds(at(5)));
    assert_eq!(store.links("one").await.unwrap(), [found]);
    assert!(matches!(store.revoke_link(&TokenHash::of("?"), at(0)).await, Err(StoreError::Missing { .. })));
    assert_eq!(store.link(&TokenHash::of("?")).await.unwrap(), None);
}

pub(crate) async fn photos_are_kept_once(base: Base) {
    let store = base.open().await;
    let bytes: Vec<u8> = (0..251).cycle().take(300_000).collect();
    let photo = Photo { media: "image/jpeg".into(), bytes, taken: at(0) };
    let hash = store.keep_photo(&photo).await.unwrap();
    assert_eq!(hash, PhotoHash::of(&photo.bytes));
    let again = Photo { taken: at(5), ..photo.clone() };
    assert_eq!(store.keep_photo(&again).await.unwrap(), hash);
    assert_eq!(store.photo(&hash).await.unwrap(), Some(photo));
    assert!(store.has_photo(&hash).await.unwrap());
    let other = PhotoHash::of(b"another");
    assert!(!store.has_photo(&other).await.unwrap());
    assert_eq!(store.photo(&other).await.unwrap(), None);
    assert_eq!(hash.as_str().to_uppercase().parse::<PhotoHash>().unwrap(), hash);
    assert!("abc".parse::<PhotoHash>().is_err());
    store.check().await.unwrap();
}

pub(crate) async fn settings_are_json(base: Base) {
    let store = base.open().await;
    assert_eq!(store.setting("base").await.unwrap(), None);
    store.set("base", r#"{"name":"Juniper Ledge"}"#).await.unwrap();
    store.set("base", r#"{"name":"Juniper Ledge","hands":4}"#).await.unwrap();
    store.set("words", "\"plain\"").await.unwrap();
    assert_eq!(store.setting("base").await.unwrap().unwrap(), r#"{"name":"Juniper Ledge","hands":4}"#);
    assert_eq!(store.settings().await.unwrap().into_keys().collect::<Vec<_>>(), ["base", "words"]);
    let error = store.set("base", "{").await.unwrap_err();
    assert!(error.to_string().starts_with("The setting “base” can't be stored: it is not JSON"), "{error}");
    assert!(store.setting("base").await.unwrap().is_some());
}

pub(crate) async fn attempts_are_counted_in_a_window(base: Base) {
    let store = base.open().await;
    let window = SignedDuration::from_mins(15);
    for (minute, count) in [(0, 1), (5, 2), (14, 3), (15, 1), (16, 2)] {
        let attempts = store.count_attempt("ada", at(minute), window).await.unwrap();
        assert_eq!(attempts.count, count, "minute {minute}");
    }
    assert_eq!(store.count_attempt("ben", at(16), window).await.unwrap().count, 1);
    store.forget_attempts("ada").await.unwrap();
    assert_eq!(store.count_attempt("ada", at(17), window).await.unwrap().count, 1);
    assert_eq!(store.forget_attempts_before(at(17)).await.unwrap(), 1);
    assert_eq!(store.count_attempt("ben", at(18), window).await.unwrap().count, 1);
}

pub(crate) async fn a_clock_set_back_does_not_lock_anyone_out(base: Base) {
    let store = base.open().await;
    let window = SignedDuration::from_mins(15);
    store.count_attempt("ada", at(1000), window).await.unwrap();
    let attempts = store.count_attempt("ada", at(0), window).await.unwrap();
    assert_eq!((attempts.count, attempts.since), (2, at(0)), "nor does it help a guesser");
    assert_eq!(store.count_attempt("ada", at(15), window).await.unwrap().count, 1);
}

pub(crate) async fn what_is_at_hand_is_kept_of_each_boat(base: Base) {
    use store::{Event, Seq};
    let store = base.open().await;
    let other = Event { boat: "dunlin".into(), ..event(1000) };
    store.append(&[events(0..3), vec![other], events(3..900)].concat(), at(0)).await.unwrap();
    assert_eq!(store.boats_with_events().await.unwrap(), ["dunlin", "whimbrel"]);
    assert_eq!(store.hands().await.unwrap(), []);
    let hand = |boat: &str, upto, body: &str| Hand { boat: boat.into(), upto: Seq(upto), body: body.into() };
    let (first, second) = (hand("whimbrel", 3, "[1]"), hand("whimbrel", 5, "[1,4]"));
    for one in [&first, &hand("dunlin", 4, "{}"), &second] {
        store.save_hand(one).await.unwrap();
    }
    assert_eq!(store.hands().await.unwrap(), [hand("dunlin", 4, "{}"), second]);
    let error = store.save_hand(&hand("dunlin", 5, "no JSON")).await;
    assert!(matches!(error, Err(StoreError::Unstorable { .. })));
    let odd: Vec<Seq> = (1..=901).step_by(2).map(Seq).collect();
    let places: Vec<Seq> = store.events_at(&odd).await.unwrap().iter().map(|kept| kept.seq).collect();
    assert_eq!(places, odd);
    assert_eq!(store.events_at(&[Seq(4), Seq(4000)]).await.unwrap()[0].event.boat, "dunlin");
    assert_eq!(store.event(&event(7).id).await.unwrap().unwrap().seq, Seq(9));
    assert!(store.event(&event(5000).id).await.unwrap().is_none());
    store.check().await.unwrap();
}

pub(crate) async fn what_a_person_drew_is_overwritten(base: Base) {
    use store::{Event, Of, Wanted};
    let store = base.open().await;
    let body = |words: &str| format!(r#"{{"kind":"signed","strokes":"{words}"}}"#);
    let drawn = Event { body: body("a wave of the pen"), ..event(2) };
    store.append(&[event(1), drawn.clone(), event(3)], at(0)).await.unwrap();
    let twin = Event { body: body("another wave"), ..event(2) };
    store.append(&[twin], at(1)).await.unwrap();
    let change = |old: &str| (event(2).id, body(old), body("removed"));
    let none = (event(3).id, "no JSON".to_owned(), "nor this".to_owned());
    assert!(matches!(store.overwrite(&[none]).await, Err(StoreError::Unstorable { .. })));
    assert_eq!(store.overwrite(&[change("what nobody drew")]).await.unwrap(), 0);
    let done = store.overwrite(&[change("a wave of the pen"), change("another wave")]).await.unwrap();
    assert_eq!(done, 2);
    let kept = store.events(&Wanted::all(Of::All)).await.unwrap();
    let bodies: Vec<&str> = kept.iter().map(|kept| kept.event.body.as_str()).collect();
    assert_eq!(bodies, [&event(1).body, &body("removed"), &event(3).body]);
    assert_eq!(store.refused_events().await.unwrap()[0].event.body, body("removed"));
    assert_eq!((kept[1].taken, kept[1].event.at), (at(0), event(2).at), "the rest of it stays");
    // Sent again as it is now, it is known.
    let again = Event { body: body("removed"), ..event(2) };
    assert_eq!(store.append(&[again], at(2)).await.unwrap().known.len(), 1);
    store.check().await.unwrap();
}

pub(crate) async fn persons_of_many_charters(base: Base) {
    let store = base.open().await;
    for number in 0..1200 {
        let fields = r#"{"name":"Made Up"}"#.to_owned();
        let charter = format!("c{}", number / 2);
        store.save_person(&Person { id: format!("p{number}"), charter, fields }).await.unwrap();
    }
    let charters: Vec<String> = (0..599).map(|number| format!("c{number}")).collect();
    assert_eq!(store.persons_of(&charters).await.unwrap().len(), 1198);
    assert_eq!(store.persons_of(&[]).await.unwrap(), []);
}
