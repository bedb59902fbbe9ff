//! How boats and charters stand: what the events come to.

mod boat;
mod charter;
mod defect;
mod stock;

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

pub use boat::{BoatStanding, Counting, Done, Filling, Looked, NewMeter, Sight};
pub use charter::{Added, CallMade, CharterStanding, Damage, Shown, Signed, Waiver};
pub use defect::{Closing, DefectStanding, Mending, Sails, SeenDefect};
pub use stock::{Move, Stock, Turnover, ashore};

use crate::event::Hand;
use crate::flag::Flag;
use crate::ids::{BoatId, CharterId, DeviceId, EventId, PersonId};
use crate::moment::Moment;
use crate::what::{Held, Meter, Pieces, Walk};

/// How all stands by a set of events.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Standing {
    /// Boats that any event names.
    pub boats: BTreeMap<BoatId, BoatStanding>,
    /// Charters that any event names.
    pub charters: BTreeMap<CharterId, CharterStanding>,
    /// Parts in the base's store.
    pub ashore: BTreeMap<String, Stock>,
    /// What hands disagree on.
    pub disagreements: Vec<Disagreement>,
    /// What someone should look at.
    pub flags: BTreeSet<Flag>,
    /// Events that have not come, with the answers that wait for them.
    pub waiting: BTreeMap<EventId, BTreeSet<EventId>>,
    /// The answers to each event.
    pub answers: BTreeMap<EventId, BTreeSet<EventId>>,
    /// The persons whose names were removed.
    pub removed: BTreeSet<PersonId>,
    /// When each event happened, as far as the clocks let one say.
    pub when: BTreeMap<EventId, Moment>,
}

/// Who said something, when and where.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Mark {
    /// The event that first said it; corrections take its place, time and hand.
    pub event: EventId,
    /// The event whose content counts: the same, or the correction.
    pub content: EventId,
    /// When it happened, as far as the clocks let one say.
    pub when: Moment,
    /// Who.
    pub who: Hand,
    /// On which device.
    pub device: DeviceId,
    /// On which charter.
    pub charter: Option<CharterId>,
}

/// A thing on which hands disagree.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum About {
    /// The count of a kit line.
    Kit(String),
    /// What a meter shows.
    Meter(Meter),
    /// How an item is.
    Item(String),
}

/// Hands on different devices, or different hands, say different things of one thing on one occasion.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Disagreement {
    /// On which charter.
    pub charter: CharterId,
    /// On what occasion.
    pub walk: Walk,
    /// About what.
    pub about: About,
    /// The events that say it.
    pub events: BTreeSet<EventId>,
}

impl Standing {
    pub(crate) fn stock(&mut self, boat: &BoatId, pieces: &Pieces) -> &mut Stock {
        let place = match pieces.held {
            Held::Ashore => &mut self.ashore,
            Held::Aboard => &mut self.boats.entry(boat.clone()).or_default().stock,
        };
        place.entry(pieces.part.clone()).or_default()
    }

    /// Whether hands disagree about a thing on an occasion of a charter.
    pub fn disputed(&self, charter: &CharterId, walk: Walk, about: &About) -> bool {
        self.disagreements
            .iter()
            .any(|one| one.charter == *charter && one.walk == walk && one.about == *about)
    }
}
