//! "As she stands": from how the boat stands now to what is wanted, by the shortest safe way.

mod answer;
mod ask;
mod form;

pub use answer::Asked;
pub use ask::NowAsk;

use maud::html;

use crate::frame::{Aboard, Site, page};
use crate::links::Room;
use crate::vessel::Vessel;

/// The page: the form, and above it the answer if something was asked.
pub fn now_page(site: &Site, vessel: &Vessel, ask: &NowAsk, asked: Option<&Asked>) -> String {
    let body = html! {
        div.title {
            h1 { "As she stands" }
            p.lead { "Say how the boat stands now and what you want. Becket looks for the shortest safe way, or says why there is none." }
        }
        @if let Some(asked) = asked { (answer::markup(vessel, ask, asked)) }
        (form::form(vessel, ask))
    };
    let aboard = Aboard { slug: &vessel.slug, name: &vessel.boat.particulars.name, room: Room::Now };
    page(site, "As she stands", Some(aboard), &body)
}
