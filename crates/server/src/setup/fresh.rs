//! The list of boats that are set up, and a new one.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use boat::edit::{BOAT, Value, begin as begin_file, keys};
use pages::links;
use pages::setup::{self, BeginForm, BoatLine};
use store::{Save, StoreError};

use super::attempt::{Attempt, Depth, attempt};
use super::bench::author;
use crate::answers;
use crate::app::{Failure, Shared};
use crate::fleet::Berth;
use crate::form::Form;
use crate::visit::Visit;

/// All boats.
pub(super) async fn list(State(app): State<Shared>, visit: Visit) -> Response {
    show(&app, &visit, StatusCode::OK, &BeginForm::default())
}

fn show(app: &Shared, visit: &Visit, status: StatusCode, begin: &BeginForm) -> Response {
    let all = app.fleet.all();
    let lines: Vec<BoatLine<'_>> =
        all.iter().map(|berth| BoatLine { moored: &berth.moored, revision: berth.revision }).collect();
    answers::with(status, setup::setup_page(&visit.site, &lines, begin))
}

/// A new boat of her particulars and of classes of the library.
pub(super) async fn begin(State(app): State<Shared>, visit: Visit, form: Form) -> Response {
    let filled = setup::read_row(keys(BOAT), form.pairs());
    let mut sent = BeginForm {
        wrong: filled.wrong,
        particulars: setup::without_blanks(&filled.row),
        classes: form.all("class").map(str::to_owned).collect(),
    };
    sent.wrong.extend(setup::lacking(keys(BOAT), &sent.particulars, None));
    if sent.wrong.is_empty() {
        match made(&app, &visit, &sent).await {
            Ok(Ok(slug)) => return answers::elsewhere(&links::setup(&slug)),
            Ok(Err(words)) => sent.wrong.push((String::new(), words)),
            Err(failure) => return answers::failed(&visit.site, &failure),
        }
    }
    show(&app, &visit, StatusCode::UNPROCESSABLE_ENTITY, &sent)
}

/// Makes her; gives her part of the address, or what is wrong.
async fn made(app: &Shared, visit: &Visit, sent: &BeginForm) -> Result<Result<String, String>, Failure> {
    let name = sent.particulars.get("name").and_then(Value::as_text).unwrap_or_default();
    let slug = links::slug(name);
    let taken = Err(format!("There is a boat of the name {name} already. Give this one another name."));
    if app.fleet.get(&slug).is_some() {
        return Ok(taken);
    }
    let classes: Vec<&str> = sent.classes.iter().map(String::as_str).collect();
    let text = match begin_file(&sent.particulars, &classes) {
        Ok(text) => text,
        Err(refused) => return Ok(Err(refused.to_string())),
    };
    let Attempt { tried, moored: Some(moored) } = attempt(app, &slug, "", &text, Depth::Whole).await? else {
        return Err(Failure::Broken);
    };
    if !tried.readable {
        let told: Vec<String> = tried.fresh.iter().take(5).map(|finding| finding.headline.clone()).collect();
        return Ok(Err(told.join(" ")));
    }
    let (at, note) = (app.clock.timestamp(), "A new boat".to_owned());
    let save = Save { boat: slug.clone(), made_from: None, author: author(visit), at, text, note };
    match app.store.save_revision(&save).await {
        Ok(revision) => {
            app.fleet.moor(Berth { moored, revision: revision.number });
            Ok(Ok(slug))
        }
        Err(StoreError::Conflict(conflict)) => {
            app.store.remove_draft(&slug, conflict.draft.number).await?;
            Ok(taken)
        }
        Err(other) => Err(other.into()),
    }
}
