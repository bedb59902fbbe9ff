//! The dock: walks, signatures, photos, sheets, charges.

mod called;
mod charges;
mod damaged;
mod found;
mod photo;
mod prices;
mod say;
mod sheet;
mod sign;
pub(crate) mod table;
pub(crate) mod tariff;
pub(crate) mod upload;
mod walk;

use axum::extract::{DefaultBodyLimit, Path, State};
use axum::routing::{MethodRouter, get, post};
use pages::dock::Walking;

use crate::app::Shared;
use crate::caller::Who;
use crate::form::Form;
use crate::routes::Route;
use crate::visit::Visit;

/// The most bytes that are taken with one form: 12 MB of photos, and its words.
const PHOTOS: usize = 12 * 1024 * 1024 + 256 * 1024;

/// The routes of one walk.
macro_rules! of_walk {
    ($word:literal, $walk:expr, $who:expr) => {
        [
            Route::page(
                concat!("/charter/{charter}/walk/", $word),
                $who,
                get(|State(app): State<Shared>, visit: Visit, Path(charter): Path<String>| {
                    walk::index(app, visit, charter, $walk)
                }),
            ),
            Route::page(
                concat!("/charter/{charter}/walk/", $word, "/{stop}"),
                $who,
                get(
                    |State(app): State<Shared>,
                     visit: Visit,
                     Path((charter, stop)): Path<(String, String)>| {
                        walk::stop(app, visit, charter, $walk, stop)
                    },
                ),
            ),
            Route::form(
                concat!("/charter/{charter}/walk/", $word, "/{stop}"),
                $who,
                post(
                    |State(app): State<Shared>,
                     visit: Visit,
                     Path((charter, stop)): Path<(String, String)>,
                     form: Form| { walk::tell(app, visit, charter, $walk, stop, form) },
                ),
            ),
            Route::page(
                concat!("/charter/{charter}/sign/", $word),
                $who,
                get(|State(app): State<Shared>, visit: Visit, Path(charter): Path<String>| {
                    sign::page(app, visit, charter, $walk)
                }),
            ),
            Route::form(
                concat!("/charter/{charter}/sign/", $word),
                $who,
                post(|State(app): State<Shared>, visit: Visit, Path(charter): Path<String>, form: Form| {
                    sign::sign(app, visit, charter, $walk, form)
                }),
            ),
            Route::form(
                concat!("/charter/{charter}/complete/", $word),
                $who,
                post(|State(app): State<Shared>, visit: Visit, Path(charter): Path<String>, form: Form| {
                    sign::complete(app, visit, charter, $walk, form)
                }),
            ),
        ]
    };
}

/// Its part of the table of routes.
pub(crate) fn routes() -> Vec<Route> {
    let (page, form) = (Route::page, Route::form);
    let mut all = vec![
        page("/charter/{charter}/sheet/check-out", Who::Crew, get(sheet::check_out)),
        page("/charter/{charter}/sheet/hand-back", Who::Crew, get(sheet::hand_back)),
        form("/charter/{charter}/sails-with/{defect}", Who::Manager, post(sign::sails_with)),
        page("/charter/{charter}/charges", Who::Hand, get(charges::page)),
        form("/charter/{charter}/charges/waive", Who::Manager, post(charges::waive)),
        form("/charter/{charter}/charges/add", Who::Skipper, post(charges::add)),
        form("/charter/{charter}/charges/settle", Who::Skipper, post(charges::settle)),
        page("/charter/{charter}/damaged", Who::Hand, get(damaged::page)),
        with_photos("/charter/{charter}/damaged", Who::Hand, post(damaged::tell)),
        page("/charter/{charter}/called", Who::Hand, get(called::page)),
        form("/charter/{charter}/called", Who::Hand, post(called::tell)),
        page("/boat/{slug}/found", Who::Crew, get(found::page)),
        with_photos("/boat/{slug}/found", Who::Crew, post(found::tell)),
        with_photos("/photos", Who::Crew, post(photo::keep)),
        page("/photo/{hash}", Who::Crew, get(photo::show)),
        page("/settings/prices", Who::Manager, get(prices::page)),
        form("/settings/prices", Who::Manager, post(prices::save)),
    ];
    all.extend(of_walk!("readying", Walking::Readying, Who::Hand));
    all.extend(of_walk!("check-out", Walking::CheckOut, Who::Skipper));
    all.extend(of_walk!("hand-back", Walking::HandBack, Who::Hand));
    all
}

/// A form that may carry photos.
fn with_photos(path: &'static str, who: Who, handler: MethodRouter<Shared>) -> Route {
    let handler = handler.layer(DefaultBodyLimit::disable());
    Route { most_bytes: PHOTOS, ..Route::form(path, who, handler) }
}
