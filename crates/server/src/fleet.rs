//! The boats of the base, read and proven from the newest revisions of their files.

use std::sync::{Arc, RwLock};

use jiff::Timestamp;
use pages::{Moored, Vessel, links};
use store::{Revision, Save, Store};

use crate::app::Failure;

/// A boat with the revision of her file that she was read from.
#[derive(Debug, Clone)]
pub(crate) struct Berth {
    /// The boat.
    pub(crate) moored: Moored,
    /// The number of the revision.
    pub(crate) revision: u32,
}

impl Berth {
    /// The boat, if her file can be read.
    pub(crate) fn well(&self) -> Option<&Vessel> {
        match &self.moored {
            Moored::Well(vessel) => Some(vessel),
            Moored::Wrecked(_) => None,
        }
    }
}

/// All boats. Whoever looks gets the boats as they are then; a save puts another list in its place.
#[derive(Debug)]
pub(crate) struct Fleet {
    berths: RwLock<Arc<Vec<Arc<Berth>>>>,
}

impl Fleet {
    /// Reads the boats that the store has, after adding those of these files that it does not have.
    pub(crate) async fn open(
        store: &Store,
        files: &[(String, String)],
        now: Timestamp,
    ) -> Result<Self, Failure> {
        for (file, text) in files {
            let stem = file.rsplit(['/', '\\']).next().unwrap_or(file).trim_end_matches(".toml");
            let boat = links::slug(stem);
            if store.newest_revision(&boat).await?.is_none() {
                let (author, note) = ("becket".to_owned(), format!("Read from {file}"));
                store
                    .save_revision(&Save { boat, made_from: None, author, at: now, text: text.clone(), note })
                    .await?;
            }
        }
        let mut berths = Vec::new();
        for summary in store.boats().await? {
            if let Some(revision) = store.newest_revision(&summary.boat).await? {
                berths.push(Arc::new(berth(&revision)));
            }
        }
        Ok(Self { berths: RwLock::new(Arc::new(berths)) })
    }

    /// The boats as they are now.
    pub(crate) fn all(&self) -> Arc<Vec<Arc<Berth>>> {
        match self.berths.read() {
            Ok(berths) => Arc::clone(&berths),
            // Nothing can fail while the list is held: it is only put in place of another.
            Err(poisoned) => Arc::clone(&poisoned.into_inner()),
        }
    }

    /// The boat of that name.
    pub(crate) fn get(&self, slug: &str) -> Option<Arc<Berth>> {
        self.all().iter().find(|berth| berth.moored.slug() == slug).cloned()
    }

    /// Puts a boat that was read from a saved revision in place of the one before.
    pub(crate) fn moor(&self, berth: Berth) -> Arc<Berth> {
        let fresh = Arc::new(berth);
        let mut berths = self.berths.write().unwrap_or_else(std::sync::PoisonError::into_inner);
        let mut all: Vec<Arc<Berth>> = berths.iter().cloned().collect();
        match all.iter_mut().find(|berth| berth.moored.slug() == fresh.moored.slug()) {
            Some(place) if place.revision < fresh.revision => *place = Arc::clone(&fresh),
            Some(_) => {}
            None => all.push(Arc::clone(&fresh)),
        }
        *berths = Arc::new(all);
        fresh
    }
}

fn berth(revision: &Revision) -> Berth {
    let file = format!("{}.toml", revision.boat);
    Berth { moored: Moored::read(&revision.boat, &file, &revision.text), revision: revision.number }
}
