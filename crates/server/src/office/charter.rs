//! One charter: its page, its plan, notes, cancelling, and forgetting its crew.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use pages::dock::{Flaw, Handover};
use pages::links;
use pages::office::{PlanForm, change_page, charter_page, typed_plan};
use records::{Life, PersonId, Plan, Role, Stage, What};

use super::charters::{overlap, read_plan};
use crate::answers;
use crate::app::{Failure, Shared};
use crate::caller::Who;
use crate::dock::table::Table;
use crate::form::Form;
use crate::routes::Route;
use crate::visit::Visit;

/// Its part of the table of routes.
pub(super) fn routes() -> Vec<Route> {
    vec![
        Route::page("/charter/{charter}", Who::Hand, get(page)),
        Route::page("/charter/{charter}/change", Who::Skipper, get(change)),
        Route::form("/charter/{charter}/change", Who::Skipper, post(changed)),
        Route::form("/charter/{charter}/cancel", Who::Skipper, post(cancel)),
        Route::form("/charter/{charter}/note", Who::Hand, post(note)),
        Route::form("/charter/{charter}/forget", Who::Manager, post(forget)),
    ]
}

async fn page(State(app): State<Shared>, visit: Visit, Path(charter): Path<String>) -> Response {
    match Table::lay(&app, &visit, &charter).await {
        Ok(table) => with(&table, &visit, |over| {
            answers::page(charter_page(&visit.site, over, &table.book.records, &[]))
        }),
        Err(answer) => *answer,
    }
}

/// Answers about a charter on the table.
fn with(table: &Table, visit: &Visit, answer: impl FnOnce(&Handover<'_>) -> Response) -> Response {
    table.over().map_or_else(|| answers::broken(&visit.site), |over| answer(&over))
}

async fn change(State(app): State<Shared>, visit: Visit, Path(charter): Path<String>) -> Response {
    let table = match Table::lay(&app, &visit, &charter).await {
        Ok(table) => table,
        Err(answer) => return *answer,
    };
    with(&table, &visit, |over| {
        let plan = over.stands.plan.as_ref().map(|(_, plan)| typed_plan(&visit.site, plan));
        let typed = plan.unwrap_or_default();
        answers::page(change_page(&visit.site, over, &PlanForm { typed: &typed, flaws: &[] }))
    })
}

async fn changed(
    State(app): State<Shared>,
    visit: Visit,
    Path(charter): Path<String>,
    form: Form,
) -> Response {
    let table = match Table::lay(&app, &visit, &charter).await {
        Ok(table) => table,
        Err(answer) => return *answer,
    };
    if table.stands().is_some_and(|stands| stands.life == Life::Cancelled) {
        let what = "This charter was cancelled meanwhile, so its plan is not changed. Plan a new one.";
        return answers::not_taken_from(&visit.site, &links::charter(&charter), what);
    }
    let again = |flaws: &[Flaw]| {
        with(&table, &visit, |over| {
            let page = change_page(&visit.site, over, &PlanForm { typed: form.pairs(), flaws });
            answers::with(StatusCode::UNPROCESSABLE_ENTITY, page)
        })
    };
    let mut flaws = Vec::new();
    let Some(plan) = read_plan(&visit, &form, &mut flaws) else { return again(&flaws) };
    let name = table.vessel().map_or("She", |vessel| vessel.boat.particulars.name.as_str());
    if let Some(flaw) = overlap(&visit, &form, name, &table.book, &table.charter, &plan) {
        return again(&[flaw]);
    }
    let booked =
        table.stands().and_then(|stands| stands.plan.as_ref()).and_then(|(_, plan)| plan.booked.clone());
    tell(&app, &visit, &table, &form, What::Changed(Plan { booked, ..plan })).await
}

async fn tell(app: &Shared, visit: &Visit, table: &Table, form: &Form, what: What) -> Response {
    let home = links::charter(table.charter.as_str());
    match visit.tell(app, form, table.boat(), Some(&table.charter), [what]).await {
        Ok(_) => answers::elsewhere(&home),
        Err(unmade) => unmade.answer(&visit.site, &home),
    }
}

async fn cancel(
    State(app): State<Shared>,
    visit: Visit,
    Path(charter): Path<String>,
    form: Form,
) -> Response {
    let reason = form.get("reason").to_owned();
    let words = "Say why it will not take place, in up to 500 letters.";
    let good = (1..=500).contains(&reason.chars().count());
    say(app, visit, &charter, &form, "reason", good.then_some(What::Cancelled { reason }).ok_or(words)).await
}

async fn note(State(app): State<Shared>, visit: Visit, Path(charter): Path<String>, form: Form) -> Response {
    let words = form.get("words").to_owned();
    let good = (1..=2000).contains(&words.chars().count());
    let what = good.then_some(What::Noted { words }).ok_or("Write the note, in up to 2000 letters.");
    say(app, visit, &charter, &form, "words", what).await
}

/// Tells what a form of the charter's page says, or shows the page again with what is wrong with its one field.
async fn say(
    app: Shared,
    visit: Visit,
    charter: &str,
    form: &Form,
    field: &str,
    what: Result<What, &'static str>,
) -> Response {
    let table = match Table::lay(&app, &visit, charter).await {
        Ok(table) => table,
        Err(answer) => return *answer,
    };
    let gone = table.stands().is_some_and(|stands| stands.furthest >= Some(Stage::CheckedOut));
    match what {
        // The page may be older than the hand-over. What is known would not change, and nobody would be told.
        Ok(What::Cancelled { .. }) if gone => {
            let what = "The crew has had the boat, so this charter can't be cancelled any more.";
            answers::not_taken_from(&visit.site, &links::charter(charter), what)
        }
        Ok(what) => tell(&app, &visit, &table, form, what).await,
        Err(words) => with(&table, &visit, |over| {
            let page = charter_page(&visit.site, over, &table.book.records, &[Flaw::wrong(field, words)]);
            answers::with(StatusCode::UNPROCESSABLE_ENTITY, page)
        }),
    }
}

/// Removes the names of a charter's crew. Those of the base's own who signed stay.
async fn forget(
    State(app): State<Shared>,
    visit: Visit,
    Path(charter): Path<String>,
    form: Form,
) -> Response {
    let table = match Table::lay(&app, &visit, &charter).await {
        Ok(table) => table,
        Err(answer) => return *answer,
    };
    let home = links::charter(&charter);
    if form.get("sure") != "yes" {
        let what = "Nothing was removed: tick that you are sure.";
        return answers::not_taken_from(&visit.site, &home, what);
    }
    let persons = match app.store.persons(&charter).await {
        Ok(persons) => persons,
        Err(error) => return answers::failed(&visit.site, &Failure::Store(error)),
    };
    let base_signed = |id: &str| {
        table.stands().is_some_and(|stands| {
            stands.signed.iter().any(|one| {
                one.signature.person.as_str() == id
                    && matches!(one.signature.role, Role::Base | Role::Manager)
            })
        })
    };
    let crew: Vec<String> =
        persons.into_iter().map(|person| person.id).filter(|id| !base_signed(id)).collect();
    let events = crew.iter().map(|id| What::PersonRemoved { person: PersonId::new(id.as_str()) });
    // What says that they are removed comes first, so that nothing shows them again if the rest fails; their names and
    // what they drew go with it.
    if let Err(unmade) = visit.tell(&app, &form, table.boat(), Some(&table.charter), events).await {
        return unmade.answer(&visit.site, &home);
    }
    answers::elsewhere(&home)
}
