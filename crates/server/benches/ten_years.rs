//! A base of five hundred boats with ten years of records: how large its file is, how long it takes to open, how much
//! memory it holds, how quick its pages are, and how it stands two hundred requests a second.
//!
//! `cargo bench -p server --bench ten_years`; `-- BOATS YEARS` for another size. The file is made in the temporary
//! folder and removed again. Client and server share the machine.
#![allow(clippy::disallowed_methods, reason = "a bench looks at the clock, the disk and what it is asked")]
#![allow(clippy::print_stdout, reason = "a bench reports")]

use std::path::Path;
use std::time::{Duration, Instant};

use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use http_body_util::{BodyExt, Empty};
use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan, Zoned};
use quantity::{Money, Ratio, Time};
use records::{
    AccountId, Defect, DeviceId, EventId, Hand, Level, Moment, PersonId, Plan, Reading, Role, Severity,
    Showing, Signature, Strokes, Walk, What,
};
use server::{App, Opening, Past, router};
use store::{Address, Options, Store};

const WADER: &str = include_str!("../../pages/tests/wader.toml");
/// Charters of a boat in a season.
const SEASON: i64 = 20;
/// Days from one charter to the next. All seasons are told as one after the other: a clock that shows a time before 2024
/// is not believed, so ten real years can't be made up yet.
const EVERY: i64 = 5;
/// Requests a second, and for how long.
const RATE: u32 = 200;
const SECONDS: u32 = 60;

fn main() {
    let mut numbers = std::env::args().skip(1).filter_map(|word| word.parse::<u32>().ok());
    let (boats, years) = (numbers.next().unwrap_or(500), i64::from(numbers.next().unwrap_or(10)));
    let folder = tempfile::tempdir().expect("a temporary folder");
    let file = folder.path().join("base.db");
    // Made by itself, so that what the making took does not count as what the base takes.
    let threads = || tokio::runtime::Builder::new_multi_thread().enable_all().build().expect("threads");
    let runtime = threads();
    let began = Instant::now();
    let events = runtime.block_on(make(&file, boats, years));
    let bytes: u64 = ["base.db", "base.db-wal"]
        .iter()
        .filter_map(|name| std::fs::metadata(folder.path().join(name)).ok())
        .map(|file| file.len())
        .sum();
    println!(
        "{boats} boats, {years} years of {SEASON} charters: {events} events, {:.0} MB, {:.0} bytes an event, \
         written in {:.0} s ({:.0} a second)",
        bytes as f64 / 1e6,
        bytes as f64 / events as f64,
        began.elapsed().as_secs_f64(),
        events as f64 / began.elapsed().as_secs_f64(),
    );
    drop(runtime);
    let runtime = threads();
    runtime.block_on(measure(&file, boats, years));
    drop(runtime);
}

// ------------------------------------------------------------------------------------------------- the records

/// The events of one boat in the order in which they are told.
struct Teller {
    boat: String,
    events: Vec<store::Event>,
    made: u128,
}

impl Teller {
    fn tell(&mut self, at: Timestamp, charter: Option<&str>, what: &What) -> EventId {
        self.made += 1;
        let moment = Moment::from_milliseconds(at.as_millisecond());
        let tail = u128::from(hash(&self.boat)) << 24 | self.made;
        let id = EventId::version_7(moment, tail);
        let who = Hand::Account(AccountId::new("demo-manager"));
        self.events.push(store::Event {
            id: id.to_string().parse().expect("a UUID of version 7"),
            at,
            who: serde_json::to_string(&who).expect("JSON"),
            device: DeviceId::new("dock-1").as_str().to_owned(),
            boat: self.boat.clone(),
            charter: charter.map(str::to_owned),
            answers: None,
            body: serde_json::to_string(what).expect("JSON"),
        });
        id
    }

    /// Kit is counted and meters are read.
    fn walk(&mut self, at: Timestamp, charter: &str, walk: Walk, hours: f64) {
        for line in 0..12_u32 {
            let what = What::Counted { walk, line: format!("line_{line}"), count: 2, note: None };
            self.tell(at + i64::from(line).minutes(), Some(charter), &what);
        }
        let level = Level::Part(Ratio::percent(75.0));
        let readings = [
            Reading::EngineHours { engine: "engine".to_owned(), hours: Time::hours(hours) },
            Reading::Tank { store: "diesel".to_owned(), level },
            Reading::Tank { store: "water".to_owned(), level },
        ];
        for reading in readings {
            self.tell(at + 20.minutes(), Some(charter), &What::Read { walk, reading });
        }
    }

    fn sign(&mut self, at: Timestamp, charter: &str, walk: Walk) {
        for (role, person) in [(Role::Skipper, "p-crew"), (Role::Base, "p-base")] {
            let strokes = Strokes::Points(Vec::new());
            let person = PersonId::new(person);
            self.tell(at, Some(charter), &What::Signed(Signature { walk, role, person, strokes }));
        }
    }

    /// A charter from its plan to its end.
    fn charter(&mut self, from: &Zoned, charter: &str, hours: f64) {
        let until = from.checked_add(4.days()).expect("a day");
        let local = |at: &Zoned| at.strftime("%Y-%m-%dT%H:%M:%S%:z").to_string().parse().expect("RFC 3339");
        let plan =
            What::Planned(Plan { from: local(from), until: local(&until), crew: Some(4), booked: None });
        let (out, back) = (from.timestamp(), until.timestamp());
        self.tell(out - 90.hours(), Some(charter), &plan);
        self.walk(out - 6.hours(), charter, Walk::Readying, hours);
        self.tell(out - 5.hours(), Some(charter), &What::Readied);
        self.walk(out, charter, Walk::CheckOut, hours);
        for topic in ["gas", "engine", "anchor", "overboard", "fire"] {
            let what = What::Briefed { topic: topic.to_owned(), showing: Showing::Shown };
            self.tell(out + 30.minutes(), Some(charter), &what);
        }
        self.sign(out + 50.minutes(), charter, Walk::CheckOut);
        self.tell(out + 55.minutes(), Some(charter), &What::CheckedOut);
        self.tell(out + 60.minutes(), Some(charter), &What::Left);
        self.walk(back, charter, Walk::HandBack, hours + 18.0);
        self.sign(back + 50.minutes(), charter, Walk::HandBack);
        self.tell(back + 55.minutes(), Some(charter), &What::HandedBack);
        self.tell(back + 2.hours(), Some(charter), &What::Settled);
    }

    /// What breaks and is served in a year.
    fn year(&mut self, from: &Zoned, hours: f64) {
        for (number, item) in ["hob", "engine", "toilet", "lamp", "winch"].into_iter().enumerate() {
            let at =
                from.checked_add(i64::try_from(number).expect("few").hours()).expect("a day").timestamp();
            let words = "It does not work as it should.".to_owned();
            let (item, severity) = (item.to_owned(), Severity::Hinders);
            let found = Defect { item, words, severity, photos: Vec::new(), fault: None };
            let defect = self.tell(at, None, &What::Found(found));
            let words = "Mended and tried.".to_owned();
            self.tell(at + 8.hours(), None, &What::Closed { defect, words });
        }
        let at = from.checked_add(1.days()).expect("a day").timestamp();
        let cost = Some("120.00 USD".parse::<Money>().expect("money"));
        let hours = Some(Time::hours(hours));
        let line = "engine_oil".to_owned();
        self.tell(
            at,
            None,
            &What::UpkeepDone { line, hours, parts: Vec::new(), took: None, work: None, cost },
        );
    }
}

fn hash(text: &str) -> u32 {
    text.bytes().fold(2_166_136_261, |hash, byte| (hash ^ u32::from(byte)).wrapping_mul(16_777_619))
}

fn slug(boat: u32) -> String {
    format!("boat-{boat:03}")
}

/// Makes the file, week by week as the boats tell it; how many events there are.
async fn make(file: &Path, boats: u32, years: i64) -> u64 {
    let store = Store::open(&Address::file(file), &Options::default()).await.expect("an empty file");
    let now = Zoned::now().with_time_zone(TimeZone::UTC);
    let mut tellers: Vec<Teller> =
        (0..boats).map(|boat| Teller { boat: slug(boat), events: Vec::new(), made: 0 }).collect();
    let mut events = 0;
    let mut hours = 100.0;
    let charters = years * SEASON;
    for number in 0..charters {
        // The last one is out now.
        let from = now.checked_sub(((charters - 1 - number) * EVERY + 2).days()).expect("a day");
        for teller in &mut tellers {
            let charter = format!("c-{}-{number}", teller.boat);
            teller.charter(&from, &charter, hours);
            if number % SEASON == SEASON / 2 {
                teller.year(&from, hours);
            }
            teller.events.retain(|event| event.at <= now.timestamp());
        }
        hours += 18.0;
        let told: Vec<store::Event> =
            tellers.iter_mut().flat_map(|teller| std::mem::take(&mut teller.events)).collect();
        let received = told.iter().map(|event| event.at).max().unwrap_or(now.timestamp());
        store.append(&told, received).await.expect("room on the disk");
        events += told.len() as u64;
    }
    store.close().await;
    events
}

// ------------------------------------------------------------------------------------------------- the base

/// Memory that this process holds, in megabytes.
fn held() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|line| line.starts_with("VmRSS:")).unwrap_or_default();
    line.split_whitespace().nth(1).and_then(|word| word.parse::<f64>().ok()).unwrap_or(f64::NAN) / 1024.0
}

async fn open(file: &Path, boats: u32) -> axum::Router {
    let files = (0..boats)
        .map(|boat| {
            let text = WADER.replace("name = \"Wader\"", &format!("name = \"Boat {boat:03}\""));
            (format!("{}.toml", slug(boat)), text)
        })
        .collect();
    let past = Past { events: Vec::new(), persons: Vec::new(), settings: Vec::new() };
    let opening = Opening {
        base: "Bench".to_owned(),
        demo: true,
        zone: TimeZone::UTC,
        at: "http://bench".to_owned(),
        place: Address::file(file),
        files,
        past,
    };
    router(App::open(opening).await.expect("the base opens"))
}

async fn measure(file: &Path, boats: u32, years: i64) {
    let before = held();
    let began = Instant::now();
    let app = open(file, boats).await;
    println!("first opening: {:.1} s, {:.0} MB more memory", began.elapsed().as_secs_f64(), held() - before);
    drop(app);
    let (before, began) = (held(), Instant::now());
    let app = open(file, boats).await;
    println!("opened again: {:.1} s, {:.0} MB more", began.elapsed().as_secs_f64(), held() - before);
    let middle = slug(boats / 2);
    let charter = format!("c-{middle}-{}", years * SEASON - 1);
    let old = format!("c-{middle}-3");
    let pages = [
        "/".to_owned(),
        "/boats".to_owned(),
        "/charters".to_owned(),
        "/defects".to_owned(),
        "/upkeep".to_owned(),
        "/stock".to_owned(),
        format!("/boat/{middle}"),
        format!("/boat/{middle}/standing"),
        format!("/charter/{charter}"),
        format!("/charter/{charter}/walk/hand-back"),
        format!("/charter/{old}"),
        format!("/boat/{middle}/steps"),
        format!("/boat/{middle}/wrong"),
        format!("/boat/{middle}/kit"),
    ];
    let cookie = cookie(&app).await;
    println!("\npage, one at a time                       status   first  median of 20");
    for page in &pages {
        let mut times = Vec::new();
        let mut status = StatusCode::OK;
        for _ in 0..21 {
            let began = Instant::now();
            status = get(&app, page, &cookie).await;
            times.push(began.elapsed().as_secs_f64() * 1e3);
        }
        let first = times.remove(0);
        times.sort_by(f64::total_cmp);
        println!("{page:40}  {status:5}  {first:6.1}  {:6.1} ms", times[10], status = status.as_u16());
    }
    load(app, &pages, &cookie).await;
    println!("memory at the end: {:.0} MB", held());
}

/// The session that the demonstration gives.
async fn cookie(app: &axum::Router) -> String {
    use tower::ServiceExt as _;
    let request = Request::get("/").body(Body::empty()).expect("a request");
    let answer = app.clone().oneshot(request).await.expect("a router does not fail");
    let set = answer.headers().get_all(header::SET_COOKIE).iter();
    let pairs: Vec<&str> = set.filter_map(|cookie| cookie.to_str().ok()?.split(';').next()).collect();
    pairs.join("; ")
}

async fn get(app: &axum::Router, page: &str, cookie: &str) -> StatusCode {
    use tower::ServiceExt as _;
    let request = Request::get(page).header(header::COOKIE, cookie).body(Body::empty()).expect("a request");
    let answer = app.clone().oneshot(request).await.expect("a router does not fail");
    let status = answer.status();
    answer.into_body().collect().await.expect("the body is in memory");
    status
}

/// Requests at an even pace over the network of this machine, whether the last one is answered or not; the time of each
/// runs from when it should have been sent.
async fn load(app: axum::Router, pages: &[String], cookie: &str) {
    use hyper_util::client::legacy::Client;
    use hyper_util::rt::TokioExecutor;

    let listener = tokio::net::TcpListener::bind("127.0.0.1:0").await.expect("a free port");
    let at = listener.local_addr().expect("an address");
    let serving = tokio::spawn(async move { axum::serve(listener, app).await });
    let client: Client<_, Empty<axum::body::Bytes>> = Client::builder(TokioExecutor::new()).build_http();
    let began = tokio::time::Instant::now();
    let mut sent = tokio::task::JoinSet::new();
    for number in 0..RATE * SECONDS {
        let due = began + Duration::from_secs(1) * number / RATE;
        tokio::time::sleep_until(due).await;
        let page = &pages[number as usize % pages.len()];
        let request = Request::get(format!("http://{at}{page}"))
            .header(header::COOKIE, cookie)
            .header(header::HOST, "bench")
            .body(Empty::new())
            .expect("a request");
        let client = client.clone();
        sent.spawn(async move {
            let well = match client.request(request).await {
                Ok(answer) => {
                    let well = answer.status().is_success() || answer.status().is_redirection();
                    answer.into_body().collect().await.is_ok() && well
                }
                Err(_) => false,
            };
            (well, due.elapsed().as_secs_f64() * 1e3)
        });
    }
    let mut times = Vec::new();
    let mut failed = 0;
    while let Some(answer) = sent.join_next().await {
        let (well, time) = answer.expect("a task that ends");
        failed += u32::from(!well);
        times.push(time);
    }
    let took = began.elapsed().as_secs_f64();
    serving.abort();
    times.sort_by(f64::total_cmp);
    let at = |thousandths: usize| times[(times.len() - 1) * thousandths / 1000];
    println!(
        "\n{} requests of these pages in {took:.1} s ({RATE} a second wanted): median {:.1} ms, 99 % {:.1} ms, \
         99.9 % {:.1} ms, longest {:.1} ms, {failed} failed",
        times.len(),
        at(500),
        at(990),
        at(999),
        at(1000),
    );
}
