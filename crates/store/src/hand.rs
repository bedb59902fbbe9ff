//! Which events of a boat are at hand when the base opens: worked out by whoever knows what events mean, kept here so
//! that a base with many years need not read all of them. It holds nothing that the events do not tell.

use sqlx::AssertSqlSafe;

use crate::error::StoreError;
use crate::event::{Kept, Seq, kept};
use crate::store::Store;
use crate::text;
use crate::value::{Value, places, values};

/// Events that are read with one statement.
const CHUNK: usize = 500;

/// Of a boat's events, those that are at hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hand {
    /// Which boat.
    pub boat: String,
    /// What it says is about her events up to this place; all after it are at hand.
    pub upto: Seq,
    /// Which, and what is known of the others, as JSON.
    pub body: String,
}

impl Store {
    /// What is kept of this of each boat, by boat.
    pub async fn hands(&self) -> Result<Vec<Hand>, StoreError> {
        let rows = self.database.rows("select boat, upto, body from kept order by boat", vec![]).await?;
        let read = |row: &crate::database::Row| {
            Ok(Hand { boat: row.text(0)?, upto: Seq(row.int(1)?), body: row.text(2)? })
        };
        rows.iter().map(read).collect()
    }

    /// Keeps this of a boat, in place of what was kept before.
    pub async fn save_hand(&self, hand: &Hand) -> Result<(), StoreError> {
        let what = format!("What is at hand of “{}”", hand.boat);
        text::plain(&what, &hand.boat)?;
        text::json(&what, &hand.body)?;
        let mut change = self.database.change().await?;
        let sql = "insert into kept (boat, upto, body) values ($1, $2, $3)
            on conflict (boat) do update set upto = excluded.upto, body = excluded.body";
        change.run(sql, values![&hand.boat, hand.upto.0, &hand.body]).await?;
        change.commit().await
    }

    /// The events at these places, in their order.
    pub async fn events_at(&self, places_of: &[Seq]) -> Result<Vec<Kept>, StoreError> {
        let mut all = Vec::with_capacity(places_of.len());
        for chunk in places_of.chunks(CHUNK) {
            let sql = format!(
                "select id, at, who, device, boat, charter, answers, body, taken, seq from events where seq in {}
                    order by seq",
                places(1, chunk.len())
            );
            let values: Vec<Value> = chunk.iter().map(|seq| Value::from(seq.0)).collect();
            let rows = self.database.rows(AssertSqlSafe(sql), values).await?;
            for row in &rows {
                all.push(kept(row)?);
            }
        }
        Ok(all)
    }

    /// The boats of which there are events, by name.
    pub async fn boats_with_events(&self) -> Result<Vec<String>, StoreError> {
        let mut all: Vec<String> = Vec::new();
        // A step along the index for each boat, in place of a look at every event.
        loop {
            let before = all.last().map_or("", String::as_str);
            let sql = "select boat from events where boat > $1 order by boat limit 1";
            match self.database.row(sql, values![before]).await? {
                Some(row) => all.push(row.text(0)?),
                None => return Ok(all),
            }
        }
    }
}
