//! An empty store of some kind for each case, and rows to put into it.

use std::path::PathBuf;
use std::time::Duration;

use jiff::Timestamp;
use store::{Address, Event, EventId, Options, Save, Store};
use tempfile::TempDir;

use crate::server::quick_folder;

/// Which database.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    Memory,
    File,
    Postgres,
}

/// A place for a store that nobody else uses.
pub(crate) struct Base {
    pub(crate) address: Address,
    pub(crate) kind: Kind,
    pub(crate) folder: TempDir,
}

impl Base {
    pub(crate) fn memory() -> Self {
        Self { address: Address::memory(), kind: Kind::Memory, folder: tempfile::tempdir().unwrap() }
    }

    pub(crate) fn file() -> Self {
        let folder = quick_folder("becket");
        Self { address: Address::file(folder.path().join("becket.db")), kind: Kind::File, folder }
    }

    pub(crate) fn postgres(address: Address) -> Self {
        Self { address, kind: Kind::Postgres, folder: tempfile::tempdir().unwrap() }
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) async fn open(&self) -> Store {
        Store::open(&self.address, &quick()).await.unwrap()
    }
}

/// With little patience, so that a test of patience is short.
pub(crate) fn quick() -> Options {
    Options { patience: Duration::from_secs(2), ..Options::default() }
}

/// Minutes after eight o'clock of some day.
pub(crate) fn at(minutes: i64) -> Timestamp {
    let eight: Timestamp = "2027-07-10T08:00:00Z".parse().unwrap();
    eight + jiff::SignedDuration::from_mins(minutes)
}

/// An id with this number in it.
pub(crate) fn id(number: u64) -> EventId {
    let (high, low) = (number >> 32, number & 0xffff_ffff);
    format!("0197f000-0000-7000-8000-{:04x}{low:08x}", high & 0xffff).parse().unwrap()
}

/// A reading of some boat.
pub(crate) fn event(number: u64) -> Event {
    Event {
        id: id(number),
        at: at(i64::try_from(number).unwrap()),
        who: "hand-1".into(),
        device: "phone-1".into(),
        boat: "whimbrel".into(),
        charter: None,
        answers: None,
        body: format!(r#"{{"kind":"reading","number":{number}}}"#),
    }
}

pub(crate) fn events(numbers: std::ops::Range<u64>) -> Vec<Event> {
    numbers.map(event).collect()
}

/// A save of Whimbrel's file.
pub(crate) fn save(made_from: Option<u32>, author: &str, text: &str) -> Save {
    Save {
        boat: "whimbrel".into(),
        made_from,
        author: author.into(),
        at: at(0),
        text: text.into(),
        note: "The new pump.".into(),
    }
}
