//! Backups: of a store in use, into an empty one only, and from one database to the other.

use std::path::Path;

use store::{
    Account, Address, Backup, Link, Of, Person, Photo, Role, Save, Session, Store, StoreError, TokenHash,
    Wanted,
};

use crate::base::{Base, at, event, events, quick, save};
use crate::server::Server;

/// Something in every table, with what is easily lost on the way.
pub(crate) async fn fill(store: &Store) {
    let mut batch = events(0..150);
    batch[3].charter = Some("one".into());
    batch[4].answers = Some(batch[3].id.clone());
    batch[5].who = "O'Neil \"é\" \u{1F6A4}\n\t\\".into();
    store.append(&batch, at(1)).await.unwrap();
    let mut clash = event(3);
    clash.body = "[1]".into();
    store.append(&[clash], at(2)).await.unwrap();
    store.save_revision(&save(None, "Ada", "one\r\ntwo")).await.unwrap();
    store.save_revision(&save(Some(1), "Ben", "")).await.unwrap();
    store.save_revision(&Save { boat: "Dunlin".into(), ..save(None, "Ada", "é") }).await.unwrap();
    assert!(store.save_revision(&save(Some(1), "Cai", "late")).await.is_err());
    let fields = r#"{"name":"Made Up"}"#.into();
    store.save_person(&Person { id: "p".into(), charter: "one".into(), fields }).await.unwrap();
    for (id, name) in [("1", "ada"), ("2", "Zoe"), ("3", "éa")] {
        let account = Account {
            id: id.into(),
            name: name.into(),
            role: Role::Manager,
            password: "hash".into(),
            active: id != "2",
            created: at(0),
        };
        store.add_account(&account).await.unwrap();
    }
    let session = Session {
        token: TokenHash::of("s"),
        account: "1".into(),
        expires: "2027-07-10T08:00:00.000000001Z".parse().unwrap(),
        csrf: "c".into(),
    };
    store.begin_session(&session).await.unwrap();
    let token = TokenHash::of("l");
    let link = Link {
        token: token.clone(),
        boat: "whimbrel".into(),
        charter: "one".into(),
        ends: at(9),
        revoked: None,
    };
    store.add_link(&link).await.unwrap();
    store.add_link(&Link { token: TokenHash::of("m"), ..link }).await.unwrap();
    store.revoke_link(&token, at(3)).await.unwrap();
    for size in [0, 1, 2000] {
        let bytes = (0..=u8::MAX).cycle().take(size).collect();
        store.keep_photo(&Photo { media: "image/png".into(), bytes, taken: at(0) }).await.unwrap();
    }
    store.set("base", "{}").await.unwrap();
    store.count_attempt("ada", at(0), jiff::SignedDuration::from_mins(1)).await.unwrap();
    store.check().await.unwrap();
}

async fn restore(address: &Address, from: &Path) -> Result<Store, StoreError> {
    Store::restore(address, &quick(), from).await
}

/// The portable form of a store, as text.
async fn portable(store: &Store, base: &Base, name: &str) -> String {
    let path = base.path(name);
    assert_eq!(store.backup_portable(&path).await.unwrap(), Backup::Portable);
    std::fs::read_to_string(path).unwrap()
}

#[tokio::test]
async fn a_backup_of_a_file_is_a_file() {
    let base = Base::file();
    let store = base.open().await;
    fill(&store).await;
    let path = base.path("backup.db");
    assert_eq!(store.backup(&path).await.unwrap(), Backup::File);
    store.append(&events(500..501), at(5)).await.unwrap();
    let target = Address::file(base.path("restored.db"));
    let restored = restore(&target, &path).await.unwrap();
    assert_eq!(restored.newest().await.unwrap().0, 150, "what came after the backup is not in it");
    let before = portable(&Store::open(&Address::file(&path), &quick()).await.unwrap(), &base, "a").await;
    assert_eq!(portable(&restored, &base, "b").await, before);

    let again = restore(&target, &path).await.err().unwrap();
    assert!(matches!(again, StoreError::NotEmpty { .. }), "{again:?}");
    let same = store.backup(&path).await.unwrap_err();
    assert!(same.to_string().contains("no backup is overwritten"), "{same}");
    let into_memory = restore(&Address::memory(), &path).await.err().unwrap();
    assert!(matches!(into_memory, StoreError::BadBackup { .. }), "{into_memory:?}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_store_in_use_is_backed_up_at_one_moment() {
    let base = Base::file();
    let store = base.open().await;
    let writer = tokio::spawn({
        let store = store.clone();
        async move {
            for batch in 0..150 {
                store.append(&events(batch * 5..batch * 5 + 5), at(0)).await.unwrap();
            }
        }
    });
    for number in 0..6 {
        let sent = store.newest().await.unwrap();
        let (native, lines) = (base.path(&format!("{number}.db")), base.path(&format!("{number}.jsonl")));
        store.backup(&native).await.unwrap();
        store.backup_portable(&lines).await.unwrap();
        for (path, name) in [(native, "n"), (lines, "l")] {
            let restored =
                restore(&Address::file(base.path(&format!("{name}{number}"))), &path).await.unwrap();
            let newest = restored.newest().await.unwrap();
            assert!(newest >= sent, "all that was acknowledged before is in it");
            assert_eq!(newest.0 % 5, 0, "no half of a batch");
            restored.close().await;
        }
    }
    writer.await.unwrap();
}

#[tokio::test]
async fn a_store_that_holds_anything_is_not_written_over() {
    let base = Base::file();
    let store = base.open().await;
    fill(&store).await;
    let text = portable(&store, &base, "lines").await;
    let other = Base::file();
    let full = other.open().await;
    full.set("base", "{}").await.unwrap();
    let error = restore(&other.address, &base.path("lines")).await.err().unwrap();
    assert!(error.to_string().contains("1 rows of “settings”"), "{error}");
    assert_eq!(full.settings().await.unwrap().len(), 1);
    assert_eq!(full.newest().await.unwrap().0, 0);

    // Opened once, and empty: that is no reason to refuse.
    let empty = Base::file();
    empty.open().await.close().await;
    let restored = restore(&empty.address, &base.path("lines")).await.unwrap();
    assert_eq!(portable(&restored, &empty, "again").await, text);
    assert_eq!(
        restored.append(&events(149..152), at(9)).await.unwrap().taken.len(),
        2,
        "and numbering goes on"
    );
    restored.check().await.unwrap();
}

#[tokio::test]
async fn a_backup_that_is_not_whole_is_refused() {
    let base = Base::file();
    let store = base.open().await;
    fill(&store).await;
    let text = portable(&store, &base, "lines").await;
    let lines: Vec<&str> = text.lines().collect();
    let last = lines.len() - 1;
    let cut = lines[..last].join("\n");
    let cut_line = &text[..text.len() / 2];
    let missing = [&lines[..20], &lines[21..]].concat().join("\n");
    let changed = text.replace("Made Up", "Made Op");
    let table = text.replace(r#"{"table":"photos""#, r#"{"table":"becket_schema""#);
    let column = text.replace(r#""columns":["key","value"]"#, r#""columns":["key","value) --"]"#);
    let tail = format!("{text}[]\n");
    let newer = text.replacen(r#""schema":3"#, r#""schema":4"#, 1);
    let other = "{\"table\":\"events\"}\n".to_owned();
    let kind = text.replacen("[\"events\",150]", "[\"events\",\"150\"]", 1);
    let cases = [
        ("cut off", cut.as_str(), "cut off"),
        ("cut in a line", cut_line, "not JSON"),
        ("a line missing", missing.as_str(), "digest"),
        ("a letter changed", changed.as_str(), "digest"),
        ("a table of another name", table.as_str(), "no table “becket_schema”"),
        ("a column of another name", column.as_str(), "no column"),
        ("something after the end", tail.as_str(), "follows the last line"),
        ("of a later version", newer.as_str(), "later version"),
        ("something else", other.as_str(), "does not begin"),
        ("text for a number", kind.as_str(), "of another kind"),
        ("empty", "", "does not begin"),
    ];
    for (what, broken, words) in cases {
        assert_ne!(broken, text, "{what}");
        let path = base.path("broken");
        std::fs::write(&path, broken).unwrap();
        let target = Base::file();
        target.open().await.close().await;
        let error = restore(&target.address, &path).await.err().unwrap_or_else(|| panic!("{what} was taken"));
        assert!(error.to_string().contains(words), "{what}: {error}");
        let left = target.open().await;
        assert!(left.events(&Wanted::all(Of::All)).await.unwrap().is_empty(), "{what}");
        assert!(left.accounts().await.unwrap().is_empty(), "{what}");
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_store_moves_from_one_database_to_the_other_and_back() {
    let Some(server) = Server::start() else { return };
    let base = Base::file();
    let sqlite = base.open().await;
    fill(&sqlite).await;
    let first = portable(&sqlite, &base, "first").await;

    let target = server.database("moved").await;
    let postgres = restore(&target, &base.path("first")).await.unwrap();
    let second = base.path("second");
    assert_eq!(postgres.backup(&second).await.unwrap(), Backup::Portable);
    assert_eq!(std::fs::read_to_string(&second).unwrap(), first, "SQLite to PostgreSQL");

    let back = restore(&Address::file(base.path("back.db")), &second).await.unwrap();
    assert_eq!(portable(&back, &base, "third").await, first, "and back");

    // Both go on alike.
    for store in [&postgres, &back] {
        assert_eq!(store.append(&events(100..160), at(4)).await.unwrap().taken.len(), 10);
        store.save_revision(&save(Some(2), "Ada", "after")).await.unwrap();
        store.check().await.unwrap();
    }
    assert_eq!(portable(&postgres, &base, "p").await, portable(&back, &base, "q").await);
    let full = restore(&target, &second).await.err().unwrap();
    assert!(matches!(full, StoreError::NotEmpty { .. }), "{full:?}");
}
