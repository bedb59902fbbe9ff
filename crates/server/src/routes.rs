//! All routes in one table: the address, who may use it, how much may be sent, who answers.

use axum::routing::{MethodRouter, get, post};

use crate::app::Shared;
use crate::caller::Who;
use crate::{api, briefing, crew, dock, handlers, office, outlook, people, reach, setup, shore, sign, wrong};

/// How much a form may send: names, notes, a few hundred fields.
pub(crate) const FORM: usize = 256 * 1024;

/// One route.
#[derive(Debug, Clone)]
pub struct Route {
    /// How it is asked: `GET` or `POST`.
    pub method: &'static str,
    /// Its address, with names in braces for its parts.
    pub path: &'static str,
    /// Who may use it.
    pub who: Who,
    /// The most bytes that may be sent to it.
    pub(crate) most_bytes: usize,
    pub(crate) handler: MethodRouter<Shared>,
}

impl Route {
    /// A page.
    pub(crate) fn page(path: &'static str, who: Who, handler: MethodRouter<Shared>) -> Self {
        Self { method: "GET", path, who, most_bytes: 0, handler }
    }

    /// What a form is sent to.
    pub(crate) fn form(path: &'static str, who: Who, handler: MethodRouter<Shared>) -> Self {
        Self { method: "POST", path, who, most_bytes: FORM, handler }
    }
}

/// The table.
pub fn routes() -> Vec<Route> {
    let page = Route::page;
    let form = Route::form;
    let mut all = vec![
        page("/boats", Who::Hand, get(handlers::fleet)),
        page("/about", Who::Anyone, get(handlers::about)),
        page("/health", Who::Anyone, get(handlers::health)),
        page("/looks/{file}", Who::Anyone, get(handlers::asset)),
        page("/boat/{slug}", Who::Crew, get(handlers::plan)),
        page("/boat/{slug}/steps", Who::Crew, get(handlers::steps)),
        page("/boat/{slug}/steps/{id}", Who::Crew, get(handlers::procedure)),
        page("/boat/{slug}/items", Who::Crew, get(handlers::items)),
        page("/boat/{slug}/wrong", Who::Crew, get(wrong::choose)),
        page("/boat/{slug}/wrong/{symptom}", Who::Crew, get(wrong::case)),
        page("/boat/{slug}/wrong/{symptom}/guide", Who::Crew, get(wrong::guide)),
        page("/boat/{slug}/now", Who::Crew, get(handlers::now)),
        page("/boat/{slug}/forecast", Who::Crew, get(outlook::forecast)),
        page("/boat/{slug}/anchor", Who::Crew, get(outlook::anchor)),
        page("/boat/{slug}/slips", Who::Hand, get(handlers::slips)),
        page("/boat/{slug}/proof", Who::Hand, get(handlers::proof)),
        page("/boat/{slug}/kit", Who::Crew, get(handlers::kit)),
        page("/boat/{slug}/upkeep", Who::Hand, get(handlers::upkeep)),
        page("/sign-in", Who::Anyone, get(sign::page)),
        form("/sign-in", Who::Anyone, post(sign::enter)),
        form("/sign-out", Who::Crew, post(sign::leave)),
        page("/begin", Who::Anyone, get(people::begin)),
        form("/begin", Who::Anyone, post(people::found_base)),
        page("/welcome/{id}/{token}", Who::Anyone, get(people::welcome)),
        form("/welcome/{id}/{token}", Who::Anyone, post(people::choose)),
        page("/people", Who::Manager, get(people::list)),
        form("/people", Who::Manager, post(people::add)),
        form("/people/{id}", Who::Manager, post(people::change)),
        form("/people/{id}/invite", Who::Manager, post(people::invite)),
        page("/password", Who::Hand, get(people::own)),
        form("/password", Who::Hand, post(people::change_own)),
        form("/demo/as", Who::Anyone, post(people::demo_as)),
        page("/crew", Who::Crew, get(crew::home)),
        page("/crew/{token}", Who::Anyone, get(crew::arrive)),
        page("/charter/{charter}/links", Who::Hand, get(crew::links)),
        form("/charter/{charter}/links", Who::Skipper, post(crew::make)),
        form("/charter/{charter}/links/end", Who::Skipper, post(crew::end)),
    ];
    all.extend(api::routes());
    all.extend(briefing::routes());
    all.extend(dock::routes());
    all.extend(office::routes());
    all.extend(reach::routes());
    all.extend(setup::routes());
    all.extend(shore::routes());
    all
}
