//! Boat files: revisions, and what becomes of a save that comes too late.

use store::{Conflict, Save, Store, StoreError};

use crate::base::{Base, Kind, save};

async fn conflict(store: &Store, save: &Save) -> Conflict {
    match store.save_revision(save).await {
        Err(StoreError::Conflict(conflict)) => *conflict,
        other => panic!("no conflict: {other:?}"),
    }
}

pub(crate) async fn a_boat_file_is_saved_again_and_again(base: Base) {
    let store = base.open().await;
    assert_eq!(store.newest_revision("whimbrel").await.unwrap(), None);
    let first = store.save_revision(&save(None, "Ada", "one")).await.unwrap();
    assert_eq!((first.number, first.parent), (1, None));
    let second = store.save_revision(&save(Some(1), "Ben", "two")).await.unwrap();
    assert_eq!((second.number, second.parent), (2, Some(1)));
    assert_eq!(store.newest_revision("whimbrel").await.unwrap(), Some(second.clone()));
    assert_eq!(store.revision("whimbrel", 1).await.unwrap(), Some(first.clone()));
    assert_eq!(store.revisions("whimbrel").await.unwrap(), [first, second]);
    store.save_revision(&Save { boat: "dunlin".into(), ..save(None, "Ada", "one") }).await.unwrap();
    let boats: Vec<_> =
        store.boats().await.unwrap().into_iter().map(|boat| (boat.boat, boat.newest)).collect();
    assert_eq!(boats, [("dunlin".to_owned(), 1), ("whimbrel".to_owned(), 2)]);
    store.check().await.unwrap();
}

pub(crate) async fn a_late_save_is_kept_as_a_draft(base: Base) {
    let store = base.open().await;
    store.save_revision(&save(None, "Ada", "one")).await.unwrap();
    store.save_revision(&save(Some(1), "Ben", "two")).await.unwrap();
    let conflict = conflict(&store, &save(Some(1), "Cai", "three")).await;
    assert_eq!((conflict.newest.number, conflict.newest.text.as_str()), (2, "two"));
    assert_eq!((conflict.draft.made_from, conflict.draft.text.as_str()), (Some(1), "three"));
    assert_eq!(
        conflict.to_string(),
        "The boat file of whimbrel was made from revision 1, and meanwhile Ben saved revision 2. Yours is kept as \
         draft 1: compare the two, and save what should stand from revision 2."
    );
    // Sent again, the same draft; another text, another draft.
    assert_eq!(self::conflict(&store, &save(Some(1), "Cai", "three")).await.draft, conflict.draft);
    assert_eq!(self::conflict(&store, &save(None, "Dov", "new")).await.draft.number, 2);
    assert_eq!(store.drafts("whimbrel").await.unwrap().len(), 2);
    assert_eq!(store.newest_revision("whimbrel").await.unwrap().unwrap().text, "two");
    // Brought together, and the draft put away.
    assert_eq!(store.save_revision(&save(Some(2), "Cai", "two and three")).await.unwrap().number, 3);
    assert!(store.remove_draft("whimbrel", 1).await.unwrap());
    assert!(!store.remove_draft("whimbrel", 1).await.unwrap());
    assert_eq!(store.drafts("whimbrel").await.unwrap().len(), 1);
}

pub(crate) async fn a_save_sent_twice_is_one(base: Base) {
    let store = base.open().await;
    let first = store.save_revision(&save(None, "Ada", "one")).await.unwrap();
    assert_eq!(store.save_revision(&save(None, "Ada", "one")).await.unwrap(), first);
    let second = store.save_revision(&save(Some(1), "Ben", "two")).await.unwrap();
    assert_eq!(store.save_revision(&save(Some(1), "Ben", "two")).await.unwrap(), second);
    assert_eq!(store.save_revision(&save(None, "Ada", "one")).await.unwrap(), first);
    assert_eq!(store.revisions("whimbrel").await.unwrap().len(), 2);
    assert!(store.drafts("whimbrel").await.unwrap().is_empty());
}

pub(crate) async fn two_who_save_at_once_lose_nothing(base: Base) {
    let first = base.open().await;
    let second = if base.kind == Kind::Memory { first.clone() } else { base.open().await };
    let mut savers = tokio::task::JoinSet::new();
    for number in 0..8 {
        let store = if number % 2 == 0 { first.clone() } else { second.clone() };
        savers.spawn(async move {
            // A new boat for all of them: one is first.
            store.save_revision(&save(None, "Ada", &format!("text {number}"))).await
        });
    }
    let mut won = 0;
    while let Some(done) = savers.join_next().await {
        match done.unwrap() {
            Ok(revision) => won += revision.number,
            Err(StoreError::Conflict(_)) => {}
            Err(other) => panic!("{other}"),
        }
    }
    assert_eq!(won, 1);
    let mut texts: Vec<String> =
        first.drafts("whimbrel").await.unwrap().into_iter().map(|draft| draft.text).collect();
    texts.push(first.newest_revision("whimbrel").await.unwrap().unwrap().text);
    texts.sort();
    assert_eq!(texts, (0..8).map(|number| format!("text {number}")).collect::<Vec<_>>());
}

pub(crate) async fn a_save_from_nowhere_is_refused(base: Base) {
    let store = base.open().await;
    let error = store.save_revision(&save(Some(1), "Ada", "one")).await.unwrap_err();
    assert_eq!(error, StoreError::Missing { what: "boat whimbrel".into() });
    store.save_revision(&save(None, "Ada", "one")).await.unwrap();
    let error = store.save_revision(&save(Some(2), "Ada", "two")).await.unwrap_err();
    assert_eq!(error, StoreError::Missing { what: "revision 2 of the boat whimbrel".into() });
    assert_eq!(store.revisions("whimbrel").await.unwrap().len(), 1);
}
