//! Events: appended, never edited, numbered in the order in which they were received.

use std::collections::BTreeMap;
use std::fmt;
use std::str::FromStr;

use jiff::Timestamp;
use sqlx::AssertSqlSafe;

use crate::database::{Row, Transactor};
use crate::error::StoreError;
use crate::store::Store;
use crate::text;
use crate::value::{Value, places, values};

/// Events that go into one statement; both databases take many more values than that.
const CHUNK: usize = 64;

/// The id of an event: a UUID of version 7, made where the event was made.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EventId(String);

impl EventId {
    /// As 36 small letters and hyphens.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl FromStr for EventId {
    type Err = StoreError;

    /// Reads 8-4-4-4-12 hexadecimal digits with version 7 and the usual variant (RFC 9562, section 5.7).
    fn from_str(id: &str) -> Result<Self, StoreError> {
        let small = id.to_ascii_lowercase();
        let shaped = small.len() == 36
            && small.bytes().enumerate().all(|(at, byte)| match at {
                8 | 13 | 18 | 23 => byte == b'-',
                14 => byte == b'7',
                19 => matches!(byte, b'8' | b'9' | b'a' | b'b'),
                _ => byte.is_ascii_hexdigit(),
            });
        if shaped {
            return Ok(Self(small));
        }
        Err(StoreError::Unstorable {
            what: format!("The event “{id}”"),
            detail: "its id is not a UUID of version 7".into(),
        })
    }
}

impl fmt::Display for EventId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// A place in the order of receipt: 1 for the first event, without gaps. [`Seq::START`] is before all.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Seq(pub i64);

impl Seq {
    /// Before the first event.
    pub const START: Self = Self(0);
}

/// An event as its sender made it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Event {
    /// Its id.
    pub id: EventId,
    /// When it happened, by the clock of the device.
    pub at: Timestamp,
    /// Who: an account or a crew's link.
    pub who: String,
    /// Which device.
    pub device: String,
    /// Which boat.
    pub boat: String,
    /// Which charter, if it is of one.
    pub charter: Option<String>,
    /// The earlier event that this one answers. It may arrive later than this one.
    pub answers: Option<EventId>,
    /// What happened, as JSON.
    pub body: String,
}

/// An event with how it was received.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// Its place in the order of receipt.
    pub seq: Seq,
    /// When it was received, by the clock of the store's user.
    pub taken: Timestamp,
    /// The event.
    pub event: Event,
}

/// An event that came with the id of another that says something else.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused {
    /// When it was received.
    pub taken: Timestamp,
    /// What it says.
    pub event: Event,
}

/// What became of events that were sent. All three kinds are kept, so the sender may forget its copies.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Receipt {
    /// Taken now.
    pub taken: Vec<EventId>,
    /// Here already, word for word.
    pub known: Vec<EventId>,
    /// Refused, as another event has this id; see [`Store::refused_events`].
    pub refused: Vec<EventId>,
    /// The newest event's place after this.
    pub newest: Seq,
}

/// Which events to read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wanted {
    /// Of what.
    pub of: Of,
    /// Only those after this place.
    pub after: Seq,
    /// Not more than this many; `None` for all.
    pub at_most: Option<u32>,
}

/// Of what events are read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Of {
    /// Of everything.
    All,
    /// Of this boat.
    Boat(String),
    /// Of this charter.
    Charter(String),
}

impl Wanted {
    /// All events of this, from the first.
    pub fn all(of: Of) -> Self {
        Self { of, after: Seq::START, at_most: None }
    }
}

impl Store {
    /// Appends events, all or none; `now` is written as the time of receipt.
    ///
    /// An event whose id is here already is not taken again. If it says the same, it is known. If it says something
    /// else (only a fault or a forger makes that happen), the first one stays the event, and the other is refused: it
    /// is kept aside for people to look at, once however often it is sent, and the rest of the batch is taken.
    ///
    /// # Errors
    /// [`StoreError::Unstorable`] for a body that is not JSON, before anything is written.
    pub async fn append(&self, events: &[Event], now: Timestamp) -> Result<Receipt, StoreError> {
        events.iter().try_for_each(Event::check)?;
        let mut change = self.database.change().await?;
        // This also makes others who append wait until we are done, so that numbers become visible in their order.
        let lock = "update counters set value = value where name = 'events' returning value";
        let Some(counter) = change.row(lock, vec![]).await? else {
            return Err(StoreError::Corrupt {
                place: self.place().to_owned(),
                detail: "the counter of events is missing".into(),
            });
        };
        let mut newest = counter.int(0)?;
        let mut receipt =
            Receipt { taken: Vec::new(), known: Vec::new(), refused: Vec::new(), newest: Seq(newest) };
        for batch in events.chunks(CHUNK) {
            take(&mut change, batch, now, &mut newest, &mut receipt).await?;
        }
        if !receipt.taken.is_empty() {
            change.run("update counters set value = $1 where name = 'events'", values![newest]).await?;
        }
        change.commit().await?;
        receipt.newest = Seq(newest);
        Ok(receipt)
    }

    /// Overwrites what events say, for the removal of what a person drew: each with its id, what it says now, and what it
    /// is to say. Events that were kept aside are overwritten as well. What was overwritten is gone from the store's file
    /// too, but not from backups made before. How many were overwritten.
    ///
    /// # Errors
    /// [`StoreError::Unstorable`] for a body that is not JSON, before anything is written.
    pub async fn overwrite(&self, bodies: &[(EventId, String, String)]) -> Result<u64, StoreError> {
        for (id, _, new) in bodies {
            text::json(&format!("The event {id}"), new)?;
        }
        let mut change = self.database.change().await?;
        let mut count = 0;
        for (id, old, new) in bodies {
            for sql in [
                "update events set body = $3 where id = $1 and body = $2",
                "update refused_events set body = $3 where id = $1 and body = $2",
            ] {
                count += change.run(sql, values![id.as_str(), old, new]).await?;
            }
        }
        self.wipe(change, "vacuum events, refused_events").await?;
        Ok(count)
    }

    /// The event of an id.
    pub async fn event(&self, id: &EventId) -> Result<Option<Kept>, StoreError> {
        let sql =
            "select id, at, who, device, boat, charter, answers, body, taken, seq from events where id = $1";
        self.database.row(sql, values![id.as_str()]).await?.as_ref().map(kept).transpose()
    }

    /// Reads events in the order of their receipt.
    pub async fn events(&self, wanted: &Wanted) -> Result<Vec<Kept>, StoreError> {
        let after = wanted.after.0;
        let most = wanted.at_most.map_or(i64::MAX, i64::from);
        let (sql, values) = match &wanted.of {
            Of::All => (
                "select id, at, who, device, boat, charter, answers, body, taken, seq from events
                    where seq > $1 order by seq limit $2",
                values![after, most],
            ),
            Of::Boat(boat) => (
                "select id, at, who, device, boat, charter, answers, body, taken, seq from events
                    where boat = $1 and seq > $2 order by seq limit $3",
                values![boat, after, most],
            ),
            Of::Charter(charter) => (
                "select id, at, who, device, boat, charter, answers, body, taken, seq from events
                    where charter = $1 and seq > $2 order by seq limit $3",
                values![charter, after, most],
            ),
        };
        let rows = self.database.rows(sql, values).await?;
        rows.iter().map(kept).collect()
    }

    /// The place of the newest event.
    pub async fn newest(&self) -> Result<Seq, StoreError> {
        let row = self.database.row("select coalesce(max(seq), 0) from events", vec![]).await?;
        row.map_or(Ok(Seq::START), |row| row.int(0).map(Seq))
    }

    /// Events that came with the id of another, for people to look at.
    pub async fn refused_events(&self) -> Result<Vec<Refused>, StoreError> {
        let sql = "select id, at, who, device, boat, charter, answers, body, taken from refused_events
            order by taken, id, digest";
        let rows = self.database.rows(sql, vec![]).await?;
        rows.iter().map(|row| Ok(Refused { taken: row.time(8)?, event: event(row)? })).collect()
    }
}

impl Event {
    /// Whether it can be stored: its texts are plain, its body is JSON.
    ///
    /// # Errors
    /// [`StoreError::Unstorable`] says what is wrong with it.
    pub fn check(&self) -> Result<(), StoreError> {
        let what = || format!("The event {}", self.id);
        for text in [&self.who, &self.device, &self.boat].into_iter().chain(&self.charter) {
            text::plain(&what(), text)?;
        }
        text::json(&what(), &self.body)
    }
}

/// Takes what is new of a chunk.
async fn take(
    change: &mut Transactor,
    batch: &[Event],
    now: Timestamp,
    newest: &mut i64,
    receipt: &mut Receipt,
) -> Result<(), StoreError> {
    let mut here = same_ids(change, batch).await?;
    let mut rows = Vec::new();
    let mut count = 0;
    for event in batch {
        match here.get(&event.id) {
            None => {
                *newest += 1;
                count += 1;
                rows.push(Value::from(*newest));
                rows.extend(columns(event, now));
                here.insert(event.id.clone(), event.clone());
                receipt.taken.push(event.id.clone());
            }
            Some(known) if known == event => receipt.known.push(event.id.clone()),
            Some(_) => {
                refuse(change, event, now).await?;
                receipt.refused.push(event.id.clone());
            }
        }
    }
    if count == 0 {
        return Ok(());
    }
    let into = "insert into events (seq, id, at, who, device, boat, charter, answers, body, taken) values ";
    let sql = format!("{into}{} on conflict do nothing", places(count, 10));
    let written = change.run(AssertSqlSafe(sql), rows).await?;
    if written == count as u64 {
        return Ok(());
    }
    let detail = "an event was there that was not there a moment ago".to_owned();
    Err(StoreError::Corrupt { place: change.place.to_string(), detail })
}

/// The events that are here under the ids of this chunk.
async fn same_ids(change: &mut Transactor, batch: &[Event]) -> Result<BTreeMap<EventId, Event>, StoreError> {
    let ids: Vec<Value> = batch.iter().map(|event| Value::from(event.id.as_str())).collect();
    let sql = format!(
        "select id, at, who, device, boat, charter, answers, body from events where id in {}",
        places(1, ids.len())
    );
    let rows = change.rows(AssertSqlSafe(sql), ids).await?;
    rows.iter().map(|row| event(row).map(|event| (event.id.clone(), event))).collect()
}

/// Keeps aside an event whose id another has.
async fn refuse(change: &mut Transactor, event: &Event, now: Timestamp) -> Result<(), StoreError> {
    let columns: Vec<Value> = columns(event, now).into();
    // All that the sender said, each part with its length, so that no two events look alike.
    let said: Vec<String> = columns[..columns.len() - 1]
        .iter()
        .map(|column| match column {
            Value::Text(Some(text)) => format!("{}:{text}", text.len()),
            _ => String::new(),
        })
        .collect();
    let values = [columns, values![text::sha256(said.join(";").as_bytes())]].concat();
    let into = "insert into refused_events (id, at, who, device, boat, charter, answers, body, taken, digest)
        values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10) on conflict do nothing";
    change.run(into, values).await?;
    Ok(())
}

/// An event's columns: what the sender said, then the time of receipt.
fn columns(event: &Event, now: Timestamp) -> [Value; 9] {
    [
        event.id.as_str().into(),
        event.at.into(),
        (&event.who).into(),
        (&event.device).into(),
        (&event.boat).into(),
        event.charter.as_deref().into(),
        event.answers.as_ref().map(EventId::as_str).into(),
        (&event.body).into(),
        now.into(),
    ]
}

/// An event of a row that begins with its eight columns.
fn event(row: &Row) -> Result<Event, StoreError> {
    let id = |text: String, at: usize| text.parse::<EventId>().map_err(|_| row.wrong(at, &text));
    Ok(Event {
        id: id(row.text(0)?, 0)?,
        at: row.time(1)?,
        who: row.text(2)?,
        device: row.text(3)?,
        boat: row.text(4)?,
        charter: row.maybe_text(5)?,
        answers: row.maybe_text(6)?.map(|text| id(text, 6)).transpose()?,
        body: row.text(7)?,
    })
}

pub(crate) fn kept(row: &Row) -> Result<Kept, StoreError> {
    Ok(Kept { event: event(row)?, taken: row.time(8)?, seq: Seq(row.int(9)?) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_uuids_of_version_7_are_ids_of_events() {
        // RFC 9562, appendix A.6, is the first.
        let good = "017F22E2-79B0-7CC3-98C4-DC0C0C07398F";
        assert_eq!(good.parse::<EventId>().unwrap().as_str(), "017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
        // Appendix A.3 has one of version 4.
        for bad in ["", "919108f7-52d1-4320-9bac-f847db4148a8", "017f22e279b07cc398c4dc0c0c07398f"] {
            assert!(bad.parse::<EventId>().is_err(), "{bad}");
        }
    }
}
