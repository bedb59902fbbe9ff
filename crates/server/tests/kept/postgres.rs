//! All cases once more, on PostgreSQL: each base in a database of its own.

use std::rc::Rc;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use crate::cluster::Server;
use crate::{export, found, life, people, photos, place, setup, stock, sync, walks};

/// A module: its name, its cases, its text.
type Module = (&'static str, &'static [(&'static str, fn())], &'static str);

const MODULES: [Module; 9] = [
    ("people", people::CASES, include_str!("people.rs")),
    ("sync", sync::CASES, include_str!("sync.rs")),
    ("setup", setup::CASES, include_str!("setup.rs")),
    ("stock", stock::CASES, include_str!("stock.rs")),
    ("export", export::CASES, include_str!("export.rs")),
    ("life", life::CASES, include_str!("../dock/life.rs")),
    ("found", found::CASES, include_str!("../dock/found.rs")),
    ("photos", photos::CASES, include_str!("../dock/photos.rs")),
    ("walks", walks::CASES, include_str!("../dock/walks.rs")),
];

/// So many run at once.
const HANDS: usize = 2;

#[test]
fn no_case_is_left_out() {
    for (module, cases, text) in MODULES {
        let tests = text.matches("\n#[tokio::test]\n").count();
        assert_eq!(cases.len(), tests, "{module}: name each test in the list at the module's end");
    }
}

/// One test for all, as starting a server for each would take minutes.
#[test]
fn every_case_runs_on_postgresql() {
    let Some(server) = Server::start() else { return };
    let server = Arc::new(server);
    let all: Vec<(String, fn())> = MODULES
        .iter()
        .flat_map(|(module, cases, _)| {
            cases.iter().map(move |(name, case)| (format!("{module}::{name}"), *case))
        })
        .collect();
    let (next, made) = (AtomicUsize::new(0), Arc::new(AtomicUsize::new(0)));
    let hand = || {
        let (server, made) = (Arc::clone(&server), Arc::clone(&made));
        place::from(Rc::new(move || {
            let (server, number) = (Arc::clone(&server), made.fetch_add(1, Ordering::Relaxed));
            Box::pin(async move { server.database(&format!("base_{number}")).await })
        }));
        let mut failed = Vec::new();
        while let Some((name, case)) = all.get(next.fetch_add(1, Ordering::Relaxed)) {
            if std::panic::catch_unwind(case).is_err() {
                failed.push(name.as_str());
            }
        }
        failed
    };
    let failed: Vec<&str> = std::thread::scope(|scope| {
        let hands: Vec<_> = (0..HANDS).map(|_| scope.spawn(hand)).collect();
        hands.into_iter().flat_map(|hand| hand.join().expect("it catches what panics")).collect()
    });
    assert!(failed.is_empty(), "these cases failed on PostgreSQL: {failed:?}");
    assert!(made.load(Ordering::Relaxed) >= all.len(), "each case had a database of its own");
}
