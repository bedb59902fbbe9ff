//! Revisions: all of them with what each changed, one of them, and one taken back.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use boat::edit::changes;
use pages::links;
use pages::setup::{self, RevisionLine, RevisionPage};
use store::Revision;

use super::bench::{Laid, aside, failed, moment};
use super::save::{Outcome, Wish, save};
use crate::app::{App, Shared};
use crate::form::Form;
use crate::visit::Visit;
use crate::{answers, handlers};

/// All revisions, the newest first.
pub(super) async fn list(State(app): State<Shared>, visit: Visit, Path(slug): Path<String>) -> Response {
    let laid = match Laid::out(&app, &visit, &slug).await {
        Ok(laid) => laid,
        Err(answer) => return *answer,
    };
    let all = match app.store.revisions(&slug).await {
        Ok(all) => all,
        Err(error) => return failed(&visit, error),
    };
    let compared = aside(move || lines(&all)).await;
    match compared {
        Ok(lines) => answers::page(setup::revisions_page(&visit.site, &laid.bench(), &lines)),
        Err(failure) => answers::failed(&visit.site, &failure),
    }
}

/// All of them with what each changed, the newest first.
fn lines(all: &[Revision]) -> Vec<RevisionLine> {
    let mut lines: Vec<RevisionLine> = all
        .iter()
        .enumerate()
        .map(|(at, own)| line(own, at.checked_sub(1).map(|before| &all[before])))
        .collect();
    lines.reverse();
    lines
}

fn line(own: &Revision, before: Option<&Revision>) -> RevisionLine {
    let changes = before.and_then(|before| changes(&before.text, &own.text).ok()).unwrap_or_default();
    let (number, author, note) = (own.number, own.author.clone(), own.note.clone());
    RevisionLine { number, author, at: moment(own.at), note, changes }
}

/// One revision.
pub(super) async fn one(
    State(app): State<Shared>,
    visit: Visit,
    Path((slug, number)): Path<(String, u32)>,
) -> Response {
    show(&app, &visit, &slug, number, StatusCode::OK, None).await
}

async fn show(
    app: &App,
    visit: &Visit,
    slug: &str,
    number: u32,
    status: StatusCode,
    wrong: Option<&str>,
) -> Response {
    let laid = match Laid::out(app, visit, slug).await {
        Ok(laid) => laid,
        Err(answer) => return *answer,
    };
    let before = match number.checked_sub(1) {
        Some(before) => app.store.revision(slug, before).await,
        None => Ok(None),
    };
    let (own, before) = match (app.store.revision(slug, number).await, before) {
        (Ok(Some(own)), Ok(before)) => (own, before),
        (Ok(None), _) => return handlers::no_boat(visit),
        (Err(error), _) | (_, Err(error)) => return failed(visit, error),
    };
    let (newest, text) = (laid.newest.text.clone(), own.text.clone());
    let compared =
        aside(move || (line(&own, before.as_ref()), changes(&newest, &own.text).unwrap_or_default()));
    let (line, back) = match compared.await {
        Ok(compared) => compared,
        Err(failure) => return answers::failed(&visit.site, &failure),
    };
    let page = RevisionPage { line: &line, text: &text, back: &back, wrong };
    answers::with(status, setup::revision_page(&visit.site, &laid.bench(), &page))
}

/// Makes her file what it was in a revision, as a new one.
pub(super) async fn take_back(
    State(app): State<Shared>,
    visit: Visit,
    Path((slug, number)): Path<(String, u32)>,
    form: Form,
) -> Response {
    let own = match app.store.revision(&slug, number).await {
        Ok(Some(own)) => own,
        Ok(None) => return handlers::no_boat(&visit),
        Err(error) => return failed(&visit, error),
    };
    let Ok(made_from) = form.get("made_from").parse() else { return handlers::no_boat(&visit) };
    let note = format!("Revision {number} put back");
    // It was proven when it was saved; what it was proven to be then is shown again.
    let wish = Wish { slug: slug.clone(), made_from, text: own.text, note, anyway: true };
    let wrong = match save(&app, &visit, &wish).await {
        Ok(Outcome::Saved(number)) => {
            return answers::elsewhere(&links::setup_one(&slug, "revisions", &number.to_string()));
        }
        Ok(Outcome::Same) => {
            return answers::elsewhere(&links::setup_part(&slug, "revisions"));
        }
        Ok(Outcome::Clash(draft) | Outcome::Kept(draft)) => {
            return answers::elsewhere(&links::setup_one(&slug, "drafts", &draft.to_string()));
        }
        Ok(Outcome::Bad(_)) => {
            "That revision can\u{2019}t be read as a boat file by this version, so her file stays as it is."
        }
        Err(failure) => return answers::failed(&visit.site, &failure),
    };
    show(&app, &visit, &slug, number, StatusCode::UNPROCESSABLE_ENTITY, Some(wrong)).await
}
