//! The briefing: planned for a boat or a charter, run topic by topic, and read by the crew.

use axum::extract::{Path, RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use pages::briefing::{
    BriefAsk, ReadFlaw, Run, ShownFlaw, briefing_data, briefing_page, charter_briefing_page, checklists_page,
    ending_page, read_topics, reading_page, run_page, shown, topics_page,
};
use pages::{Site, Vessel, links};
use records::{BoatStanding, What};

use crate::answers;
use crate::app::{App, Shared};
use crate::caller::Who;
use crate::dock::table::Table;
use crate::form::Form;
use crate::handlers::{Slug, apart, pairs, with_standing};
use crate::routes::Route;
use crate::visit::Visit;

/// Its part of the table of routes.
pub(crate) fn routes() -> Vec<Route> {
    let (page, form) = (Route::page, Route::form);
    vec![
        page("/boat/{slug}/briefing", Who::Crew, get(plan)),
        page("/boat/{slug}/briefing.json", Who::Crew, get(data)),
        page("/boat/{slug}/briefing/topics", Who::Crew, get(topics)),
        page("/boat/{slug}/briefing/lists", Who::Hand, get(lists)),
        page("/charter/{charter}/briefing", Who::Skipper, get(of_charter)),
        page("/charter/{charter}/briefing/run", Who::Skipper, get(run)),
        form("/charter/{charter}/briefing/run", Who::Skipper, post(tell)),
        page("/charter/{charter}/briefing/end", Who::Skipper, get(end)),
        page("/charter/{charter}/reading", Who::Crew, get(reading)),
        form("/charter/{charter}/reading", Who::Crew, post(read)),
    ]
}

/// Answers about a boat with how she stands by her records.
async fn with_boat(
    app: Shared,
    visit: Visit,
    slug: Slug,
    answer: impl FnOnce(&Site, &Vessel, Option<&BoatStanding>) -> Response + Send + 'static,
) -> Response {
    apart(app, visit, move |app, visit| with_standing(app, visit, slug, answer)).await
}

async fn plan(State(app): State<Shared>, visit: Visit, slug: Slug, RawQuery(query): RawQuery) -> Response {
    let ask = BriefAsk::read(&pairs(query.as_deref()));
    with_boat(app, visit, slug, move |site, vessel, standing| {
        let page = briefing_page(site, vessel, standing, &ask);
        answers::asked(ask.is_sound(), page)
    })
    .await
}

async fn data(State(app): State<Shared>, visit: Visit, slug: Slug, RawQuery(query): RawQuery) -> Response {
    let ask = BriefAsk::read(&pairs(query.as_deref()));
    with_boat(app, visit, slug, move |_, vessel, standing| {
        answers::data(ask.flaws(), || briefing_data(vessel, standing, &ask))
    })
    .await
}

async fn topics(State(app): State<Shared>, visit: Visit, slug: Slug) -> Response {
    with_boat(app, visit, slug, |site, vessel, standing| answers::page(topics_page(site, vessel, standing)))
        .await
}

async fn lists(State(app): State<Shared>, visit: Visit, slug: Slug) -> Response {
    with_boat(app, visit, slug, |site, vessel, standing| {
        answers::page(checklists_page(site, vessel, standing))
    })
    .await
}

async fn of_charter(
    State(app): State<Shared>,
    visit: Visit,
    Path(charter): Path<String>,
    RawQuery(query): RawQuery,
) -> Response {
    let ask = BriefAsk::read(&pairs(query.as_deref()));
    on_table(app, visit, charter, move |visit, table, _| {
        let Some(over) = table.over() else { return answers::broken(&visit.site) };
        let page = charter_briefing_page(&visit.site, &over, &ask);
        answers::asked(ask.is_sound(), page)
    })
    .await
}

/// Answers about a charter on the table.
async fn on_table(
    app: Shared,
    visit: Visit,
    charter: String,
    answer: impl FnOnce(&Visit, &Table, &App) -> Response + Send + 'static,
) -> Response {
    match Table::lay(&app, &visit, &charter).await {
        Ok(table) => apart(app, visit, move |app, visit| answer(visit, &table, app)).await,
        Err(answer) => *answer,
    }
}

async fn run(
    State(app): State<Shared>,
    visit: Visit,
    Path(charter): Path<String>,
    RawQuery(query): RawQuery,
) -> Response {
    let question = pairs(query.as_deref());
    on_table(app, visit, charter, move |visit, table, _| screen(visit, table, &question, None)).await
}

/// The screen of a topic; the end if nothing is left, the planning if what is asked can't be understood.
fn screen(visit: &Visit, table: &Table, question: &[(String, String)], flaw: Option<ShownFlaw>) -> Response {
    let ask = BriefAsk::read(question);
    let Some(over) = table.over() else { return answers::broken(&visit.site) };
    if !ask.is_sound() {
        return answers::not_understood(charter_briefing_page(&visit.site, &over, &ask));
    }
    let run = Run::new(&over, &ask, visit.site.now);
    let wanted = question.iter().find(|(name, _)| name == "topic").map(|(_, value)| value.as_str());
    match run_page(&visit.site, &over, &ask, &run, wanted, flaw) {
        Some(page) if flaw.is_some() => answers::not_taken_page(StatusCode::UNPROCESSABLE_ENTITY, page),
        Some(page) => answers::page(page),
        None => answers::elsewhere(&with_ask(&links::ending(table.charter.as_str()), &ask)),
    }
}

fn with_ask(path: &str, ask: &BriefAsk) -> String {
    let pairs = ask.pairs();
    let pairs: Vec<(&str, &str)> = pairs.iter().map(|(name, value)| (*name, value.as_str())).collect();
    links::query(path, &pairs)
}

/// The briefing begins, or a topic was gone through.
async fn tell(State(app): State<Shared>, visit: Visit, Path(charter): Path<String>, form: Form) -> Response {
    let ask = BriefAsk::read(form.pairs());
    let here = links::run(&charter);
    if !ask.is_sound() {
        let question = form.pairs().to_vec();
        return on_table(app, visit, charter, move |visit, table, _| screen(visit, table, &question, None))
            .await;
    }
    if form.get("begin") == "yes" {
        let begun = ask.beginning(app.clock.now());
        return answers::elsewhere(&with_ask(&here, &begun));
    }
    let table = match Table::lay(&app, &visit, &charter).await {
        Ok(table) => table,
        Err(answer) => return *answer,
    };
    let said = match table.over() {
        Some(over) => shown(&over, &ask, form.get("topic"), form.get("answer")),
        None => return answers::broken(&visit.site),
    };
    let what: What = match said {
        Ok(what) => what,
        Err(flaw) => {
            let question = form.pairs().to_vec();
            return apart(app, visit, move |_, visit| screen(visit, &table, &question, Some(flaw))).await;
        }
    };
    match visit.tell(&app, &form, table.boat(), Some(&table.charter), [what]).await {
        Ok(_) => answers::elsewhere(&with_ask(&here, &ask)),
        Err(unmade) => unmade.answer(&visit.site, &with_ask(&here, &ask)),
    }
}

async fn end(
    State(app): State<Shared>,
    visit: Visit,
    Path(charter): Path<String>,
    RawQuery(query): RawQuery,
) -> Response {
    let ask = BriefAsk::read(&pairs(query.as_deref()));
    on_table(app, visit, charter, move |visit, table, _| {
        let Some(over) = table.over() else { return answers::broken(&visit.site) };
        if !ask.is_sound() {
            return answers::not_understood(charter_briefing_page(&visit.site, &over, &ask));
        }
        let run = Run::new(&over, &ask, visit.site.now);
        answers::page(ending_page(&visit.site, &over, &ask, &run))
    })
    .await
}

async fn reading(State(app): State<Shared>, visit: Visit, Path(charter): Path<String>) -> Response {
    on_table(app, visit, charter, |visit, table, _| match table.over() {
        Some(over) => answers::page(reading_page(&visit.site, &over, None)),
        None => answers::broken(&visit.site),
    })
    .await
}

/// What the crew has read. The base's own people do not read for a crew.
async fn read(State(app): State<Shared>, visit: Visit, Path(charter): Path<String>, form: Form) -> Response {
    let here = links::reading(&charter);
    if !matches!(visit.site.viewer, pages::Viewer::Crew { .. }) {
        let what = "Nothing was taken: the crew ticks off by its own link what it has read.";
        return answers::not_taken_from(&visit.site, &here, what);
    }
    let table = match Table::lay(&app, &visit, &charter).await {
        Ok(table) => table,
        Err(answer) => return *answer,
    };
    let Some(said) = table.over().map(|over| read_topics(&over, form.pairs())) else {
        return answers::broken(&visit.site);
    };
    match said {
        Ok(said) => match visit.tell(&app, &form, table.boat(), Some(&table.charter), said).await {
            Ok(_) => answers::elsewhere(&here),
            Err(unmade) => unmade.answer(&visit.site, &here),
        },
        Err(flaw @ ReadFlaw::Nothing) => match table.over() {
            Some(over) => {
                let page = reading_page(&visit.site, &over, Some(flaw));
                answers::not_taken_page(StatusCode::UNPROCESSABLE_ENTITY, page)
            }
            None => answers::broken(&visit.site),
        },
    }
}
