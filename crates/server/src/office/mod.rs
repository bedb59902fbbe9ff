//! The office: today, charters, defects, upkeep, stock, the month; what comes in and goes out as files.

use crate::routes::Route;

/// Its part of the table of routes.
pub(crate) fn routes() -> Vec<Route> {
    Vec::new()
}
