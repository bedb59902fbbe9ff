//! One charter.

use crate::routes::Route;

/// Its part of the table of routes.
pub(super) fn routes() -> Vec<Route> {
    Vec::new()
}
