//! A charter on the table: its boat, its records, what people are called.

use std::collections::BTreeSet;
use std::sync::Arc;

use axum::response::Response;
use pages::dock::{Handover, Names};
use pages::{Moored, Vessel};
use records::{AccountId, BoatId, CharterId, CharterStanding, DeviceId, Hand, Person, PersonId};
use store::Role;

use crate::answers;
use crate::app::{App, Failure};
use crate::fleet::Berth;
use crate::ledger::Book;
use crate::visit::Visit;

/// A charter with all that its pages are made of.
pub(crate) struct Table {
    berth: Arc<Berth>,
    pub(crate) book: Arc<Book>,
    pub(crate) charter: CharterId,
    names: Names,
    managers: BTreeSet<AccountId>,
    me: Option<(Hand, DeviceId)>,
}

impl Table {
    /// Puts a charter on the table; the answer to give if there is none, or her file can't be read.
    pub(crate) async fn lay(app: &App, visit: &Visit, charter: &str) -> Result<Self, Box<Response>> {
        let site = &visit.site;
        let found = app.ledger.whole_charter(&app.store, charter).await;
        let book = found.map_err(|error| Box::new(answers::failed(site, &Failure::Store(error))))?;
        let book = book.ok_or_else(|| {
            let what = "There is no charter of that name.";
            Box::new(answers::not_found(pages::not_found(site, what, Some(("/charters", "All charters")))))
        })?;
        let berth = app.fleet.get(book.boat.as_str()).ok_or_else(|| {
            let what = "The boat of this charter is not at this base.";
            Box::new(answers::not_found(pages::not_found(site, what, Some(("/charters", "All charters")))))
        })?;
        if let Moored::Wrecked(wreck) = &berth.moored {
            return Err(Box::new(answers::not_readable(pages::wreck_page(site, wreck))));
        }
        let charter = CharterId::new(charter);
        let (names, managers) =
            people(app, [&charter]).await.map_err(|failure| Box::new(answers::failed(site, &failure)))?;
        let me = visit.hand().map(|hand| (hand, visit.device.clone()));
        Ok(Self { berth, book, charter, names, managers, me })
    }

    /// As its pages see it; nothing if the books have changed so that it is gone, which they never do.
    pub(crate) fn over(&self) -> Option<Handover<'_>> {
        Some(Handover {
            vessel: self.vessel()?,
            charter: &self.charter,
            stands: self.stands()?,
            standing: &self.book.standing,
            names: &self.names,
            managers: &self.managers,
            me: self.me.as_ref().map(|(hand, device)| (hand, device)),
        })
    }

    /// The boat.
    pub(crate) fn vessel(&self) -> Option<&Vessel> {
        self.berth.well()
    }

    /// How the charter stands.
    pub(crate) fn stands(&self) -> Option<&CharterStanding> {
        self.book.standing.charters.get(&self.charter)
    }

    /// The boat's name in the records.
    pub(crate) fn boat(&self) -> &BoatId {
        &self.book.boat
    }

    /// The same after something was told.
    pub(crate) async fn again(&mut self, app: &App) -> Result<(), Failure> {
        if let Some(book) = app.ledger.whole_charter(&app.store, self.charter.as_str()).await? {
            self.book = book;
        }
        Ok(())
    }
}

/// What the base's people and the crews of these charters are called, and who the managers are.
///
/// # Errors
/// If the store fails.
pub(crate) async fn people<'c>(
    app: &App,
    charters: impl IntoIterator<Item = &'c CharterId>,
) -> Result<(Names, BTreeSet<AccountId>), Failure> {
    let mut names = Names::default();
    let mut managers = BTreeSet::new();
    for account in app.store.accounts().await? {
        names.account(&account.id, &account.name);
        if account.role == Role::Manager {
            managers.insert(AccountId::new(account.id));
        }
    }
    let charters: Vec<String> = charters.into_iter().map(|charter| charter.as_str().to_owned()).collect();
    for person in app.store.persons_of(&charters).await? {
        let fields: serde_json::Value = serde_json::from_str(&person.fields).unwrap_or_default();
        let text = |key: &str| fields.get(key).and_then(serde_json::Value::as_str).map(str::to_owned);
        if let Some(name) = text("name") {
            names.person(Person { id: PersonId::new(person.id), name, reach: text("reach") });
        }
    }
    Ok((names, managers))
}
