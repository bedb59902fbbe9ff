//! Stores of earlier versions are brought forward, those of later ones are left alone.
//!
//! `fixtures/v1-*.sql` are databases as version 1 made them, with rows; `fixtures/v1.jsonl` is a portable backup by it.
//! They are never changed. A new version adds its own, unless it only adds tables.

use store::{Address, Event, Of, Store, StoreError, Wanted};

use crate::base::{Base, at, event, events, quick, save};
use crate::server::Server;
use crate::sqlite;

const SQLITE: &str = include_str!("fixtures/v1-sqlite.sql");
const POSTGRESQL: &str = include_str!("fixtures/v1-postgresql.sql");
const ROWS: &str = include_str!("fixtures/v1-rows.sql");
const PORTABLE: &str = include_str!("fixtures/v1.jsonl");

/// What a store must hold and do that was made by version 1 with the rows of the fixture.
async fn is_as_it_should_be(store: &Store) {
    let kept = store.events(&Wanted::all(Of::All)).await.unwrap();
    let answer = Event { charter: Some("one".into()), answers: Some(event(1).id), ..event(2) };
    assert_eq!(kept.iter().map(|kept| kept.event.clone()).collect::<Vec<_>>(), [event(1), answer, event(3)]);
    assert_eq!(kept[2].taken, at(30));
    // Version 2 counts the revisions of a boat beside her.
    let boats: Vec<_> =
        store.boats().await.unwrap().into_iter().map(|boat| (boat.boat, boat.newest)).collect();
    assert_eq!(boats, [("dunlin".to_owned(), 1), ("whimbrel".to_owned(), 2)]);
    assert_eq!(store.newest_revision("whimbrel").await.unwrap().unwrap().text, "two");
    assert_eq!(store.account_named("ada").await.unwrap().unwrap().id, "1");
    assert_eq!(store.persons("one").await.unwrap().len(), 1);
    assert_eq!(store.setting("base").await.unwrap().unwrap(), r#"{"name":"Juniper Ledge"}"#);
    store.check().await.unwrap();
    // And it goes on.
    assert_eq!(store.append(&events(3..5), at(40)).await.unwrap().newest.0, 4);
    assert_eq!(store.save_revision(&save(Some(2), "Cai", "three")).await.unwrap().number, 3);
    store.check().await.unwrap();
}

#[tokio::test]
async fn a_file_of_version_1_is_brought_forward() {
    let base = Base::file();
    sqlite::run(&base.path("becket.db"), &format!("{SQLITE}{ROWS}")).await;
    is_as_it_should_be(&base.open().await).await;
    assert_eq!(base.open().await.newest().await.unwrap().0, 4, "opened again there is nothing left to do");
}

#[tokio::test]
async fn a_database_of_version_1_is_brought_forward() {
    let Some(server) = Server::start() else { return };
    let address = server.database("version_1").await;
    server.run("version_1", POSTGRESQL).await;
    server.run("version_1", ROWS).await;
    let options = quick();
    let (one, other) = tokio::join!(Store::open(&address, &options), Store::open(&address, &options));
    other.unwrap();
    is_as_it_should_be(&one.unwrap()).await;

    let new = server.database("both_at_once").await;
    let (one, other) = tokio::join!(Store::open(&new, &options), Store::open(&new, &options));
    one.unwrap().append(&events(0..1), at(0)).await.unwrap();
    assert_eq!(other.unwrap().newest().await.unwrap().0, 1);

    let restored = server.database("restored").await;
    let base = Base::file();
    std::fs::write(base.path("v1.jsonl"), PORTABLE).unwrap();
    is_as_it_should_be(&Store::restore(&restored, &quick(), &base.path("v1.jsonl")).await.unwrap()).await;
}

#[tokio::test]
async fn a_backup_of_version_1_is_brought_back() {
    let base = Base::file();
    std::fs::write(base.path("v1.jsonl"), PORTABLE).unwrap();
    is_as_it_should_be(&Store::restore(&base.address, &quick(), &base.path("v1.jsonl")).await.unwrap()).await;

    let native = Address::file(base.path("native.db"));
    sqlite::run(&base.path("v1.db"), &format!("{SQLITE}{ROWS}")).await;
    is_as_it_should_be(&Store::restore(&native, &quick(), &base.path("v1.db")).await.unwrap()).await;
}

#[tokio::test]
async fn a_store_of_a_later_version_is_left_alone() {
    let base = Base::file();
    let store = base.open().await;
    store.append(&events(0..1), at(0)).await.unwrap();
    store.close().await;
    let path = base.path("becket.db");
    sqlite::run(&path, "update becket_schema set version = 4; create table later (id integer)").await;
    let before = std::fs::read(&path).unwrap();
    let error = Store::open(&base.address, &quick()).await.err().unwrap();
    assert!(matches!(error, StoreError::NewerSchema { found: 4, known: 3, .. }), "{error:?}");
    let words = format!(
        "The store {} was written by a later version of Becket: its tables are of version 4, and this program knows \
         them up to version 3. Nothing was changed. Use the later program, or restore a backup that was made before.",
        path.display()
    );
    assert_eq!(error.to_string(), words);
    assert_eq!(std::fs::read(&path).unwrap(), before);
}
