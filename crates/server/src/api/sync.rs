//! Events in and out: batches from devices that were without signal, in any order, however often, days late.

use axum::body::Bytes;
use axum::extract::{RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use pages::Role;
use records::{Event, Showing, What};
use serde::Deserialize;
use serde_json::{Value, json};
use store::{Of, Seq, Wanted};

use super::{failed, not_understood};
use crate::app::{App, Failure, Shared};
use crate::caller::Caller;
use crate::ledger;
use crate::visit::Visit;
use crate::{answers, handlers};

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
            Ok(event) => good.push(event),
            Err(why) => refused.push(NotTaken { at, id, why }),
        }
    }
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
    may_say(&visit.caller, &event)?;
    let row = ledger::row(&event).map_err(|error| error.to_string())?;
    row.check().map_err(|error| error.to_string())?;
    Ok(event)
}

/// Whether a caller may say what an event says.
fn may_say(caller: &Caller, event: &Event) -> Result<(), String> {
    match caller {
        Caller::Nobody => Err("Sign in first.".to_owned()),
        Caller::Crew { boat, charter, .. } => {
            let own = event.boat.as_str() == boat
                && event.charter.as_ref().is_some_and(|own| own.as_str() == charter);
            let theirs = matches!(
                event.what,
                What::Read { .. }
                    | What::Briefed { showing: Showing::Read, .. }
                    | What::Found(_)
                    | What::SeenAgain { .. }
                    | What::Noted { .. }
                    | What::Withdrawn { .. }
            );
            match (own, theirs) {
                (false, _) => {
                    Err("A crew's link takes only what is about its own boat and charter.".to_owned())
                }
                (true, false) => {
                    Err("A crew may read meters, tell what is broken, say what it has read, and leave notes."
                        .to_owned())
                }
                (true, true) => Ok(()),
            }
        }
        Caller::Member { role, .. } => {
            let least = needs(&event.what);
            if *role >= least {
                Ok(())
            } else {
                Err(format!("Only a {} may say that.", least.name().to_lowercase()))
            }
        }
    }
}

/// Who may say it at least.
pub(crate) fn needs(what: &What) -> Role {
    match what {
        What::SailsWith { .. } | What::ChargeWaived { .. } | What::PersonRemoved { .. } => Role::Manager,
        What::Planned(_)
        | What::Changed(_)
        | What::Cancelled { .. }
        | What::CheckedOut
        | What::Settled
        | What::ChargeAdded { .. }
        | What::Briefed { .. } => Role::Skipper,
        _ => Role::Hand,
    }
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
