//! The boat file as a text: out and in.

use axum::extract::{Multipart, Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use pages::links;
use pages::setup::{self, FilePage, Tried};

use super::attempt::{Depth, attempt};
use super::bench::Laid;
use super::save::{Outcome, Wish, keep, save};
use crate::answers;
use crate::app::Shared;
use crate::form::Form;
use crate::visit::Visit;

/// The page of the file.
pub(super) async fn page(State(app): State<Shared>, visit: Visit, Path(slug): Path<String>) -> Response {
    match Laid::out(&app, &visit, &slug).await {
        Ok(laid) => show(&visit, &laid, StatusCode::OK, "", "", None, None),
        Err(answer) => *answer,
    }
}

fn show(
    visit: &Visit,
    laid: &Laid,
    status: StatusCode,
    text: &str,
    note: &str,
    wrong: Option<&str>,
    tried: Option<&Tried>,
) -> Response {
    let page = FilePage { text, note, letters: laid.newest.text.len(), wrong, tried };
    answers::with(status, setup::file_page(&visit.site, &laid.bench(), &page))
}

/// The file itself.
pub(super) async fn take_out(State(app): State<Shared>, visit: Visit, Path(slug): Path<String>) -> Response {
    match Laid::out(&app, &visit, &slug).await {
        Ok(laid) => answers::download(&format!("{slug}.toml"), laid.newest.text),
        Err(answer) => *answer,
    }
}

/// The most parts of the form; it has six.
const PARTS: usize = 12;

/// The fields of a form in parts; a text comes with the line ends of the file that it was.
async fn fields(mut parts: Multipart) -> Option<Form> {
    let mut form = Form(Vec::new());
    for _ in 0..PARTS {
        let Some(part) = parts.next_field().await.ok()? else { break };
        let name = part.name().unwrap_or_default().to_owned();
        let text = part.text().await.ok()?;
        form.0.push((name, text));
    }
    Some(form)
}

/// A whole text is put in.
pub(super) async fn put_in(
    State(app): State<Shared>,
    visit: Visit,
    Path(slug): Path<String>,
    parts: Multipart,
) -> Response {
    let laid = match Laid::out(&app, &visit, &slug).await {
        Ok(laid) => laid,
        Err(answer) => return *answer,
    };
    let Some(form) = fields(parts).await else {
        let what = "What was sent did not come through whole, or is no text. Send it again.";
        return show(&visit, &laid, StatusCode::BAD_REQUEST, "", "", Some(what), None);
    };
    let raw = |name: &str| form.0.iter().find(|(own, _)| own == name).map_or("", |(_, value)| value.as_str());
    // A browser sends a typed text with line ends of two letters; a file comes as it is.
    let typed = raw("text").replace("\r\n", "\n");
    let text = if raw("file").trim().is_empty() { typed } else { raw("file").to_owned() };
    let note = form.get("note");
    if text.trim().is_empty() {
        let what = "Choose a file, or paste a text.";
        return show(&visit, &laid, StatusCode::UNPROCESSABLE_ENTITY, "", note, Some(what), None);
    }
    let note = if note.is_empty() { "Put in as a text" } else { note };
    let made_from = form.get("made_from").parse().unwrap_or(laid.newest.number);
    let wish = Wish {
        slug: slug.clone(),
        made_from,
        text,
        note: note.to_owned(),
        anyway: form.get("anyway") == "yes",
    };
    taken(&app, &visit, &laid, &wish).await
}

async fn taken(app: &Shared, visit: &Visit, laid: &Laid, wish: &Wish) -> Response {
    let slug = &wish.slug;
    let to_draft = |number: u32| answers::elsewhere(&links::setup_one(slug, "drafts", &number.to_string()));
    match save(app, visit, wish).await {
        Ok(Outcome::Saved(number)) => {
            answers::elsewhere(&links::setup_one(slug, "revisions", &number.to_string()))
        }
        Ok(Outcome::Same) => answers::elsewhere(&links::setup(slug)),
        Ok(Outcome::Clash(number)) => to_draft(number),
        Ok(Outcome::Bad(tried)) if tried.readable => {
            let what = "Not saved: the proof finds something new to mend. Mend it, or put it in with the tick below.";
            show(
                visit,
                laid,
                StatusCode::UNPROCESSABLE_ENTITY,
                &wish.text,
                &wish.note,
                Some(what),
                Some(&tried),
            )
        }
        Ok(Outcome::Bad(tried)) => match keep(app, visit, wish).await {
            Ok(number) => unread(visit, laid, wish, number, &tried),
            Err(failure) => answers::failed(&visit.site, &failure),
        },
        Ok(Outcome::Kept(number)) => {
            match attempt(app, slug, &laid.newest.text, &wish.text, Depth::Proof).await {
                Ok(looked) => unread(visit, laid, wish, number, &looked.tried),
                Err(failure) => answers::failed(&visit.site, &failure),
            }
        }
        Err(failure) => answers::failed(&visit.site, &failure),
    }
}

fn unread(visit: &Visit, laid: &Laid, wish: &Wish, number: u32, tried: &Tried) -> Response {
    let what = format!(
        "This can\u{2019}t be read as a boat file, so her file stays as it is. The text is kept as draft {number}; what \
         is to be mended is told below."
    );
    show(visit, laid, StatusCode::UNPROCESSABLE_ENTITY, &wish.text, &wish.note, Some(&what), Some(tried))
}
