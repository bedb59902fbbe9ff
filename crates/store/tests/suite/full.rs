//! No room left: an error that says so, nothing by half, and all goes on when there is room again.

use std::path::{Path, PathBuf};
use std::process::Command;

use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;
use store::{Address, Event, Of, Options, Photo, Store, StoreError, Wanted};

use crate::base::{Base, at, event, quick};
use crate::server::Server;

/// Three long events that no database can make shorter.
fn batch(number: u64) -> Vec<Event> {
    let mut chance = Pcg64Mcg::seed_from_u64(number);
    let mut letters = || (0..4000).map(|_| char::from(chance.random_range(b'a'..=b'z'))).collect::<String>();
    (0..3).map(|part| Event { body: format!("\"{}\"", letters()), ..event(number * 3 + part) }).collect()
}

/// Appends until there is no room; how many batches were acknowledged.
async fn fill(store: &Store) -> u64 {
    for number in 0..100_000 {
        match store.append(&batch(number), at(0)).await {
            Ok(_) => {}
            Err(error @ StoreError::Full { .. }) => {
                assert!(error.to_string().contains("Make room on that disk"), "{error}");
                return number;
            }
            Err(other) => panic!("after {number} batches: {other:?}"),
        }
    }
    panic!("there was room for everything");
}

/// Exactly what was acknowledged is there.
async fn holds(store: &Store, batches: u64) {
    let kept = store.events(&Wanted::all(Of::All)).await.unwrap();
    let sent: Vec<Event> = (0..batches).flat_map(batch).collect();
    assert!(kept.into_iter().map(|kept| kept.event).eq(sent), "not what was acknowledged");
    store.check().await.unwrap();
}

#[tokio::test]
async fn a_file_that_may_not_grow_says_so() {
    let base = Base::file();
    let small = Options { largest_file: Some(1 << 20), ..quick() };
    let store = Store::open(&base.address, &small).await.unwrap();
    let batches = fill(&store).await;
    assert!(batches > 10, "{batches}");
    holds(&store, batches).await;
    let photo = Photo { media: "image/png".into(), bytes: vec![7; 500_000], taken: at(0) };
    assert!(matches!(store.keep_photo(&photo).await, Err(StoreError::Full { .. })));
    holds(&store, batches).await;
    store.close().await;
    let store = base.open().await;
    store.append(&batch(batches), at(1)).await.unwrap();
    holds(&store, batches + 1).await;
}

#[tokio::test]
async fn a_full_disk_says_so() {
    let Some(disk) = SmallDisk::make(3) else { return };
    let address = Address::file(disk.path().join("becket.db"));
    let store = Store::open(&address, &quick()).await.unwrap();
    let ballast = disk.path().join("ballast");
    std::fs::write(&ballast, vec![0; 200_000]).unwrap();
    let batches = fill(&store).await;
    assert!(batches > 10, "{batches}");
    holds(&store, batches).await;
    store.close().await;
    let store = Store::open(&address, &quick()).await.unwrap();
    holds(&store, batches).await;
    // Room is made while the store is open, and it goes on.
    assert!(matches!(store.append(&batch(batches), at(1)).await, Err(StoreError::Full { .. }) | Ok(_)));
    std::fs::remove_file(ballast).unwrap();
    store.append(&batch(batches), at(1)).await.unwrap();
    holds(&store, batches + 1).await;
    store.close().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_backup_onto_a_full_disk_leaves_nothing() {
    let Some(disk) = SmallDisk::make(1) else { return };
    let base = Base::file();
    let store = base.open().await;
    for number in 0..200 {
        store.append(&batch(number), at(0)).await.unwrap();
    }
    for portable in [false, true] {
        let path = disk.path().join("backup");
        let done = if portable { store.backup_portable(&path).await } else { store.backup(&path).await };
        assert!(matches!(done, Err(StoreError::Full { .. })), "{done:?}");
        assert_eq!(std::fs::read_dir(disk.path()).unwrap().count(), 0, "what there was is removed");
    }
    holds(&store, 200).await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_server_whose_disk_is_full_says_so() {
    let Some(server) = Server::start() else { return };
    let Some(disk) = SmallDisk::make(24) else { return };
    server.give(disk.path());
    let place = disk.path().display();
    server.run("postgres", &format!("create tablespace small location '{place}'")).await;
    server.run("postgres", "create database full_disk tablespace small").await;
    let ballast = disk.path().join("ballast");
    std::fs::write(&ballast, vec![0; 12_000_000]).unwrap();
    let store = Store::open(&server.address("full_disk"), &quick()).await.unwrap();
    let batches = fill(&store).await;
    assert!(batches > 10, "{batches}");
    holds(&store, batches).await;
    std::fs::remove_file(ballast).unwrap();
    store.append(&batch(batches), at(1)).await.unwrap();
    holds(&store, batches + 1).await;
    store.close().await;
    drop(server);
}

/// A disk in memory of a few megabytes; it is gone with this value.
struct SmallDisk {
    folder: tempfile::TempDir,
}

impl SmallDisk {
    /// `None` where we may not mount one.
    fn make(megabytes: u32) -> Option<Self> {
        let folder = tempfile::tempdir().unwrap();
        let size = format!("size={megabytes}m");
        let mut mount = Command::new("mount");
        mount.args(["-t", "tmpfs", "-o", &size, "tmpfs"]).arg(folder.path());
        if mount.output().is_ok_and(|done| done.status.success()) {
            return Some(Self { folder });
        }
        eprintln!("SKIPPED: a small disk can't be mounted here, which needs root.");
        None
    }

    fn path(&self) -> &Path {
        self.folder.path()
    }
}

impl Drop for SmallDisk {
    fn drop(&mut self) {
        let path: PathBuf = self.folder.path().to_owned();
        // At once for new users, in full when the last file is closed.
        let _ = Command::new("umount").arg("-l").arg(path).status();
    }
}
