//! How a boat stands, her month for her owner, and what boats cost in a year.

use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::get;
use pages::office::{Hull, YEARS, boat_costs_page, costs_page, month_of, month_page, standing_page};

use super::base::{self, Base};
use crate::app::{Failure, Shared};
use crate::caller::Who;
use crate::routes::Route;
use crate::visit::Visit;
use crate::{answers, handlers};

/// Its part of the table of routes.
pub(super) fn routes() -> Vec<Route> {
    vec![
        Route::page("/boat/{slug}/standing", Who::Hand, get(standing)),
        Route::page("/boat/{slug}/month/{month}", Who::Manager, get(month)),
        Route::page("/boat/{slug}/costs/{year}", Who::Manager, get(boat_costs)),
        Route::page("/costs/{year}", Who::Manager, get(costs)),
    ]
}

fn with_slug<'a>(hulls: &[Hull<'a>], slug: &str) -> Option<Hull<'a>> {
    hulls.iter().find(|hull| hull.vessel.slug == slug).copied()
}

async fn standing(State(app): State<Shared>, visit: Visit, Path(slug): Path<String>) -> Response {
    let base = Base::of(&app);
    let Some(hull) = with_slug(&base.hulls(), &slug) else { return handlers::no_boat(&visit) };
    match base::names(&app).await {
        Ok(names) => answers::page(standing_page(&visit.site, hull, &names)),
        Err(failure) => answers::failed(&visit.site, &failure),
    }
}

async fn month(
    State(app): State<Shared>,
    visit: Visit,
    Path((slug, month)): Path<(String, String)>,
) -> Response {
    let base = Base::of(&app);
    let Some(hull) = with_slug(&base.hulls(), &slug) else { return handlers::no_boat(&visit) };
    let Some(month) = month_of(&month) else {
        let what = "That is no month. Write it such as 2026-06.";
        return answers::not_found(pages::not_found(&visit.site, what, None));
    };
    match app.ledger.whole(&app.store, &slug).await {
        Ok(book) => answers::page(month_page(&visit.site, Hull { standing: &book.standing, ..hull }, month)),
        Err(error) => answers::failed(&visit.site, &Failure::Store(error)),
    }
}

fn year_of(text: &str) -> Option<i16> {
    text.parse().ok().filter(|year| text.len() == 4 && YEARS.contains(year))
}

fn no_year(visit: &Visit) -> Response {
    answers::not_found(pages::not_found(&visit.site, "That is no year. Write it such as 2026.", None))
}

async fn costs(State(app): State<Shared>, visit: Visit, Path(year): Path<String>) -> Response {
    match year_of(&year) {
        Some(year) => answers::page(costs_page(&visit.site, &Base::of(&app).hulls(), year)),
        None => no_year(&visit),
    }
}

async fn boat_costs(
    State(app): State<Shared>,
    visit: Visit,
    Path((slug, year)): Path<(String, String)>,
) -> Response {
    let base = Base::of(&app);
    let Some(hull) = with_slug(&base.hulls(), &slug) else { return handlers::no_boat(&visit) };
    let Some(year) = year_of(&year) else { return no_year(&visit) };
    match app.ledger.whole(&app.store, &slug).await {
        Ok(book) => {
            answers::page(boat_costs_page(&visit.site, Hull { standing: &book.standing, ..hull }, year))
        }
        Err(error) => answers::failed(&visit.site, &Failure::Store(error)),
    }
}
