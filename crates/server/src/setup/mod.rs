//! Setting boats up in the browser: forms for every entry of a boat file, tried before they are saved; revisions,
//! drafts, and the file as a text.

mod attempt;
mod bench;
mod drafts;
mod files;
mod filling;
mod fresh;
mod revisions;
mod rows;
mod save;

use axum::routing::{get, post};

use crate::caller::Who;
use crate::routes::Route;

/// How much a boat file may be, with what a form adds to it.
const FILE: usize = 2 * 1024 * 1024;

/// How much the form of one entry may send: a step list of many steps has some thousand fields.
const ENTRY: usize = 1024 * 1024;

/// Its part of the table of routes.
pub(crate) fn routes() -> Vec<Route> {
    let page = Route::page;
    let form = |most_bytes, path, handler| Route { most_bytes, ..Route::form(path, Who::Manager, handler) };
    vec![
        page("/setup", Who::Skipper, get(fresh::list)),
        form(ENTRY, "/setup", post(fresh::begin)),
        page("/setup/{slug}", Who::Skipper, get(rows::boat)),
        form(ENTRY, "/setup/{slug}/try", post(rows::attempt)),
        page("/setup/{slug}/file", Who::Skipper, get(files::page)),
        page("/setup/{slug}/file.toml", Who::Skipper, get(files::take_out)),
        form(FILE, "/setup/{slug}/file", post(files::put_in)),
        page("/setup/{slug}/revisions", Who::Skipper, get(revisions::list)),
        page("/setup/{slug}/revisions/{number}", Who::Skipper, get(revisions::one)),
        form(ENTRY, "/setup/{slug}/revisions/{number}", post(revisions::take_back)),
        page("/setup/{slug}/drafts/{number}", Who::Skipper, get(drafts::page)),
        form(ENTRY, "/setup/{slug}/drafts/{number}", post(drafts::decide)),
        page("/setup/{slug}/{section}", Who::Skipper, get(rows::section)),
        page("/setup/{slug}/{section}/{id}", Who::Skipper, get(rows::entry)),
        form(ENTRY, "/setup/{slug}/{section}/{id}", post(rows::sent)),
    ]
}
