//! The two databases behind one face: values are bound, rows read and transactions begun alike.

use std::sync::Arc;
use std::time::Duration;

use futures_util::{Stream, StreamExt};
use jiff::Timestamp;
use sqlx::pool::PoolConnection;
use sqlx::postgres::{PgConnection, PgPool, PgRow};
use sqlx::sqlite::{SqlitePool, SqliteRow};
use sqlx::{Connection as _, Postgres, Row as _, SqlSafeStr, Sqlite, Transaction};

use crate::error::StoreError;
use crate::fault::told;
use crate::value::Value;

/// A query of either database with its values.
macro_rules! bound {
    ($database:ty, $sql:expr, $values:expr) => {{
        let mut query = sqlx::query::<$database>($sql);
        for value in $values {
            query = match value {
                Value::Text(value) => query.bind(value),
                Value::Int(value) => query.bind(value),
                Value::Bytes(value) => query.bind(value),
            };
        }
        query
    }};
}

/// Connections to a database.
#[derive(Clone)]
pub(crate) struct Database {
    pub(crate) pools: Pools,
    pub(crate) place: Arc<str>,
}

/// SQLite has one writer at a time, so those who write queue for one connection, in order, and not in SQLite's own
/// polling; those who read have others.
#[derive(Clone)]
pub(crate) enum Pools {
    Sqlite { read: SqlitePool, write: SqlitePool },
    Postgres(PgPool),
}

impl Database {
    /// Begins a transaction that changes something. Not committed, it is as if it had never been.
    pub(crate) async fn change(&self) -> Result<Transactor, StoreError> {
        let begun = match &self.pools {
            Pools::Sqlite { write, .. } => begin(write, "begin immediate").await,
            Pools::Postgres(pool) => {
                pool.begin_with("begin isolation level read committed read write").await.map(Kind::Postgres)
            }
        };
        self.begun(begun).await
    }

    /// Begins a transaction that sees one moment of the store however long it takes.
    pub(crate) async fn snapshot(&self) -> Result<Transactor, StoreError> {
        let begun = match &self.pools {
            Pools::Sqlite { read, .. } => begin(read, "begin deferred").await,
            Pools::Postgres(pool) => {
                pool.begin_with("begin isolation level repeatable read read only").await.map(Kind::Postgres)
            }
        };
        self.begun(begun).await
    }

    async fn begun(&self, begun: Result<Kind, sqlx::Error>) -> Result<Transactor, StoreError> {
        match begun {
            Ok(kind) => Ok(Transactor { kind, place: Arc::clone(&self.place) }),
            Err(error) => Err(self.told(error).await),
        }
    }

    /// Reads rows outside of any transaction.
    pub(crate) async fn rows(
        &self,
        sql: impl SqlSafeStr,
        values: Vec<Value>,
    ) -> Result<Vec<Row>, StoreError> {
        let rows = match &self.pools {
            Pools::Sqlite { read, .. } => {
                bound!(Sqlite, sql, values).fetch_all(read).await.map(|rows| self.sqlite_rows(rows))
            }
            Pools::Postgres(pool) => {
                bound!(Postgres, sql, values).fetch_all(pool).await.map(|rows| self.postgres_rows(rows))
            }
        };
        match rows {
            Ok(rows) => Ok(rows),
            Err(error) => Err(self.told(error).await),
        }
    }

    /// The first row, if there is one.
    pub(crate) async fn row(
        &self,
        sql: impl SqlSafeStr,
        values: Vec<Value>,
    ) -> Result<Option<Row>, StoreError> {
        Ok(self.rows(sql, values).await?.into_iter().next())
    }

    fn sqlite_rows(&self, rows: Vec<SqliteRow>) -> Vec<Row> {
        rows.into_iter()
            .map(|row| Row { kind: RowKind::Sqlite(row), place: Arc::clone(&self.place) })
            .collect()
    }

    fn postgres_rows(&self, rows: Vec<PgRow>) -> Vec<Row> {
        rows.into_iter()
            .map(|row| Row { kind: RowKind::Postgres(row), place: Arc::clone(&self.place) })
            .collect()
    }

    pub(crate) async fn told(&self, error: sqlx::Error) -> StoreError {
        match (&self.pools, error) {
            // The pool knocks again and again at a server that does not run, and only says that it waited.
            (Pools::Postgres(pool), sqlx::Error::PoolTimedOut) => self.told_by_one_more_try(pool).await,
            (_, error) => told(error, &self.place),
        }
    }

    async fn told_by_one_more_try(&self, pool: &PgPool) -> StoreError {
        const PATIENCE: Duration = Duration::from_secs(1);
        let options = pool.connect_options();
        match tokio::time::timeout(PATIENCE, PgConnection::connect_with(&options)).await {
            Ok(Ok(_)) => told(sqlx::Error::PoolTimedOut, &self.place),
            Ok(Err(error)) => told(error, &self.place),
            Err(_) => StoreError::Unreachable {
                place: self.place.to_string(),
                detail: "nobody answers there".into(),
            },
        }
    }

    pub(crate) fn is_sqlite(&self) -> bool {
        matches!(self.pools, Pools::Sqlite { .. })
    }
}

/// Begins a transaction in SQLite by plain statements. The library's own transactions count how deep they are, and
/// when SQLite rolls back by itself, as it does on a full disk, that count is wrong for ever. What is not committed is
/// rolled back when the connection returns to its pool (see `store::sqlite_pool`).
async fn begin(pool: &SqlitePool, statement: &'static str) -> Result<Kind, sqlx::Error> {
    let mut connection = pool.acquire().await?;
    sqlx::query(statement).execute(&mut *connection).await?;
    Ok(Kind::Sqlite(connection))
}

enum Kind {
    Sqlite(PoolConnection<Sqlite>),
    Postgres(Transaction<'static, Postgres>),
}

/// A transaction. Dropped without `commit` it is undone.
pub(crate) struct Transactor {
    kind: Kind,
    pub(crate) place: Arc<str>,
}

impl Transactor {
    /// Runs a statement; how many rows it changed.
    pub(crate) async fn run(&mut self, sql: impl SqlSafeStr, values: Vec<Value>) -> Result<u64, StoreError> {
        let count = match &mut self.kind {
            Kind::Sqlite(inner) => {
                bound!(Sqlite, sql, values).execute(&mut **inner).await.map(|done| done.rows_affected())
            }
            Kind::Postgres(inner) => {
                bound!(Postgres, sql, values).execute(&mut **inner).await.map(|done| done.rows_affected())
            }
        };
        count.map_err(|error| told(error, &self.place))
    }

    /// Runs several statements without values, as migrations have them.
    pub(crate) async fn script(&mut self, sql: impl SqlSafeStr) -> Result<(), StoreError> {
        let done = match &mut self.kind {
            Kind::Sqlite(inner) => sqlx::raw_sql(sql).execute(&mut **inner).await.map(|_| ()),
            Kind::Postgres(inner) => sqlx::raw_sql(sql).execute(&mut **inner).await.map(|_| ()),
        };
        done.map_err(|error| told(error, &self.place))
    }

    /// Reads rows.
    pub(crate) async fn rows(
        &mut self,
        sql: impl SqlSafeStr,
        values: Vec<Value>,
    ) -> Result<Vec<Row>, StoreError> {
        let mut rows = Vec::new();
        let mut stream = std::pin::pin!(self.stream(sql, values));
        while let Some(row) = stream.next().await {
            rows.push(row?);
        }
        Ok(rows)
    }

    /// The first row, if there is one.
    pub(crate) async fn row(
        &mut self,
        sql: impl SqlSafeStr,
        values: Vec<Value>,
    ) -> Result<Option<Row>, StoreError> {
        Ok(self.rows(sql, values).await?.into_iter().next())
    }

    /// Reads rows one after the other, for tables that do not fit into memory.
    pub(crate) fn stream(
        &mut self,
        sql: impl SqlSafeStr,
        values: Vec<Value>,
    ) -> impl Stream<Item = Result<Row, StoreError>> + Send + '_ {
        let place = Arc::clone(&self.place);
        let rows = match &mut self.kind {
            Kind::Sqlite(inner) => {
                bound!(Sqlite, sql, values).fetch(&mut **inner).map(|row| row.map(RowKind::Sqlite)).boxed()
            }
            Kind::Postgres(inner) => bound!(Postgres, sql, values)
                .fetch(&mut **inner)
                .map(|row| row.map(RowKind::Postgres))
                .boxed(),
        };
        rows.map(move |row| match row {
            Ok(kind) => Ok(Row { kind, place: Arc::clone(&place) }),
            Err(error) => Err(told(error, &place)),
        })
    }

    /// Makes it lasting: when this comes back well, all of it is on the disk.
    pub(crate) async fn commit(self) -> Result<(), StoreError> {
        let done = match self.kind {
            Kind::Sqlite(mut inner) => sqlx::query("commit").execute(&mut *inner).await.map(|_| ()),
            Kind::Postgres(inner) => inner.commit().await,
        };
        done.map_err(|error| told(error, &self.place))
    }

    pub(crate) fn is_sqlite(&self) -> bool {
        matches!(self.kind, Kind::Sqlite(_))
    }
}

enum RowKind {
    Sqlite(SqliteRow),
    Postgres(PgRow),
}

/// A row that was read. A column that is not of the kind asked for means that the store is damaged.
pub(crate) struct Row {
    kind: RowKind,
    place: Arc<str>,
}

/// Reads a column of either database.
macro_rules! column {
    ($row:expr, $at:expr) => {
        match &$row.kind {
            RowKind::Sqlite(row) => row.try_get($at),
            RowKind::Postgres(row) => row.try_get($at),
        }
        .map_err(|error| told(error, &$row.place))
    };
}

impl Row {
    pub(crate) fn text(&self, at: usize) -> Result<String, StoreError> {
        column!(self, at)
    }

    pub(crate) fn maybe_text(&self, at: usize) -> Result<Option<String>, StoreError> {
        column!(self, at)
    }

    pub(crate) fn int(&self, at: usize) -> Result<i64, StoreError> {
        column!(self, at)
    }

    pub(crate) fn maybe_int(&self, at: usize) -> Result<Option<i64>, StoreError> {
        column!(self, at)
    }

    pub(crate) fn maybe_bytes(&self, at: usize) -> Result<Option<Vec<u8>>, StoreError> {
        column!(self, at)
    }

    pub(crate) fn bytes(&self, at: usize) -> Result<Vec<u8>, StoreError> {
        column!(self, at)
    }

    /// A number that is counted from 0 or 1.
    pub(crate) fn count(&self, at: usize) -> Result<u32, StoreError> {
        let number = self.int(at)?;
        u32::try_from(number).map_err(|_| self.wrong(at, &number.to_string()))
    }

    pub(crate) fn maybe_count(&self, at: usize) -> Result<Option<u32>, StoreError> {
        let Some(number) = self.maybe_int(at)? else { return Ok(None) };
        u32::try_from(number).map(Some).map_err(|_| self.wrong(at, &number.to_string()))
    }

    pub(crate) fn time(&self, at: usize) -> Result<Timestamp, StoreError> {
        let text = self.text(at)?;
        text.parse().map_err(|_| self.wrong(at, &text))
    }

    pub(crate) fn maybe_time(&self, at: usize) -> Result<Option<Timestamp>, StoreError> {
        let Some(text) = self.maybe_text(at)? else { return Ok(None) };
        text.parse().map(Some).map_err(|_| self.wrong(at, &text))
    }

    /// The error for a value that nobody here has written.
    pub(crate) fn wrong(&self, at: usize, value: &str) -> StoreError {
        StoreError::Corrupt {
            place: self.place.to_string(),
            detail: format!("column {at} of a row holds “{value}”"),
        }
    }
}
