//! Opening a store, and looking whether it is sound.

use std::path::Path;
use std::sync::Arc;

use sqlx::postgres::{PgConnectOptions, PgConnection, PgPoolOptions};
use sqlx::sqlite::{
    SqliteConnectOptions, SqliteJournalMode, SqlitePool, SqlitePoolOptions, SqliteSynchronous,
};
use sqlx::{ConnectOptions as _, Connection as _, Executor as _};

use crate::address::{Address, Options, Place};
use crate::database::{Database, Pools};
use crate::error::StoreError;
use crate::fault::told;
use crate::schema;

/// Bytes of a page of an SQLite file, as SQLite has it if nothing else is said.
const PAGE: u64 = 4096;
/// Connections for reading from SQLite at once.
const READERS: u32 = 4;
/// Rows that SQLite reads ahead of who asked for them.
const ROWS_AHEAD: usize = 1000;
/// Connections to PostgreSQL at once; its servers usually allow 100 in all.
const CONNECTIONS: u32 = 8;

/// An open store. Clones share its connections, and it may be used by many at once.
#[derive(Clone)]
pub struct Store {
    pub(crate) database: Database,
}

impl Store {
    /// Opens the store, and makes it if there is none. A store of an earlier version of Becket is brought forward.
    ///
    /// # Errors
    /// [`StoreError::NewerSchema`] for a store of a later version, [`StoreError::Foreign`] for a file or database
    /// that holds something else, [`StoreError::NotDurable`], [`StoreError::Unreachable`].
    pub async fn open(address: &Address, options: &Options) -> Result<Self, StoreError> {
        let store = Self::connect(address, options).await?;
        let mut change = store.database.change().await?;
        schema::bring_forward(&mut change).await?;
        change.commit().await?;
        Ok(store)
    }

    /// Connects, without looking at what is there.
    pub(crate) async fn connect(address: &Address, options: &Options) -> Result<Self, StoreError> {
        let place: Arc<str> = address.to_string().into();
        let pools = match &address.0 {
            Place::Memory => memory(options).await.map_err(|error| told(error, &place))?,
            Place::File(path) => {
                if !path.exists() {
                    make_private(path)?;
                }
                file(path, options).await.map_err(|error| told(error, &place))?
            }
            Place::Postgres(server) => postgres(server, options, &place).await?,
        };
        Ok(Self { database: Database { pools, place } })
    }

    /// Ends all connections, after what is being done. An SQLite file is then complete without the files beside it.
    pub async fn close(&self) {
        match &self.database.pools {
            Pools::Sqlite { read, write } => {
                read.close().await;
                write.close().await;
            }
            Pools::Postgres(pool) => pool.close().await,
        }
    }

    /// Where it is, in words; without a password.
    pub fn place(&self) -> &str {
        &self.database.place
    }

    /// Looks whether the store is sound: the file (SQLite), what refers to what, the numbers of the events, and that
    /// each photo is what its name says. Reads everything.
    ///
    /// # Errors
    /// [`StoreError::Corrupt`] with the first thing found.
    pub async fn check(&self) -> Result<(), StoreError> {
        let mut snapshot = self.database.snapshot().await?;
        let mut found = Vec::new();
        if self.database.is_sqlite() {
            for row in snapshot.rows("pragma integrity_check", vec![]).await? {
                found.push(row.text(0)?);
            }
            found.retain(|line| line != "ok");
            if !snapshot.rows("pragma foreign_key_check", vec![]).await?.is_empty() {
                found.push("a row refers to one that is not there".into());
            }
        }
        let numbers = "select count(*), coalesce(max(seq), 0), coalesce(min(seq), 1),
            (select value from counters where name = 'events') from events";
        if let Some(row) = snapshot.row(numbers, vec![]).await? {
            let (count, last, first, counter) = (row.int(0)?, row.int(1)?, row.int(2)?, row.int(3)?);
            if first != 1 || count != last || last != counter {
                found.push(format!(
                    "{count} events are numbered from {first} to {last}, and the counter says {counter}"
                ));
            }
        }
        drop(snapshot);
        if let Some(first) = found.into_iter().next() {
            return Err(StoreError::Corrupt { place: self.place().to_owned(), detail: first });
        }
        self.check_photos().await
    }
}

/// Makes the file so that only its owner may read it: it will hold names and password hashes. The files that SQLite
/// keeps beside it get the same rights.
pub(crate) fn make_private(path: &Path) -> Result<(), StoreError> {
    private_file(path)
        .map(|_| ())
        .map_err(|error| StoreError::File { path: path.display().to_string(), detail: error.to_string() })
}

/// A new file that only its owner may read; it must not be there yet.
pub(crate) fn private_file(path: &Path) -> std::io::Result<std::fs::File> {
    let mut options = std::fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path)
}

async fn file(path: &Path, options: &Options) -> Result<Pools, sqlx::Error> {
    let connection = sqlite_options(options).filename(path).create_if_missing(true);
    // The first connection turns on the write-ahead log, before others come.
    let write = sqlite_pool(1, options).connect_with(connection.clone()).await?;
    let read = sqlite_pool(READERS, options).connect_with(connection).await?;
    Ok(Pools::Sqlite { read, write })
}

async fn memory(options: &Options) -> Result<Pools, sqlx::Error> {
    // One connection for all, kept for ever: it is the store.
    let pool: SqlitePool = sqlite_pool(1, options)
        .min_connections(1)
        .idle_timeout(None)
        .max_lifetime(None)
        .connect_with(sqlite_options(options).in_memory(true))
        .await?;
    Ok(Pools::Sqlite { read: pool.clone(), write: pool })
}

fn sqlite_pool(connections: u32, options: &Options) -> SqlitePoolOptions {
    SqlitePoolOptions::new()
        .max_connections(connections)
        // A little longer than SQLite itself waits, so that its words are heard.
        .acquire_timeout(options.patience + std::time::Duration::from_secs(1))
        .test_before_acquire(false)
        // Ends what was not committed. Usually there is nothing to end, which SQLite says as an error.
        .after_release(|connection, _| {
            Box::pin(async move {
                match sqlx::query("rollback").execute(connection).await {
                    Ok(_) | Err(sqlx::Error::Database(_)) => Ok(true),
                    Err(_) => Ok(false),
                }
            })
        })
}

fn sqlite_options(options: &Options) -> SqliteConnectOptions {
    let mut connection = SqliteConnectOptions::new()
        .journal_mode(SqliteJournalMode::Wal)
        .synchronous(SqliteSynchronous::Full)
        .foreign_keys(true)
        .busy_timeout(options.patience)
        // Long lists come over in larger parts than the usual 50 rows.
        .row_buffer_size(ROWS_AHEAD)
        // What is removed is overwritten: a person's data must not stay in free pages.
        .pragma("secure_delete", "on")
        .disable_statement_logging();
    if let Some(bytes) = options.largest_file {
        connection = connection.pragma("max_page_count", (bytes / PAGE).max(1).to_string());
    }
    connection
}

async fn postgres(server: &PgConnectOptions, options: &Options, place: &str) -> Result<Pools, StoreError> {
    let connection = server.clone().application_name("becket").disable_statement_logging();
    // The pool would only say that it waited; one connection by itself says why.
    let mut first = PgConnection::connect_with(&connection).await.map_err(|error| told(error, place))?;
    let durable: Result<String, _> = sqlx::query_scalar("show fsync").fetch_one(&mut first).await;
    if durable.map_err(|error| told(error, place))? != "on" {
        let detail = "its setting “fsync” is off".to_owned();
        return Err(StoreError::NotDurable { place: place.to_owned(), detail });
    }
    first.close().await.map_err(|error| told(error, place))?;
    let wait = options.patience.as_millis();
    let pool = PgPoolOptions::new()
        .max_connections(CONNECTIONS)
        .acquire_timeout(options.patience)
        .after_connect(move |connection, _| {
            Box::pin(async move {
                // A database may be set to acknowledge before the disk has it; we are not.
                connection.execute("set synchronous_commit = on").await?;
                connection.execute(sqlx::AssertSqlSafe(format!("set lock_timeout = {wait}"))).await?;
                Ok(())
            })
        })
        .connect_with(connection)
        .await
        .map_err(|error| told(error, place))?;
    Ok(Pools::Postgres(pool))
}
