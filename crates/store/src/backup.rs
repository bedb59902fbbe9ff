//! Backups of a store that is in use, and bringing them back into an empty one.

use std::path::{Path, PathBuf};

use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection, SqlitePool};
use sqlx::{AssertSqlSafe, Connection as _};

use crate::address::{Address, Options, Place};
use crate::database::{Pools, Transactor};
use crate::error::StoreError;
use crate::fault::told;
use crate::portable::{self, file_error};
use crate::schema;
use crate::store::{Store, private_file};
use crate::tables::TABLES;

/// How an SQLite file begins.
const SQLITE: &[u8] = b"SQLite format 3\0";

/// The form of a backup that was made. Either has all of the store, with persons and password hashes: only its owner
/// may read the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Backup {
    /// An SQLite file, which can also be opened as it is.
    File,
    /// Lines of JSON, which either database takes.
    Portable,
}

impl Store {
    /// Backs the store up while it is in use: as a file from SQLite, in the portable form from PostgreSQL. It has
    /// everything that was acknowledged before this was called. The file appears when it is complete and on the disk.
    ///
    /// # Errors
    /// [`StoreError::File`] if there is a file of this name: no backup is ever overwritten.
    pub async fn backup(&self, to: &Path) -> Result<Backup, StoreError> {
        let Pools::Sqlite { read, .. } = &self.database.pools else { return self.backup_portable(to).await };
        let part = begin(to)?;
        let done = copy(read, &part).await;
        or_remove(&part, done)?;
        finish(&part, to)?;
        Ok(Backup::File)
    }

    /// Backs the store up in the portable form, to move to the other database or to be read by other programs.
    pub async fn backup_portable(&self, to: &Path) -> Result<Backup, StoreError> {
        let part = begin(to)?;
        let file = private_file(&part).map_err(|error| file_error(&part, &error))?;
        let done = match self.database.snapshot().await {
            Ok(mut snapshot) => portable::write(&mut snapshot, tokio::fs::File::from_std(file), &part).await,
            Err(error) => Err(error),
        };
        or_remove(&part, done)?;
        finish(&part, to)?;
        Ok(Backup::Portable)
    }

    /// Brings a backup of either form back, also one by an earlier version of Becket, and opens the store. A backup
    /// that is an SQLite file goes into a new file only.
    ///
    /// # Errors
    /// [`StoreError::NotEmpty`] if the store holds anything; [`StoreError::BadBackup`] if the backup is not whole.
    /// The store is then as it was.
    pub async fn restore(address: &Address, options: &Options, from: &Path) -> Result<Self, StoreError> {
        let mut head = [0; SQLITE.len()];
        let read = std::fs::File::open(from).and_then(|mut file| std::io::Read::read(&mut file, &mut head));
        let length = read.map_err(|error| file_error(from, &error))?;
        let store = if &head[..length] == SQLITE {
            restore_file(address, from).await?;
            Self::open(address, options).await?
        } else {
            restore_portable(address, options, from).await?
        };
        store.check().await?;
        Ok(store)
    }
}

/// Copies all pages in use, as of one moment, and looks whether the copy is whole.
async fn copy(pool: &SqlitePool, part: &Path) -> Result<(), StoreError> {
    private_file(part).map_err(|error| file_error(part, &error))?;
    let copied = sqlx::query("vacuum into $1").bind(part.display().to_string()).execute(pool).await;
    copied.map_err(|error| told(error, &format!("the backup {}", part.display())))?;
    sound(part).await
}

/// Removes what there is of a backup that can't be completed.
fn or_remove(part: &Path, done: Result<(), StoreError>) -> Result<(), StoreError> {
    if done.is_err() {
        remove_if_there(part)?;
    }
    done
}

async fn restore_file(address: &Address, from: &Path) -> Result<(), StoreError> {
    let Place::File(path) = &address.0 else {
        return Err(StoreError::BadBackup {
            path: from.display().to_string(),
            line: 0,
            detail: "it is an SQLite file, and goes into a new file only; open it there and make a portable backup".into(),
        });
    };
    // A log left behind by another store would be taken for this one's.
    for (path, found) in [(path.clone(), "something"), (beside(path, "-wal"), "a write-ahead log beside it")]
    {
        if std::fs::metadata(&path).is_ok_and(|file| file.len() > 0) {
            return Err(StoreError::NotEmpty { place: address.to_string(), found: found.into() });
        }
    }
    sound(from).await?;
    let part = beside(path, ".part");
    remove_if_there(&part)?;
    private_file(&part).map_err(|error| file_error(&part, &error))?;
    std::fs::copy(from, &part).map_err(|error| file_error(&part, &error))?;
    remove_if_there(path)?;
    finish(&part, path)
}

async fn restore_portable(address: &Address, options: &Options, from: &Path) -> Result<Store, StoreError> {
    let store = Store::connect(address, options).await?;
    let mut change = store.database.change().await?;
    schema::lock(&mut change).await?;
    if let Some(version) = schema::version(&mut change).await? {
        // Brought forward first, so that all of our tables can be looked at.
        schema::step(&mut change, version, schema::KNOWN).await?;
        empty(&mut change).await?;
        schema::remove(&mut change).await?;
    }
    portable::read(&mut change, from).await?;
    if let Some(version) = schema::version(&mut change).await? {
        schema::step(&mut change, version, schema::KNOWN).await?;
    }
    change.commit().await?;
    Ok(store)
}

/// Refuses a store that holds anything.
async fn empty(change: &mut Transactor) -> Result<(), StoreError> {
    for table in TABLES.iter().filter(|table| table.name != "counters") {
        let sql = format!("select count(*) from {}", table.name);
        let count = change.row(AssertSqlSafe(sql), vec![]).await?.map_or(Ok(0), |row| row.int(0))?;
        if count > 0 {
            let found = format!("{count} rows of “{}”", table.name);
            return Err(StoreError::NotEmpty { place: change.place.to_string(), found });
        }
    }
    Ok(())
}

/// Looks whether an SQLite file that nobody uses is whole.
async fn sound(path: &Path) -> Result<(), StoreError> {
    let bad = |detail: String| StoreError::BadBackup { path: path.display().to_string(), line: 0, detail };
    let options = SqliteConnectOptions::new().filename(path).read_only(true).immutable(true);
    let mut connection =
        SqliteConnection::connect_with(&options).await.map_err(|error| bad(error.to_string()))?;
    let found: Result<String, _> =
        sqlx::query_scalar("pragma integrity_check").fetch_one(&mut connection).await;
    let found = found.map_err(|error| bad(error.to_string()))?;
    connection.close().await.map_err(|error| bad(error.to_string()))?;
    if found == "ok" { Ok(()) } else { Err(bad(found)) }
}

/// The name under which a backup grows until it is complete.
fn begin(to: &Path) -> Result<PathBuf, StoreError> {
    if to.exists() {
        return Err(StoreError::File {
            path: to.display().to_string(),
            detail: "there is a file of this name, and no backup is overwritten".into(),
        });
    }
    let part = beside(to, ".part");
    remove_if_there(&part)?;
    Ok(part)
}

/// Gives a complete file its name, and makes file and name lasting.
fn finish(part: &Path, to: &Path) -> Result<(), StoreError> {
    let folder = to.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    std::fs::File::open(part)
        .and_then(|file| file.sync_all())
        .and_then(|()| std::fs::rename(part, to))
        .and_then(|()| std::fs::File::open(folder))
        .and_then(|folder| folder.sync_all())
        .map_err(|error| file_error(to, &error))
}

fn remove_if_there(path: &Path) -> Result<(), StoreError> {
    match std::fs::remove_file(path) {
        Err(error) if error.kind() != std::io::ErrorKind::NotFound => Err(file_error(path, &error)),
        _ => Ok(()),
    }
}

fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    PathBuf::from(name)
}
