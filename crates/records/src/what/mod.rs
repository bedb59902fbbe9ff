//! What an event says. Every kind that this version knows, and a place for those that it does not.
//!
//! Things of a boat (items, stores, kit lines, topics, upkeep lines, faults) are named as in her boat file. Records
//! outlive the file, so a name may no longer be in it.

mod charter;
mod defect;
mod ledger;
mod reading;
mod walk;

use quantity::Time;
use serde::{Deserialize, Serialize};

pub use charter::{Plan, Role, Signature, Stroke, Strokes};
pub use defect::{Defect, Severity};
pub use ledger::{ChargeKey, Held, Pieces, Priced};
pub use reading::{Level, Meter, Reading};
pub use walk::{Amount, Look, Showing, Walk};

use crate::ids::{ContentHash, EventId, PersonId};
use crate::moment::Local;
use crate::wire;
use quantity::Money;

/// What an event says.
///
/// In JSON it is an object whose `kind` says which; quantities and money are texts such as `"12.6 V"`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum What {
    /// A charter is planned.
    Planned(Plan),
    /// The plan of a charter is now this.
    Changed(Plan),
    /// A charter will not take place.
    Cancelled {
        /// Why, in words.
        reason: String,
    },
    /// The base has made the boat ready for a charter.
    Readied,
    /// The crew has taken the boat over.
    CheckedOut,
    /// The boat has left the dock.
    Left,
    /// The base has taken the boat back.
    HandedBack,
    /// All that is owed for a charter is agreed.
    Settled,

    /// A meter or gauge was read.
    Read {
        /// On what occasion.
        walk: Walk,
        /// What it showed.
        reading: Reading,
    },
    /// A line of the kit was counted.
    Counted {
        /// On what occasion.
        walk: Walk,
        /// The kit line.
        line: String,
        /// How many were there.
        count: u32,
        /// What else was seen.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    },
    /// An item was looked at, or left out.
    Checked {
        /// On what occasion.
        walk: Walk,
        /// The item.
        item: String,
        /// How it was.
        look: Look,
        /// What else was seen.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        note: Option<String>,
    },
    /// A subject of the briefing was gone through, or left out.
    Briefed {
        /// The topic.
        topic: String,
        /// How.
        showing: Showing,
    },
    /// Someone put their name to an occasion.
    Signed(Signature),

    /// Something is wrong with the boat. The event's own name is the name of the defect from now on.
    Found(Defect),
    /// A defect was seen again.
    SeenAgain {
        /// The defect, by the event that found it.
        defect: EventId,
        /// What was seen.
        words: String,
        /// How bad it is now, if it has changed.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        severity: Option<Severity>,
        /// Photos.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        photos: Vec<ContentHash>,
    },
    /// The cause of a defect is known.
    Diagnosed {
        /// The defect, by the event that found it.
        defect: EventId,
        /// The fault, as the boat file names it.
        fault: String,
    },
    /// Someone is to do something about a defect.
    TaskSet {
        /// The defect, by the event that found it.
        defect: EventId,
        /// What is to be done.
        words: String,
        /// By when.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        by: Option<Local>,
    },
    /// A part went into the mending of a defect.
    PartUsed {
        /// The defect, by the event that found it.
        defect: EventId,
        /// Which part, how many, from where.
        #[serde(flatten)]
        pieces: Pieces,
        /// What they cost together.
        #[serde(default, with = "wire::maybe", skip_serializing_if = "Option::is_none")]
        cost: Option<Money>,
    },
    /// A defect was mended; it stays open until someone has looked at it and closes it.
    Mended {
        /// The defect, by the event that found it.
        defect: EventId,
        /// What was done.
        words: String,
        /// How long it took.
        #[serde(default, with = "wire::maybe", skip_serializing_if = "Option::is_none")]
        took: Option<Time>,
        /// What the work cost, without parts.
        #[serde(default, with = "wire::maybe", skip_serializing_if = "Option::is_none")]
        cost: Option<Money>,
    },
    /// A defect is no more.
    Closed {
        /// The defect, by the event that found it.
        defect: EventId,
        /// How that was seen.
        words: String,
    },
    /// The manager lets the boat go with a defect: on the charter of the event, or until it is closed if the event
    /// names no charter.
    SailsWith {
        /// The defect, by the event that found it.
        defect: EventId,
        /// How bad it was when that was decided; if it grows worse the decision no longer holds.
        covers: Severity,
        /// Why, in words.
        reason: String,
    },

    /// A crew called for help.
    Called {
        /// The symptom, as the fault finder names it.
        symptom: String,
        /// What the crew answered, as the fault finder writes it.
        answers: Vec<String>,
        /// What they were told to do.
        advice: String,
    },
    /// Something was damaged on a charter.
    Damaged {
        /// The item.
        item: String,
        /// What happened to it.
        words: String,
        /// Photos.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        photos: Vec<ContentHash>,
        /// What it may cost.
        #[serde(default, with = "wire::maybe", skip_serializing_if = "Option::is_none")]
        estimate: Option<Money>,
    },
    /// Anything else worth a line.
    Noted {
        /// The words.
        words: String,
    },

    /// A line of the service plan was done.
    UpkeepDone {
        /// The upkeep line.
        line: String,
        /// What the engine's meter showed.
        #[serde(default, with = "wire::maybe", skip_serializing_if = "Option::is_none")]
        hours: Option<Time>,
        /// Parts used.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        parts: Vec<Priced>,
        /// How long it took.
        #[serde(default, with = "wire::maybe", skip_serializing_if = "Option::is_none")]
        took: Option<Time>,
        /// What the work cost, without parts.
        #[serde(default, with = "wire::maybe", skip_serializing_if = "Option::is_none")]
        work: Option<Money>,
        /// What it cost beside that: parts and work in one sum.
        #[serde(default, with = "wire::maybe", skip_serializing_if = "Option::is_none")]
        cost: Option<Money>,
    },
    /// An engine's meter was replaced by another one.
    MeterReplaced {
        /// The engine.
        engine: String,
        /// What the old one showed last, if it could be read.
        #[serde(default, with = "wire::maybe", skip_serializing_if = "Option::is_none")]
        old: Option<Time>,
        /// What the new one showed first.
        #[serde(with = "wire")]
        new: Time,
    },
    /// Something was put into a tank or bottle.
    Filled {
        /// The store.
        store: String,
        /// How much.
        amount: Amount,
        /// What it cost.
        #[serde(default, with = "wire::maybe", skip_serializing_if = "Option::is_none")]
        cost: Option<Money>,
    },
    /// A tank was emptied (waste pumped out, say).
    Emptied {
        /// The store.
        store: String,
    },

    /// A part in stock was counted.
    StockCounted(Pieces),
    /// Parts came into stock.
    StockReceived(Priced),
    /// Parts were taken from stock.
    StockUsed(Pieces),

    /// Something is charged to a charter that no count or gauge tells.
    ChargeAdded {
        /// What for.
        reason: String,
        /// How much.
        #[serde(with = "wire")]
        amount: Money,
    },
    /// Something that would be charged is not.
    ChargeWaived {
        /// What.
        charge: ChargeKey,
        /// How much of it; all if nothing is said.
        #[serde(default, with = "wire::maybe", skip_serializing_if = "Option::is_none")]
        amount: Option<Money>,
        /// Why, in words.
        reason: String,
    },

    /// The record that holds a person's name was removed on request.
    PersonRemoved {
        /// Which.
        person: PersonId,
    },
    /// What this event answers was a mistake: it counts as if it had not been said.
    Withdrawn {
        /// Why, in words.
        reason: String,
    },

    /// A kind of event that this version doesn't know, or one that it can't read: kept as it came.
    #[serde(untagged)]
    Other(serde_json::Value),
}

impl What {
    /// The defect that it speaks of, by the event that found it; nothing for the finding itself.
    pub fn defect(&self) -> Option<EventId> {
        match self {
            Self::SeenAgain { defect, .. }
            | Self::Diagnosed { defect, .. }
            | Self::TaskSet { defect, .. }
            | Self::PartUsed { defect, .. }
            | Self::Mended { defect, .. }
            | Self::Closed { defect, .. }
            | Self::SailsWith { defect, .. } => Some(*defect),
            _ => None,
        }
    }

    /// Another event that it names, and that must therefore have been there before it.
    pub(crate) fn names(&self) -> Option<EventId> {
        match self {
            Self::ChargeWaived { charge: ChargeKey::Damage(event) | ChargeKey::Added(event), .. } => {
                Some(*event)
            }
            _ => self.defect(),
        }
    }
}
