//! Accounts and sessions.

use store::{Account, Role, Session, StoreError, TokenHash};

use crate::base::{Base, at};

type Change = fn(&mut Account);

fn account(id: &str, name: &str) -> Account {
    Account {
        id: id.into(),
        name: name.into(),
        role: Role::Hand,
        password: "$argon2id$v=19$made-up".into(),
        active: true,
        created: at(0),
    }
}

fn session(token: &str, expires: i64) -> Session {
    let token = TokenHash::of(token);
    Session { token, account: "1".into(), expires: at(expires), csrf: "form".into() }
}

pub(crate) async fn accounts_are_found_and_changed(base: Base) {
    let store = base.open().await;
    let mut ada = account("1", "ada");
    store.add_account(&ada).await.unwrap();
    store.add_account(&account("2", "Zoe")).await.unwrap();
    assert_eq!(store.account("1").await.unwrap(), Some(ada.clone()));
    assert_eq!(store.account_named("ada").await.unwrap(), Some(ada.clone()));
    assert_eq!(store.account_named("Ada").await.unwrap(), None);
    (ada.name, ada.role) = ("ada b".into(), Role::Manager);
    store.change_account(&ada).await.unwrap();
    assert_eq!(store.account("1").await.unwrap(), Some(ada.clone()));
    // By their bytes, so capitals come first, on every database.
    let names: Vec<String> =
        store.accounts().await.unwrap().into_iter().map(|account| account.name).collect();
    assert_eq!(names, ["Zoe", "ada b"]);
    let nobody = store.change_account(&account("3", "nobody")).await.unwrap_err();
    assert_eq!(nobody, StoreError::Missing { what: "account “nobody”".into() });
}

pub(crate) async fn names_are_taken_once(base: Base) {
    let store = base.open().await;
    store.add_account(&account("1", "ada")).await.unwrap();
    store.add_account(&account("2", "ben")).await.unwrap();
    let taken = StoreError::Taken { what: "an account “ada”".into() };
    assert_eq!(store.add_account(&account("3", "ada")).await, Err(taken.clone()));
    assert_eq!(store.change_account(&account("2", "ada")).await, Err(taken.clone()));
    assert_eq!(taken.to_string(), "There is already an account “ada”. Choose another name.");
    assert_eq!(store.accounts().await.unwrap().len(), 2);
}

pub(crate) async fn sessions_end(base: Base) {
    let store = base.open().await;
    store.add_account(&account("1", "ada")).await.unwrap();
    let open = session("secret", 60);
    store.begin_session(&open).await.unwrap();
    let found = store.session(&open.token, at(59)).await.unwrap();
    assert_eq!(found, Some((open.clone(), account("1", "ada"))));
    assert_eq!(store.session(&open.token, at(60)).await.unwrap(), None);
    assert_eq!(store.session(&TokenHash::of("guess"), at(0)).await.unwrap(), None);
    store.prolong_session(&open.token, at(90)).await.unwrap();
    assert!(store.session(&open.token, at(89)).await.unwrap().is_some());
    store.end_session(&open.token).await.unwrap();
    assert_eq!(store.session(&open.token, at(0)).await.unwrap(), None);
    store.begin_session(&session("a", 10)).await.unwrap();
    store.begin_session(&session("b", 20)).await.unwrap();
    assert_eq!(store.forget_expired_sessions(at(10)).await.unwrap(), 1);
    assert!(store.session(&TokenHash::of("b"), at(10)).await.unwrap().is_some());
    store.end_sessions("1").await.unwrap();
    assert_eq!(store.session(&TokenHash::of("b"), at(10)).await.unwrap(), None);
}

pub(crate) async fn a_closed_account_has_no_session(base: Base) {
    let store = base.open().await;
    let mut ada = account("1", "ada");
    store.add_account(&ada).await.unwrap();
    // A new password ends what somebody may have begun with the old one; a new name does not.
    let changes: [(Change, bool); 4] = [
        (|account| account.name = "ada b".into(), true),
        (|account| account.password = "another".into(), false),
        (|account| account.role = Role::Skipper, false),
        (|account| account.active = false, false),
    ];
    for (number, (change, lasts)) in changes.into_iter().enumerate() {
        let open = session(&format!("secret {number}"), 60);
        store.begin_session(&open).await.unwrap();
        change(&mut ada);
        store.change_account(&ada).await.unwrap();
        assert_eq!(store.session(&open.token, at(0)).await.unwrap().is_some(), lasts, "change {number}");
    }
    let refused = store.begin_session(&session("late", 60)).await;
    assert!(matches!(refused, Err(StoreError::Missing { .. })), "{refused:?}");
}

pub(crate) async fn hashes_stay_out_of_logs(base: Base) {
    let store = base.open().await;
    store.add_account(&account("1", "ada")).await.unwrap();
    let shown = format!("{:?}", store.account("1").await.unwrap());
    assert!(shown.contains("ada") && !shown.contains("argon2id"), "{shown}");
}
