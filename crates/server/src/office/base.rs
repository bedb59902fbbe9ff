//! All boats of the base with their books, and what people are called.

use std::sync::Arc;

use pages::dock::Names;
use pages::office::Hull;
use quantity::Money;
use records::CharterId;

use crate::app::{App, Failure};
use crate::fleet::Berth;
use crate::form::Form;
use crate::ledger::Book;

/// The boats of the base, each with her book.
pub(super) struct Base(Vec<(Arc<Berth>, Arc<Book>)>);

impl Base {
    /// As they are now.
    pub(super) fn of(app: &App) -> Self {
        let berths = app.fleet.all();
        Self(berths.iter().map(|berth| (Arc::clone(berth), app.ledger.boat(berth.moored.slug()))).collect())
    }

    /// Those whose files can be read.
    pub(super) fn hulls(&self) -> Vec<Hull<'_>> {
        self.0
            .iter()
            .filter_map(|(berth, book)| Some(Hull { vessel: berth.well()?, standing: &book.standing }))
            .collect()
    }
}

impl Base {
    /// The boats, whether their files can be read or not.
    pub(super) fn berths(&self) -> Vec<Arc<Berth>> {
        self.0.iter().map(|(berth, _)| Arc::clone(berth)).collect()
    }

    /// The names of the charters that are not over.
    pub(super) fn going_on(&self) -> Vec<CharterId> {
        let charters = self.0.iter().flat_map(|(_, book)| &book.standing.charters);
        charters.filter(|(_, stands)| !stands.life.is_over()).map(|(id, _)| id.clone()).collect()
    }
}

/// What the base's own people are called.
pub(super) async fn names(app: &App) -> Result<Names, Failure> {
    let mut names = Names::default();
    for account in app.store.accounts().await? {
        names.account(&account.id, &account.name);
    }
    Ok(names)
}

/// An amount of money in a field, with its currency; nothing if it is empty.
///
/// # Errors
/// The words to say beside the field.
pub(super) fn money(form: &Form, field: &str) -> Result<Option<Money>, String> {
    let text = form.get(field);
    if text.is_empty() {
        return Ok(None);
    }
    let read = Money::parse(text).ok().filter(|money| money.minor_units() >= 0);
    read.map(Some).ok_or_else(|| format!("\u{201c}{text}\u{201d} is no amount. Write it such as 95.00 USD."))
}
