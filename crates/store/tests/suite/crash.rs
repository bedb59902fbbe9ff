//! A program that appends is killed at moments drawn by chance, and sometimes the server too: nothing that was
//! acknowledged is lost, nothing is there twice, and no batch is there by half.
//!
//! The appending program is this one, started again to run `appender` alone. A kill ends a program, not a machine:
//! what the disk itself forgets when the power fails is not tried here.

use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Write};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;
use store::{Address, Event, Of, Store, StoreError, Wanted};

use crate::base::{Base, at, event, quick};
use crate::server::Server;

const WHERE: &str = "BECKET_TEST_APPEND_TO";
const ROUND: &str = "BECKET_TEST_ROUND";

/// Not a test by itself: the program that is killed. Appends batches, and prints each when it is acknowledged.
#[tokio::test]
async fn appender() {
    let (Ok(address), Ok(round)) = (std::env::var(WHERE), std::env::var(ROUND)) else { return };
    let round: u64 = round.parse().unwrap();
    let Ok(store) = Store::open(&Address::read(&address).unwrap(), &quick()).await else { return };
    for batch in 0..100_000 {
        let mut events = batch_of(round, batch);
        if batch % 3 == 2 {
            // The answer was lost on the way, and the batch before comes again.
            events.extend(batch_of(round, batch - 1));
        }
        match store.append(&events, at(0)).await {
            Ok(_) => writeln!(std::io::stdout(), "kept {batch}").unwrap(),
            Err(StoreError::Unreachable { .. } | StoreError::Other { .. }) => return,
            Err(other) => panic!("{other}"),
        }
    }
}

/// The events of a batch: one to eight.
fn batch_of(round: u64, batch: u64) -> Vec<Event> {
    let size = 1 + (round * 31 + batch * 7) % 8;
    let event = |part| Event {
        boat: format!("round-{round}"),
        device: format!("batch-{batch}"),
        ..event((round * 100_000 + batch) * 8 + part)
    };
    (0..size).map(event).collect()
}

/// The appending program, and what it has said.
struct Appender {
    child: Child,
    said: Receiver<u64>,
    kept: Vec<u64>,
}

impl Appender {
    fn start(address: &str, round: u64) -> Self {
        let mut command = Command::new(std::env::current_exe().unwrap());
        command.args(["--exact", "crash::appender", "--nocapture", "--test-threads=1"]);
        command.env(WHERE, address).env(ROUND, round.to_string());
        let mut child = command.stdout(Stdio::piped()).stderr(Stdio::inherit()).spawn().unwrap();
        let lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let (tell, said) = channel();
        std::thread::spawn(move || {
            for line in lines.map_while(Result::ok) {
                // The first line shares its line with what the test runner prints.
                let Some((_, batch)) = line.rsplit_once("kept ") else { continue };
                // A line that was cut off by the kill was not read by anybody.
                let Ok(batch) = batch.parse() else { continue };
                if tell.send(batch).is_err() {
                    break;
                }
            }
        });
        Self { child, said, kept: Vec::new() }
    }

    /// Waits for the first acknowledgement.
    fn begun(&mut self) {
        let first = self.said.recv_timeout(Duration::from_secs(20));
        self.kept.extend(first.ok());
    }

    /// Kills it (SIGKILL), and gives back all batches that it was told are kept.
    fn kill(mut self) -> Vec<u64> {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
        while let Ok(batch) = self.said.recv() {
            self.kept.push(batch);
        }
        self.kept
    }
}

/// What must be in a store after some rounds.
#[derive(Default)]
struct Promised {
    rounds: BTreeMap<u64, Vec<u64>>,
    acknowledged: usize,
}

impl Promised {
    fn add(&mut self, round: u64, kept: Vec<u64>) {
        self.acknowledged += kept.len();
        self.rounds.insert(round, kept);
    }

    async fn is_there(&self, store: &Store) {
        store.check().await.unwrap();
        let mut found: BTreeMap<(String, String), Vec<Event>> = BTreeMap::new();
        for kept in store.events(&Wanted::all(Of::All)).await.unwrap() {
            let key = (kept.event.boat.clone(), kept.event.device.clone());
            found.entry(key).or_default().push(kept.event);
        }
        for (round, kept) in &self.rounds {
            for batch in kept {
                let key = (format!("round-{round}"), format!("batch-{batch}"));
                assert!(
                    found.contains_key(&key),
                    "round {round}: batch {batch} was acknowledged and is lost"
                );
            }
        }
        for ((round, batch), events) in found {
            let number = |text: &str| text.rsplit_once('-').unwrap().1.parse::<u64>().unwrap();
            let whole = batch_of(number(&round), number(&batch));
            assert_eq!(events, whole, "{round}, {batch}: once, whole, in order");
        }
    }
}

#[tokio::test]
async fn a_file_survives_120_kills() {
    let mut chance = Pcg64Mcg::seed_from_u64(120);
    let mut acknowledged = 0;
    for file in 0..12 {
        let base = Base::file();
        let path = base.path("becket.db").display().to_string();
        let mut promised = Promised::default();
        for round in 0..10 {
            let mut appender = Appender::start(&path, file * 10 + round);
            // The first of each file is killed while the file is being made.
            if round > 0 {
                appender.begun();
            }
            std::thread::sleep(Duration::from_micros(chance.random_range(0..40_000)));
            promised.add(file * 10 + round, appender.kill());
            let store = base.open().await;
            promised.is_there(&store).await;
            store.close().await;
        }
        acknowledged += promised.acknowledged;
    }
    // Each that was not killed while it began has acknowledged one at least.
    assert!(acknowledged >= 108, "only {acknowledged} batches: this test saw little");
    eprintln!("120 kills, {acknowledged} batches acknowledged.");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_server_survives_80_kills() {
    let Some(mut server) = Server::start() else { return };
    let mut chance = Pcg64Mcg::seed_from_u64(80);
    let mut acknowledged = 0;
    for database in 0..4 {
        let name = format!("crash_{database}");
        let address = server.database(&name).await;
        let url = server.url(&name);
        let mut promised = Promised::default();
        for round in 0..20 {
            let mut appender = Appender::start(&url, database * 20 + round);
            if round > 0 {
                appender.begun();
            }
            std::thread::sleep(Duration::from_micros(chance.random_range(0..40_000)));
            // Every fourth time it is the server that is killed, with all its helpers.
            let server_too = round % 4 == 3;
            if server_too {
                server.kill();
            }
            promised.add(database * 20 + round, appender.kill());
            if server_too {
                server.launch();
            }
            let store = Store::open(&address, &quick()).await.unwrap();
            promised.is_there(&store).await;
            store.close().await;
        }
        acknowledged += promised.acknowledged;
    }
    assert!(acknowledged >= 76, "only {acknowledged} batches: this test saw little");
    eprintln!("80 kills, 20 of them of the server, {acknowledged} batches acknowledged.");
}
