//! What happened, and how boats and charters stand by it: between the store, which keeps rows, and `records`, which
//! knows what they mean.

use std::collections::BTreeMap;
use std::sync::{Arc, RwLock};

use jiff::Timestamp;
use records::{BoatId, CharterId, Event, Moment, Records, Standing, Taken};
use store::{Of, Receipt, Seq, Store, StoreError, Wanted};

use crate::app::Failure;

/// What is known of one boat, and of the charters on which she sails or was to sail.
#[derive(Debug, Clone)]
pub(crate) struct Book {
    /// The boat.
    pub(crate) boat: BoatId,
    /// Her events, and all of her charters.
    pub(crate) records: Records,
    /// How she stands.
    pub(crate) standing: Standing,
}

/// The books of all boats.
#[derive(Debug)]
pub(crate) struct Ledger {
    books: RwLock<Books>,
}

#[derive(Debug, Default)]
struct Books {
    newest: Seq0,
    by_boat: BTreeMap<BoatId, Arc<Book>>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Seq0(i64);

impl Default for Seq0 {
    fn default() -> Self {
        Self(Seq::START.0)
    }
}

impl Ledger {
    /// Reads all events of a store.
    pub(crate) async fn open(store: &Store) -> Result<Self, Failure> {
        let ledger = Self { books: RwLock::default() };
        ledger.refresh(store).await?;
        Ok(ledger)
    }

    /// The book of a boat; an empty one if nothing was ever told of her.
    pub(crate) fn boat(&self, boat: &str) -> Arc<Book> {
        let id = BoatId::new(boat);
        let books = self.books.read().unwrap_or_else(std::sync::PoisonError::into_inner);
        books.by_boat.get(&id).cloned().unwrap_or_else(|| {
            Arc::new(Book { boat: id, records: Records::new(), standing: Standing::default() })
        })
    }

    /// The book that holds a charter: that of the boat on which it is planned now.
    pub(crate) fn charter(&self, charter: &str) -> Option<Arc<Book>> {
        let id = CharterId::new(charter);
        let books = self.books.read().unwrap_or_else(std::sync::PoisonError::into_inner);
        let holds =
            |book: &&Arc<Book>| book.standing.charters.get(&id).is_some_and(|it| it.boat == book.boat);
        books.by_boat.values().find(holds).cloned()
    }

    /// The books of all boats of which anything was told.
    pub(crate) fn all(&self) -> Vec<Arc<Book>> {
        let books = self.books.read().unwrap_or_else(std::sync::PoisonError::into_inner);
        books.by_boat.values().cloned().collect()
    }

    /// Takes events in: into the store first, then into the books.
    pub(crate) async fn append(
        &self,
        store: &Store,
        events: &[Event],
        now: Timestamp,
    ) -> Result<Receipt, StoreError> {
        let rows = events.iter().map(row).collect::<Result<Vec<_>, _>>()?;
        let receipt = store.append(&rows, now).await?;
        self.refresh(store).await?;
        Ok(receipt)
    }

    /// Takes in what the store has that the books do not.
    pub(crate) async fn refresh(&self, store: &Store) -> Result<(), StoreError> {
        let after = self.books.read().unwrap_or_else(std::sync::PoisonError::into_inner).newest;
        let wanted = Wanted { of: Of::All, after: Seq(after.0), at_most: None };
        let fresh = store.events(&wanted).await?;
        let mut books = self.books.write().unwrap_or_else(std::sync::PoisonError::into_inner);
        let mut touched: BTreeMap<BoatId, Vec<Taken>> = BTreeMap::new();
        for kept in &fresh {
            books.newest = books.newest.max(Seq0(kept.seq.0));
            let Ok(event) = event(&kept.event) else { continue };
            let received = Some(Moment::from_milliseconds(kept.taken.as_millisecond()));
            touched.entry(event.boat.clone()).or_default().push(Taken { event, received });
        }
        for (boat, taken) in touched {
            let mut records = books.by_boat.get(&boat).map(|book| book.records.clone()).unwrap_or_default();
            records.extend(taken);
            let standing = records.standing();
            books.by_boat.insert(boat.clone(), Arc::new(Book { boat, records, standing }));
        }
        Ok(())
    }
}

/// An event as a row of the store. The body is what it says; all of it if it came with more than this version knows.
pub(crate) fn row(event: &Event) -> Result<store::Event, StoreError> {
    let unstorable =
        |detail: String| StoreError::Unstorable { what: format!("The event “{}”", event.id), detail };
    let json = |value: serde_json::Result<String>| value.map_err(|error| unstorable(error.to_string()));
    let body = if event.as_sent.is_some() {
        serde_json::to_string(event)
    } else {
        serde_json::to_string(&event.what)
    };
    let at = Timestamp::from_millisecond(event.at.milliseconds())
        .map_err(|error| unstorable(error.to_string()))?;
    Ok(store::Event {
        id: event.id.to_string().parse()?,
        at,
        who: json(serde_json::to_string(&event.who))?,
        device: event.device.as_str().to_owned(),
        boat: event.boat.as_str().to_owned(),
        charter: event.charter.as_ref().map(|charter| charter.as_str().to_owned()),
        answers: event.answers.map(|id| id.to_string().parse()).transpose()?,
        body: json(body)?,
    })
}

/// A row of the store as an event.
pub(crate) fn event(row: &store::Event) -> serde_json::Result<Event> {
    let body: serde_json::Value = serde_json::from_str(&row.body)?;
    // What an event says has a kind; a whole event has something that it says.
    if body.get("kind").is_none() && body.get("what").is_some() {
        return serde_json::from_value(body);
    }
    let who: serde_json::Value = serde_json::from_str(&row.who)?;
    let mut whole = serde_json::json!({
        "id": row.id.as_str(), "at": row.at.as_millisecond(), "who": who,
        "device": row.device, "boat": row.boat, "what": body,
    });
    if let Some(charter) = &row.charter {
        whole["charter"] = charter.as_str().into();
    }
    if let Some(answers) = &row.answers {
        whole["answers"] = answers.as_str().into();
    }
    serde_json::from_value(whole)
}
