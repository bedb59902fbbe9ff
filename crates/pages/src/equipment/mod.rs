//! What the law wants aboard: asked for a boat, a crew and the days of a charter, answered by her file and her counts.

mod aboard;
mod answer;
mod ask;
mod data;
mod form;
mod law;

pub use ask::EquipmentAsk;
pub use data::equipment_data;
pub use law::law_of;

use maud::html;
use records::{BoatStanding, Plan};

use crate::authority;
use crate::frame::{Aboard, Site, page};
use crate::given;
use crate::links::{self, Room};
use crate::vessel::Vessel;
use crate::when;

/// The page: the form, and below it what is missing, what runs out, what is not known, and what is in order.
pub fn equipment_page(
    site: &Site,
    vessel: &Vessel,
    standing: Option<&BoatStanding>,
    ask: &EquipmentAsk,
) -> String {
    let body = html! {
        div.title {
            h1 { "Equipment" }
            p.lead { "What the law wants aboard for this crew and these days, against what she has." }
        }
        (given::trouble(&ask.given, "Nothing can be looked up yet"))
        (given::folded(&ask.given, &form::form(vessel, ask)))
        @if ask.is_sound() {
            (answer::answer(vessel, standing, ask))
            (authority::duties(&ask.whose.chain(), false))
            (authority::coverage(&ask.whose.chain()))
        }
    };
    let aboard = Aboard { slug: &vessel.slug, name: &vessel.boat.particulars.name, room: Room::Equipment };
    page(site, "Equipment", Some(aboard), &body)
}

/// The question about a charter: its days by the clocks of the base, and all of its people, if it is known how many, as adults.
pub fn equipment_pairs(site: &Site, plan: &Plan) -> Vec<(String, String)> {
    let day = |at: records::Local| when::zoned(site, at.moment()).date().to_string();
    let days = [("from", day(plan.from)), ("until", day(plan.until))];
    let people = plan.crew.map(|crew| ("adults", crew.to_string()));
    days.into_iter().chain(people).map(|(key, value)| (key.to_owned(), value)).collect()
}

/// The address of the question about a charter.
pub(crate) fn of_charter(site: &Site, slug: &str, plan: Option<&Plan>) -> String {
    let pairs = plan.map_or_else(Vec::new, |plan| equipment_pairs(site, plan));
    let pairs: Vec<(&str, &str)> = pairs.iter().map(|(key, value)| (key.as_str(), value.as_str())).collect();
    links::query(&links::room(slug, Room::Equipment), &pairs)
}
