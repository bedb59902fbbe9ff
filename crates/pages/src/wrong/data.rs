//! A case for programs: the one shape of it, for the server and the command line.

use boat::model::Boat;
use serde_json::{Value, json};
use trace::{About, Case, Cause, Next, Step, Symptom, Why, words};

/// A case as JSON.
///
/// `symptom`: id, words, about (`fails` or `sign`), item, place, followed (ids or null). `who`: crew, skipper or base.
/// `told`: the answers so far, each a token and its words. `next`: `kind` is `ask` (with the question in words, the
/// tokens of its replies, place, item and list by id, and what it costs and tells), `solved`, `emergency` (with its
/// list) or `call` (with why, and the cause if one was found). `suspects`: likeliest first, each with a cause, its words
/// and its chance from 0 to 1. `together`: sets of causes that may be so at once. `how_many`: the chances of none, one,
/// two things being otherwise. `choices`: all that could be asked, best first; minutes, and bits. `left_out`: the share
/// of such cases, before any check, in which more things than are considered are the matter. `summary`: the case as it
/// is read out to the base. `watch_for`: the emergency list of a suspect, if one has one, or null.
pub fn case_json(boat: &Boat, symptom: &Symptom, case: &Case<'_>, next: &Next) -> Value {
    let told = case
        .told()
        .iter()
        .map(|told| json!({ "token": told.token(boat), "words": words::told(case, *told) }));
    let suspects = case.suspects().into_iter().map(|suspect| {
        json!({
            "cause": cause(boat, suspect.cause),
            "words": words::cause(case, suspect.cause),
            "chance": suspect.chance,
        })
    });
    let together = case.together(TOGETHER).into_iter().map(|set| {
        let causes: Vec<String> = set.causes.iter().map(|one| cause(boat, *one)).collect();
        json!({ "causes": causes, "chance": set.chance })
    });
    let choices = case.choices().into_iter().map(|step| choice(boat, case, &step));
    let watch = case
        .watch_for(0.05)
        .map(|(fault, list)| json!({ "fault": boat.faults[fault].id, "list": boat.procedures[list].id }));
    json!({
        "boat": boat.particulars.name,
        "symptom": about(boat, symptom),
        "who": super::ask::who_code(case.who()),
        "told": told.collect::<Vec<_>>(),
        "next": coming(boat, case, next),
        "suspects": suspects.collect::<Vec<_>>(),
        "together": together.collect::<Vec<_>>(),
        "how_many": case.how_many(),
        "choices": choices.collect::<Vec<_>>(),
        "left_out": case.left_out(),
        "watch_for": watch,
        "summary": words::summary(case, symptom),
    })
}

/// How many sets of causes are told.
const TOGETHER: usize = 10;

fn about(boat: &Boat, symptom: &Symptom) -> Value {
    json!({
        "id": symptom.id,
        "words": symptom.words,
        "about": match symptom.about {
            About::Emergency(_) => "emergency",
            About::Fails(_) => "fails",
            About::Sign(_) => "sign",
        },
        "item": symptom.item.map(|item| &boat.items[item].id),
        "place": symptom.place.map(|place| &boat.places[place].id),
        "followed": symptom.followed.map(|list| &boat.procedures[list].id),
    })
}

/// A cause as one word: `fault.<id>`, `set.<control or state>.<value>`, `item.<id>` or `unknown`.
fn cause(boat: &Boat, cause: Cause) -> String {
    match cause {
        Cause::Fault(fault) => format!("fault.{}", boat.faults[fault].id),
        Cause::Position(var, value) => {
            let row = &boat.vars[var];
            format!("set.{}.{}", row.id, row.values[usize::from(value.0)])
        }
        Cause::Item(item) => format!("item.{}", boat.items[item].id),
        Cause::Unknown => "unknown".to_owned(),
    }
}

fn choice(boat: &Boat, case: &Case<'_>, step: &Step) -> Value {
    json!({
        "ask": step.ask.token(boat),
        "words": words::question(case, step.ask).says,
        "minutes": step.minutes,
        "yes": step.yes,
        "bits": step.bits,
        "expected": step.expected,
    })
}

fn coming(boat: &Boat, case: &Case<'_>, next: &Next) -> Value {
    match next {
        Next::Solved => json!({ "kind": "solved" }),
        Next::Emergency(list) => json!({ "kind": "emergency", "list": boat.procedures[*list].id }),
        Next::Call(why) => {
            let (reason, found) = match why {
                Why::Found(found) => ("found", Some(cause(boat, *found))),
                Why::NothingLeft => ("nothing left", None),
                Why::GuideEnds => ("the guide ends", None),
                Why::NotWorth { .. } => ("not worth it", None),
            };
            json!({ "kind": "call", "why": reason, "found": found, "words": words::why(case, *why) })
        }
        Next::Ask(step) => {
            let question = words::question(case, step.ask);
            let token = step.ask.token(boat);
            let [yes, no, cannot] = &question.replies;
            json!({
                "kind": "ask",
                "ask": token,
                "says": question.says,
                "how": question.how,
                "replies": [
                    { "token": format!("{token}.yes"), "words": yes },
                    { "token": format!("{token}.no"), "words": no },
                    { "token": format!("{token}.cannot"), "words": cannot },
                ],
                "place": question.place.map(|place| &boat.places[place].id),
                "item": question.item.map(|item| &boat.items[item].id),
                "list": question.list.map(|list| &boat.procedures[list].id),
                "minutes": step.minutes,
                "yes": step.yes,
                "bits": step.bits,
            })
        }
    }
}
