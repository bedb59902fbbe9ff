//! All that is kept, as files to take away.

use axum::extract::{Path, RawQuery, State};
use axum::response::Response;
use axum::routing::get;
use jiff::Timestamp;
use pages::office::{export_page, month_costs};
use quantity::Money;
use records::{Event, Life, Moment, Stage, Stock, Sums, Turnover, What};
use serde_json::{Value, json};

use crate::app::{App, Failure, Shared};
use crate::caller::Who;
use crate::routes::Route;
use crate::visit::Visit;
use crate::{answers, handlers};

/// Its part of the table of routes.
pub(super) fn routes() -> Vec<Route> {
    vec![
        Route::page("/export", Who::Manager, get(page)),
        Route::page("/export/{name}", Who::Manager, get(file)),
    ]
}

async fn page(visit: Visit) -> Response {
    answers::page(export_page(&visit.site))
}

async fn file(
    State(app): State<Shared>,
    visit: Visit,
    Path(name): Path<String>,
    RawQuery(query): RawQuery,
) -> Response {
    let table = match name.as_str() {
        "charters.csv" => Ok(charters(&app)),
        "events.csv" => events(&app).await,
        "defects.csv" => Ok(defects(&app)),
        "upkeep.csv" => Ok(upkeep(&app)),
        "stock.csv" => Ok(stock(&app)),
        "parts.csv" => Ok(parts(&app)),
        "costs.csv" => costs(&app).await,
        "readings.csv" => readings(&app).await,
        "everything.json" => {
            let persons = handlers::pairs(query.as_deref())
                .iter()
                .any(|(key, value)| key == "persons" && value == "yes");
            return match everything(&app, persons).await {
                Ok(value) => answers::file(&name, "application/json", format!("{value:#}\n")),
                Err(failure) => answers::failed(&visit.site, &failure),
            };
        }
        _ => {
            let what = "There is no such file to take out.";
            return answers::not_found(pages::not_found(&visit.site, what, Some(("/export", "All files"))));
        }
    };
    match table {
        Ok(table) => answers::file(&name, "text/csv; charset=utf-8", table.text()),
        Err(failure) => answers::failed(&visit.site, &failure),
    }
}

/// A table as CSV (RFC 4180).
struct Table(String);

impl Table {
    fn new(heading: &[&str]) -> Self {
        let mut table = Self(String::new());
        table.row(heading.iter().map(|cell| (*cell).to_owned()));
        table
    }

    fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        let cells: Vec<String> = cells.into_iter().map(|text| cell(&text)).collect();
        self.0.push_str(&cells.join(","));
        self.0.push_str("\r\n");
    }

    fn text(self) -> String {
        self.0
    }
}

/// A cell: what a table program would take for a formula gets an apostrophe before it.
fn cell(text: &str) -> String {
    let formula = text.starts_with(['=', '+', '-', '@', '\t', '\r']) && text.parse::<f64>().is_err();
    let text = if formula { format!("'{text}") } else { text.to_owned() };
    if text.contains(['"', ',', ';', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text
    }
}

fn stamp(moment: Moment) -> String {
    Timestamp::from_millisecond(moment.milliseconds()).map_or_else(|_| String::new(), |at| at.to_string())
}

fn word(value: &impl serde::Serialize) -> String {
    match serde_json::to_value(value) {
        Ok(Value::String(word)) => word,
        Ok(other) => other.to_string(),
        Err(_) => String::new(),
    }
}

fn life(life: Life) -> &'static str {
    match life {
        Life::Unknown => "unknown",
        Life::Cancelled => "cancelled",
        Life::At(Stage::Planned) => "planned",
        Life::At(Stage::Readied) => "readied",
        Life::At(Stage::CheckedOut) => "checked out",
        Life::At(Stage::Out) => "out",
        Life::At(Stage::HandedBack) => "handed back",
        Life::At(Stage::Settled) => "settled",
    }
}

fn charters(app: &App) -> Table {
    let mut table =
        Table::new(&["charter", "boat", "from", "until", "people", "stands", "checked out", "handed back"]);
    for book in app.ledger.all() {
        for (id, stands) in book.standing.charters.iter().filter(|(_, stands)| stands.boat == book.boat) {
            let plan = stands.plan.as_ref().map(|(_, plan)| plan);
            let came = |stage| stands.came_to(stage).map_or_else(String::new, stamp);
            table.row([
                id.as_str().to_owned(),
                book.boat.as_str().to_owned(),
                plan.map_or_else(String::new, |plan| plan.from.to_string()),
                plan.map_or_else(String::new, |plan| plan.until.to_string()),
                plan.and_then(|plan| plan.crew).map_or_else(String::new, |crew| crew.to_string()),
                life(stands.life).to_owned(),
                came(Stage::CheckedOut),
                came(Stage::HandedBack),
            ]);
        }
    }
    table
}

/// All that was told; what is long over is not at hand, and is read.
async fn events(app: &App) -> Result<Table, Failure> {
    let mut table = Table::new(&["event", "when", "boat", "charter", "by", "answers", "says"]);
    for book in app.ledger.all() {
        let book = app.ledger.whole(&app.store, book.boat.as_str()).await?;
        for (event, _) in book.records.events() {
            let event = impersonal(event);
            table.row([
                event.id.to_string(),
                stamp(event.at),
                event.boat.as_str().to_owned(),
                event.charter.as_ref().map_or_else(String::new, |id| id.as_str().to_owned()),
                word(&event.who),
                event.answers.map_or_else(String::new, |id| id.to_string()),
                word(&event.what),
            ]);
        }
    }
    Ok(table)
}

/// An event without the strokes of a signature.
fn impersonal(event: &Event) -> Event {
    match &event.what {
        What::Signed(signature) => event.clone().without(&signature.person.clone()),
        _ => event.clone(),
    }
}

fn defects(app: &App) -> Table {
    let mut table = Table::new(&[
        "defect", "boat", "item", "what", "severity", "found", "times", "open", "closed", "cause",
    ]);
    for book in app.ledger.all() {
        for defect in book.standing.boats.get(&book.boat).into_iter().flat_map(|boat| boat.defects.values()) {
            let closed = defect.closed.last().filter(|_| !defect.open());
            table.row([
                defect.id().to_string(),
                book.boat.as_str().to_owned(),
                defect.defect.item.clone(),
                defect.defect.words.clone(),
                word(&defect.severity),
                stamp(defect.found.when),
                defect.times().to_string(),
                if defect.open() { "yes" } else { "no" }.to_owned(),
                closed.map_or_else(String::new, |one| stamp(one.mark.when)),
                defect.fault.clone().unwrap_or_default(),
            ]);
        }
    }
    table
}

fn upkeep(app: &App) -> Table {
    let heading =
        ["boat", "line", "done", "engine hours", "minutes", "work", "parts", "parts cost", "other cost"];
    let mut table = Table::new(&heading);
    for book in app.ledger.all() {
        for (line, all) in book.standing.boats.get(&book.boat).into_iter().flat_map(|boat| &boat.upkeep) {
            for done in all {
                let mut cost = Sums::default();
                done.parts.iter().filter_map(|part| part.cost).for_each(|one| cost.put(one));
                let parts: Vec<String> = done
                    .parts
                    .iter()
                    .map(|part| format!("{} x {}", part.pieces.count, part.pieces.part))
                    .collect();
                table.row([
                    book.boat.as_str().to_owned(),
                    line.clone(),
                    stamp(done.mark.when),
                    done.hours.map_or_else(String::new, |hours| hours.as_hours().to_string()),
                    done.took.map_or_else(String::new, |took| took.as_minutes().to_string()),
                    amount(done.work),
                    parts.join("; "),
                    sums(&cost),
                    amount(done.cost),
                ]);
            }
        }
    }
    table
}

fn amount(money: Option<Money>) -> String {
    money.map_or_else(String::new, |money| money.to_string())
}

fn sums(sums: &Sums) -> String {
    let all: Vec<String> = sums.iter().map(|money| money.to_string()).collect();
    all.join(" + ")
}

/// What there is of each part in the base's store and aboard each boat.
fn stock(app: &App) -> Table {
    let mut table = Table::new(&["part", "where", "count", "last counted", "price of one"]);
    each_stock(app, |place, part, stock| {
        let counted = stock.counted.as_ref().map_or_else(String::new, |mark| stamp(mark.when));
        let price = amount(stock.price_of(1));
        table.row([part.to_owned(), place.to_owned(), stock.count.to_string(), counted, price]);
    });
    table
}

/// All that was told of parts: counted, come, used.
fn parts(app: &App) -> Table {
    let mut table = Table::new(&["part", "where", "when", "by", "what", "count", "cost"]);
    each_stock(app, |place, part, stock| {
        for one in &stock.moves {
            let what = match one.turnover {
                Turnover::Counted => "counted",
                Turnover::Received => "came",
                Turnover::Used => "used",
            };
            table.row([
                part.to_owned(),
                place.to_owned(),
                stamp(one.mark.when),
                word(&one.mark.who),
                what.to_owned(),
                one.count.to_string(),
                amount(one.cost),
            ]);
        }
    });
    table
}

/// Each part in the base's store, then those aboard the boats.
fn each_stock(app: &App, mut row: impl FnMut(&str, &str, &Stock)) {
    let books = app.ledger.all();
    for (part, stock) in &records::ashore(books.iter().map(|book| &book.standing)) {
        row("ashore", part, stock);
    }
    for book in &books {
        for (part, stock) in book.standing.boats.get(&book.boat).into_iter().flat_map(|boat| &boat.stock) {
            row(book.boat.as_str(), part, stock);
        }
    }
}

/// What each boat cost in each month.
async fn costs(app: &App) -> Result<Table, Failure> {
    let heading =
        ["boat", "month", "upkeep", "mending", "filling", "work", "parts", "other", "without a price"];
    let mut table = Table::new(&heading);
    for book in app.ledger.all() {
        let book = app.ledger.whole(&app.store, book.boat.as_str()).await?;
        for (month, costs) in month_costs(&app.zone, &book.standing, &book.boat) {
            table.row([
                book.boat.as_str().to_owned(),
                month.to_string(),
                sums(&costs.upkeep),
                sums(&costs.mending),
                sums(&costs.filling),
                sums(&costs.work),
                sums(&costs.parts),
                sums(&costs.other),
                costs.unpriced.to_string(),
            ]);
        }
    }
    Ok(table)
}

async fn readings(app: &App) -> Result<Table, Failure> {
    let mut table = Table::new(&["boat", "charter", "when", "occasion", "meter", "showed"]);
    for book in app.ledger.all() {
        let book = app.ledger.whole(&app.store, book.boat.as_str()).await?;
        for (meter, sights) in book.standing.boats.get(&book.boat).into_iter().flat_map(|boat| &boat.meters) {
            for sight in sights {
                table.row([
                    book.boat.as_str().to_owned(),
                    sight.mark.charter.as_ref().map_or_else(String::new, |id| id.as_str().to_owned()),
                    stamp(sight.mark.when),
                    word(&sight.walk),
                    word(meter),
                    word(&sight.reading),
                ]);
            }
        }
    }
    Ok(table)
}

/// The boat files, the events, and the persons if they are asked for.
async fn everything(app: &App, persons: bool) -> Result<Value, Failure> {
    let mut boats = Vec::new();
    for berth in app.fleet.all().iter() {
        if let Some(revision) = app.store.newest_revision(berth.moored.slug()).await? {
            boats.push(json!({ "boat": revision.boat, "revision": revision.number, "file": revision.text }));
        }
    }
    let mut events = Vec::new();
    let mut people = Vec::new();
    for book in app.ledger.all() {
        let book = app.ledger.whole(&app.store, book.boat.as_str()).await?;
        for (event, _) in book.records.events() {
            let event = if persons { event.clone() } else { impersonal(event) };
            events.push(serde_json::to_value(&event).map_err(|_| Failure::Broken)?);
        }
        if persons {
            for charter in book.standing.charters.keys() {
                for person in app.store.persons(charter.as_str()).await? {
                    let fields: Value = serde_json::from_str(&person.fields).unwrap_or(Value::Null);
                    people.push(json!({ "id": person.id, "charter": person.charter, "fields": fields }));
                }
            }
        }
    }
    let mut all = json!({ "base": app.base, "boats": boats, "events": events });
    if persons {
        all["persons"] = people.into();
    }
    Ok(all)
}
