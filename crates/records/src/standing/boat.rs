//! How a boat stands.

use std::collections::BTreeMap;

use quantity::{Money, Time};

use super::{DefectStanding, Mark, Stock};
use crate::ids::{CharterId, EventId};
use crate::moment::Moment;
use crate::what::{Amount, Look, Meter, Priced, Reading, Walk};

/// How a boat stands.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BoatStanding {
    /// What each meter showed, the earliest first.
    pub meters: BTreeMap<Meter, Vec<Sight>>,
    /// When each engine's meter was replaced, the earliest first.
    pub meters_replaced: BTreeMap<String, Vec<NewMeter>>,
    /// When each upkeep line was done, the earliest first.
    pub upkeep: BTreeMap<String, Vec<Done>>,
    /// Defects, open and closed, by the event that found them.
    pub defects: BTreeMap<EventId, DefectStanding>,
    /// The last count of each kit line.
    pub counted: BTreeMap<String, Counting>,
    /// The last look at each item.
    pub looked: BTreeMap<String, Looked>,
    /// Parts aboard.
    pub stock: BTreeMap<String, Stock>,
    /// What went into each store, and when it was emptied, the earliest first.
    pub fillings: BTreeMap<String, Vec<Filling>>,
    /// Her charters that were checked out, the earliest first.
    pub taken: Vec<(Moment, CharterId)>,
    /// Notes on no charter.
    pub notes: Vec<(Mark, String)>,
}

impl BoatStanding {
    /// What a meter showed last.
    pub fn last(&self, meter: &Meter) -> Option<&Sight> {
        self.meters.get(meter)?.last()
    }

    /// Defects that are open, the earliest first by name.
    pub fn open_defects(&self) -> impl Iterator<Item = &DefectStanding> {
        self.defects.values().filter(|defect| defect.open())
    }

    /// What went into a store after a moment.
    pub fn filled_since(&self, store: &str, moment: Moment) -> Vec<&Filling> {
        let fillings = self.fillings.get(store).map_or(&[][..], Vec::as_slice);
        fillings.iter().filter(|filling| filling.mark.when > moment).collect()
    }
}

/// What a meter showed.
#[derive(Debug, Clone, PartialEq)]
pub struct Sight {
    /// Who read it, and when.
    pub mark: Mark,
    /// On what occasion.
    pub walk: Walk,
    /// What it showed.
    pub reading: Reading,
    /// Of an engine's meter: hours in all, over every meter that it has had.
    pub total: Option<Time>,
}

/// An engine's meter was replaced.
#[derive(Debug, Clone, PartialEq)]
pub struct NewMeter {
    /// Who did it, and when.
    pub mark: Mark,
    /// What the new one showed first.
    pub new: Time,
}

/// An upkeep line was done.
#[derive(Debug, Clone, PartialEq)]
pub struct Done {
    /// Who did it, and when.
    pub mark: Mark,
    /// What the engine's meter showed, if it was said.
    pub hours: Option<Time>,
    /// Hours in all by each engine's last reading before, over every meter that it has had.
    pub totals: BTreeMap<String, Time>,
    /// Parts used.
    pub parts: Vec<Priced>,
    /// How long it took.
    pub took: Option<Time>,
    /// What the work cost, without parts.
    pub work: Option<Money>,
    /// What it cost beside that, parts and work in one sum.
    pub cost: Option<Money>,
}

/// A kit line was counted.
#[derive(Debug, Clone, PartialEq)]
pub struct Counting {
    /// Who counted, and when.
    pub mark: Mark,
    /// On what occasion.
    pub walk: Walk,
    /// How many were there.
    pub count: u32,
    /// What else was seen.
    pub note: Option<String>,
}

/// An item was looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct Looked {
    /// Who looked, and when.
    pub mark: Mark,
    /// On what occasion.
    pub walk: Walk,
    /// How it was.
    pub look: Look,
    /// What else was seen.
    pub note: Option<String>,
}

/// Something went into a store, or all out of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Filling {
    /// Who did it, and when.
    pub mark: Mark,
    /// How much; nothing if it was emptied.
    pub amount: Option<Amount>,
    /// What it cost.
    pub cost: Option<Money>,
}
