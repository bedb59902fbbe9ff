//! What the server keeps, and all its routes in one table.

use std::sync::Arc;

use axum::Router;
use axum::routing::get;
use pages::{Moored, Site};
use tokio::sync::Semaphore;

use crate::{guard, handlers, outlook, wrong};

/// A base with its boats, read and proven.
#[derive(Debug, Clone)]
pub struct Base {
    /// Whose pages these are.
    pub site: Site,
    /// Its boats, in the order in which they are shown.
    pub boats: Vec<Moored>,
}

impl Base {
    /// Reads the boat files of a base, each given by its file name and its text, and proves the boats.
    ///
    /// It takes as long as the proofs take; two boats of the same name get addresses of their own.
    pub fn read(site: Site, files: &[(String, String)]) -> Self {
        let mut taken: Vec<String> = Vec::new();
        let boats = files.iter().map(|(file, text)| {
            let stem = file.rsplit(['/', '\\']).next().unwrap_or(file).trim_end_matches(".toml");
            let plain = pages::links::slug(stem);
            let numbered = (2..).map(|number| format!("{plain}-{number}"));
            let slug = std::iter::once(plain.clone())
                .chain(numbered)
                .find(|slug| !taken.contains(slug))
                .unwrap_or_default();
            taken.push(slug.clone());
            Moored::read(&slug, file, text)
        });
        Self { site, boats: boats.collect() }
    }
}

/// What every handler can use.
#[derive(Debug)]
pub(crate) struct App {
    pub(crate) base: Base,
    /// How many searches may run at once.
    pub(crate) searches: Semaphore,
}

pub(crate) type Shared = Arc<App>;

/// How many searches may run at once: they keep a core busy for seconds.
const SEARCHES: usize = 2;

/// All routes of a base.
pub fn router(base: Base) -> Router {
    let app = Arc::new(App { base, searches: Semaphore::new(SEARCHES) });
    let routes = Router::new()
        .route("/", get(handlers::fleet))
        .route("/about", get(handlers::about))
        .route("/health", get(handlers::health))
        .route("/looks/{file}", get(handlers::asset))
        .route("/boat/{slug}", get(handlers::plan))
        .route("/boat/{slug}/steps", get(handlers::steps))
        .route("/boat/{slug}/steps/{id}", get(handlers::procedure))
        .route("/boat/{slug}/items", get(handlers::items))
        .route("/boat/{slug}/wrong", get(wrong::choose))
        .route("/boat/{slug}/wrong/{symptom}", get(wrong::case))
        .route("/boat/{slug}/wrong/{symptom}/guide", get(wrong::guide))
        .route("/boat/{slug}/now", get(handlers::now))
        .route("/boat/{slug}/forecast", get(outlook::forecast))
        .route("/boat/{slug}/anchor", get(outlook::anchor))
        .route("/boat/{slug}/slips", get(handlers::slips))
        .route("/boat/{slug}/proof", get(handlers::proof))
        .route("/boat/{slug}/kit", get(handlers::kit))
        .route("/boat/{slug}/upkeep", get(handlers::upkeep))
        .route("/boat/{slug}/briefing", get(handlers::briefing))
        .fallback(handlers::nowhere)
        .method_not_allowed_fallback(handlers::read_only)
        .with_state(Arc::clone(&app));
    guard::around(routes, app)
}
