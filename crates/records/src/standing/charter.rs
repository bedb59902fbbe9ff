//! How a charter stands.

use std::collections::BTreeMap;

use quantity::Money;

use super::{Counting, Looked, Mark, Sight};
use crate::ids::{BoatId, ContentHash, EventId};
use crate::moment::Moment;
use crate::stage::{Life, Stage};
use crate::what::{ChargeKey, Meter, Plan, Showing, Signature, Walk};

/// How a charter stands.
#[derive(Debug, Clone, PartialEq)]
pub struct CharterStanding {
    /// Her boat, by the plan; by the first event if no plan has come.
    pub boat: BoatId,
    /// The plan, as last changed.
    pub plan: Option<(Mark, Plan)>,
    /// Where it stands in its life.
    pub life: Life,
    /// The furthest stage that any event tells of, even if stages before it were not told: the world may be ahead of
    /// the records.
    pub furthest: Option<Stage>,
    /// The events that told of each stage, the earliest first.
    pub stages: BTreeMap<Stage, Vec<Mark>>,
    /// Cancellations with their reasons.
    pub cancelled: Vec<(Mark, String)>,
    /// Counts: of each hand on each device the last one.
    pub counts: BTreeMap<(Walk, String), Vec<Counting>>,
    /// Readings: of each hand on each device the last one. All that were made are with the boat.
    pub readings: BTreeMap<(Walk, Meter), Vec<Sight>>,
    /// Looks at items: of each hand on each device the last one.
    pub looks: BTreeMap<(Walk, String), Vec<Looked>>,
    /// How each topic of the briefing was last gone through.
    pub briefed: BTreeMap<String, Shown>,
    /// Who put their name to what.
    pub signed: Vec<Signed>,
    /// Calls for help.
    pub calls: Vec<CallMade>,
    /// Damage, by the event that told of it.
    pub damage: BTreeMap<EventId, Damage>,
    /// Charges that a hand added, by the event.
    pub added: BTreeMap<EventId, Added>,
    /// What is not charged.
    pub waived: Vec<Waiver>,
    /// Notes.
    pub notes: Vec<(Mark, String)>,
}

impl CharterStanding {
    pub(crate) fn new(boat: BoatId) -> Self {
        Self {
            boat,
            plan: None,
            life: Life::Unknown,
            furthest: None,
            stages: BTreeMap::new(),
            cancelled: Vec::new(),
            counts: BTreeMap::new(),
            readings: BTreeMap::new(),
            looks: BTreeMap::new(),
            briefed: BTreeMap::new(),
            signed: Vec::new(),
            calls: Vec::new(),
            damage: BTreeMap::new(),
            added: BTreeMap::new(),
            waived: Vec::new(),
            notes: Vec::new(),
        }
    }

    /// When it first came to a stage.
    pub fn came_to(&self, stage: Stage) -> Option<Moment> {
        self.stages.get(&stage)?.first().map(|mark| mark.when)
    }
}

/// How a topic was gone through.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    /// Who says so, and when.
    pub mark: Mark,
    /// How.
    pub showing: Showing,
}

/// Someone put their name to an occasion.
#[derive(Debug, Clone, PartialEq)]
pub struct Signed {
    /// On which device, and when.
    pub mark: Mark,
    /// What they signed.
    pub signature: Signature,
}

/// A crew called for help.
#[derive(Debug, Clone, PartialEq)]
pub struct CallMade {
    /// Who wrote it down, and when.
    pub mark: Mark,
    /// The symptom.
    pub symptom: String,
    /// What the crew answered.
    pub answers: Vec<String>,
    /// What they were told to do.
    pub advice: String,
}

/// Something was damaged.
#[derive(Debug, Clone, PartialEq)]
pub struct Damage {
    /// Who says so, and when.
    pub mark: Mark,
    /// The item.
    pub item: String,
    /// What happened to it.
    pub words: String,
    /// Photos.
    pub photos: Vec<ContentHash>,
    /// What it may cost.
    pub estimate: Option<Money>,
}

/// A charge that a hand added.
#[derive(Debug, Clone, PartialEq)]
pub struct Added {
    /// Who, and when.
    pub mark: Mark,
    /// What for.
    pub reason: String,
    /// How much.
    pub amount: Money,
}

/// Something that would be charged is not.
#[derive(Debug, Clone, PartialEq)]
pub struct Waiver {
    /// Who decided, and when.
    pub mark: Mark,
    /// What.
    pub charge: ChargeKey,
    /// How much of it; all if nothing is said.
    pub amount: Option<Money>,
    /// Why.
    pub reason: String,
}
