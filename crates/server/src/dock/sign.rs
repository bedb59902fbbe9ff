//! Summing a walk up, signing it, and completing it.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use pages::dock::{Flaw, SignAsk, Walking, bars, sign_page};
use pages::{Viewer, links};
use records::{EventId, Life, PersonId, Role, Signature, Stage, Stroke, Strokes, What};

use super::table::Table;
use crate::answers;
use crate::app::{App, Failure, Shared};
use crate::form::Form;
use crate::visit::Visit;

/// The most strokes of a signature, the most points of all of them, and the fewest that are a drawing. Judgement: a long
/// name drawn slowly has some twenty strokes and two thousand points.
const STROKES: usize = 200;
const POINTS: usize = 6000;
const FEWEST: usize = 4;
/// The most letters of a name.
const NAME: usize = 120;

/// The page.
pub(crate) async fn page(app: Shared, visit: Visit, charter: String, walk: Walking) -> Response {
    match Table::lay(&app, &visit, &charter).await {
        Ok(table) => show(&visit, &table, walk, &SignAsk::default(), StatusCode::OK),
        Err(answer) => *answer,
    }
}

fn show(visit: &Visit, table: &Table, walk: Walking, ask: &SignAsk<'_>, status: StatusCode) -> Response {
    match table.over() {
        Some(over) => answers::with(status, sign_page(&visit.site, &over, walk, ask)),
        None => answers::broken(&visit.site),
    }
}

/// Somebody puts their name to a walk.
pub(crate) async fn sign(app: Shared, visit: Visit, charter: String, walk: Walking, form: Form) -> Response {
    let table = match Table::lay(&app, &visit, &charter).await {
        Ok(table) => table,
        Err(answer) => return *answer,
    };
    let here = links::sign(&charter, walk.word());
    let mut flaws = Vec::new();
    let role = role(&form, &mut flaws);
    let strokes = strokes(&form, &mut flaws);
    let person = match person(&app, &visit, &table, &form, role, &mut flaws).await {
        Ok(person) => person,
        Err(failure) => return answers::failed(&visit.site, &failure),
    };
    let (Some(role), Some(strokes), Some(person)) = (role, strokes, person) else {
        let ask = SignAsk { typed: form.pairs(), flaws: &flaws, barred: false };
        return show(&visit, &table, walk, &ask, StatusCode::UNPROCESSABLE_ENTITY);
    };
    let what = What::Signed(Signature { walk: walk.walk(), role, person, strokes });
    match visit.tell(&app, &form, table.boat(), Some(&table.charter), [what]).await {
        Ok(_) => answers::elsewhere(&format!("{here}#signed")),
        Err(unmade) => unmade.answer(&visit.site, &here),
    }
}

fn role(form: &Form, flaws: &mut Vec<Flaw>) -> Option<Role> {
    match form.get("role") {
        "skipper" => Some(Role::Skipper),
        "base" => Some(Role::Base),
        "crew" => Some(Role::Crew),
        _ => {
            flaws.push(Flaw::wrong("role", "Say as what you sign."));
            None
        }
    }
}

/// What was drawn; no strokes at all if it was ticked that a typed name is the signature.
fn strokes(form: &Form, flaws: &mut Vec<Flaw>) -> Option<Strokes> {
    let mut wrong = |words: &str| {
        flaws.push(Flaw::wrong("strokes", words));
        None
    };
    let drawn = form.get("strokes");
    let drawn: Vec<Stroke> = match (drawn.is_empty(), serde_json::from_str(drawn)) {
        (true, _) => Vec::new(),
        (false, Ok(drawn)) => drawn,
        (false, Err(_)) => return wrong("What was drawn did not come through whole. Draw it again."),
    };
    let points: usize = drawn.iter().map(|stroke| stroke.0.len()).sum();
    if drawn.len() > STROKES
        || points > POINTS
        || drawn.iter().flat_map(|stroke| &stroke.0).any(|point| point.0 > 1000 || point.1 > 2000)
    {
        return wrong("What was drawn is too long for a signature. Draw it again.");
    }
    match (points >= FEWEST, form.get("typed") == "yes") {
        (true, false) => Some(Strokes::Points(drawn)),
        (_, true) => Some(Strokes::Points(Vec::new())),
        (false, false) => {
            wrong("Draw your name in the field, or tick that your typed name is your signature.")
        }
    }
}

/// The record of whoever signs: one of the charter's persons, or a new one by the name typed. Its id comes of the form's
/// own name, so that a form that is sent twice makes one person.
async fn person(
    app: &App,
    visit: &Visit,
    table: &Table,
    form: &Form,
    role: Option<Role>,
    flaws: &mut Vec<Flaw>,
) -> Result<Option<PersonId>, Failure> {
    let (chosen, typed) = (form.get("person"), form.get("name"));
    let charter = table.charter.as_str();
    if !chosen.is_empty() && typed.is_empty() {
        let known = app.store.person(chosen).await?.is_some_and(|person| person.charter == charter);
        if !known {
            flaws.push(Flaw::wrong("person", "This name is no longer kept. Type it below."));
        }
        return Ok(known.then(|| PersonId::new(chosen)));
    }
    let own = match &visit.site.viewer {
        Viewer::Member { name, .. } if role == Some(Role::Base) => name.as_str(),
        _ => "",
    };
    let name = if typed.is_empty() { own } else { typed };
    if name.is_empty() || name.chars().count() > NAME {
        flaws.push(Flaw::wrong("name", "Type the name of whoever signs, of at most 120 letters."));
        return Ok(None);
    }
    // Nobody is kept for a signature that is not taken.
    let Ok(once) = form.get("once").parse::<EventId>() else { return Ok(Some(PersonId::new("none"))) };
    let id = format!("p-{once}");
    if flaws.is_empty() {
        let fields = serde_json::json!({ "name": name }).to_string();
        app.store.save_person(&store::Person { id: id.clone(), charter: charter.to_owned(), fields }).await?;
    }
    Ok(Some(PersonId::new(id)))
}

/// The charter comes to its next stage, if nothing stands in the way.
pub(crate) async fn complete(
    app: Shared,
    visit: Visit,
    charter: String,
    walk: Walking,
    form: Form,
) -> Response {
    let table = match Table::lay(&app, &visit, &charter).await {
        Ok(table) => table,
        Err(answer) => return *answer,
    };
    let here = format!("{}#complete", links::sign(&charter, walk.word()));
    let Some(over) = table.over() else { return answers::broken(&visit.site) };
    if matches!(over.stands.life, Life::At(at) if at >= walk.stage()) {
        return answers::elsewhere(&here);
    }
    if bars(&over, walk.stage()) {
        let ask = SignAsk { barred: true, ..SignAsk::default() };
        return show(&visit, &table, walk, &ask, StatusCode::UNPROCESSABLE_ENTITY);
    }
    let what = match walk {
        Walking::Readying => What::Readied,
        Walking::CheckOut => What::CheckedOut,
        Walking::HandBack => What::HandedBack,
    };
    match visit.tell(&app, &form, table.boat(), Some(&table.charter), [what]).await {
        Ok(_) => answers::elsewhere(&here),
        Err(unmade) => unmade.answer(&visit.site, &here),
    }
}

/// The manager lets a boat go with a defect, on this charter.
pub(crate) async fn sails_with(
    State(app): State<Shared>,
    visit: Visit,
    Path((charter, defect)): Path<(String, String)>,
    form: Form,
) -> Response {
    let table = match Table::lay(&app, &visit, &charter).await {
        Ok(table) => table,
        Err(answer) => return *answer,
    };
    let ready =
        table.stands().is_some_and(|stands| matches!(stands.life, Life::At(at) if at >= Stage::Readied));
    let here = links::sign(&charter, if ready { Walking::CheckOut } else { Walking::Readying }.word());
    let records = table.book.standing.boats.get(table.boat());
    let found = defect.parse::<EventId>().ok().and_then(|id| records?.defects.get(&id));
    let Some(found) = found else {
        let what = "There is no defect of that name.";
        return answers::not_found(pages::not_found(&visit.site, what, Some((&here, "Back"))));
    };
    let reason: String = form.get("reason").chars().take(500).collect();
    if reason.is_empty() {
        return answers::not_taken_from(
            &visit.site,
            &here,
            "Say why she may sail with it; nothing was decided without a reason.",
        );
    }
    let what = What::SailsWith { defect: found.id(), covers: found.severity, reason };
    match visit.tell(&app, &form, table.boat(), Some(&table.charter), [what]).await {
        Ok(_) => answers::elsewhere(&here),
        Err(unmade) => unmade.answer(&visit.site, &here),
    }
}
