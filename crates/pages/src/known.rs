//! What is known to be wrong with a boat, for whoever comes aboard: as a notice, and beside the thing that it is about.

use std::collections::BTreeSet;

use boat::model::{Boat, ItemId, PlaceId};
use maud::{Markup, html};
use records::{BoatStanding, DefectStanding};

use crate::dock::severity;
use crate::frame::Site;
use crate::office::stage::item_name;
use crate::vessel::Vessel;
use crate::{links, when, words};

/// What is known to be wrong with a boat by her records.
#[derive(Debug, Clone, Copy, Default)]
pub struct Known<'a>(Option<&'a BoatStanding>);

impl<'a> Known<'a> {
    /// By how she stands; nothing is known of a boat of which nothing was ever told.
    pub fn of(standing: Option<&'a BoatStanding>) -> Self {
        Self(standing)
    }

    /// The open defects, the worst first, then the oldest.
    pub(crate) fn open(self) -> Vec<&'a DefectStanding> {
        let mut open: Vec<&DefectStanding> =
            self.0.into_iter().flat_map(BoatStanding::open_defects).collect();
        open.sort_by_key(|defect| (std::cmp::Reverse(defect.severity), defect.found.when));
        open
    }

    /// Those of these items.
    pub(crate) fn of_items(self, boat: &Boat, items: &BTreeSet<ItemId>) -> Vec<&'a DefectStanding> {
        let of = |defect: &&DefectStanding| {
            boat.item(&defect.defect.item).is_some_and(|item| items.contains(&item))
        };
        self.open().into_iter().filter(of).collect()
    }

    /// The places with a thing that is known to be wrong.
    pub(crate) fn places(self, boat: &Boat) -> BTreeSet<PlaceId> {
        let items = self.open().into_iter().filter_map(|defect| boat.item(&defect.defect.item));
        items.map(|item| boat.items[item].place).collect()
    }
}

/// A notice with these defects, each with its place and a way to say that it was seen again; nothing if there are none.
pub(crate) fn here(site: &Site, vessel: &Vessel, title: &str, open: &[&DefectStanding]) -> Markup {
    html! {
        @if !open.is_empty() {
            aside.known #known-defects aria-label="Known defects" {
                p { strong { (title) } }
                (list(site, vessel, open))
            }
        }
    }
}

/// These defects, each with its place and a way to say that it was seen again.
pub(crate) fn list(site: &Site, vessel: &Vessel, open: &[&DefectStanding]) -> Markup {
    let boat = &vessel.boat;
    let place = |defect: &DefectStanding| {
        let item = boat.item(&defect.defect.item)?;
        Some(links::place(&vessel.slug, &boat.places[boat.items[item].place].id))
    };
    html! {
        ul.known-defects { @for defect in open { li {
            @let thing = item_name(boat, &defect.defect.item);
            @match place(defect) {
                Some(place) => a href=(place) { strong { (thing) } },
                None => strong { (thing) },
            }
            ": " (told(site, defect)) " " (again(vessel, defect))
        } } }
    }
}

/// The same beside the thing itself, without its name.
pub(crate) fn beside(site: &Site, vessel: &Vessel, known: Known<'_>, item: ItemId) -> Markup {
    let own = known.of_items(&vessel.boat, &BTreeSet::from([item]));
    html! { @for defect in own {
        p.known-here { strong { "Known to be wrong: " } (told(site, defect)) " " (again(vessel, defect)) }
    } }
}

/// What was seen, how bad it is, and since when.
fn told(site: &Site, defect: &DefectStanding) -> Markup {
    html! {
        (words::sentence(&defect.defect.words)) " " span.tag { (severity(defect.severity)) } " "
        span.soft { "Since " (when::near(site, when::zoned(site, defect.found.when).date())) "." }
    }
}

/// The form in which it is told that it was seen again, filled in as far as it is known.
fn again(vessel: &Vessel, defect: &DefectStanding) -> Markup {
    let thing = item_name(&vessel.boat, &defect.defect.item);
    html! {
        a.quiet.no-print href=(links::seen_again(&vessel.slug, defect)) aria-label=(format!("Seen again: {thing}")) { "Seen again?" }
    }
}
