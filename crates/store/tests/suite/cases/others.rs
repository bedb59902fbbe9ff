//! Persons, links, photos, settings, attempts.

use jiff::SignedDuration;
use store::{Link, Person, Photo, PhotoHash, StoreError, TokenHash};

use crate::base::{Base, at};

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
