//! One visit: who asks, when, on which device. Every handler gets it from the gate.

use axum::extract::FromRequestParts;
use axum::http::request::Parts;
use axum::response::Response;
use pages::Site;
use records::{AccountId, BoatId, CharterId, DeviceId, Event, EventId, Hand, LinkId, What};

use crate::answers;
use crate::app::{App, Failure};
use crate::caller::Caller;
use crate::form::Form;

/// Who asks, and on which device.
#[derive(Debug, Clone)]
pub(crate) struct Visit {
    /// The pages as they see them.
    pub(crate) site: Site,
    /// Who.
    pub(crate) caller: Caller,
    /// On which device.
    pub(crate) device: DeviceId,
}

impl Visit {
    /// As events name them; nobody makes events.
    pub(crate) fn hand(&self) -> Option<Hand> {
        match &self.caller {
            Caller::Nobody => None,
            Caller::Crew { link, .. } => Some(Hand::Crew(LinkId::new(link.as_str()))),
            Caller::Member { id, .. } => Some(Hand::Account(AccountId::new(id.as_str()))),
        }
    }

    /// The events that a form of theirs says, in order; those that were taken before, because it was sent again, are
    /// left out.
    ///
    /// Each form carries a name in its field `once`, made with the page, and its events are named by that and the ones
    /// after it.
    ///
    /// # Errors
    /// [`Unmade::SentBefore`] if this page has been sent before and said something else.
    pub(crate) fn events(
        &self,
        app: &App,
        form: &Form,
        boat: &BoatId,
        charter: Option<&CharterId>,
        what: impl IntoIterator<Item = What>,
    ) -> Result<Vec<Event>, Unmade> {
        self.events_of(app, form, charter, what.into_iter().map(|what| (boat.clone(), what)))
    }

    /// The same of several boats.
    fn events_of(
        &self,
        app: &App,
        form: &Form,
        charter: Option<&CharterId>,
        what: impl IntoIterator<Item = (BoatId, What)>,
    ) -> Result<Vec<Event>, Unmade> {
        let who = self.hand().ok_or(Unmade::Failed(Failure::Broken))?;
        let first: EventId = form.get("once").parse().map_err(|_| Unmade::NoName)?;
        let mut fresh = Vec::new();
        for (id, (boat, what)) in (first.bits()..).map(EventId::from_bits).zip(what) {
            match app.ledger.boat(boat.as_str()).records.get(id) {
                Some(known) if known.what == what => continue,
                Some(_) => return Err(Unmade::SentBefore),
                None => {}
            }
            let made = Event::new(id, app.clock.now(), who.clone(), self.device.clone(), boat, what);
            fresh.push(match charter {
                Some(charter) => made.on(charter.clone()),
                None => made,
            });
        }
        Ok(fresh)
    }

    /// Makes the events that a form says and takes them in.
    ///
    /// # Errors
    /// As [`Visit::events`], or if the store fails.
    pub(crate) async fn tell(
        &self,
        app: &App,
        form: &Form,
        boat: &BoatId,
        charter: Option<&CharterId>,
        what: impl IntoIterator<Item = What>,
    ) -> Result<Vec<Event>, Unmade> {
        take(app, self.events(app, form, boat, charter, what)?).await
    }

    /// The same of several boats, on no charter.
    ///
    /// # Errors
    /// As [`Visit::tell`].
    pub(crate) async fn tell_of(
        &self,
        app: &App,
        form: &Form,
        what: impl IntoIterator<Item = (BoatId, What)>,
    ) -> Result<Vec<Event>, Unmade> {
        take(app, self.events_of(app, form, None, what)?).await
    }

    /// Answers an event, in the same records.
    ///
    /// # Errors
    /// As [`Visit::tell`].
    pub(crate) async fn answer(
        &self,
        app: &App,
        form: &Form,
        answered: &Event,
        what: What,
    ) -> Result<(), Unmade> {
        let events = self.events(app, form, &answered.boat, answered.charter.as_ref(), [what])?;
        take(app, events.into_iter().map(|event| event.answering(answered.id)).collect()).await?;
        Ok(())
    }
}

async fn take(app: &App, events: Vec<Event>) -> Result<Vec<Event>, Unmade> {
    if !events.is_empty() {
        let taken = app.ledger.append(&app.store, &events, app.clock.timestamp()).await;
        taken.map_err(|error| Unmade::Failed(Failure::Store(error)))?;
    }
    Ok(events)
}

/// Why a form made no events.
#[derive(Debug)]
pub(crate) enum Unmade {
    /// It carries no name for them.
    NoName,
    /// It was sent before, and said something else then.
    SentBefore,
    /// The base's computer could not do it.
    Failed(Failure),
}

impl Unmade {
    /// As an answer to whoever sent the form; `back` is the address of the page, to be loaded again.
    pub(crate) fn answer(&self, site: &Site, back: &str) -> Response {
        match self {
            Self::NoName => answers::not_taken_from(
                site,
                back,
                "The page was not whole, so nothing was taken. Load it again.",
            ),
            Self::SentBefore => answers::not_taken_from(
                site,
                back,
                "This page was sent before, and that was taken. To correct it, load the page again and change it there.",
            ),
            Self::Failed(failure) => answers::failed(site, failure),
        }
    }
}

impl<S: Sync> FromRequestParts<S> for Visit {
    type Rejection = Response;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Response> {
        // A route that is not behind the gate has no visit.
        parts.extensions.get::<Self>().cloned().ok_or_else(|| answers::broken(&Site::new("Becket", false)))
    }
}
