//! The tables, and how a store of an earlier version comes to have them: numbered steps, forward only.

use sqlx::AssertSqlSafe;

use crate::database::Transactor;
use crate::error::StoreError;
use crate::tables::TABLES;
use crate::value::values;

/// Each version's step from the one before. A step that was released is never edited.
const STEPS: [&str; 3] = [
    include_str!("migrations/0001.sql"),
    include_str!("migrations/0002.sql"),
    include_str!("migrations/0003.sql"),
];

/// The version that this program writes.
pub(crate) const KNOWN: u32 = 3;

const _: () = assert!(STEPS.len() == KNOWN as usize, "each version has its step");

/// Brings the store to the newest version, from whichever it has. In one transaction: it is done, or as before.
pub(crate) async fn bring_forward(change: &mut Transactor) -> Result<(), StoreError> {
    lock(change).await?;
    match version(change).await? {
        Some(found) => step(change, found, KNOWN).await,
        None => make(change, KNOWN).await,
    }
}

/// Makes the tables of this version in an empty database.
pub(crate) async fn make(change: &mut Transactor, wanted: u32) -> Result<(), StoreError> {
    let sql = write_for(change, "create table becket_schema (version {int} primary key){end}");
    change.script(AssertSqlSafe(sql)).await?;
    change.run("insert into becket_schema (version) values (0)", vec![]).await?;
    step(change, 0, wanted).await
}

/// Takes the steps after `from`, up to `wanted`.
pub(crate) async fn step(change: &mut Transactor, from: u32, wanted: u32) -> Result<(), StoreError> {
    if from > KNOWN {
        let place = change.place.to_string();
        return Err(StoreError::NewerSchema { place, found: from, known: KNOWN });
    }
    for number in from..wanted {
        let sql = write_for(change, STEPS[number as usize]);
        change.script(AssertSqlSafe(sql)).await?;
        change.run("update becket_schema set version = $1", values![number + 1]).await?;
    }
    Ok(())
}

/// Two servers that start at once must not both make the tables. SQLite's transaction has locked the file already.
pub(crate) async fn lock(change: &mut Transactor) -> Result<(), StoreError> {
    if !change.is_sqlite() {
        // Any number will do that other programs do not use: these are the letters of “becket”.
        change
            .rows("select 1 from (select pg_advisory_xact_lock(108170552140148)) as locked", vec![])
            .await?;
    }
    Ok(())
}

/// The version of a store; `None` if there is nothing at all, an error if there is something else.
pub(crate) async fn version(change: &mut Transactor) -> Result<Option<u32>, StoreError> {
    let tables = table_names(change).await?;
    if tables.iter().any(|name| name == "becket_schema") {
        let row = change.row("select version from becket_schema", vec![]).await?;
        let Some(row) = row else {
            let place = change.place.to_string();
            return Err(StoreError::Corrupt {
                place,
                detail: "it does not say which version it is of".into(),
            });
        };
        return row.count(0).map(Some);
    }
    match tables.first() {
        None => Ok(None),
        Some(other) => Err(StoreError::Foreign {
            place: change.place.to_string(),
            found: format!("a table “{other}” and no version of ours"),
        }),
    }
}

async fn table_names(change: &mut Transactor) -> Result<Vec<String>, StoreError> {
    let sql = if change.is_sqlite() {
        "select name from sqlite_schema where type = 'table' and name not like 'sqlite_%' order by name"
    } else {
        "select tablename::text from pg_tables where schemaname = current_schema() order by tablename"
    };
    change.rows(sql, vec![]).await?.iter().map(|row| row.text(0)).collect()
}

/// Removes all tables. For a store that was found to be empty.
pub(crate) async fn remove(change: &mut Transactor) -> Result<(), StoreError> {
    let present = table_names(change).await?;
    for table in TABLES.iter().rev() {
        if present.iter().any(|name| name == table.name) {
            change.script(AssertSqlSafe(format!("drop table {}", table.name))).await?;
        }
    }
    change.script("drop table becket_schema").await
}

/// The step as this database has it. Texts in PostgreSQL sort by their bytes, as in SQLite.
fn write_for(change: &Transactor, step: &str) -> String {
    let words = if change.is_sqlite() {
        [("{text}", "text"), ("{int}", "integer"), ("{bytes}", "blob"), ("{end}", " strict")]
    } else {
        [("{text}", "text collate \"C\""), ("{int}", "bigint"), ("{bytes}", "bytea"), ("{end}", "")]
    };
    words.iter().fold(step.to_owned(), |text, (from, to)| text.replace(from, to))
}
