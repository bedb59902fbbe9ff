//! The office: today, charters, defects, upkeep, stock, the month; what comes in and goes out as files.

mod base;
mod charter;
mod charters;
mod crossed;
mod defects;
mod export;
mod feed;
mod import;
mod month;
mod service;
mod stock;
mod today;
mod used;

pub(crate) use stock::KnownShelves;

use crate::routes::Route;

/// Its part of the table of routes.
pub(crate) fn routes() -> Vec<Route> {
    let mut all = Vec::new();
    all.extend(today::routes());
    all.extend(charters::routes());
    all.extend(charter::routes());
    all.extend(defects::routes());
    all.extend(crossed::routes());
    all.extend(service::routes());
    all.extend(stock::routes());
    all.extend(month::routes());
    all.extend(import::routes());
    all.extend(feed::routes());
    all.extend(export::routes());
    all
}
