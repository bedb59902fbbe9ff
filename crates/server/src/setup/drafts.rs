//! Drafts: a text that came too late, or could not be read, beside the file as it is now.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use boat::edit::{Merged, Refused, Whose, merge};
use pages::links;
use pages::setup::{self, MergePage, Tried};
use store::Draft;

use super::bench::{Laid, aside, draft_line};
use super::save::{Outcome, Wish, save};
use crate::app::{App, Failure, Shared};
use crate::form::Form;
use crate::visit::Visit;
use crate::{answers, handlers};

/// A draft with what both began with.
struct Held {
    draft: Draft,
    base: String,
}

async fn held(app: &App, slug: &str, number: u32) -> Result<Option<Held>, Failure> {
    let drafts = app.store.drafts(slug).await?;
    let Some(draft) = drafts.into_iter().find(|draft| draft.number == number) else { return Ok(None) };
    let base = match draft.made_from {
        Some(from) => app.store.revision(slug, from).await?.map(|revision| revision.text),
        None => None,
    };
    Ok(Some(Held { draft, base: base.unwrap_or_default() }))
}

/// A draft beside the file.
pub(super) async fn page(
    State(app): State<Shared>,
    visit: Visit,
    Path((slug, number)): Path<(String, u32)>,
) -> Response {
    show(&app, &visit, &slug, number, &Said::default(), StatusCode::OK).await
}

/// What was said on the page.
#[derive(Default)]
struct Said {
    picks: Vec<(String, Whose)>,
    wrong: Option<String>,
    tried: Option<Tried>,
}

async fn show(
    app: &App,
    visit: &Visit,
    slug: &str,
    number: u32,
    said: &Said,
    status: StatusCode,
) -> Response {
    let laid = match Laid::out(app, visit, slug).await {
        Ok(laid) => laid,
        Err(answer) => return *answer,
    };
    let held = match held(app, slug, number).await {
        Ok(Some(held)) => held,
        Ok(None) => return gone(visit, slug),
        Err(failure) => return answers::failed(&visit.site, &failure),
    };
    let none = || Merged { text: String::new(), mine: Vec::new(), theirs: Vec::new(), clashes: Vec::new() };
    let (base, mine, theirs) = (held.base, held.draft.text.clone(), laid.newest.text.clone());
    let picks = said.picks.clone();
    let compared = aside(move || -> Result<_, Refused> {
        let all = merge(&base, &mine, &theirs, &[])?;
        Ok((merge(&base, &mine, &theirs, &picks)?, all.clashes))
    });
    let (merged, asked, unread) = match compared.await {
        Ok(Ok((merged, asked))) => (merged, asked, None),
        Ok(Err(refused)) => (none(), Vec::new(), Some(refused)),
        Err(failure) => return answers::failed(&visit.site, &failure),
    };
    let readable = unread.is_none();
    let (unread_words, unread_tried) = unread.map_or((None, None), why_unread);
    let page = MergePage {
        draft: &draft_line(&held.draft),
        theirs: &laid.newest.author,
        late: held.draft.made_from != Some(laid.newest.number),
        merged: &merged,
        picks: &said.picks,
        asked: &asked,
        wrong: said.wrong.as_deref().or(unread_words.as_deref()),
        tried: said.tried.as_ref().or(unread_tried.as_ref()),
        readable,
        text: &held.draft.text,
    };
    answers::with(status, setup::merge_page(&visit.site, &laid.bench(), &page))
}

/// Why a draft can't be brought together with the file: in words, and with the places in its text.
fn why_unread(refused: Refused) -> (Option<String>, Option<Tried>) {
    match refused {
        Refused::Unreadable { diagnostics, sources } => {
            let what = "This draft can\u{2019}t be read as a boat file, so it can\u{2019}t be saved. What is to be mended is told below: mend it in the text and put that in, or drop the draft.";
            let (mended, changes) = (Vec::new(), Vec::new());
            let tried = Tried {
                readable: false,
                fresh: diagnostics,
                mended,
                stay: 0,
                sources,
                lists: 0,
                took: 0,
                changes,
            };
            (Some(what.to_owned()), Some(tried))
        }
        other => (Some(other.to_string()), None),
    }
}

fn gone(visit: &Visit, slug: &str) -> Response {
    let what = "There is no such draft any more: it was brought together with her file, or dropped.";
    answers::not_found(pages::not_found(&visit.site, what, Some((&links::setup(slug), "Her file"))))
}

/// Brings a draft together with the file as it was chosen, or drops it.
pub(super) async fn decide(
    State(app): State<Shared>,
    visit: Visit,
    Path((slug, number)): Path<(String, u32)>,
    form: Form,
) -> Response {
    if form.get("do") == "drop" {
        return match app.store.remove_draft(&slug, number).await {
            Ok(_) => answers::elsewhere(&links::setup(&slug)),
            Err(error) => answers::failed(&visit.site, &Failure::Store(error)),
        };
    }
    let mut said = Said { picks: picks(&form), ..Said::default() };
    match together(&app, &visit, &slug, number, &form, &said.picks).await {
        Ok(Done::Saved(revision)) => {
            return answers::elsewhere(&links::setup_one(&slug, "revisions", &revision.to_string()));
        }
        Ok(Done::Same) => return answers::elsewhere(&links::setup(&slug)),
        Ok(Done::Gone) => return gone(&visit, &slug),
        Ok(Done::NoBoat) => return handlers::no_boat(&visit),
        Ok(Done::Open(words)) => said.wrong = Some(words),
        Ok(Done::Bad(tried)) => {
            said.wrong = Some("Not saved: what is to be mended is told below.".to_owned());
            said.tried = Some(*tried);
        }
        Err(failure) => return answers::failed(&visit.site, &failure),
    }
    show(&app, &visit, &slug, number, &said, StatusCode::UNPROCESSABLE_ENTITY).await
}

/// What came of bringing both together.
enum Done {
    Saved(u32),
    Same,
    Gone,
    NoBoat,
    Open(String),
    Bad(Box<Tried>),
}

async fn together(
    app: &Shared,
    visit: &Visit,
    slug: &str,
    number: u32,
    form: &Form,
    picks: &[(String, Whose)],
) -> Result<Done, Failure> {
    let Some(held) = held(app, slug, number).await? else { return Ok(Done::Gone) };
    let Some(newest) = app.store.newest_revision(slug).await? else { return Ok(Done::NoBoat) };
    let (base, mine, theirs) = (held.base, held.draft.text.clone(), newest.text.clone());
    let chosen = picks.to_vec();
    let merged = match aside(move || merge(&base, &mine, &theirs, &chosen)).await? {
        Ok(merged) => merged,
        Err(refused) => return Ok(Done::Open(refused.to_string())),
    };
    if form.get("made_from").parse() != Ok(newest.number) && !merged.clashes.is_empty() {
        return Ok(Done::Open("Meanwhile somebody saved again. Look at what differs now.".to_owned()));
    }
    if !merged.clashes.is_empty() {
        let what = match merged.clashes.len() {
            1 => "Not saved yet: one choice is still open. Choose whose word stands.".to_owned(),
            more => format!("Not saved yet: {more} choices are still open. Choose whose word stands."),
        };
        return Ok(Done::Open(what));
    }
    let anyway = form.get("do") == "anyway";
    let by = if held.draft.note.is_empty() { String::new() } else { format!(": {}", held.draft.note) };
    let note = format!("Draft of {} brought together{by}", held.draft.author);
    let wish = Wish { slug: slug.to_owned(), made_from: newest.number, text: merged.text, note, anyway };
    match save(app, visit, &wish).await? {
        Outcome::Saved(revision) => {
            app.store.remove_draft(slug, number).await?;
            Ok(Done::Saved(revision))
        }
        Outcome::Same => {
            app.store.remove_draft(slug, number).await?;
            Ok(Done::Same)
        }
        Outcome::Bad(tried) => Ok(Done::Bad(tried)),
        Outcome::Clash(other) | Outcome::Kept(other) => {
            // Somebody saved at this moment: what was chosen is kept in the draft that this one was.
            app.store.remove_draft(slug, other).await?;
            Ok(Done::Open(
                "Somebody saved at this moment. Look at what differs now, and choose again.".to_owned(),
            ))
        }
    }
}

fn picks(form: &Form) -> Vec<(String, Whose)> {
    let pick = |(name, value): &(String, String)| {
        let about = name.strip_prefix("pick ")?.to_owned();
        match value.as_str() {
            "mine" => Some((about, Whose::Mine)),
            "theirs" => Some((about, Whose::Theirs)),
            _ => None,
        }
    };
    form.pairs().iter().filter_map(pick).collect()
}
