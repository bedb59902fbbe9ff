//! What lies ahead: the forecast of a trip, reckoned on several threads, and the advice at anchor.

use std::ops::Range;

use axum::extract::{RawQuery, State};
use axum::response::Response;
use endure::marks::Marks;
use endure::{Voyage, reckon};
use pages::{AnchorAsk, ForecastAsk, Outlook, Site, Vessel, links, links::Room};

use crate::answers;
use crate::app::Shared;
use crate::handlers::{Slug, aboard, apart, pairs, today};
use crate::visit::Visit;

/// Will it last; reckoned off the threads that answer, few at a time.
pub(crate) async fn forecast(
    State(app): State<Shared>,
    visit: Visit,
    slug: Slug,
    RawQuery(query): RawQuery,
) -> Response {
    let question = pairs(query.as_deref());
    apart(app, visit, move |app, visit| {
        aboard(app, visit, slug, |site, vessel| last(site, vessel, &question))
    })
    .await
}

fn last(site: &Site, vessel: &Vessel, question: &[(String, String)]) -> Response {
    let ask = ForecastAsk::read(&vessel.boat, question, &today(site).to_string());
    let shortest = ask.shortest(&vessel.boat);
    if ask.is_sound() && shortest != question {
        let pairs: Vec<(&str, &str)> =
            shortest.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
        return answers::elsewhere(&links::query(&links::room(&vessel.slug, Room::Forecast), &pairs));
    }
    let outlook = Outlook::look(&vessel.boat, &ask, &reckon_shared);
    let page = pages::forecast_page(site, vessel, &ask, &outlook);
    answers::asked(outlook.is_sound(), page)
}

/// What to let out at anchor.
pub(crate) async fn anchor(
    State(app): State<Shared>,
    visit: Visit,
    slug: Slug,
    RawQuery(query): RawQuery,
) -> Response {
    let question = pairs(query.as_deref());
    aboard(&app, &visit, slug, |site, vessel| {
        let ask = AnchorAsk::read(&vessel.boat, &question);
        let page = pages::anchor_page(site, vessel, &ask);
        answers::asked(ask.is_sound(), page)
    })
}

/// Reckons drawings on all cores, each thread a stretch of their numbers; put together in order, the result is the
/// same as on one.
fn reckon_shared(voyage: &Voyage, seed: u64, numbers: Range<u64>) -> Vec<Marks> {
    let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get) as u64;
    let end = numbers.end;
    let each = (end - numbers.start).div_ceil(threads.max(1)).max(1);
    std::thread::scope(|scope| {
        let starts = numbers.step_by(usize::try_from(each).unwrap_or(usize::MAX));
        let parts: Vec<_> = starts
            .map(|from| scope.spawn(move || reckon(voyage, seed, from..(from + each).min(end))))
            .collect();
        parts
            .into_iter()
            .flat_map(|part| part.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
            .collect()
    })
}
