//! What is done to a store from the command line, while the server may be running: backups, bringing them back, a way in
//! for whoever lost theirs.

use std::path::Path;

use jiff::Timestamp;
use store::{Account, Address, Backup, Options, Role, Store};

use crate::app::Failure;
use crate::people;

/// Backs a store up into a new file; `portable` for the form that either database takes.
///
/// # Errors
/// If the store can't be opened, or there is such a file.
pub fn backup(place: &Address, to: &Path, portable: bool) -> Result<Backup, Failure> {
    running(async {
        let store = Store::open(place, &Options::default()).await?;
        let made = if portable { store.backup_portable(to).await } else { store.backup(to).await };
        store.close().await;
        Ok(made?)
    })
}

/// Brings a backup back into a store that is empty; gives back how many events it has.
///
/// # Errors
/// If the store is not empty, or the backup is not whole. The store is then as it was.
pub fn restore(place: &Address, from: &Path) -> Result<i64, Failure> {
    running(async {
        let store = Store::restore(place, &Options::default(), from).await?;
        let newest = store.newest().await?;
        store.close().await;
        Ok(newest.0)
    })
}

/// Makes a way in for one of the base's people who can't sign in any more, or for a new manager: the end of an address,
/// which holds once.
///
/// # Errors
/// If the store fails.
pub fn invite(place: &Address, name: &str, now: Timestamp) -> Result<String, Failure> {
    running(async {
        let store = Store::open(place, &Options::default()).await?;
        let account = if let Some(account) = store.account_named(name).await? {
            let open = Account { active: true, password: people::NO_PASSWORD.to_owned(), ..account };
            store.change_account(&open).await?;
            open
        } else {
            let fresh = people::new_account(name, Role::Manager, now)?;
            store.add_account(&fresh).await?;
            fresh
        };
        let tail = people::invitation(&store, &account.id, now).await?;
        store.close().await;
        Ok(tail)
    })
}

fn running<T>(work: impl Future<Output = Result<T, Failure>>) -> Result<T, Failure> {
    tokio::runtime::Builder::new_current_thread().enable_all().build()?.block_on(work)
}
