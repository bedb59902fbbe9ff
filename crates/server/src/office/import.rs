//! Charters are read in from a calendar or a table.

use std::collections::BTreeMap;

use axum::extract::{DefaultBodyLimit, RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use calendar::{
    BoatMatch, Booking, DateOrder, Read, Reading, Weight, Window, match_boat, read_csv_with, read_icalendar,
};
use jiff::{SignedDuration, Timestamp};
use pages::links;
use pages::office::{Fate, Hull, ImportAsk, ImportRow, import_page};
use records::{BoatId, CharterId, Event, EventId, Life, Local, Moment, Plan, Stage, What};

use super::base::Base;
use crate::app::{App, Failure, Shared};
use crate::caller::Who;
use crate::dock::upload::Upload;
use crate::routes::Route;
use crate::visit::{Unmade, Visit};
use crate::{answers, handlers};

/// The most bytes of a file, and what a form adds to them.
const FILE: usize = 2 * 1024 * 1024;
const FORM: usize = FILE + 64 * 1024;

/// The most charters that are taken at once.
const MOST: usize = 2000;

/// For so long ahead charters that repeat are told.
const AHEAD: SignedDuration = SignedDuration::from_hours(24 * 730);

/// Its part of the table of routes.
pub(super) fn routes() -> Vec<Route> {
    let sent = post(send).layer(DefaultBodyLimit::disable());
    vec![
        Route::page("/charters/import", Who::Skipper, get(page)),
        Route { most_bytes: FORM, ..Route::form("/charters/import", Who::Skipper, sent) },
    ]
}

async fn page(visit: Visit, RawQuery(query): RawQuery) -> Response {
    let pairs = handlers::pairs(query.as_deref());
    let taken = pairs.iter().find(|(key, _)| key == "taken").and_then(|(_, count)| count.parse().ok());
    answers::page(import_page(&visit.site, &ImportAsk { taken, ..ImportAsk::default() }))
}

async fn send(State(app): State<Shared>, visit: Visit, upload: Upload) -> Response {
    let form = upload.form;
    let file = form.get("file");
    let text = if file.is_empty() { form.get("text") } else { file };
    let order = form.get("order");
    let wrong = match text.len() {
        0 => Some("Choose a file, or put its text into the field."),
        long if long > FILE => Some("The file is longer than 2 MB. Take out of it what is long over."),
        _ => None,
    };
    if wrong.is_some() {
        let ask = ImportAsk { order, wrong, ..ImportAsk::default() };
        return answers::not_taken_page(StatusCode::UNPROCESSABLE_ENTITY, import_page(&visit.site, &ask));
    }
    let base = Base::of(&app);
    let laid = lay(&app, &base.hulls(), text, order);
    if form.get("do") == "take" {
        return match take(&app, &visit, form.get("once"), laid.says).await {
            Ok(taken) => answers::elsewhere(&links::query(links::IMPORT, &[("taken", &taken.to_string())])),
            Err(unmade) => unmade.answer(&visit.site, links::IMPORT),
        };
    }
    let ask = ImportAsk { text, order, rows: Some(&laid.rows), ..ImportAsk::default() };
    let all_wrong = !laid.rows.is_empty() && laid.rows.iter().all(|row| row.fate == Fate::NotUnderstood);
    let status = if all_wrong { StatusCode::UNPROCESSABLE_ENTITY } else { StatusCode::OK };
    answers::with(status, import_page(&visit.site, &ask))
}

/// What a charter's events say: of which boat, on which charter, what.
type Says = (BoatId, CharterId, What);

/// On which lines each charter stands.
type Lines = BTreeMap<CharterId, Vec<usize>>;

/// A text, laid beside what is known.
struct Laid {
    rows: Vec<ImportRow>,
    says: Vec<Says>,
}

async fn take(app: &App, visit: &Visit, once: &str, says: Vec<Says>) -> Result<usize, Unmade> {
    let who = visit.hand().ok_or(Unmade::Failed(Failure::Broken))?;
    let first: EventId = once.parse().map_err(|_| Unmade::NoName)?;
    let names = (first.bits()..).map(EventId::from_bits);
    let made = says.into_iter().zip(names).map(|((boat, charter, what), id)| {
        Event::new(id, app.clock.now(), who.clone(), visit.device.clone(), boat, what).on(charter)
    });
    let events: Vec<Event> = made.collect();
    if events.iter().any(|event| app.ledger.boat(event.boat.as_str()).records.get(event.id).is_some()) {
        return Err(Unmade::SentBefore);
    }
    if !events.is_empty() {
        let taken = app.ledger.append(&app.store, &events, app.clock.timestamp()).await;
        taken.map_err(|error| Unmade::Failed(Failure::Store(error)))?;
    }
    Ok(events.len())
}

fn lay(app: &App, hulls: &[Hull<'_>], text: &str, order: &str) -> Laid {
    let read = read(app, text, order);
    let mut laid = Laid { rows: Vec::new(), says: Vec::new() };
    for remark in read.remarks {
        laid.rows.push(ImportRow {
            fate: if remark.weight == Weight::Error { Fate::NotUnderstood } else { Fate::Remark },
            line: remark.line,
            boat: String::new(),
            span: None,
            called: remark.wrong,
            words: remark.mend,
        });
    }
    let taken = &read.bookings[..read.bookings.len().min(MOST)];
    let lines = lines(hulls, taken);
    for booking in taken {
        one(app, hulls, booking, &lines, &mut laid);
    }
    if let Some(over) = read.bookings.get(MOST) {
        laid.rows.push(ImportRow {
            fate: Fate::NotUnderstood,
            words: "Read the rest in with a second file.".to_owned(),
            called: format!("At most {MOST} charters are taken at once; from here on they are left out."),
            ..row(app, over)
        });
    }
    laid
}

fn read(app: &App, text: &str, order: &str) -> Read {
    if text.lines().take(50).any(|line| line.trim().eq_ignore_ascii_case("BEGIN:VCALENDAR")) {
        let from = app.clock.timestamp();
        let until = from.checked_add(AHEAD).unwrap_or(Timestamp::MAX);
        return read_icalendar(text.as_bytes(), &app.zone, Window { from, until });
    }
    let date_order = match order {
        "dmy" => Some(DateOrder::DayMonthYear),
        "mdy" => Some(DateOrder::MonthDayYear),
        _ => None,
    };
    read_csv_with(text.as_bytes(), &app.zone, Reading { date_order })
}

fn moment(at: Timestamp) -> Moment {
    Moment::from_milliseconds(at.as_millisecond())
}

fn row(_: &App, booking: &Booking) -> ImportRow {
    let called = [&booking.words, &booking.reference, &booking.uid].into_iter().find(|text| !text.is_empty());
    ImportRow {
        fate: Fate::NotUnderstood,
        line: booking.source_line,
        boat: String::new(),
        span: Some((moment(booking.start), moment(booking.end))),
        called: called.cloned().unwrap_or_default(),
        words: String::new(),
    }
}

/// The name of the charter that a booking is: always the same one for the same booking.
fn charter_of(booking: &Booking, boat: &str) -> CharterId {
    let own = if booking.uid.is_empty() { &booking.reference } else { &booking.uid };
    let key = match (own.is_empty(), booking.occurrence) {
        (true, _) => format!("{boat} {}", booking.start),
        (false, Some(occurrence)) => format!("{own} {occurrence}"),
        (false, None) => own.clone(),
    };
    CharterId::new(format!("i-{}", &store::TokenHash::of(&key).as_str()[..16]))
}

/// The lines on which each charter stands in the text. A calendar gives only the latest version of each; a table may
/// have one twice.
fn lines(hulls: &[Hull<'_>], bookings: &[Booking]) -> Lines {
    let mut lines = Lines::new();
    for booking in bookings {
        if let Ok(hull) = whose(hulls, booking) {
            lines.entry(charter_of(booking, &hull.vessel.slug)).or_default().push(booking.source_line);
        }
    }
    lines
}

/// Refuses a charter that stands in the text more than once: nobody but its writer knows which one is meant.
fn alone(charter: &CharterId, booking: &Booking, lines: &Lines) -> Result<(), String> {
    let other = lines.get(charter).into_iter().flatten().find(|line| **line != booking.source_line);
    let Some(other) = other else { return Ok(()) };
    let nameless = booking.uid.is_empty() && booking.reference.is_empty();
    let same = if nameless { "boat and the same beginning" } else { "reference" };
    Err(format!(
        "Line {other} has the same {same}. Leave the one that is right, or give each its own reference."
    ))
}

fn one(app: &App, hulls: &[Hull<'_>], booking: &Booking, lines: &Lines, laid: &mut Laid) {
    let mut row = row(app, booking);
    let fate = judge(app, hulls, booking, lines, &mut row);
    match fate {
        Ok((fate, says)) => {
            row.fate = fate;
            laid.says.extend(says);
        }
        Err(words) => row.words = words,
    }
    laid.rows.push(row);
}

/// What becomes of a booking, and what its event says.
///
/// # Errors
/// Why it can't be taken, and how to mend it.
fn judge(
    app: &App,
    hulls: &[Hull<'_>],
    booking: &Booking,
    lines: &Lines,
    row: &mut ImportRow,
) -> Result<(Fate, Option<Says>), String> {
    let hull = whose(hulls, booking)?;
    hull.vessel.boat.particulars.name.clone_into(&mut row.boat);
    let boat = BoatId::new(hull.vessel.slug.as_str());
    let charter = charter_of(booking, boat.as_str());
    alone(&charter, booking, lines)?;
    let book = app.ledger.charter(charter.as_str());
    if book.as_ref().is_some_and(|book| book.boat != boat) {
        return Err("It was on another boat before. Cancel that charter on its page and plan this one anew."
            .to_owned());
    }
    let known = book.as_ref().and_then(|book| book.standing.charters.get(&charter));
    let before = known.and_then(|known| known.plan.as_ref()).map(|(_, plan)| plan);
    let begun = known.is_some_and(|known| {
        !matches!(known.life, Life::At(Stage::Planned | Stage::Readied) | Life::Cancelled)
    });
    let says = |what| Some((boat.clone(), charter.clone(), what));
    if booking.cancelled {
        return match known {
            Some(known) if known.life != Life::Cancelled && !begun => {
                let reason = "It was called off in the calendar or table that was read in.".to_owned();
                Ok((Fate::Cancelled, says(What::Cancelled { reason })))
            }
            Some(_) if begun => {
                Err("It was called off there, but its crew has the boat or had her.".to_owned())
            }
            _ => Ok((Fate::Unchanged, None)),
        };
    }
    if known.is_some_and(|known| known.life == Life::Cancelled) {
        "It was cancelled here.".clone_into(&mut row.words);
        return Ok((Fate::Unchanged, None));
    }
    let plan = plan(app, booking, before)?;
    if before == Some(&plan) {
        return Ok((Fate::Unchanged, None));
    }
    if begun {
        return Err("Its plan is another one there, but its crew has the boat or had her. Change it on its page if it is so.".to_owned());
    }
    if before.is_none() && plan.until.moment() < app.clock.now() {
        "It is over.".clone_into(&mut row.words);
        return Ok((Fate::Unchanged, None));
    }
    row.words = words(hull, &charter, booking, &plan);
    Ok(match before {
        Some(_) => (Fate::Changed, says(What::Changed(plan))),
        None => (Fate::New, says(What::Planned(plan))),
    })
}

fn whose<'a>(hulls: &[Hull<'a>], booking: &Booking) -> Result<Hull<'a>, String> {
    let names: Vec<[&str; 1]> =
        hulls.iter().map(|hull| [hull.vessel.boat.particulars.name.as_str()]).collect();
    let boats: Vec<(&str, &[&str])> =
        hulls.iter().zip(&names).map(|(hull, names)| (hull.vessel.slug.as_str(), &names[..])).collect();
    match match_boat(&booking.boat_words, &boats) {
        BoatMatch::Exact(slug) => hulls
            .iter()
            .find(|hull| hull.vessel.slug == slug)
            .copied()
            .ok_or_else(|| "This base has no such boat.".to_owned()),
        BoatMatch::None => Err(format!(
            "No boat of this base is named in it (\u{201c}{}\u{201d}). Write the boat's name there.",
            booking.boat_words.join(" ")
        )),
        BoatMatch::Several(slugs) => {
            Err(format!("More than one boat is named in it: {}. Leave one.", slugs.join(", ")))
        }
    }
}

/// The plan of a booking; how many sail stays as it was where the file does not say it.
fn plan(app: &App, booking: &Booking, before: Option<&Plan>) -> Result<Plan, String> {
    let local = |at: Timestamp| {
        Local::new(moment(at), app.zone.to_offset(at))
            .ok_or_else(|| "Its time is no time of these years.".to_owned())
    };
    if booking.end <= booking.start {
        return Err("It ends before it begins. Mend its times.".to_owned());
    }
    let party = booking.party;
    let told =
        party.heads.or_else(|| party.adults.map(|adults| adults.saturating_add(party.children.unwrap_or(0))));
    let crew = told.filter(|heads| *heads > 0).or(before.and_then(|plan| plan.crew));
    if let Some(crew) = crew.filter(|crew| *crew > 99) {
        return Err(format!("{crew} people can't sail on a boat. Mend the number."));
    }
    let booked = before.and_then(|plan| plan.booked.clone());
    Ok(Plan { from: local(booking.start)?, until: local(booking.end)?, crew, booked })
}

/// What somebody should know of it before it is taken.
fn words(hull: Hull<'_>, charter: &CharterId, booking: &Booking, plan: &Plan) -> String {
    let mut words = Vec::new();
    if plan.crew.is_none() {
        words.push("How many sail is not told.");
    }
    if booking.all_day {
        words.push("It is in whole days; set its times on its page.");
    }
    let meets = hull.standing.charters.iter().any(|(id, other)| {
        let other_plan = other.plan.as_ref().map(|(_, plan)| plan);
        id != charter
            && other.life != Life::Cancelled
            && other_plan.is_some_and(|other| {
                other.from.moment() < plan.until.moment() && plan.from.moment() < other.until.moment()
            })
    });
    if meets {
        words.push("Another charter of the boat is at the same time.");
    }
    words.join(" ")
}
