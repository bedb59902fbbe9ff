//! How quick the store is: appending one event or fifty, and reading ten years of one boat.
//!
//! On SQLite in a file of the temporary folder, with every commit on the disk, so that the disk decides much of it. With
//! `BECKET_BENCH_POSTGRES=postgres://…` (an empty database for each run) on PostgreSQL instead.
#![allow(clippy::disallowed_methods, reason = "benches ask the environment where to measure")]

use std::sync::OnceLock;

use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use jiff::Timestamp;
use store::{Address, Event, Of, Options, Store, Wanted};
use tokio::runtime::Runtime;

/// Events of a boat in ten years: about forty a week.
const TEN_YEARS: u64 = 20_000;

fn main() {
    divan::main();
}

/// A store for all benches, with ten years of Whimbrel in it, beside as many events of other boats.
fn store() -> &'static (Runtime, Store) {
    static STORE: OnceLock<(Runtime, Store)> = OnceLock::new();
    STORE.get_or_init(|| {
        let runtime = Runtime::new().expect("threads can be had");
        let store = runtime.block_on(async {
            let store = Store::open(&address(), &Options::default()).await.expect("an empty store");
            for from in (0..TEN_YEARS).step_by(500) {
                for boat in ["whimbrel", "dunlin"] {
                    let events: Vec<Event> = (from..from + 500).map(|number| event(boat, number)).collect();
                    store.append(&events, Timestamp::UNIX_EPOCH).await.expect("room on the disk");
                }
            }
            store
        });
        (runtime, store)
    })
}

fn address() -> Address {
    static FOLDER: OnceLock<tempfile::TempDir> = OnceLock::new();
    if let Ok(url) = std::env::var("BECKET_BENCH_POSTGRES") {
        return Address::read(&url).expect("the address of a database");
    }
    let folder = FOLDER.get_or_init(|| tempfile::tempdir().expect("a temporary folder"));
    Address::file(folder.path().join("bench.db"))
}

/// A reading of ordinary length: 140 bytes of JSON.
fn event(boat: &str, number: u64) -> Event {
    let letter = boat.as_bytes()[0];
    Event {
        id: format!("0197f000-0000-7000-80{letter:02x}-{number:012x}").parse().expect("a UUID of version 7"),
        at: Timestamp::UNIX_EPOCH,
        who: "0197f000-0000-7000-8000-000000000001".into(),
        device: "0197f000-0000-7000-8000-000000000002".into(),
        boat: boat.into(),
        charter: Some(format!("charter-{}", number / 60)),
        answers: None,
        body: format!(
            r#"{{"kind":"reading","gauge":"house_bank_voltage","value":"12.{} V","place":"chart_table","step":"check_out_{}","note":"engine off, fridge on"}}"#,
            number % 100,
            number % 37
        ),
    }
}

#[divan::bench(args = [1, 50], sample_count = 50, sample_size = 1)]
fn append(bencher: Bencher<'_, '_>, size: u64) {
    static NEXT: std::sync::atomic::AtomicU64 = std::sync::atomic::AtomicU64::new(0);
    let (runtime, store) = store();
    bencher
        .counter(ItemsCount::new(size))
        .with_inputs(|| {
            let from = NEXT.fetch_add(size, std::sync::atomic::Ordering::Relaxed);
            (from..from + size).map(|number| event("turnstone", number)).collect::<Vec<_>>()
        })
        .bench_values(|events| {
            let receipt = runtime.block_on(store.append(&events, Timestamp::UNIX_EPOCH));
            black_box(receipt.expect("room on the disk"))
        });
}

#[divan::bench(sample_count = 20, sample_size = 1)]
fn ten_years_of_a_boat(bencher: Bencher<'_, '_>) {
    let (runtime, store) = store();
    let wanted = Wanted::all(Of::Boat("whimbrel".into()));
    bencher.counter(ItemsCount::new(TEN_YEARS)).bench(|| {
        let kept = runtime.block_on(store.events(&wanted)).expect("a sound store");
        assert_eq!(kept.len() as u64, TEN_YEARS);
        kept
    });
}

/// Sent again by a phone that missed the answer.
#[divan::bench(sample_count = 50, sample_size = 1)]
fn append_50_known(bencher: Bencher<'_, '_>) {
    let (runtime, store) = store();
    let events: Vec<Event> = (0..50).map(|number| event("dunlin", number)).collect();
    bencher.counter(ItemsCount::new(50_u32)).bench(|| {
        let receipt = runtime.block_on(store.append(&events, Timestamp::UNIX_EPOCH));
        black_box(receipt.expect("a sound store"))
    });
}
