//! The form of one entry while it is being filled in: opened from the file, read from what was sent, made a text.

use axum::http::StatusCode;
use axum::response::Response;
use boat::edit::{self, BOAT, Deck, Edit, Reference, Refused, Value, keys};
use pages::links;
use pages::setup::{self, RowForm, Saved, Tried};

use super::bench::Laid;
use crate::answers;
use crate::form::Form;
use crate::visit::Visit;

/// There is no such entry.
pub(super) fn nothing(visit: &Visit, slug: &str) -> Response {
    let what = "Her file has no such entry. Somebody may have removed or renamed it.";
    answers::not_found(pages::not_found(&visit.site, what, Some((&links::setup(slug), "Her file"))))
}

/// What a form is made of while it is being filled in.
#[derive(Clone)]
pub(super) struct Draft {
    pub(super) section: String,
    pub(super) id: Option<String>,
    pub(super) new_id: String,
    pub(super) row: Value,
    pub(super) made_from: u32,
    pub(super) note: String,
    pub(super) wrong: Vec<(String, String)>,
    pub(super) alert: Option<String>,
    pub(super) referred: Vec<Reference>,
    pub(super) tried: Option<Tried>,
    pub(super) anyway: bool,
    /// The other short name that was typed.
    pub(super) renamed: Option<String>,
    /// The field at which somebody is.
    pub(super) at: String,
    /// The revision as which it was just saved, and by whom.
    pub(super) saved: Option<(u32, String)>,
    /// Whether saving it changed nothing.
    pub(super) same: bool,
}

impl Draft {
    /// An entry as it is; a new one is empty.
    pub(super) fn open(laid: &Laid, section: &str, id: Option<&str>) -> Option<Self> {
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
            renamed: None,
            at: String::new(),
            saved: None,
            same: false,
        })
    }

    /// What was sent.
    pub(super) fn sent(laid: &Laid, section: &str, id: Option<&str>, form: &Form) -> Self {
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
            renamed: None,
            at: String::new(),
            saved: None,
            same: false,
        }
    }

    /// What is needed and not there.
    pub(super) fn lacking(&self, laid: &Laid) -> Vec<(String, String)> {
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
        setup::lacking(keys(&self.section), &self.row, brought.as_ref())
    }

    /// The id under which it is saved.
    pub(super) fn own_id(&self, deck: Option<&Deck>) -> String {
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
    pub(super) fn text(&self, base: &str) -> Result<String, Refused> {
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

    pub(super) fn answer(&self, visit: &Visit, laid: &Laid, status: StatusCode) -> Response {
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
            renamed: self.renamed.as_deref(),
            at: &self.at,
            saved: match &self.saved {
                Some((number, author)) => Some(Saved::As(*number, author)),
                None => self.same.then_some(Saved::Nothing),
            },
        };
        answers::with(status, setup::row_page(&visit.site, &form))
    }
}
