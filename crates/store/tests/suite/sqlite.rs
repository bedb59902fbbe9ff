//! What only a file can do wrong.

use std::os::unix::fs::PermissionsExt;

use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use sqlx::{AssertSqlSafe, Connection};
use store::{Address, Of, Options, Person, Store, StoreError, Wanted};

use crate::base::{Base, at, event, events, quick};

/// A connection of somebody else.
pub(crate) async fn other(path: &std::path::Path) -> SqliteConnection {
    let options = SqliteConnectOptions::new().filename(path).create_if_missing(true);
    SqliteConnection::connect_with(&options).await.unwrap()
}

pub(crate) async fn run(path: &std::path::Path, sql: &str) {
    let mut other = other(path).await;
    sqlx::raw_sql(AssertSqlSafe(sql.to_owned())).execute(&mut other).await.unwrap();
    other.close().await.unwrap();
}

#[tokio::test]
async fn the_file_is_as_safe_as_sqlite_can_make_it() {
    let base = Base::file();
    let store = base.open().await;
    store.append(&events(0..1), at(0)).await.unwrap();
    let mut other = other(&base.path("becket.db")).await;
    let mode: String = sqlx::query_scalar("pragma journal_mode").fetch_one(&mut other).await.unwrap();
    other.close().await.unwrap();
    assert_eq!(mode, "wal");
    for name in ["becket.db", "becket.db-wal", "becket.db-shm"] {
        let rights = std::fs::metadata(base.path(name)).unwrap().permissions().mode() & 0o777;
        assert_eq!(rights, 0o600, "{name} holds names and password hashes");
    }
    store.close().await;
    assert!(!base.path("becket.db-wal").exists(), "closed, the file is complete by itself");
    assert_eq!(base.open().await.newest().await.unwrap().0, 1);
}

#[tokio::test]
async fn a_removed_person_is_nowhere_in_the_files() {
    let base = Base::file();
    let store = base.open().await;
    let name = "Peregrine Madeupname";
    let fields = format!(r#"{{"name":"{name}","note":"{}"}}"#, "x".repeat(9000));
    let person = Person { id: "1".into(), charter: "one".into(), fields };
    store.save_person(&person).await.unwrap();
    let found = || {
        let files = std::fs::read_dir(base.folder.path()).unwrap().flatten();
        files.filter(|file| holds(&std::fs::read(file.path()).unwrap(), name.as_bytes())).count()
    };
    assert!(found() > 0, "else this test sees nothing");
    store.remove_person("1").await.unwrap();
    assert_eq!(found(), 0);
}

#[tokio::test]
async fn what_was_overwritten_is_nowhere_in_the_files() {
    let base = Base::file();
    let store = base.open().await;
    let long = "[120,340],".repeat(900);
    let body = |strokes: &str| format!(r#"{{"kind":"signed","strokes":"{strokes}"}}"#);
    for (number, drawn) in [(5, long.as_str()), (6, "[77,991]")] {
        store.append(&[store::Event { body: body(drawn), ..event(number) }], at(0)).await.unwrap();
    }
    store.append(&events(10..400), at(0)).await.unwrap();
    let found = || {
        let files = std::fs::read_dir(base.folder.path()).unwrap().flatten();
        let bytes: Vec<Vec<u8>> = files.map(|file| std::fs::read(file.path()).unwrap()).collect();
        let seen = |part: &[u8]| bytes.iter().any(|bytes| holds(bytes, part));
        (seen(b"[120,340]"), seen(b"[77,991]"))
    };
    assert_eq!(found(), (true, true), "else this test sees nothing");
    let change = |number, drawn: &str| (event(number).id, body(drawn), body(""));
    assert_eq!(store.overwrite(&[change(5, &long), change(6, "[77,991]")]).await.unwrap(), 2);
    assert_eq!(found(), (false, false));
}

fn holds(bytes: &[u8], part: &[u8]) -> bool {
    bytes.windows(part.len()).any(|window| window == part)
}

#[tokio::test]
async fn somebody_who_writes_for_too_long_is_told_of() {
    let base = Base::file();
    let patience = std::time::Duration::from_millis(100);
    let store = Store::open(&base.address, &Options { patience, ..quick() }).await.unwrap();
    store.append(&events(0..2), at(0)).await.unwrap();
    let mut other = other(&base.path("becket.db")).await;
    let hold = other.begin_with("begin immediate").await.unwrap();
    let error = store.append(&events(2..3), at(0)).await.unwrap_err();
    assert!(matches!(error, StoreError::Busy { .. }), "{error:?}");
    assert_eq!(store.events(&Wanted::all(Of::All)).await.unwrap().len(), 2, "reading goes on");
    hold.rollback().await.unwrap();
    assert_eq!(store.append(&events(2..3), at(0)).await.unwrap().taken.len(), 1);
}

#[tokio::test]
async fn files_that_are_not_ours_are_left_alone() {
    let base = Base::file();
    let letter = base.path("letter.txt");
    std::fs::write(&letter, "Dear base, ".repeat(1000)).unwrap();
    let error = Store::open(&Address::file(&letter), &quick()).await.err().unwrap();
    assert!(matches!(error, StoreError::Foreign { .. }), "{error:?}");
    assert_eq!(std::fs::read(&letter).unwrap().len(), 11_000);

    let invoices = base.path("invoices.db");
    run(&invoices, "create table invoices (id integer)").await;
    let error = Store::open(&Address::file(&invoices), &quick()).await.err().unwrap();
    assert!(error.to_string().contains("it holds a table “invoices”"), "{error}");

    let nowhere = Address::file(base.path("no/such/folder/becket.db"));
    let error = Store::open(&nowhere, &quick()).await.err().unwrap();
    assert!(matches!(error, StoreError::File { .. }), "{error:?}");
}

#[tokio::test]
async fn damage_is_found() {
    let base = Base::file();
    let store = base.open().await;
    store.append(&events(0..500), at(0)).await.unwrap();
    store.check().await.unwrap();
    store.close().await;
    let path = base.path("becket.db");

    // An event is taken out behind our back.
    run(&path, "delete from events where seq = 7").await;
    let error = base.open().await.check().await.unwrap_err();
    assert!(
        matches!(&error, StoreError::Corrupt { detail, .. } if detail.contains("499 events")),
        "{error:?}"
    );

    // A disk returns a wrong block.
    let mut bytes = std::fs::read(&path).unwrap();
    let middle = bytes.len() / 2 / 4096 * 4096;
    bytes[middle..middle + 4096].fill(0xA5);
    std::fs::write(&path, bytes).unwrap();
    let store = base.open().await;
    let error = store.check().await.unwrap_err();
    assert!(matches!(error, StoreError::Corrupt { .. }), "{error:?}");
    assert!(error.to_string().contains("restore the newest backup"), "{error}");
}

#[tokio::test]
async fn a_change_that_is_given_up_leaves_nothing() {
    let base = Base::file();
    let store = base.open().await;
    // The one who asked goes away at every possible moment.
    for polls in 0..60 {
        let events = [event(1000 + polls), event(2000 + polls)];
        let mut append = std::pin::pin!(store.append(&events, at(0)));
        for _ in 0..polls {
            let waker = std::task::Waker::noop();
            let mut context = std::task::Context::from_waker(waker);
            if std::future::Future::poll(append.as_mut(), &mut context).is_ready() {
                break;
            }
            tokio::time::sleep(std::time::Duration::from_micros(200)).await;
        }
    }
    store.append(&events(0..1), at(0)).await.unwrap();
    store.check().await.unwrap();
    let kept = store.events(&Wanted::all(Of::All)).await.unwrap();
    assert_eq!(kept.len() % 2, 1, "pairs, and the last one");
    for pair in kept.chunks_exact(2) {
        assert_eq!(pair[0].event.at + jiff::SignedDuration::from_mins(1000), pair[1].event.at);
    }
}
