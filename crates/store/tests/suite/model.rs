//! Random histories of sending, sending again and clashing, held to a plain map.

use std::collections::BTreeMap;

use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;
use store::{Event, EventId, Of, Seq, Wanted};

use crate::base::{Base, at, event};

/// What the store should do, said as simply as can be.
#[derive(Default)]
struct Model {
    by_id: BTreeMap<EventId, Event>,
    order: Vec<Event>,
    refused: BTreeMap<(EventId, String), Event>,
}

#[tokio::test]
async fn any_history_comes_to_what_a_plain_map_says() {
    for seed in 0..12 {
        let base = Base::memory();
        let store = base.open().await;
        let mut model = Model::default();
        let mut chance = Pcg64Mcg::seed_from_u64(seed);
        for _ in 0..30 {
            let size = [0, 1, 5, 63, 64, 65, 130][chance.random_range(0..7)];
            let batch: Vec<Event> = (0..size).map(|_| drawn(&mut chance)).collect();
            let receipt = store.append(&batch, at(0)).await.unwrap();
            let (mut taken, mut known, mut refused) = (vec![], vec![], vec![]);
            for event in batch {
                let id = event.id.clone();
                match model.by_id.get(&id) {
                    None => {
                        model.by_id.insert(id.clone(), event.clone());
                        model.order.push(event);
                        taken.push(id);
                    }
                    Some(first) if *first == event => known.push(id),
                    Some(_) => {
                        model.refused.insert((id.clone(), event.body.clone()), event);
                        refused.push(id);
                    }
                }
            }
            assert_eq!(
                (receipt.taken, receipt.known, receipt.refused),
                (taken, known, refused),
                "seed {seed}"
            );
            assert_eq!(receipt.newest, Seq(i64::try_from(model.order.len()).unwrap()));
        }
        let kept = store.events(&Wanted::all(Of::All)).await.unwrap();
        assert_eq!(kept.into_iter().map(|kept| kept.event).collect::<Vec<_>>(), model.order);
        let mut refused: Vec<Event> =
            store.refused_events().await.unwrap().into_iter().map(|refused| refused.event).collect();
        refused.sort_by_key(|event| (event.id.clone(), event.body.clone()));
        assert!(!refused.is_empty(), "else this test sees nothing");
        assert_eq!(refused, model.refused.into_values().collect::<Vec<_>>());
        store.check().await.unwrap();
    }
}

/// An event among a thousand, seldom with another body under its id.
fn drawn(chance: &mut Pcg64Mcg) -> Event {
    let mut event = event(chance.random_range(0..1000));
    if chance.random_range(0..40) == 0 {
        event.body = format!(r#"{{"other":{}}}"#, chance.random_range(0..3));
    }
    event
}
