//! Events: once, in order, all or none.

use store::{Of, Seq, StoreError, Wanted};

use crate::base::{Base, Kind, at, event, events, id};

pub(crate) async fn an_event_is_taken_once(base: Base) {
    let store = base.open().await;
    let first = store.append(&events(1..4), at(10)).await.unwrap();
    assert_eq!(first.taken, [id(1), id(2), id(3)]);
    assert_eq!(first.newest, Seq(3));
    let again = store.append(&events(2..6), at(11)).await.unwrap();
    assert_eq!(again.known, [id(2), id(3)]);
    assert_eq!(again.taken, [id(4), id(5)]);
    assert!(again.refused.is_empty());
    let twice = store.append(&[event(6), event(6)], at(12)).await.unwrap();
    assert_eq!((twice.taken, twice.known), (vec![id(6)], vec![id(6)]));
    let kept = store.events(&Wanted::all(Of::All)).await.unwrap();
    assert_eq!(kept.iter().map(|kept| kept.seq.0).collect::<Vec<_>>(), [1, 2, 3, 4, 5, 6]);
    assert_eq!(kept.iter().map(|kept| kept.event.clone()).collect::<Vec<_>>(), events(1..7));
    assert_eq!(kept[1].taken, at(10), "the time of the first receipt stays");
    store.check().await.unwrap();
}

pub(crate) async fn another_event_under_the_same_id_is_kept_aside(base: Base) {
    let store = base.open().await;
    store.append(&events(1..2), at(10)).await.unwrap();
    let mut forged = event(1);
    forged.body = r#"{"kind":"reading","number":7}"#.into();
    for minute in [11, 12] {
        let receipt = store.append(&[forged.clone(), event(2)], at(minute)).await.unwrap();
        assert_eq!(receipt.refused, [id(1)]);
    }
    let mut other_hand = event(1);
    other_hand.who = "hand-2".into();
    assert_eq!(store.append(&[other_hand.clone()], at(13)).await.unwrap().refused, [id(1)]);
    let kept = store.events(&Wanted::all(Of::All)).await.unwrap();
    assert_eq!(kept.iter().map(|kept| kept.event.clone()).collect::<Vec<_>>(), events(1..3));
    let refused = store.refused_events().await.unwrap();
    assert_eq!(
        refused.iter().map(|r| (r.taken, r.event.clone())).collect::<Vec<_>>(),
        [(at(11), forged), (at(13), other_hand)]
    );
}

pub(crate) async fn a_batch_is_taken_whole_or_not(base: Base) {
    let store = base.open().await;
    let mut batch = events(1..200);
    batch[150].body = "not JSON".into();
    let error = store.append(&batch, at(0)).await.unwrap_err();
    assert!(matches!(error, StoreError::Unstorable { .. }), "{error}");
    assert!(error.to_string().contains(id(151).as_str()), "{error}");
    let mut zero = event(1);
    zero.boat = "whim\0brel".into();
    assert!(matches!(store.append(&[zero], at(0)).await, Err(StoreError::Unstorable { .. })));
    assert_eq!(store.newest().await.unwrap(), Seq::START);
    assert_eq!(store.append(&[], at(0)).await.unwrap().newest, Seq::START);
    store.check().await.unwrap();
}

pub(crate) async fn events_are_read_by_boat_by_charter_and_by_place(base: Base) {
    let store = base.open().await;
    let mut batch = events(0..30);
    for (number, event) in batch.iter_mut().enumerate() {
        event.boat = ["whimbrel", "dunlin", "turnstone"][number % 3].into();
        event.charter = (number % 2 == 0).then(|| format!("charter-{}", number / 10));
        event.answers = (number > 0).then(|| id(number as u64 - 1));
    }
    store.append(&batch, at(0)).await.unwrap();
    let read = async |of, after, at_most| {
        let wanted = Wanted { of, after: Seq(after), at_most };
        let kept = store.events(&wanted).await.unwrap();
        kept.iter().map(|kept| kept.seq.0).collect::<Vec<_>>()
    };
    assert_eq!(read(Of::Boat("dunlin".into()), 0, Some(3)).await, [2, 5, 8]);
    assert_eq!(read(Of::Boat("dunlin".into()), 26, None).await, [29]);
    assert_eq!(read(Of::Charter("charter-1".into()), 0, None).await, [11, 13, 15, 17, 19]);
    assert_eq!(read(Of::All, 28, None).await, [29, 30]);
    assert_eq!(read(Of::All, 30, None).await, [0_i64; 0]);
    assert_eq!(read(Of::Boat("curlew".into()), 0, None).await, [0_i64; 0]);
    let all = store.events(&Wanted::all(Of::All)).await.unwrap();
    assert_eq!(all.into_iter().map(|kept| kept.event).collect::<Vec<_>>(), batch);
}

pub(crate) async fn a_clock_set_back_does_not_change_the_order(base: Base) {
    let store = base.open().await;
    // The office's clock and the phones' clocks all jump back; ids made after that sort before.
    for (turn, number) in [50_u64, 40, 60, 10].into_iter().enumerate() {
        let now = at(-1000 * i64::try_from(turn).unwrap());
        assert_eq!(store.append(&[event(number)], now).await.unwrap().taken.len(), 1);
    }
    let kept = store.events(&Wanted::all(Of::All)).await.unwrap();
    let numbers: Vec<_> = kept.iter().map(|kept| (kept.seq.0, kept.event.id.clone())).collect();
    assert_eq!(numbers, [(1, id(50)), (2, id(40)), (3, id(60)), (4, id(10))]);
    let after = Wanted { of: Of::All, after: Seq(2), at_most: None };
    assert_eq!(store.events(&after).await.unwrap().len(), 2);
}

pub(crate) async fn many_append_at_once_and_none_is_missed(base: Base) {
    let first = base.open().await;
    // Two processes on one store, as far as the database can tell.
    let second = if base.kind == Kind::Memory { first.clone() } else { base.open().await };
    let mut writers = tokio::task::JoinSet::new();
    for writer in 0..8_u64 {
        let store = if writer % 2 == 0 { first.clone() } else { second.clone() };
        writers.spawn(async move {
            for batch in 0..6 {
                let from = writer * 1000 + batch * 3;
                // Each batch goes to both, as if two roads had brought it.
                store.append(&events(from..from + 3), at(0)).await.unwrap();
                store.append(&events(from..from + 3), at(1)).await.unwrap();
            }
        });
    }
    // Whoever follows the order of receipt sees every number once, though others are writing.
    let mut seen = Vec::new();
    while seen.len() < 8 * 6 * 3 {
        let after = Seq(seen.last().copied().unwrap_or(0));
        let kept = second.events(&Wanted { of: Of::All, after, at_most: Some(20) }).await.unwrap();
        seen.extend(kept.iter().map(|kept| kept.seq.0));
        tokio::task::yield_now().await;
    }
    while let Some(done) = writers.join_next().await {
        done.unwrap();
    }
    assert_eq!(seen, (1..=8 * 6 * 3).collect::<Vec<i64>>());
    first.check().await.unwrap();
}

pub(crate) async fn odd_texts_come_back_as_they_were(base: Base) {
    let store = base.open().await;
    let mut odd = event(1);
    odd.who = "O'Neil; drop table events; -- \"`$1{}\\ é e\u{301} \u{1F6A4} \u{FEFF}".into();
    odd.body = r#"{"b":1,"a":1.50,"a":2,"text":"\u0000 line\nsecond","big":12345678901234567890}"#.into();
    odd.at = "2027-07-10T08:00:00.123456789Z".parse().unwrap();
    store.append(&[odd.clone()], "1969-12-31T23:59:59.999999999Z".parse().unwrap()).await.unwrap();
    let kept = store.events(&Wanted::all(Of::All)).await.unwrap();
    assert_eq!(kept[0].event, odd, "not a letter is another");
    assert_eq!(store.append(&[odd], at(0)).await.unwrap().known.len(), 1);
}

pub(crate) async fn large_batches_are_taken(base: Base) {
    let store = base.open().await;
    let receipt = store.append(&events(0..1000), at(0)).await.unwrap();
    assert_eq!((receipt.taken.len(), receipt.newest), (1000, Seq(1000)));
    let mut long = event(5000);
    long.body = format!("\"{}\"", "x".repeat(2_000_000));
    store.append(&[long.clone()], at(0)).await.unwrap();
    let last = Wanted { of: Of::All, after: Seq(1000), at_most: None };
    assert_eq!(store.events(&last).await.unwrap()[0].event, long);
    assert_eq!(store.append(&events(0..1001), at(1)).await.unwrap().taken, [id(1000)]);
    store.check().await.unwrap();
}
