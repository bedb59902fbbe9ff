//! What is known to be wrong with a boat, for whoever comes aboard.

use boat::model::Boat;
use maud::{Markup, html};
use records::{BoatStanding, DefectStanding};

use crate::dock::severity;
use crate::frame::Site;
use crate::{when, words};

/// A notice with the open defects of a boat, the worst first; nothing if there are none.
pub fn known_defects(site: &Site, standing: &BoatStanding, boat: &Boat) -> Markup {
    let mut open: Vec<&DefectStanding> = standing.open_defects().collect();
    open.sort_by_key(|defect| std::cmp::Reverse(defect.severity));
    let item =
        |id: &str| boat.items.iter().find(|item| item.id == id).map_or(id, |item| &item.name).to_owned();
    html! {
        @if !open.is_empty() {
            aside.notice #known-defects aria-label="Known defects" {
                p { strong { (words::capital(&words::count(open.len(), "defect is known", "defects are known"))) ":" } }
                ul.known-defects { @for defect in open {
                    li { strong { (item(&defect.defect.item)) } ": " (words::sentence(&defect.defect.words)) " "
                        span.tag { (severity(defect.severity)) } " "
                        span.soft { "Since " (when::near(site, when::zoned(site, defect.found.when).date())) "." } }
                } }
            }
        }
    }
}
