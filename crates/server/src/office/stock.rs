//! The parts in stock: shown, counted, told as come and as gone.

use std::sync::{Arc, PoisonError};

use axum::extract::{RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{MethodRouter, get};
use jiff::civil::Date;
use pages::dock::{Flaw, Names};
use pages::links;
use pages::office::{
    Holding, Hull, Learnt, Shelves, StockAsk, count_page, order_page, part_page, stock_data, stock_page,
};
use records::{BoatId, Held, Moment, Pieces, Priced, What};

use super::base::{self, Base};
use crate::app::{App, Shared};
use crate::caller::Who;
use crate::fleet::Berth;
use crate::form::Form;
use crate::ledger::Book;
use crate::routes::Route;
use crate::visit::Visit;
use crate::{answers, handlers};

/// The most pieces of a part that can be told at once.
const MOST: u32 = 99_999;

/// The most letters of a part's name.
const NAME: usize = 100;

/// The most lines of a count that are read.
const LINES: usize = 5_000;

/// Its part of the table of routes.
pub(super) fn routes() -> Vec<Route> {
    let form = |path, handler: MethodRouter<Shared>| Route::form(path, Who::Hand, handler);
    vec![
        Route::page("/stock", Who::Hand, get(list)),
        Route::page("/api/stock", Who::Hand, get(data)),
        Route::page("/stock/order", Who::Hand, get(order)),
        Route::page("/stock/count", Who::Hand, get(count)),
        form("/stock/count", axum::routing::post(counted)),
        Route::page("/stock/part", Who::Hand, get(part)),
        form("/stock/part", axum::routing::post(tell)),
    ]
}

/// The boats, their parts, and what people are called.
pub(super) struct Room {
    base: Arc<Base>,
    pub(super) shelves: Arc<Shelves>,
    pub(super) names: Names,
}

impl Room {
    /// Works the parts out on a thread of its own, few at a time.
    pub(super) async fn enter(app: &Shared, visit: &Visit) -> Result<Self, Box<Response>> {
        let names = base::names(app).await;
        let names = names.map_err(|failure| Box::new(answers::failed(&visit.site, &failure)))?;
        let broken = || Box::new(answers::broken(&visit.site));
        let permit = app.searches.acquire().await.map_err(|_| broken())?;
        let base = Arc::new(Base::of(app));
        let (working, own, now) = (Arc::clone(app), Arc::clone(&base), visit.site.now);
        let work = tokio::task::spawn_blocking(move || {
            let today = working.clock.timestamp().to_zoned(working.zone.clone()).date();
            shelves(&working, &own, today, now)
        });
        let shelves = work.await;
        drop(permit);
        Ok(Self { base, shelves: shelves.map_err(|_| broken())?, names })
    }

    /// The boats, in the order by which the parts name them.
    pub(super) fn hulls(&self) -> Vec<Hull<'_>> {
        self.base.hulls()
    }

    /// In whose records it is told what happens to a part that is kept there: aboard of a boat in hers.
    pub(super) fn teller(&self, part: &str, aboard: Option<usize>) -> Option<BoatId> {
        let hulls = self.hulls();
        let hull = hulls.get(aboard.unwrap_or_else(|| self.shelves.teller(part)))?;
        Some(BoatId::new(hull.vessel.slug.as_str()))
    }

    /// So many of a part, by the name under which it is told of there.
    pub(super) fn pieces(&self, part: &str, count: u32, aboard: Option<usize>) -> Pieces {
        let held = if aboard.is_some() { Held::Aboard } else { Held::Ashore };
        Pieces { part: self.shelves.told_as(part, aboard), count, held }
    }
}

/// The parts as they were worked out last, with what from.
#[derive(Debug)]
pub(crate) struct KnownShelves {
    berths: Vec<Arc<Berth>>,
    books: Vec<Arc<Book>>,
    learnt: Learnt,
    holding: Holding,
    today: Date,
    shelves: Arc<Shelves>,
}

/// The parts. They are worked out anew only if anything was told since, and how many of each to hold, which takes long,
/// only if a boat file, a failure or the day is another.
fn shelves(app: &App, base: &Base, today: Date, now: Moment) -> Arc<Shelves> {
    const DAY: i64 = 24 * 3600 * 1000;
    let (berths, books) = (base.berths(), app.ledger.all());
    // Held while they are worked out: who asks meanwhile waits for the same.
    let mut known = app.shelves.lock().unwrap_or_else(PoisonError::into_inner);
    let last = known.take().filter(|last| same(&last.berths, &berths));
    let last = match last {
        Some(last) if last.today == today && same(&last.books, &books) => {
            return Arc::clone(&known.insert(last).shelves);
        }
        last => last,
    };
    let hulls = base.hulls();
    let midnight = Moment::from_milliseconds(now.milliseconds().div_euclid(DAY) * DAY);
    let learnt = Learnt::of(&hulls, midnight);
    let holding = match last {
        Some(last) if last.learnt == learnt => last.holding,
        _ => Holding::of(&hulls, &learnt),
    };
    let ashore = records::ashore(books.iter().map(|book| &book.standing));
    let shelves = Arc::new(Shelves::of(&hulls, &holding, &ashore, today));
    *known = Some(KnownShelves { berths, books, learnt, holding, today, shelves: Arc::clone(&shelves) });
    shelves
}

/// Whether these are the same, nothing told since.
fn same<T>(one: &[Arc<T>], other: &[Arc<T>]) -> bool {
    one.len() == other.len() && one.iter().zip(other).all(|(one, other)| Arc::ptr_eq(one, other))
}

/// A page of the stock.
async fn show(
    app: &Shared,
    visit: &Visit,
    page: impl FnOnce(&pages::Site, &StockAsk<'_>) -> String,
) -> Response {
    match Room::enter(app, visit).await {
        Ok(room) => make(visit, &room, StatusCode::OK, &[], &[], page),
        Err(answer) => *answer,
    }
}

fn make(
    visit: &Visit,
    room: &Room,
    status: StatusCode,
    typed: &[(String, String)],
    flaws: &[Flaw],
    page: impl FnOnce(&pages::Site, &StockAsk<'_>) -> String,
) -> Response {
    let hulls = room.hulls();
    let ask = StockAsk { hulls: &hulls, shelves: &room.shelves, names: &room.names, typed, flaws };
    answers::with(status, page(&visit.site, &ask))
}

async fn list(State(app): State<Shared>, visit: Visit) -> Response {
    show(&app, &visit, stock_page).await
}

/// For programs.
async fn data(State(app): State<Shared>, visit: Visit) -> Response {
    match Room::enter(&app, &visit).await {
        Ok(room) => {
            let hulls = room.hulls();
            let (shelves, names) = (&room.shelves, &room.names);
            let ask = StockAsk { hulls: &hulls, shelves, names, typed: &[], flaws: &[] };
            answers::json(StatusCode::OK, &stock_data(&ask))
        }
        Err(answer) => *answer,
    }
}

async fn order(State(app): State<Shared>, visit: Visit) -> Response {
    show(&app, &visit, order_page).await
}

async fn count(State(app): State<Shared>, visit: Visit, RawQuery(query): RawQuery) -> Response {
    let asked = handlers::pairs(query.as_deref());
    let slug = handlers::value(&asked, "boat").unwrap_or_default();
    let room = match Room::enter(&app, &visit).await {
        Ok(room) => room,
        Err(answer) => return *answer,
    };
    match place(&room, slug) {
        Some(aboard) => {
            make(&visit, &room, StatusCode::OK, &[], &[], |site, ask| count_page(site, ask, aboard))
        }
        None => handlers::no_boat(&visit),
    }
}

/// The base's store, or the boat of that name by her place; nothing if there is none.
#[allow(clippy::option_option, reason = "no boat of that name is not the base's store")]
fn place(room: &Room, slug: &str) -> Option<Option<usize>> {
    if slug.is_empty() || slug == "ashore" {
        return Some(None);
    }
    room.hulls().iter().position(|hull| hull.vessel.slug == slug).map(Some)
}

/// A whole number of pieces as it is typed.
fn number(text: &str) -> Option<u32> {
    text.parse().ok().filter(|count| *count <= MOST)
}

fn no_number(text: &str) -> String {
    if text.is_empty() {
        "Write how many.".to_owned()
    } else {
        format!("\u{201c}{text}\u{201d} is no count. Write a whole number such as 4, at most {MOST}.")
    }
}

async fn counted(State(app): State<Shared>, visit: Visit, form: Form) -> Response {
    let room = match Room::enter(&app, &visit).await {
        Ok(room) => room,
        Err(answer) => return *answer,
    };
    let Some(aboard) = place(&room, form.get("boat")) else { return handlers::no_boat(&visit) };
    let mut flaws = Vec::new();
    let mut counts: Vec<(BoatId, What)> = Vec::new();
    for at in 0..LINES {
        let part = form.get(&format!("part-{at}"));
        if part.is_empty() {
            break;
        }
        let field = format!("count-{at}");
        let text = form.get(&field);
        if text.is_empty() {
            continue;
        }
        match (number(text), room.shelves.name(part), room.teller(part, aboard)) {
            (Some(count), Some(_), Some(boat)) => {
                counts.push((boat, What::StockCounted(room.pieces(part, count, aboard))));
            }
            (None, ..) => flaws.push(Flaw::wrong(&field, format!("{part}: {}", no_number(text)))),
            _ => {
                flaws
                    .push(Flaw::wrong(&field, format!("{part} is not known any more. Load the page again.")));
            }
        }
    }
    if counts.is_empty() && flaws.is_empty() {
        flaws.push(Flaw::wrong("count-0", "Nothing was written down. Write at least one count."));
    }
    if !flaws.is_empty() {
        let status = StatusCode::UNPROCESSABLE_ENTITY;
        return make(&visit, &room, status, form.pairs(), &flaws, |site, ask| count_page(site, ask, aboard));
    }
    match visit.tell_of(&app, &form, counts).await {
        Ok(_) => answers::elsewhere(links::STOCK),
        Err(unmade) => unmade.answer(&visit.site, links::STOCK_COUNT),
    }
}

async fn part(State(app): State<Shared>, visit: Visit, RawQuery(query): RawQuery) -> Response {
    let asked = handlers::pairs(query.as_deref());
    let typed = handlers::value(&asked, "part").unwrap_or_default().trim();
    if typed.is_empty() {
        // Nothing was asked for: here are all.
        return answers::elsewhere(links::STOCK);
    }
    match name(typed) {
        Some(name) => show(&app, &visit, |site, ask| part_page(site, ask, &name)).await,
        None => nameless(&visit),
    }
}

/// The name of a part as it is typed; nothing if it is none.
pub(super) fn name(text: &str) -> Option<String> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let name: String = words.join(" ");
    (!name.is_empty() && name.chars().count() <= NAME && !name.chars().any(char::is_control)).then_some(name)
}

fn nameless(visit: &Visit) -> Response {
    let what = format!("A part is asked for by its name, of at most {NAME} letters.");
    answers::not_found(pages::not_found(&visit.site, &what, Some((links::STOCK, "All parts"))))
}

async fn tell(State(app): State<Shared>, visit: Visit, form: Form) -> Response {
    let Some(part) = name(form.get("part")) else { return nameless(&visit) };
    let room = match Room::enter(&app, &visit).await {
        Ok(room) => room,
        Err(answer) => return *answer,
    };
    let mut flaws = Vec::new();
    let read = read(&app, &room, &form, &part, &mut flaws);
    let (Some((boat, what)), true) = (read, flaws.is_empty()) else {
        let status = StatusCode::UNPROCESSABLE_ENTITY;
        return make(&visit, &room, status, form.pairs(), &flaws, |site, ask| part_page(site, ask, &part));
    };
    let here = links::stock_part(room.shelves.name(&part).unwrap_or(&part));
    match visit.tell(&app, &form, &boat, None, [what]).await {
        Ok(_) => answers::elsewhere(&here),
        Err(unmade) => unmade.answer(&visit.site, &here),
    }
}

/// What a form says of a part, and in whose records; nothing, with what is wrong, if it can't be taken.
fn read(app: &App, room: &Room, form: &Form, part: &str, flaws: &mut Vec<Flaw>) -> Option<(BoatId, What)> {
    let doing = form.get("do");
    let count = number(form.get("count")).filter(|count| *count > 0 || doing == "counted");
    if count.is_none() {
        let none = form.get("count") == "0";
        let words = if none {
            "None came or went, so there is nothing to tell.".to_owned()
        } else {
            no_number(form.get("count"))
        };
        flaws.push(Flaw::wrong("count", words));
    }
    let aboard = place(room, form.get("held"));
    let Some(boat) = aboard.and_then(|aboard| room.teller(part, aboard)) else {
        flaws.push(Flaw::wrong("held", "Choose where they are."));
        return None;
    };
    let aboard = aboard.flatten();
    let pieces = room.pieces(part, count.unwrap_or_default(), aboard);
    let what = match doing {
        "counted" => What::StockCounted(pieces),
        "came" => {
            let cost = base::money(form, "cost").unwrap_or_else(|words| {
                flaws.push(Flaw::wrong("cost", words));
                None
            });
            What::StockReceived(Priced { pieces, cost })
        }
        "used" => {
            let there = room.shelves.count(part, aboard).unwrap_or_default();
            if i64::from(pieces.count) > there && form.get("sure") != "yes" && !sent_before(app, form, &boat)
            {
                let there = there.max(0);
                flaws.push(Flaw {
                    field: "sure".to_owned(),
                    words: format!("By the records there are only {there} there. If more are gone, say so once again; better still, count what is left."),
                    unlikely: true,
                });
            }
            What::StockUsed(pieces)
        }
        _ => {
            flaws.push(Flaw::wrong("do", "The page was not whole. Load it again."));
            return None;
        }
    };
    count.map(|_| (boat, what))
}

/// Whether this form was taken before: then what it took is gone already.
fn sent_before(app: &App, form: &Form, boat: &BoatId) -> bool {
    let once = form.get("once").parse().ok();
    once.is_some_and(|id| app.ledger.boat(boat.as_str()).records.get(id).is_some())
}
