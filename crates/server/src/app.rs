//! What the server keeps: the store, the boats, how all stands.

use std::fmt;
use std::sync::{Arc, Mutex, PoisonError, RwLock};

use axum::Router;
use axum::handler::Handler;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use records::Event;
use store::{Address, Options, Store, StoreError};
use tokio::sync::Semaphore;

use crate::caller::Who;
use crate::clock::Clock;
use crate::fleet::Fleet;
use crate::ledger::Ledger;
use crate::log::Log;
use crate::office::KnownShelves;
use crate::{gate, guard, handlers, reach, routes, secret};

/// What a base is opened with.
#[derive(Debug)]
pub struct Opening {
    /// The name of the base.
    pub base: String,
    /// Whether the base and its boats are invented, for trying things out: then nobody has to sign in.
    pub demo: bool,
    /// The clocks of the base.
    pub zone: TimeZone,
    /// Where people reach it, without a slash at the end: what a crew's link begins with.
    pub at: String,
    /// Where everything is kept.
    pub place: Address,
    /// Boat files by file name, for boats that the store does not have yet.
    pub files: Vec<(String, String)>,
    /// What has happened, for a demonstration whose store has no events yet.
    pub past: Past,
}

/// What has happened at an invented base, so that there is something to look at.
#[derive(Debug, Clone, Default)]
pub struct Past {
    /// Events.
    pub events: Vec<Event>,
    /// Persons of the crews.
    pub persons: Vec<store::Person>,
    /// Settings: a key, and JSON.
    pub settings: Vec<(String, String)>,
}

/// Why a base can't be opened, or something can't be done now.
#[derive(Debug)]
pub enum Failure {
    /// The store failed.
    Store(StoreError),
    /// The machine gives no chance for making secrets.
    NoChance,
    /// A part of the server has failed before.
    Broken,
    /// The socket failed.
    Socket(std::io::Error),
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Store(error) => error.fmt(f),
            Self::Socket(error) => error.fmt(f),
            Self::NoChance => f.write_str("This computer gives no random numbers, so no secret can be made."),
            Self::Broken => f.write_str(
                "Something has failed inside Becket. Start it again; nothing that was acknowledged is lost.",
            ),
        }
    }
}

impl std::error::Error for Failure {}

impl From<std::io::Error> for Failure {
    fn from(error: std::io::Error) -> Self {
        Self::Socket(error)
    }
}

impl From<StoreError> for Failure {
    fn from(error: StoreError) -> Self {
        Self::Store(error)
    }
}

/// What every handler can use.
pub struct App {
    pub(crate) base: String,
    pub(crate) demo: bool,
    pub(crate) zone: TimeZone,
    pub(crate) at: String,
    pub(crate) store: Store,
    pub(crate) fleet: Fleet,
    pub(crate) ledger: Ledger,
    pub(crate) clock: Clock,
    pub(crate) log: Log,
    /// What forms of those repeat who look at a demonstration without signing in.
    pub(crate) demo_seal: String,
    /// How many searches may run at once.
    pub(crate) searches: Semaphore,
    /// How crews reach the base, as it is kept.
    reach: RwLock<Option<String>>,
    /// The secret by which the first manager of a base without people is made.
    pub(crate) begin: tokio::sync::Mutex<Option<String>>,
    /// The parts as they were worked out last.
    pub(crate) shelves: Mutex<Option<KnownShelves>>,
    /// How many passwords may be looked at once: each takes much memory on purpose.
    pub(crate) hashing: Semaphore,
}

impl fmt::Debug for App {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // Neither secrets nor what crews have written belong into a log.
        write!(f, "App {{ base: {} }}", self.base)
    }
}

/// The base, as handlers share it.
pub type Shared = Arc<App>;

/// How many searches may run at once: they keep a core busy for seconds.
const SEARCHES: usize = 2;

impl App {
    /// Opens a base: reads and proves its boats, and works out how they stand. It takes as long as the proofs take.
    ///
    /// # Errors
    /// If the store fails.
    pub async fn open(opening: Opening) -> Result<Shared, Failure> {
        Self::open_by(opening, Clock::default()).await
    }

    /// The same with a clock that stands still, for a base that is looked at as of some moment.
    ///
    /// # Errors
    /// If the store fails.
    pub async fn open_as_of(opening: Opening, now: Timestamp) -> Result<Shared, Failure> {
        Self::open_by(opening, Clock::standing(now)).await
    }

    async fn open_by(opening: Opening, clock: Clock) -> Result<Shared, Failure> {
        let store = Store::open(&opening.place, &Options::default()).await?;
        let fleet = Fleet::open(&store, &opening.files, clock.timestamp()).await?;
        let ledger = Ledger::open(&store, clock.timestamp()).await?;
        if opening.demo {
            invent(&store, &ledger, &opening.past, &clock).await?;
        }
        let reach = reach::kept(&store).await?;
        let begin = if store.accounts().await?.is_empty() { Some(secret::token()?) } else { None };
        Ok(Arc::new(Self {
            base: opening.base,
            demo: opening.demo,
            zone: opening.zone,
            at: opening.at.trim_end_matches('/').to_owned(),
            fleet,
            ledger,
            store,
            clock,
            log: Log::default(),
            demo_seal: secret::token()?,
            searches: Semaphore::new(SEARCHES),
            reach: RwLock::new(reach),
            begin: tokio::sync::Mutex::new(begin),
            shelves: Mutex::new(None),
            hashing: Semaphore::new(SEARCHES),
        }))
    }
}

impl App {
    /// How crews reach the base; nothing if nobody wrote it down.
    pub(crate) fn reach(&self) -> Option<String> {
        self.reach.read().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// The same from now on, once it is kept.
    pub(crate) fn set_reach(&self, words: Option<String>) {
        *self.reach.write().unwrap_or_else(PoisonError::into_inner) = words;
    }

    /// From now on, tells of every request on the standard error: a line of JSON without anything of who asked.
    pub fn log_requests(&self) {
        self.log.begin();
    }

    /// The address at which the first manager is made, if the base has no people yet. It is for whoever started Becket.
    pub async fn begin_address(&self) -> Option<String> {
        let code = self.begin.lock().await;
        code.as_ref().map(|code| format!("{}/begin?code={code}", self.at))
    }
}

/// The accounts of a demonstration: no password fits them, one is as whom one likes.
pub(crate) const DEMO_ACCOUNTS: [(&str, &str, store::Role); 3] = [
    ("demo-manager", "Robin", store::Role::Manager),
    ("demo-skipper", "Sam", store::Role::Skipper),
    ("demo-hand", "Alex", store::Role::Hand),
];

/// Puts an invented past into a store that has none.
async fn invent(store: &Store, ledger: &Ledger, past: &Past, clock: &Clock) -> Result<(), Failure> {
    let now = clock.timestamp();
    for (id, name, role) in DEMO_ACCOUNTS {
        if store.account(id).await?.is_none() {
            let (id, name, password) = (id.to_owned(), name.to_owned(), "none".to_owned());
            store
                .add_account(&store::Account { id, name, role, password, active: true, created: now })
                .await?;
        }
    }
    if store.newest().await? != store::Seq::START {
        return Ok(());
    }
    for person in &past.persons {
        store.save_person(person).await?;
    }
    for (key, value) in &past.settings {
        store.set(key, value).await?;
    }
    ledger.append(store, &past.events, now).await?;
    Ok(())
}

/// All routes of a base.
pub fn router(app: Shared) -> Router {
    let table = routes::routes().into_iter().fold(Router::new(), |router, route| {
        let gate = gate::Gate { app: Arc::clone(&app), who: route.who, most_bytes: route.most_bytes };
        let handler = route.handler.layer(axum::middleware::from_fn_with_state(gate, gate::pass));
        router.route(route.path, handler)
    });
    let gate = gate::Gate { app: Arc::clone(&app), who: Who::Anyone, most_bytes: routes::FORM };
    let open = axum::middleware::from_fn_with_state(gate, gate::pass);
    let routes = table
        .fallback(handlers::nowhere.layer(open.clone()))
        .method_not_allowed_fallback(handlers::read_only.layer(open))
        .with_state(Arc::clone(&app));
    guard::around(routes, app)
}
