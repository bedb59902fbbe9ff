//! What is said on a walk: by a form that may be sent twice, or changed and sent again.

use pages::dock::Saying;
use records::{Event, EventId, What};

use super::table::Table;
use crate::app::{App, Failure};
use crate::form::Form;
use crate::visit::{Unmade, Visit};

/// Takes in what a walk's form says.
///
/// Each thing on the form has a number, and its event is named by the form's own name and that number: what is sent
/// again is there already. What was sent before and says something else now corrects what was said then.
pub(crate) async fn say(
    app: &App,
    visit: &Visit,
    form: &Form,
    table: &mut Table,
    sayings: Vec<Saying>,
) -> Result<(), Unmade> {
    let who = visit.hand().ok_or(Unmade::Failed(Failure::Broken))?;
    let first: EventId = form.get("once").parse().map_err(|_| Unmade::NoName)?;
    let mut events = Vec::new();
    for saying in sayings {
        let own = EventId::from_bits(first.bits().wrapping_add(u128::from(saying.number)));
        let (id, answers) = match (table.book.records.get(own), saying.answers) {
            (None, answers) => (own, answers),
            (Some(_), Some(answers)) => (app.clock.name().map_err(Unmade::Failed)?, Some(answers)),
            (Some(_), None) => match latest(table, own) {
                (_, Some(said)) if *said == saying.what => continue,
                (last, _) => (app.clock.name().map_err(Unmade::Failed)?, Some(last)),
            },
        };
        let (device, boat) = (visit.device.clone(), table.boat().clone());
        let made = Event::new(id, app.clock.now(), who.clone(), device, boat, saying.what);
        let made = made.on(table.charter.clone());
        events.push(match answers {
            Some(answers) => made.answering(answers),
            None => made,
        });
    }
    if !events.is_empty() {
        let taken = app.ledger.append(&app.store, &events, app.clock.timestamp()).await;
        taken.map_err(|error| Unmade::Failed(Failure::Store(error)))?;
        table.again(app).await.map_err(Unmade::Failed)?;
    }
    Ok(())
}

/// The last correction of an event, and what it says.
fn latest(table: &Table, event: EventId) -> (EventId, Option<&What>) {
    let mut last = event;
    let mut seen = std::collections::BTreeSet::from([event]);
    while let Some(next) = table.book.standing.answers.get(&last).and_then(|answers| answers.last().copied())
    {
        if !seen.insert(next) {
            break;
        }
        last = next;
    }
    (last, table.book.records.get(last).map(|event| &event.what))
}
