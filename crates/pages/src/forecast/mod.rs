//! "Will it last?": power, water, waste, fuel and gas over a trip, with what a crew could do otherwise.

mod ask;
mod chart;
mod danger;
mod days;
mod form;
mod gauges;
mod outlook;
mod plan_text;
mod remedy;
mod store;
mod verdict;
mod what_if;
mod words;

pub use ask::ForecastAsk;
pub use outlook::{Outlook, Reckon};

use maud::{Markup, html};

use crate::frame::{Aboard, Site, page};
use crate::links::Room;
use crate::vessel::Vessel;

/// The page: the verdict, what could be done otherwise, the trip, then the course of each store and why.
pub fn forecast_page(site: &Site, vessel: &Vessel, ask: &ForecastAsk, outlook: &Outlook) -> String {
    let body = html! {
        div.title {
            h1 { "Will it last?" }
            p.lead { "Power, water, waste, fuel and gas over your trip, and what takes them." }
        }
        (days::patterns())
        (form::form(vessel, ask, outlook))
        div data-live-region="course" {
            @if let Some(told) = outlook.told() {
                (gauges::section(told))
                (remedy::section(vessel, ask, outlook, told))
                (days::section(told))
                (store::sections(vessel, told))
                (danger::limits(told))
            }
            (plan_text::section(vessel, ask, outlook))
        }
    };
    let aboard = Aboard { slug: &vessel.slug, name: &vessel.boat.particulars.name, room: Room::Forecast };
    page(site, "Will it last?", Some(aboard), &body)
}

/// A heading with its id, for sections.
fn head(id: &str, words: &str) -> Markup {
    html! { h2 id=(id) { (words) } }
}
