//! Events in and out: batches from devices that were without signal, in any order, however often, days late.

use std::collections::BTreeMap;

use axum::body::Bytes;
use axum::extract::{RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use records::{Event, EventId};
use serde::Deserialize;
use serde_json::{Value, json};
use store::{Of, Seq, Wanted};

use super::{failed, not_understood};
use crate::app::{App, Failure, Shared};
use crate::caller::Caller;
use crate::visit::Visit;
use crate::{answers, handlers, ledger, may};

/// How many events a batch may have.
const MOST: usize = 1000;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Batch {
    events: Vec<Value>,
}

/// What was not taken of a batch, and why: the sender keeps it and shows it to whoever made it.
struct NotTaken {
    at: usize,
    id: Option<String>,
    why: String,
}

/// Takes a batch in. What is understood and allowed is taken, each event once; what is not is told one by one.
pub(super) async fn take(State(app): State<Shared>, visit: Visit, body: Bytes) -> Response {
    let batch: Batch = match serde_json::from_slice(&body) {
        Ok(batch) => batch,
        Err(error) => return not_understood(&format!("Send {{\"events\": [...]}} as JSON: {error}.")),
    };
    if batch.events.len() > MOST {
        let many = batch.events.len();
        return not_understood(&format!(
            "These are {many} events; send at most {MOST} at once. Nothing was taken."
        ));
    }
    let mut good = Vec::new();
    let mut refused = Vec::new();
    for (at, value) in batch.events.into_iter().enumerate() {
        let id = value.get("id").and_then(Value::as_str).map(str::to_owned);
        match read(&app, &visit, value) {
            Ok(event) => good.push((at, event)),
            Err(why) => refused.push(NotTaken { at, id, why }),
        }
    }
    let good = match answers_allowed(&app, &visit, good, &mut refused).await {
        Ok(good) => good,
        Err(failure) => return failed(&failure),
    };
    let receipt = match app.ledger.append(&app.store, &good, app.clock.timestamp()).await {
        Ok(receipt) => receipt,
        Err(error) => return failed(&Failure::Store(error)),
    };
    let twins = receipt.refused.iter().map(|id| {
        json!({ "id": id.as_str(), "why": "Another event of this name is here and says something else. Both are kept, for people to look at; forget yours." })
    });
    let not_taken = refused.iter().map(|one| json!({ "at": one.at, "id": one.id, "why": one.why }));
    let ids = |ids: &[store::EventId]| ids.iter().map(|id| id.as_str().to_owned()).collect::<Vec<_>>();
    let value = json!({
        "taken": ids(&receipt.taken), "known": ids(&receipt.known), "twins": twins.collect::<Vec<_>>(),
        "refused": not_taken.collect::<Vec<_>>(), "newest": receipt.newest.0,
    });
    answers::json(StatusCode::OK, &value)
}

/// Those of these events, each with its place in the batch, that answer nothing, or something that their sender may
/// correct.
///
/// What an event answers may come later. Of the base's people that is believed: nobody can name what was not told yet
/// but who tells it. A crew sends first what it corrects.
async fn answers_allowed(
    app: &App,
    visit: &Visit,
    events: Vec<(usize, Event)>,
    refused: &mut Vec<NotTaken>,
) -> Result<Vec<Event>, Failure> {
    let batch: BTreeMap<EventId, &Event> = events.iter().map(|(_, event)| (event.id, event)).collect();
    let crew = matches!(visit.caller, Caller::Crew { .. });
    let mut verdicts = Vec::new();
    for (_, event) in &events {
        verdicts.push(match event.answers {
            None => Ok(()),
            Some(id) => {
                match ledger::find(&app.store, id).await?.as_ref().or_else(|| batch.get(&id).copied()) {
                    Some(answered) => may::answer(&visit.caller, answered),
                    None if crew => Err("What it corrects is not here. Send that first.".to_owned()),
                    None => Ok(()),
                }
            }
        });
    }
    let mut good = Vec::new();
    for ((at, event), verdict) in events.into_iter().zip(verdicts) {
        match verdict {
            Ok(()) => good.push(event),
            Err(why) => refused.push(NotTaken { at, id: Some(event.id.to_string()), why }),
        }
    }
    refused.sort_by_key(|one| one.at);
    Ok(good)
}

/// Reads one event, and sees that its sender may say it; else why not.
fn read(app: &App, visit: &Visit, value: Value) -> Result<Event, String> {
    let event: Event =
        serde_json::from_value(value).map_err(|error| format!("It can't be read: {error}."))?;
    if visit.hand().as_ref() != Some(&event.who) {
        return Err(
            "It was made by somebody else than who sends it. Sign in as whoever made it, and send it again."
                .to_owned(),
        );
    }
    if app.fleet.get(event.boat.as_str()).is_none() {
        return Err(format!("This base has no boat “{}”.", event.boat));
    }
    may::say(&visit.caller, &event)?;
    let row = ledger::row(&event).map_err(|error| error.to_string())?;
    row.check().map_err(|error| error.to_string())?;
    Ok(event)
}

/// Events in the order in which they were received, from after a place on.
pub(super) async fn list(State(app): State<Shared>, RawQuery(query): RawQuery) -> Response {
    let question = handlers::pairs(query.as_deref());
    let number = |name: &str, otherwise: i64| {
        question.iter().find(|(own, _)| own == name).map_or(Ok(otherwise), |(_, value)| value.parse::<i64>())
    };
    let (Ok(after), Ok(most)) = (number("after", 0), number("most", 500)) else {
        return not_understood("“after” and “most” are whole numbers.");
    };
    let Some(most) = u32::try_from(most).ok().filter(|most| (1..=1000).contains(most)) else {
        return not_understood("“most” is from 1 to 1000.");
    };
    let wanted = Wanted { of: Of::All, after: Seq(after), at_most: Some(most) };
    match app.store.events(&wanted).await {
        Ok(kept) => {
            let rows = kept.iter().map(|kept| {
                let event =
                    ledger::event(&kept.event).ok().and_then(|event| serde_json::to_value(event).ok());
                json!({ "place": kept.seq.0, "received": kept.taken.to_string(), "event": event })
            });
            answers::json(StatusCode::OK, &json!({ "events": rows.collect::<Vec<_>>() }))
        }
        Err(error) => failed(&Failure::Store(error)),
    }
}
