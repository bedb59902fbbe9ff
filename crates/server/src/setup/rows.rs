//! The entries of a boat file as forms.

use axum::extract::{Path, RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use boat::edit::{self, BOAT, Edit, Refused, keys, sections};
use pages::links;
use pages::setup::{self, Tried};

use super::attempt::{Depth, attempt as look};
use super::bench::{Laid, aside, draft_line, failed};
use super::filling::{Draft, nothing};
use super::save::{Outcome, Wish, keep, save};
use crate::app::Shared;
use crate::form::Form;
use crate::visit::Visit;
use crate::{answers, handlers};

/// A boat: her sections.
pub(super) async fn boat(State(app): State<Shared>, visit: Visit, Path(slug): Path<String>) -> Response {
    let laid = match Laid::out(&app, &visit, &slug).await {
        Ok(laid) => laid,
        Err(answer) => return *answer,
    };
    match app.store.drafts(&slug).await {
        Ok(drafts) => {
            let drafts: Vec<_> = drafts.iter().map(draft_line).collect();
            answers::page(setup::boat_page(&visit.site, &laid.bench(), &drafts))
        }
        Err(error) => failed(&visit, error),
    }
}

/// The entries of a section.
pub(super) async fn section(
    State(app): State<Shared>,
    visit: Visit,
    Path((slug, name)): Path<(String, String)>,
    RawQuery(query): RawQuery,
) -> Response {
    let laid = match Laid::out(&app, &visit, &slug).await {
        Ok(laid) => laid,
        Err(answer) => return *answer,
    };
    if name == BOAT {
        return answers::elsewhere(&links::setup_one(&slug, BOAT, "particulars"));
    }
    match sections().iter().find(|section| section.name == name) {
        Some(section) => answers::page(setup::section_page(
            &visit.site,
            &laid.bench(),
            section,
            &asked(query.as_deref(), "q"),
        )),
        None => nothing(&visit, &slug),
    }
}

/// Whether an address can name an entry.
fn is_known(section: &str, id: &str) -> bool {
    if section == BOAT { id == "particulars" } else { sections().iter().any(|own| own.name == section) }
}

/// The entry that an address names; none for a new one and for the particulars.
fn named<'i>(section: &str, id: &'i str) -> Option<&'i str> {
    Some(id).filter(|id| section != BOAT && *id != "new")
}

/// What is asked by a name; empty if nothing is.
fn asked(query: Option<&str>, name: &str) -> String {
    let pairs = handlers::pairs(query);
    pairs.into_iter().find(|(own, _)| own == name).map(|(_, value)| value).unwrap_or_default()
}

/// The address of what was just saved, so that its page says so.
fn just_saved(address: &str, revision: u32) -> String {
    links::query(address, &[("saved", &revision.to_string())])
}

/// The form of an entry.
pub(super) async fn entry(
    State(app): State<Shared>,
    visit: Visit,
    Path((slug, section, id)): Path<(String, String, String)>,
    RawQuery(query): RawQuery,
) -> Response {
    let laid = match Laid::out(&app, &visit, &slug).await {
        Ok(laid) => laid,
        Err(answer) => return *answer,
    };
    let draft = is_known(&section, &id).then(|| Draft::open(&laid, &section, named(&section, &id)));
    let Some(mut draft) = draft.flatten() else { return nothing(&visit, &slug) };
    if let Ok(number) = asked(query.as_deref(), "saved").parse() {
        draft.saved = match app.store.revision(&slug, number).await {
            Ok(found) => found.map(|revision| (number, revision.author)),
            Err(error) => return failed(&visit, error),
        };
        draft.same = number == 0;
    }
    draft.answer(&visit, &laid, StatusCode::OK)
}

/// What trying the form comes to, as a part of the page: the script asks for it while somebody types.
pub(super) async fn attempt(
    State(app): State<Shared>,
    visit: Visit,
    Path(slug): Path<String>,
    form: Form,
) -> Response {
    let laid = match Laid::out(&app, &visit, &slug).await {
        Ok(laid) => laid,
        Err(answer) => return *answer,
    };
    let section = form.get("section").to_owned();
    let id = Some(form.get("id")).filter(|id| !id.is_empty());
    if keys(&section).is_empty() {
        return handlers::no_boat(&visit);
    }
    let draft = Draft::sent(&laid, &section, id, &form);
    let lacking = draft.lacking(&laid);
    if !lacking.is_empty() {
        return answers::page(setup::lacking_part(&lacking).into_string());
    }
    match tried(&app, &laid, &draft).await {
        Ok(tried) => answers::page(setup::tried_part(&tried, laid.deck.as_ref()).into_string()),
        Err(Stopped::Words(words)) => answers::page(setup::said_part(&words).into_string()),
        Err(Stopped::Failed(failure)) => answers::failed(&visit.site, &failure),
    }
}

/// Why something could not be tried.
enum Stopped {
    Words(String),
    Failed(crate::app::Failure),
}

impl<F: Into<crate::app::Failure>> From<F> for Stopped {
    fn from(failure: F) -> Self {
        Self::Failed(failure.into())
    }
}

async fn base(app: &Shared, laid: &Laid, made_from: u32) -> Result<String, Stopped> {
    if made_from == laid.newest.number {
        return Ok(laid.newest.text.clone());
    }
    let revision = app.store.revision(&laid.newest.boat, made_from).await?;
    revision.map(|revision| revision.text).ok_or_else(|| {
        Stopped::Words("This page was made from a revision that is not there. Load it again.".to_owned())
    })
}

async fn tried(app: &Shared, laid: &Laid, draft: &Draft) -> Result<Tried, Stopped> {
    let base = base(app, laid, draft.made_from).await?;
    let (draft, newest) = (draft.clone(), laid.newest.text.clone());
    // As it would be saved: together with what others did meanwhile.
    let made = aside(move || -> Result<String, Refused> {
        let mine = draft.text(&base)?;
        if base == newest {
            return Ok(mine);
        }
        let both = edit::merge(&base, &mine, &newest, &[])?;
        Ok(if both.clashes.is_empty() { both.text } else { mine })
    });
    let text = made.await.map_err(Stopped::Failed)?.map_err(|refused| Stopped::Words(refused.to_string()))?;
    let looked = look(app, &laid.newest.boat, &laid.newest.text, &text, Depth::Proof).await;
    Ok(looked.map_err(Stopped::Failed)?.tried)
}

/// A form was sent: one of its buttons was pressed.
pub(super) async fn sent(
    State(app): State<Shared>,
    visit: Visit,
    Path((slug, section, id)): Path<(String, String, String)>,
    form: Form,
) -> Response {
    let laid = match Laid::out(&app, &visit, &slug).await {
        Ok(laid) => laid,
        Err(answer) => return *answer,
    };
    if !is_known(&section, &id) {
        return nothing(&visit, &slug);
    }
    let id = named(&section, &id);
    let button = form.get("do");
    if let ("remove" | "rename", Some(id)) = (button, id) {
        return other_way(&app, &visit, &laid, &section, id, &form).await;
    }
    let mut draft = Draft::sent(&laid, &section, id, &form);
    if let Some(at) = setup::press(&mut draft.row, button) {
        draft.wrong.clear();
        draft.at = at;
        return draft.answer(&visit, &laid, StatusCode::OK);
    }
    if button != "draft" {
        let lacking = draft.lacking(&laid);
        draft.wrong.extend(lacking);
    }
    if button == "try" && draft.wrong.is_empty() {
        match tried(&app, &laid, &draft).await {
            Ok(tried) => draft.tried = Some(tried),
            Err(stopped) => return draft.stopped(&visit, &laid, stopped),
        }
        return draft.answer(&visit, &laid, StatusCode::OK);
    }
    if !draft.wrong.is_empty() {
        return draft.answer(&visit, &laid, StatusCode::UNPROCESSABLE_ENTITY);
    }
    match wish(&app, &laid, &draft, button).await {
        Ok(wish) if button == "draft" => match keep(&app, &visit, &wish).await {
            Ok(number) => answers::elsewhere(&links::setup_one(&slug, "drafts", &number.to_string())),
            Err(failure) => answers::failed(&visit.site, &failure),
        },
        Ok(wish) => draft.saved(&app, &visit, &laid, &wish).await,
        Err(stopped) => draft.stopped(&visit, &laid, stopped),
    }
}

async fn wish(app: &Shared, laid: &Laid, draft: &Draft, button: &str) -> Result<Wish, Stopped> {
    let base = base(app, laid, draft.made_from).await?;
    let making = draft.clone();
    let made = aside(move || making.text(&base)).await.map_err(Stopped::Failed)?;
    let text = made.map_err(|refused| Stopped::Words(refused.to_string()))?;
    let (slug, note) = (laid.newest.boat.clone(), draft.note.clone());
    Ok(Wish { slug, made_from: draft.made_from, text, note, anyway: button == "anyway" })
}

impl Draft {
    fn stopped(mut self, visit: &Visit, laid: &Laid, stopped: Stopped) -> Response {
        match stopped {
            Stopped::Failed(failure) => answers::failed(&visit.site, &failure),
            Stopped::Words(words) => {
                self.alert = Some(words);
                self.answer(visit, laid, StatusCode::UNPROCESSABLE_ENTITY)
            }
        }
    }

    async fn saved(mut self, app: &Shared, visit: &Visit, laid: &Laid, wish: &Wish) -> Response {
        let slug = &laid.newest.boat;
        let id = self.own_id(laid.deck.as_ref());
        let id = if self.section == BOAT { "particulars" } else { &id };
        let own = links::setup_one(slug, &self.section, id);
        match save(app, visit, wish).await {
            Ok(Outcome::Saved(number)) => answers::elsewhere(&just_saved(&own, number)),
            Ok(Outcome::Same) => answers::elsewhere(&just_saved(&own, 0)),
            Ok(Outcome::Clash(number) | Outcome::Kept(number)) => {
                answers::elsewhere(&links::setup_one(slug, "drafts", &number.to_string()))
            }
            Ok(Outcome::Bad(tried)) => {
                self.alert = Some(if tried.readable {
                    "Not saved: the proof finds something new to mend, told below. Mend it, or save it all the same.".to_owned()
                } else {
                    "Not saved: her file could not be read so. What is to be mended is told below.".to_owned()
                });
                self.anyway = tried.readable;
                self.tried = Some(*tried);
                self.answer(visit, laid, StatusCode::UNPROCESSABLE_ENTITY)
            }
            Err(failure) => answers::failed(&visit.site, &failure),
        }
    }
}

/// Renaming or removing.
async fn other_way(
    app: &Shared,
    visit: &Visit,
    laid: &Laid,
    section: &str,
    id: &str,
    form: &Form,
) -> Response {
    let slug = laid.newest.boat.clone();
    let (own, to) = (section.to_owned(), form.get("to").to_owned());
    let removing = form.get("do") == "remove";
    let change = if removing {
        Edit::RemoveRow { section: own, id: id.to_owned() }
    } else {
        Edit::Rename { section: own, id: id.to_owned(), to: to.clone() }
    };
    let Some(mut draft) = Draft::open(laid, section, Some(id)) else { return nothing(visit, &slug) };
    let newest = laid.newest.text.clone();
    let text = match aside(move || edit::edit(&newest, &change)).await {
        Ok(Ok(text)) => text,
        Err(failure) => return answers::failed(&visit.site, &failure),
        Ok(Err(refused)) => {
            if let Refused::Referred { by, .. } = &refused {
                draft.referred.clone_from(by);
                draft.alert =
                    Some("It can\u{2019}t be removed: others speak of it. Change these first.".to_owned());
            } else {
                draft.alert = Some(refused.to_string());
            }
            draft.renamed = (!removing).then_some(to);
            return draft.answer(visit, laid, StatusCode::UNPROCESSABLE_ENTITY);
        }
    };
    let note = if removing { format!("{id} removed") } else { format!("{id} renamed to {to}") };
    let wish = Wish { slug: slug.clone(), made_from: laid.newest.number, text, note, anyway: removing };
    let next =
        if removing { links::setup_part(&slug, section) } else { links::setup_one(&slug, section, &to) };
    match save(app, visit, &wish).await {
        Ok(Outcome::Saved(number)) if !removing => answers::elsewhere(&just_saved(&next, number)),
        Ok(Outcome::Saved(_) | Outcome::Same) => answers::elsewhere(&next),
        _ => draft.saved(app, visit, laid, &wish).await,
    }
}
