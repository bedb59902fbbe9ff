//! Persons of a crew. Apart from the events, since these can be removed: events name a person by id only.

use sqlx::AssertSqlSafe;

use crate::database::{Pools, Row, Transactor};
use crate::error::StoreError;
use crate::store::Store;
use crate::text;
use crate::value::{Value, places, values};

/// Charters whose persons are read with one statement.
const CHUNK: usize = 500;

/// What is known of somebody in a crew.
#[derive(Clone, PartialEq, Eq)]
pub struct Person {
    /// Its id.
    pub id: String,
    /// The charter that she sails on.
    pub charter: String,
    /// Name, telephone and the like, as JSON.
    pub fields: String,
}

impl std::fmt::Debug for Person {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        // No names in logs.
        write!(f, "Person {{ {}, charter: {} }}", self.id, self.charter)
    }
}

impl Store {
    /// Saves a person; if there is one of this id, this takes her place.
    pub async fn save_person(&self, person: &Person) -> Result<(), StoreError> {
        text::plain("A person", &person.id)?;
        text::plain("A person", &person.charter)?;
        text::json("What is known of a person", &person.fields)?;
        let mut change = self.database.change().await?;
        let sql = "insert into persons (id, charter, fields) values ($1, $2, $3)
            on conflict (id) do update set charter = excluded.charter, fields = excluded.fields";
        change.run(sql, values![&person.id, &person.charter, &person.fields]).await?;
        change.commit().await
    }

    /// The person of this id.
    pub async fn person(&self, id: &str) -> Result<Option<Person>, StoreError> {
        let sql = "select id, charter, fields from persons where id = $1";
        self.database.row(sql, values![id]).await?.as_ref().map(read).transpose()
    }

    /// The persons of a charter, by id.
    pub async fn persons(&self, charter: &str) -> Result<Vec<Person>, StoreError> {
        let sql = "select id, charter, fields from persons where charter = $1 order by id";
        self.database.rows(sql, values![charter]).await?.iter().map(read).collect()
    }

    /// The persons of these charters, by charter and id.
    pub async fn persons_of(&self, charters: &[String]) -> Result<Vec<Person>, StoreError> {
        let mut all = Vec::new();
        for chunk in charters.chunks(CHUNK) {
            let sql = format!(
                "select id, charter, fields from persons where charter in {} order by charter, id",
                places(1, chunk.len())
            );
            let values: Vec<Value> = chunk.iter().map(Value::from).collect();
            for row in &self.database.rows(AssertSqlSafe(sql), values).await? {
                all.push(read(row)?);
            }
        }
        Ok(all)
    }

    /// Removes a person; whether there was one. What was known of her is gone from the store's file as well, but not
    /// from backups made before.
    pub async fn remove_person(&self, id: &str) -> Result<bool, StoreError> {
        let mut change = self.database.change().await?;
        let count = change.run("delete from persons where id = $1", values![id]).await?;
        self.wipe(change, "vacuum persons").await?;
        Ok(count > 0)
    }

    /// Removes all persons of a charter; how many there were. As [`Store::remove_person`].
    pub async fn remove_persons(&self, charter: &str) -> Result<u64, StoreError> {
        let mut change = self.database.change().await?;
        let count = change.run("delete from persons where charter = $1", values![charter]).await?;
        self.wipe(change, "vacuum persons").await?;
        Ok(count)
    }

    /// Commits a removal, and sees that the removed rows do not stay where the database has written them.
    pub(crate) async fn wipe(&self, change: Transactor, vacuum: &'static str) -> Result<(), StoreError> {
        change.commit().await?;
        let done = match &self.database.pools {
            // SQLite overwrites removed rows in its file; older pages of them are in the write-ahead log.
            Pools::Sqlite { write, .. } => {
                sqlx::query("pragma wal_checkpoint(truncate)").execute(write).await.map(|_| ())
            }
            // PostgreSQL keeps removed rows until it tidies up.
            Pools::Postgres(pool) => sqlx::query(vacuum).execute(pool).await.map(|_| ()),
        };
        match done {
            Ok(()) => Ok(()),
            Err(error) => Err(self.database.told(error).await),
        }
    }
}

fn read(row: &Row) -> Result<Person, StoreError> {
    Ok(Person { id: row.text(0)?, charter: row.text(1)?, fields: row.text(2)? })
}
