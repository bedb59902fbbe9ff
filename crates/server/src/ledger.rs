//! What happened, and how boats and charters stand by it: between the store, which keeps rows, and `records`, which
//! knows what they mean.
//!
//! Of each boat a [`Book`] is in memory. After some years most of her events are of charters that are long over; those
//! stay in the store, and the book has a line of each charter ([`Closed`]). So a base with many boats and years takes
//! memory for what goes on, and an event is taken in at the cost of what goes on. How she stands is the same: which
//! events may stay away is worked out by `records` and looked at before it is so. An event that reaches far back makes
//! the book anew from all events.
//!
//! Who needs what is over (an old charter's page, an owner's month, files to take away) asks for the whole book
//! ([`Ledger::whole`]), which is read when it is asked for.

use std::collections::{BTreeMap, VecDeque};
use std::sync::{Arc, PoisonError, RwLock};

use jiff::{SignedDuration, Timestamp};
use records::{BoatId, CharterId, Closed, Event, EventId, Moment, PersonId, Records, Standing, What};
use serde::{Deserialize, Serialize};
use store::{Of, Receipt, Seq, Store, StoreError, Wanted};
use tokio::sync::Mutex;

use crate::app::Failure;

/// What was over for so long is closed. Judgement: what is owed is settled and corrected within two months.
const KEPT: SignedDuration = SignedDuration::from_hours(24 * 60);

/// A book of fewer events is not closed: it costs nothing.
const FEW: usize = 400;

/// So many whole books are kept in case they are asked for again, as pages of one boat are.
const WHOLE: usize = 4;

/// The way in which it is worked out what is closed. What was kept by another way is worked out again.
const WAY: u32 = 1;

/// What is known of one boat, and of the charters on which she sails or was to sail.
#[derive(Debug, Clone)]
pub(crate) struct Book {
    /// The boat.
    pub(crate) boat: BoatId,
    /// Her events and those of her charters that are at hand.
    pub(crate) records: Records,
    /// How she stands. Of charters that are over only the plan, the stage, and when the crew had her.
    pub(crate) standing: Standing,
    /// What is not at hand; nothing in a whole book.
    closed: Closed,
    /// The place of each event in the store.
    places: BTreeMap<EventId, Seq>,
    /// The newest event of her that it was made from, at hand or not.
    last: Seq,
    /// How many events it had when it was last closed.
    least: usize,
}

/// What the store keeps of a book, so that it opens without all events.
#[derive(Serialize, Deserialize)]
struct Shelf {
    way: u32,
    closed: Closed,
    places: Vec<i64>,
}

/// The books of all boats.
#[derive(Debug)]
pub(crate) struct Ledger {
    books: RwLock<BTreeMap<BoatId, Arc<Book>>>,
    /// The newest event that the books have; held while they take events in, so that they do it in order.
    newest: Mutex<Seq>,
    /// Whole books that were asked for last.
    whole: Mutex<VecDeque<Arc<Book>>>,
}

impl Book {
    fn new(boat: BoatId) -> Self {
        Self {
            boat,
            records: Records::new(),
            standing: Standing::default(),
            closed: Closed::default(),
            places: BTreeMap::new(),
            last: Seq::START,
            least: 0,
        }
    }

    /// Whether of this charter only a line is here.
    pub(crate) fn is_over(&self, charter: &CharterId) -> bool {
        self.closed.holds(charter)
    }

    /// Takes an event in; whether it leaves alone what is closed.
    fn take(&mut self, kept: &store::Kept) -> bool {
        self.last = self.last.max(kept.seq);
        let Ok(event) = event(&kept.event) else { return true };
        let fits = self.closed.fits(&self.records, &event);
        self.places.insert(event.id, kept.seq);
        self.records.take(event, Some(received(kept)));
        fits
    }

    /// The same with all of these.
    fn take_all<'k>(&mut self, all: impl IntoIterator<Item = &'k store::Kept>) -> bool {
        let mut fits = true;
        for kept in all {
            fits &= self.take(kept);
        }
        fits
    }

    /// Works out how she stands.
    fn fold(&mut self) {
        self.standing = self.closed.standing(&self.records);
    }

    /// Whether it has grown enough to be closed again.
    fn has_grown(&self) -> bool {
        self.records.len() > self.least * 3 / 2 + FEW
    }

    fn close(&mut self, since: Moment) {
        let (records, closed) = self.closed.further(&self.records, since);
        self.places.retain(|id, _| records.get(*id).is_some());
        (self.least, self.records, self.closed) = (records.len(), records, closed);
        self.fold();
    }

    fn shelf(&self, upto: Seq) -> serde_json::Result<store::Hand> {
        let places = self.places.values().map(|seq| seq.0).collect();
        let body = serde_json::to_string(&Shelf { way: WAY, closed: self.closed.clone(), places })?;
        Ok(store::Hand { boat: self.boat.as_str().to_owned(), upto, body })
    }
}

fn received(kept: &store::Kept) -> Moment {
    Moment::from_milliseconds(kept.taken.as_millisecond())
}

impl Ledger {
    /// Opens the books: reads what is at hand of each boat, or everything of a boat whose book was never closed.
    pub(crate) async fn open(store: &Store, now: Timestamp) -> Result<Self, Failure> {
        // What comes meanwhile is read again.
        let newest = store.newest().await?;
        let mut hands: BTreeMap<String, store::Hand> =
            store.hands().await?.into_iter().map(|hand| (hand.boat.clone(), hand)).collect();
        let mut books = BTreeMap::new();
        for boat in store.boats_with_events().await? {
            let shelf = hands.remove(&boat).and_then(|hand| {
                let shelf = serde_json::from_str::<Shelf>(&hand.body).ok();
                shelf.filter(|shelf| shelf.way == WAY).map(|shelf| (hand.upto, shelf))
            });
            let id = BoatId::new(boat);
            let book = match shelf {
                Some((upto, shelf)) => at_hand(store, &id, upto, shelf).await?,
                None => None,
            };
            let book = match book {
                Some(book) => book,
                None => all_of(store, &id).await?,
            };
            let book = settle(store, book, newest, now).await?;
            books.insert(id, Arc::new(book));
        }
        let (books, whole) = (RwLock::new(books), Mutex::default());
        let ledger = Self { books, newest: Mutex::new(newest), whole };
        ledger.refresh(store, now).await?;
        Ok(ledger)
    }

    fn books(&self) -> std::sync::RwLockReadGuard<'_, BTreeMap<BoatId, Arc<Book>>> {
        self.books.read().unwrap_or_else(PoisonError::into_inner)
    }

    /// The book of a boat; an empty one if nothing was ever told of her.
    pub(crate) fn boat(&self, boat: &str) -> Arc<Book> {
        let id = BoatId::new(boat);
        self.books().get(&id).cloned().unwrap_or_else(|| Arc::new(Book::new(id)))
    }

    /// The book that holds a charter: that of the boat on which it is planned now. Of a charter that is over it has a
    /// line only; see [`Ledger::whole_charter`].
    pub(crate) fn charter(&self, charter: &str) -> Option<Arc<Book>> {
        let id = CharterId::new(charter);
        let holds =
            |book: &&Arc<Book>| book.standing.charters.get(&id).is_some_and(|it| it.boat == book.boat);
        self.books().values().find(holds).cloned()
    }

    /// The books of all boats of which anything was told.
    pub(crate) fn all(&self) -> Vec<Arc<Book>> {
        self.books().values().cloned().collect()
    }

    /// The book of a boat with all that was ever told.
    pub(crate) async fn whole(&self, store: &Store, boat: &str) -> Result<Arc<Book>, StoreError> {
        let book = self.boat(boat);
        if book.closed == Closed::default() {
            return Ok(book);
        }
        // Held while it is read: who asks for the same one meanwhile finds it here.
        let mut whole = self.whole.lock().await;
        let known = whole.iter().find(|known| known.last >= book.last && known.boat == book.boat);
        if let Some(known) = known {
            return Ok(Arc::clone(known));
        }
        let upto = book.last;
        let mut book = all_of(store, &book.boat).await?;
        // Nothing of her came up to there but what is in it.
        book.last = book.last.max(upto);
        let book = Arc::new(book);
        whole.retain(|other| other.boat != book.boat);
        whole.push_front(Arc::clone(&book));
        whole.truncate(WHOLE);
        Ok(book)
    }

    /// As [`Ledger::charter`], with all that was told of the charter even if it is over.
    pub(crate) async fn whole_charter(
        &self,
        store: &Store,
        charter: &str,
    ) -> Result<Option<Arc<Book>>, StoreError> {
        match self.charter(charter) {
            Some(book) if book.is_over(&CharterId::new(charter)) => {
                self.whole(store, book.boat.as_str()).await.map(Some)
            }
            book => Ok(book),
        }
    }

    /// Takes events in: into the store first, then into the books. If they tell that persons are removed, what those drew
    /// is overwritten, and their names with it; it is left out of what comes later.
    pub(crate) async fn append(
        &self,
        store: &Store,
        events: &[Event],
        now: Timestamp,
    ) -> Result<Receipt, StoreError> {
        let rows = events.iter().map(|event| row(&self.clean(event))).collect::<Result<Vec<_>, _>>()?;
        let receipt = store.append(&rows, now).await?;
        self.refresh(store, now).await?;
        let mut removed: BTreeMap<&BoatId, Vec<PersonId>> = BTreeMap::new();
        for event in events {
            if let What::PersonRemoved { person } = &event.what {
                removed.entry(&event.boat).or_default().push(person.clone());
            }
        }
        for (boat, persons) in removed {
            self.forget(store, boat, &persons, now).await?;
            for person in &persons {
                store.remove_person(person.as_str()).await?;
            }
        }
        Ok(receipt)
    }

    fn clean(&self, event: &Event) -> Event {
        let book = self.boat(event.boat.as_str());
        book.standing.removed.iter().fold(event.clone(), Event::without)
    }

    /// Takes in what the store has that the books do not.
    pub(crate) async fn refresh(&self, store: &Store, now: Timestamp) -> Result<(), StoreError> {
        let mut newest = self.newest.lock().await;
        let wanted = Wanted { of: Of::All, after: *newest, at_most: None };
        let fresh = store.events(&wanted).await?;
        let last = fresh.last().map_or(*newest, |kept| kept.seq);
        let mut touched: BTreeMap<BoatId, Vec<&store::Kept>> = BTreeMap::new();
        for kept in &fresh {
            touched.entry(BoatId::new(kept.event.boat.as_str())).or_default().push(kept);
        }
        for (boat, fresh) in touched {
            let mut book = (*self.boat(boat.as_str())).clone();
            if book.take_all(fresh) {
                book.fold();
            } else {
                book = all_of(store, &boat).await?;
            }
            book = settle(store, book, last, now).await?;
            self.books.write().unwrap_or_else(PoisonError::into_inner).insert(boat, Arc::new(book));
        }
        *newest = last;
        Ok(())
    }

    /// Overwrites what these people drew in all that was told of a boat. What else was told stays.
    async fn forget(
        &self,
        store: &Store,
        boat: &BoatId,
        persons: &[PersonId],
        now: Timestamp,
    ) -> Result<(), StoreError> {
        let kept = store.events(&Wanted::all(Of::Boat(boat.as_str().to_owned()))).await?;
        let aside = store.refused_events().await?;
        let rows = kept.into_iter().map(|kept| kept.event).chain(aside.into_iter().map(|one| one.event));
        let mut bodies = Vec::new();
        for old in rows.filter(|row| row.boat == boat.as_str()) {
            let Ok(event) = event(&old) else { continue };
            let clean = persons.iter().fold(event.clone(), Event::without);
            if clean != event {
                bodies.push((old.id.clone(), old.body.clone(), row(&clean)?.body));
            }
        }
        if bodies.is_empty() {
            return Ok(());
        }
        store.overwrite(&bodies).await?;
        // What is in memory has it no more either.
        let newest = self.newest.lock().await;
        self.whole.lock().await.clear();
        let book = settle(store, all_of(store, boat).await?, *newest, now).await?;
        self.books.write().unwrap_or_else(PoisonError::into_inner).insert(boat.clone(), Arc::new(book));
        Ok(())
    }
}

/// What is over since this moment is closed.
fn since(now: Timestamp) -> Moment {
    let moment = now.checked_sub(KEPT).unwrap_or(Timestamp::MIN);
    Moment::from_milliseconds(moment.as_millisecond())
}

/// A boat's book with all her events.
async fn all_of(store: &Store, boat: &BoatId) -> Result<Book, StoreError> {
    let mut book = Book::new(boat.clone());
    let kept = store.events(&Wanted::all(Of::Boat(boat.as_str().to_owned()))).await?;
    Ok(aside(move || {
        book.take_all(&kept);
        book.fold();
        book
    })
    .await)
}

/// Closes a book again if it has grown enough, and keeps which of its events are at hand then.
async fn settle(store: &Store, mut book: Book, upto: Seq, now: Timestamp) -> Result<Book, StoreError> {
    if !book.has_grown() {
        return Ok(book);
    }
    let book = aside(move || {
        book.close(since(now));
        book
    })
    .await;
    let unstorable = |error: serde_json::Error| StoreError::Unstorable {
        what: format!("The book of “{}”", book.boat),
        detail: error.to_string(),
    };
    store.save_hand(&book.shelf(upto).map_err(unstorable)?).await?;
    Ok(book)
}

/// Does what takes long beside those who answer requests.
async fn aside<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> T {
    match tokio::task::spawn_blocking(work).await {
        Ok(done) => done,
        Err(failed) => match failed.try_into_panic() {
            Ok(panic) => std::panic::resume_unwind(panic),
            // The server ends, and nobody waits for it.
            Err(_) => std::future::pending().await,
        },
    }
}

/// A boat's book with the events that are at hand; nothing if what came since reaches back, or the store has other
/// events than were put down.
async fn at_hand(store: &Store, boat: &BoatId, upto: Seq, shelf: Shelf) -> Result<Option<Book>, StoreError> {
    let places: Vec<Seq> = shelf.places.into_iter().map(Seq).collect();
    let kept = store.events_at(&places).await?;
    let mut book = Book::new(boat.clone());
    book.take_all(kept.iter().filter(|kept| kept.event.boat == boat.as_str()));
    if book.records.len() != places.len() {
        return Ok(None);
    }
    (book.closed, book.least) = (shelf.closed, places.len());
    let of = Of::Boat(boat.as_str().to_owned());
    let since = store.events(&Wanted { of, after: upto, at_most: None }).await?;
    let fits = book.take_all(&since);
    book.last = book.last.max(upto);
    book.fold();
    Ok(fits.then_some(book))
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

/// An event by its name, at hand or not; nothing if there is none, or none that can be read.
pub(crate) async fn find(store: &Store, id: EventId) -> Result<Option<Event>, StoreError> {
    let kept = store.event(&id.to_string().parse()?).await?;
    Ok(kept.and_then(|kept| event(&kept.event).ok()))
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

#[cfg(test)]
mod tests {
    use quantity::Time;
    use records::{
        AccountId, DeviceId, Hand, Local, Plan, Reading, Role, Severity, Signature, Stage, Stroke, Strokes,
        Walk,
    };
    use store::{Address, Options};

    use super::*;

    const DAY: i64 = 86_400_000;
    /// The beginning of 2025.
    const BEGIN: i64 = 1_735_689_600_000;

    fn time(at: i64) -> Timestamp {
        Timestamp::from_millisecond(BEGIN + at).expect("a time of these years")
    }

    fn local(at: i64) -> Local {
        time(at).to_string().replace('Z', "+00:00").parse().expect("RFC 3339")
    }

    /// Events with names that count up.
    struct Teller(u128);

    impl Teller {
        fn tell(&mut self, at: i64, charter: Option<&str>, what: What) -> Event {
            self.0 += 1;
            let moment = Moment::from_milliseconds(BEGIN + at);
            let (who, device) = (Hand::Account(AccountId::new("jo")), DeviceId::new("dock"));
            let id = EventId::version_7(moment, self.0);
            let event = Event::new(id, moment, who, device, BoatId::new("wader"), what);
            match charter {
                Some(charter) => event.on(CharterId::new(charter)),
                None => event,
            }
        }

        /// A charter of a week, told as it happens.
        fn week(&mut self, week: i64) -> Vec<Event> {
            let (begin, id) = (week * 7 * DAY, format!("c{week}"));
            let charter = Some(id.as_str());
            let plan =
                Plan { from: local(begin), until: local(begin + 6 * DAY), crew: Some(3), booked: None };
            let mut all = vec![self.tell(begin, charter, What::Planned(plan))];
            for (walk, at) in [(Walk::CheckOut, begin), (Walk::HandBack, begin + 6 * DAY)] {
                for line in 0..8 {
                    let what = What::Counted { walk, line: format!("l{line}"), count: 2, note: None };
                    all.push(self.tell(at + 1, charter, what));
                }
                let hours = Time::hours(at as f64 / 1e7);
                let reading = Reading::EngineHours { engine: "engine".to_owned(), hours };
                all.push(self.tell(at + 2, charter, What::Read { walk, reading }));
                let strokes =
                    Strokes::Points(vec![Stroke(vec![(1, u16::try_from(week).expect("few")), (977, 5)])]);
                let person = PersonId::new(format!("p{week}"));
                all.push(self.tell(
                    at + 3,
                    charter,
                    What::Signed(Signature { walk, role: Role::Skipper, person, strokes }),
                ));
                all.push(self.tell(
                    at + 4,
                    charter,
                    if walk == Walk::CheckOut { What::CheckedOut } else { What::HandedBack },
                ));
                if walk == Walk::CheckOut {
                    all.insert(1, self.tell(begin, charter, What::Readied));
                }
            }
            if week % 5 == 0 {
                let (item, words) = ("engine".to_owned(), "It squeals".to_owned());
                let found =
                    records::Defect { item, words, severity: Severity::Hinders, photos: vec![], fault: None };
                all.push(self.tell(begin + 6 * DAY + 5, charter, What::Found(found)));
            }
            if week % 9 != 8 {
                all.push(self.tell(begin + 6 * DAY + 6, charter, What::Settled));
            }
            all
        }
    }

    /// Sees that a boat stands, by her book, as by all events.
    async fn agree(ledger: &Ledger, store: &Store, told: &Records) {
        let (book, all) = (ledger.boat("wader"), told.standing());
        let differs = book.closed.differs(&book.records, &book.standing, &all);
        assert_eq!(differs, None, "the book agrees with all events");
        let whole = ledger.whole(store, "wader").await.expect("the store is there");
        assert_eq!(whole.standing, all);
    }

    async fn took(ledger: &Ledger, store: &Store, told: &mut Records, events: &[Event], now: Timestamp) {
        let receipt = ledger.append(store, events, now).await.expect("the store is there");
        assert_eq!(receipt.taken.len(), events.len());
        for event in events {
            told.take(event.clone(), Some(Moment::from_milliseconds(now.as_millisecond())));
        }
    }

    #[tokio::test]
    async fn a_book_of_years_holds_what_goes_on_and_stands_as_by_everything() {
        let folder = tempfile::tempdir().expect("a folder");
        let address = Address::file(folder.path().join("becket.db"));
        let store = Store::open(&address, &Options::default()).await.expect("a new store");
        let ledger = Ledger::open(&store, time(0)).await.expect("an empty store");
        let (mut teller, mut told) = (Teller(0), Records::new());
        for week in 0..120 {
            let now = time((week * 7 + 7) * DAY);
            took(&ledger, &store, &mut told, &teller.week(week), now).await;
            if week % 30 == 29 {
                agree(&ledger, &store, &told).await;
            }
        }
        let book = ledger.boat("wader");
        assert!(book.records.len() * 2 < told.len(), "{} of {}", book.records.len(), told.len());
        let over = CharterId::new("c3");
        assert!(book.is_over(&over) && !book.is_over(&CharterId::new("c119")));
        assert_eq!(book.standing.charters[&over].life, records::Life::At(Stage::Settled));
        let whole = ledger.whole_charter(&store, "c3").await.expect("a store").expect("a charter");
        assert_eq!(whole.standing.charters[&over].counts.len(), 16);

        // Opened again it reads less, and stands the same.
        let again = Ledger::open(&store, time(850 * DAY)).await.expect("the same store");
        agree(&again, &store, &told).await;
        let both = (again.boat("wader"), ledger.boat("wader"));
        assert_eq!(both.0.records, both.1.records);
        assert_eq!(both.0.standing, both.1.standing);

        // Something comes late about a charter that is over; then things go on.
        let late = teller.tell(845 * DAY, Some("c3"), What::Noted { words: "A towel was found.".to_owned() });
        took(&again, &store, &mut told, &[late], time(846 * DAY)).await;
        agree(&again, &store, &told).await;
        took(&again, &store, &mut told, &teller.week(121), time(860 * DAY)).await;
        agree(&again, &store, &told).await;

        // What is kept of it is no more than a help: lost or spoilt, all events are read.
        let spoilt = store::Hand { boat: "wader".into(), upto: Seq(9), body: "{}".into() };
        store.save_hand(&spoilt).await.expect("JSON");
        agree(&Ledger::open(&store, time(860 * DAY)).await.expect("the same store"), &store, &told).await;
    }

    #[tokio::test]
    async fn what_a_removed_person_drew_is_nowhere() {
        let folder = tempfile::tempdir().expect("a folder");
        let address = Address::file(folder.path().join("becket.db"));
        let store = Store::open(&address, &Options::default()).await.expect("a new store");
        let ledger = Ledger::open(&store, time(0)).await.expect("an empty store");
        let (mut teller, mut told) = (Teller(0), Records::new());
        let mut first = Vec::new();
        for week in 0..60 {
            let events = teller.week(week);
            first = if week == 1 { events.clone() } else { first };
            took(&ledger, &store, &mut told, &events, time((week * 7 + 7) * DAY)).await;
        }
        let now = time(430 * DAY);
        for (week, over) in [(1, true), (59, false)] {
            assert_eq!(ledger.boat("wader").is_over(&CharterId::new(format!("c{week}"))), over);
            let drawn = format!("[[1,{week}],[977,5]]");
            let seen = || async {
                let all = store.events(&Wanted::all(Of::All)).await.expect("events");
                all.iter().filter(|kept| kept.event.body.contains(&drawn)).count()
            };
            assert_eq!(seen().await, 2);
            let person = PersonId::new(format!("p{week}"));
            let charter = format!("c{week}");
            let removed = teller.tell(429 * DAY, Some(&charter), What::PersonRemoved { person });
            took(&ledger, &store, &mut told, &[removed], now).await;
            assert_eq!(seen().await, 0);
            agree(&ledger, &store, &told.without_removed()).await;
        }
        // A phone that still has it sends it again.
        let receipt = ledger.append(&store, &first, now).await.expect("the store is there");
        assert_eq!((receipt.known.len(), receipt.refused.len()), (first.len(), 0));
        let other = store.events(&Wanted::all(Of::All)).await.expect("events");
        assert!(other.iter().any(|kept| kept.event.body.contains("[[1,2],[977,5]]")), "others' stay");
    }
}
