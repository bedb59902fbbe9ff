//! Crews: each has a link that opens its own boat and charter, and ends with the charter.

use axum::extract::{Path, State};
use axum::response::Response;
use jiff::{SignedDuration, Timestamp};
use pages::crew::{CrewHome, CrewLinks};
use records::{CharterId, CharterStanding, Life, Moment, Stage};
use store::{Link, TokenHash};

use crate::answers;
use crate::app::{App, Failure, Shared};
use crate::caller::Caller;
use crate::form::Form;
use crate::visit::Visit;
use crate::{gate, secret};

/// How long after the promised end a link still opens, if the boat has not come back: a day. Judgement: whoever is late
/// needs the boat's pages most.
const LATE: SignedDuration = SignedDuration::from_hours(24);

/// The caller who carries a link, if it still holds: not taken back, and the charter not over.
pub(crate) async fn pass(app: &App, token: &str, now: Timestamp) -> Result<Option<Caller>, Failure> {
    let hash = TokenHash::of(token);
    let Some(link) = app.store.link(&hash).await?.filter(|link| link.holds(now)) else { return Ok(None) };
    let id = CharterId::new(link.charter.as_str());
    let Some(book) = app.ledger.charter(&link.charter) else { return Ok(None) };
    let Some(charter) = book.standing.charters.get(&id).filter(|charter| holds(charter, now)) else {
        return Ok(None);
    };
    // The hash of the link with a word can't be guessed by who does not have the link, and is not the link.
    let seal = TokenHash::of(&format!("forms of {token}")).as_str().to_owned();
    let (boat, charter) = (charter.boat.as_str().to_owned(), link.charter);
    Ok(Some(Caller::Crew { link: hash, boat, charter, seal }))
}

/// Whether a charter's links open anything.
fn holds(charter: &CharterStanding, now: Timestamp) -> bool {
    let over = matches!(charter.life, Life::Cancelled | Life::At(Stage::HandedBack | Stage::Settled));
    let until = charter.plan.as_ref().map(|(_, plan)| plan.until.moment());
    let now = Moment::from_milliseconds(now.as_millisecond());
    !over && until.is_some_and(|until| now.since(until).as_seconds() < LATE.as_secs_f64())
}

/// A crew comes by its link.
pub(crate) async fn arrive(State(app): State<Shared>, visit: Visit, Path(token): Path<String>) -> Response {
    match pass(&app, &token, app.clock.timestamp()).await {
        Ok(Some(_)) => {
            let mut response = answers::elsewhere("/crew");
            let seconds = u32::try_from(SignedDuration::from_hours(24 * 60).as_secs()).unwrap_or_default();
            gate::set_cookie(&app, response.headers_mut(), gate::CREW, &token, seconds);
            // On a computer of the base the link shows what the crew sees.
            gate::set_cookie(&app, response.headers_mut(), gate::SESSION, "", 0);
            response
        }
        Ok(None) => answers::not_found(pages::crew::link_ended_page(&visit.site)),
        Err(failure) => answers::failed(&visit.site, &failure),
    }
}

/// A crew's first page.
pub(crate) async fn home(State(app): State<Shared>, visit: Visit) -> Response {
    let Caller::Crew { boat, charter, .. } = &visit.caller else { return answers::elsewhere("/") };
    let (Some(berth), Some(book)) = (app.fleet.get(boat), app.ledger.charter(charter)) else {
        return answers::not_found(pages::crew::link_ended_page(&visit.site));
    };
    let pages::Moored::Well(vessel) = &berth.moored else {
        return answers::not_readable(pages::not_found(
            &visit.site,
            "The file of your boat can't be read now. Call the base.",
            None,
        ));
    };
    let id = CharterId::new(charter.as_str());
    let stands = book.standing.charters.get(&id);
    let plan = stands.and_then(|it| it.plan.as_ref()).map(|(_, plan)| plan);
    let standing = book.standing.boats.get(&book.boat);
    let to_read = stands.map_or(0, |stands| pages::briefing::left_to_read(vessel, standing, stands));
    let home = CrewHome { vessel, charter: charter.clone(), plan, standing, to_read };
    answers::page(pages::crew::home_page(&visit.site, &home))
}

/// The links of a charter.
pub(crate) async fn links(State(app): State<Shared>, visit: Visit, Path(charter): Path<String>) -> Response {
    show(&app, &visit, &charter, None).await
}

/// Makes a new link, shown once; those before are taken back if that was asked for.
pub(crate) async fn make(
    State(app): State<Shared>,
    visit: Visit,
    Path(charter): Path<String>,
    form: Form,
) -> Response {
    match new_link(&app, &charter, form.get("others") == "end").await {
        Ok(Some(token)) => {
            let address = format!("{}/crew/{token}", app.at);
            show(&app, &visit, &charter, Some(&address)).await
        }
        Ok(None) => no_charter(&visit),
        Err(failure) => answers::failed(&visit.site, &failure),
    }
}

/// Takes all links of a charter back.
pub(crate) async fn end(State(app): State<Shared>, visit: Visit, Path(charter): Path<String>) -> Response {
    match end_all(&app, &charter).await {
        Ok(()) => answers::elsewhere(&pages::links::crew_links(&charter)),
        Err(failure) => answers::failed(&visit.site, &failure),
    }
}

async fn new_link(app: &App, charter: &str, end_others: bool) -> Result<Option<String>, Failure> {
    let id = CharterId::new(charter);
    let Some(book) = app.ledger.charter(charter) else { return Ok(None) };
    let Some(standing) = book.standing.charters.get(&id) else { return Ok(None) };
    let Some((_, plan)) = &standing.plan else { return Ok(None) };
    if end_others {
        end_all(app, charter).await?;
    }
    let token = secret::token()?;
    // When the plan changes the link goes with it, so the store's own end is only a last one.
    let until = Timestamp::from_millisecond(plan.until.moment().milliseconds()).unwrap_or(Timestamp::MAX);
    let ends = until.saturating_add(SignedDuration::from_hours(24 * 60)).unwrap_or(Timestamp::MAX);
    let (boat, charter) = (standing.boat.as_str().to_owned(), charter.to_owned());
    app.store.add_link(&Link { token: TokenHash::of(&token), boat, charter, ends, revoked: None }).await?;
    Ok(Some(token))
}

async fn end_all(app: &App, charter: &str) -> Result<(), Failure> {
    let now = app.clock.timestamp();
    for link in app.store.links(charter).await? {
        app.store.revoke_link(&link.token, now).await?;
    }
    Ok(())
}

async fn show(app: &App, visit: &Visit, charter: &str, fresh: Option<&str>) -> Response {
    let Some(book) = app.ledger.charter(charter) else { return no_charter(visit) };
    let id = CharterId::new(charter);
    let Some(standing) = book.standing.charters.get(&id) else { return no_charter(visit) };
    let links = match app.store.links(charter).await {
        Ok(links) => links,
        Err(error) => return answers::failed(&visit.site, &Failure::Store(error)),
    };
    let now = app.clock.timestamp();
    let open = if holds(standing, now) { links.iter().filter(|link| link.holds(now)).count() } else { 0 };
    let name = app.fleet.get(standing.boat.as_str()).map_or_else(
        || standing.boat.as_str().to_owned(),
        |berth| match &berth.moored {
            pages::Moored::Well(vessel) => vessel.boat.particulars.name.clone(),
            pages::Moored::Wrecked(wreck) => wreck.slug.clone(),
        },
    );
    let plan = standing.plan.as_ref().map(|(_, plan)| plan);
    let made = links.len();
    answers::page(pages::crew::links_page(
        &visit.site,
        &CrewLinks { boat: name, charter, plan, open, made, fresh },
    ))
}

fn no_charter(visit: &Visit) -> Response {
    let what = "There is no charter of that name.";
    answers::not_found(pages::not_found(&visit.site, what, Some(("/charters", "All charters"))))
}
