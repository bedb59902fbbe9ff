//! The entries of a boat file as forms.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use boat::edit::{self, BOAT, Deck, Edit, Reference, Refused, Value, keys, sections};
use pages::links;
use pages::setup::{self, RowForm, Tried};

use super::attempt::{Depth, attempt as look};
use super::bench::{Laid, draft_line, failed};
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
) -> Response {
    let laid = match Laid::out(&app, &visit, &slug).await {
        Ok(laid) => laid,
        Err(answer) => return *answer,
    };
    if name == BOAT {
        return answers::elsewhere(&links::setup_one(&slug, BOAT, "particulars"));
    }
    match sections().iter().find(|section| section.name == name) {
        Some(section) => answers::page(setup::section_page(&visit.site, &laid.bench(), section)),
        None => nothing(&visit, &slug),
    }
}

fn nothing(visit: &Visit, slug: &str) -> Response {
    let what = "Her file has no such entry. Somebody may have removed or renamed it.";
    answers::not_found(pages::not_found(&visit.site, what, Some((&links::setup(slug), "Her file"))))
}

/// What a form is made of while it is being filled in.
struct Draft {
    section: String,
    id: Option<String>,
    new_id: String,
    row: Value,
    made_from: u32,
    note: String,
    wrong: Vec<(String, String)>,
    alert: Option<String>,
    referred: Vec<Reference>,
    tried: Option<Tried>,
    anyway: bool,
}

impl Draft {
    /// An entry as it is; a new one is empty.
    fn open(laid: &Laid, section: &str, id: Option<&str>) -> Option<Self> {
        let deck = laid.deck.as_ref()?;
        let row = match id {
            _ if section == BOAT => deck.particulars.clone(),
            None => Value::Table(Vec::new()),
            Some(id) => deck.find(section, id)?.own.clone().unwrap_or(Value::Table(Vec::new())),
        };
        Some(Self {
            section: section.to_owned(),
            id: id.map(str::to_owned),
            new_id: String::new(),
            row,
            made_from: laid.newest.number,
            note: String::new(),
            wrong: Vec::new(),
            alert: None,
            referred: Vec::new(),
            tried: None,
            anyway: false,
        })
    }

    /// What was sent.
    fn sent(laid: &Laid, section: &str, id: Option<&str>, form: &Form) -> Self {
        let filled = setup::read_row(keys(section), form.pairs());
        Self {
            section: section.to_owned(),
            id: id.map(str::to_owned),
            new_id: form.get("new_id").to_owned(),
            row: filled.row,
            made_from: form.get("made_from").parse().unwrap_or(laid.newest.number),
            note: form.get("note").to_owned(),
            wrong: filled.wrong,
            alert: None,
            referred: Vec::new(),
            tried: None,
            anyway: false,
        }
    }

    /// What is needed and not there.
    fn lacking(&self, laid: &Laid) -> Vec<(String, String)> {
        let entry = laid.deck.as_ref().zip(self.id.as_deref());
        let brought = entry.and_then(|(deck, id)| deck.find(&self.section, id)).map(|entry| &entry.full);
        // What the file itself writes may have been taken out of the form.
        let own =
            entry.and_then(|(deck, id)| deck.find(&self.section, id)).and_then(|entry| entry.own.as_ref());
        let brought = brought.map(|full| {
            let from_class =
                full.entries().iter().filter(|(key, _)| own.is_none_or(|own| own.get(key).is_none()));
            Value::Table(from_class.cloned().collect())
        });
        setup::lacking(keys(&self.section), &setup::without_blanks(&self.row), brought.as_ref())
    }

    /// The id under which it is saved.
    fn own_id(&self, deck: Option<&Deck>) -> String {
        if let Some(id) = &self.id {
            return id.clone();
        }
        if !self.new_id.is_empty() {
            return self.new_id.clone();
        }
        let text = |key: &str| self.row.get(key).and_then(Value::as_text);
        let made = match text("name").or_else(|| text("text")) {
            Some(name) => edit::id_of(name),
            None => text("item").map_or_else(|| self.section.clone(), str::to_owned),
        };
        let made: String = made.chars().take(40).collect();
        let made = made.trim_end_matches('_').to_owned();
        let taken = |id: &str| id == "new" || deck.is_some_and(|deck| deck.find(&self.section, id).is_some());
        let numbered = || (2..1000).map(|number| format!("{made}_{number}")).find(|id| !taken(id));
        if taken(&made) { numbered().unwrap_or(made) } else { made }
    }

    /// The whole text with this entry in it.
    fn text(&self, base: &str) -> Result<String, Refused> {
        let row = setup::without_blanks(&self.row);
        let section = self.section.clone();
        if self.id.is_none() && section != BOAT {
            let id = self.own_id(Deck::read(base).ok().as_ref());
            return edit::edit(base, &Edit::AddRow { section, id, keys: row });
        }
        let id = self.id.clone().unwrap_or_default();
        // What only a class brings, and nothing is otherwise: the file stays without it.
        if row.entries().is_empty() && edit::row(base, &section, &id).is_err() {
            return Ok(base.to_owned());
        }
        edit::edit(base, &Edit::Row { section, id, row })
    }

    fn answer(&self, visit: &Visit, laid: &Laid, status: StatusCode) -> Response {
        let Some(deck) = &laid.deck else { return nothing(visit, &laid.newest.boat) };
        let form = RowForm {
            bench: laid.bench(),
            deck,
            section: &self.section,
            id: self.id.as_deref(),
            new_id: &self.new_id,
            row: &self.row,
            made_from: self.made_from,
            note: &self.note,
            wrong: &self.wrong,
            alert: self.alert.as_deref(),
            referred: &self.referred,
            tried: self.tried.as_ref(),
            anyway: self.anyway,
        };
        answers::with(status, setup::row_page(&visit.site, &form))
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

/// The form of an entry.
pub(super) async fn entry(
    State(app): State<Shared>,
    visit: Visit,
    Path((slug, section, id)): Path<(String, String, String)>,
) -> Response {
    let laid = match Laid::out(&app, &visit, &slug).await {
        Ok(laid) => laid,
        Err(answer) => return *answer,
    };
    let draft = is_known(&section, &id).then(|| Draft::open(&laid, &section, named(&section, &id)));
    draft
        .flatten()
        .map_or_else(|| nothing(&visit, &slug), |draft| draft.answer(&visit, &laid, StatusCode::OK))
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
    match tried(&app, &laid, &draft).await {
        Ok(tried) => answers::page(setup::tried_part(&tried).into_string()),
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
    let mine = draft.text(&base).map_err(|refused| Stopped::Words(refused.to_string()))?;
    // As it would be saved: together with what others did meanwhile.
    let merged = edit::merge(&base, &mine, &laid.newest.text, &[]);
    let text = merged.map_err(|refused| Stopped::Words(refused.to_string()))?;
    let text = if text.clashes.is_empty() { text.text } else { mine };
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
    if setup::press(&mut draft.row, button) || button == "show" {
        draft.wrong.clear();
        return draft.answer(&visit, &laid, StatusCode::OK);
    }
    if button == "try" {
        match tried(&app, &laid, &draft).await {
            Ok(tried) => draft.tried = Some(tried),
            Err(stopped) => return draft.stopped(&visit, &laid, stopped),
        }
        return draft.answer(&visit, &laid, StatusCode::OK);
    }
    if button != "draft" {
        let lacking = draft.lacking(&laid);
        draft.wrong.extend(lacking);
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
    let text = draft.text(&base).map_err(|refused| Stopped::Words(refused.to_string()))?;
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
        let own = if self.section == BOAT {
            links::setup(slug)
        } else {
            links::setup_one(slug, &self.section, &self.own_id(laid.deck.as_ref()))
        };
        match save(app, visit, wish).await {
            Ok(Outcome::Saved | Outcome::Same) => answers::elsewhere(&own),
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
    let text = match edit::edit(&laid.newest.text, &change) {
        Ok(text) => text,
        Err(refused) => {
            if let Refused::Referred { by, .. } = &refused {
                draft.referred.clone_from(by);
                draft.alert =
                    Some("It can\u{2019}t be removed: others speak of it. Change these first.".to_owned());
            } else {
                draft.alert = Some(refused.to_string());
            }
            return draft.answer(visit, laid, StatusCode::UNPROCESSABLE_ENTITY);
        }
    };
    let note = if removing { format!("{id} removed") } else { format!("{id} renamed to {to}") };
    let wish = Wish { slug: slug.clone(), made_from: laid.newest.number, text, note, anyway: removing };
    let next =
        if removing { links::setup_part(&slug, section) } else { links::setup_one(&slug, section, &to) };
    match save(app, visit, &wish).await {
        Ok(Outcome::Saved | Outcome::Same) => answers::elsewhere(&next),
        _ => draft.saved(app, visit, laid, &wish).await,
    }
}
