//! Walks over the boat: the index, and one stop a page.

use axum::http::StatusCode;
use axum::response::Response;
use pages::dock::{Stop, Told, Walking, stop_page, stops, walk_page};
use pages::links;
use records::{Look, What};

use super::say::say;
use super::table::Table;
use crate::answers;
use crate::app::Shared;
use crate::form::Form;
use crate::visit::Visit;

/// The index of a walk.
pub(crate) async fn index(app: Shared, visit: Visit, charter: String, walk: Walking) -> Response {
    let table = match Table::lay(&app, &visit, &charter).await {
        Ok(table) => table,
        Err(answer) => return *answer,
    };
    match table.over() {
        Some(over) => answers::page(walk_page(&visit.site, &over, walk)),
        None => answers::broken(&visit.site),
    }
}

/// One stop.
pub(crate) async fn stop(
    app: Shared,
    visit: Visit,
    charter: String,
    walk: Walking,
    stop: String,
) -> Response {
    let table = match Table::lay(&app, &visit, &charter).await {
        Ok(table) => table,
        Err(answer) => return *answer,
    };
    match (table.over(), find(&table, walk, &stop)) {
        (Some(over), Some((stop, _))) => answers::page(stop_page(&visit.site, &over, walk, &stop, &[], &[])),
        _ => no_stop(&visit, &charter, walk),
    }
}

/// What was found at a stop.
pub(crate) async fn tell(
    app: Shared,
    visit: Visit,
    charter: String,
    walk: Walking,
    stop: String,
    form: Form,
) -> Response {
    let mut table = match Table::lay(&app, &visit, &charter).await {
        Ok(table) => table,
        Err(answer) => return *answer,
    };
    let Some((stop, next)) = find(&table, walk, &stop) else { return no_stop(&visit, &charter, walk) };
    let Some(told) = table.over().map(|over| Told::read(&over, walk, &stop, form.pairs(), app.clock.now()))
    else {
        return answers::broken(&visit.site);
    };
    let here = links::stop(&charter, walk.word(), &stop.id);
    let mut go = onwards(&charter, walk, &here, next.as_ref(), form.get("go"));
    if let Some(spot) = told.sayings.iter().find_map(|saying| look_closer(&saying.what)) {
        go = format!("{here}#{spot}");
    }
    if !form.get("right").is_empty() {
        go.clone_from(&here);
    }
    if let Err(unmade) = say(&app, &visit, &form, &mut table, told.sayings).await {
        return unmade.answer(&visit.site, &here);
    }
    if told.flaws.is_empty() {
        return answers::elsewhere(&go);
    }
    let Some(over) = table.over() else { return answers::broken(&visit.site) };
    let page = stop_page(&visit.site, &over, walk, &stop, form.pairs(), &told.flaws);
    answers::not_taken_page(StatusCode::UNPROCESSABLE_ENTITY, page)
}

/// The stop of that name, and the one after it.
fn find(table: &Table, walk: Walking, id: &str) -> Option<(Stop, Option<Stop>)> {
    let mut all = stops(&table.vessel()?.boat, walk).into_iter();
    let stop = all.find(|stop| stop.id == id)?;
    Some((stop, all.next()))
}

fn onwards(charter: &str, walk: Walking, here: &str, next: Option<&Stop>, go: &str) -> String {
    match (go, next) {
        ("next", Some(next)) => links::stop(charter, walk.word(), &next.id),
        ("next" | "end", _) => links::sign(charter, walk.word()),
        ("list", _) => links::walk(charter, walk.word()),
        _ => here.to_owned(),
    }
}

/// What is not as it should be is to be told of at once: the spot on the page where that is offered.
fn look_closer(what: &What) -> Option<String> {
    match what {
        What::Checked { item, look: Look::NotOk, .. } => Some(format!("item.{item}")),
        _ => None,
    }
}

fn no_stop(visit: &Visit, charter: &str, walk: Walking) -> Response {
    let back = links::walk(charter, walk.word());
    let what = "This walk has no stop of that name.";
    answers::not_found(pages::not_found(&visit.site, what, Some((&back, "The walk"))))
}
