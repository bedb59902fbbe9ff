//! Names of people: kept apart from the events, so that they can be removed on request while a boat's records stay.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::ids::PersonId;
use crate::{Records, Standing, What};

/// Who someone is. It is no event: it can be changed, and removed for good.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Person {
    /// The name of the record, by which events point at it.
    pub id: PersonId,
    /// What they are called.
    pub name: String,
    /// How to reach them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reach: Option<String>,
}

/// What may be shown for a person.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Name<'a> {
    /// Their name.
    Known(&'a str),
    /// It was removed on request.
    Removed,
    /// The record has not come to this device.
    NotHere,
}

/// The records of people that this device has.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Persons(BTreeMap<PersonId, Person>);

impl Persons {
    /// Takes a record in, in place of an older one.
    pub fn put(&mut self, person: Person) {
        self.0.insert(person.id.clone(), person);
    }

    /// Forgets all whose removal the standing tells of; gives back whom.
    pub fn forget_removed(&mut self, standing: &Standing) -> Vec<PersonId> {
        let gone: Vec<PersonId> =
            self.0.keys().filter(|id| standing.removed.contains(*id)).cloned().collect();
        for id in &gone {
            self.0.remove(id);
        }
        gone
    }

    /// What may be shown for a person: never a name whose removal is told of.
    pub fn name<'a>(&'a self, id: &PersonId, standing: &Standing) -> Name<'a> {
        if standing.removed.contains(id) {
            return Name::Removed;
        }
        self.0.get(id).map_or(Name::NotHere, |person| Name::Known(&person.name))
    }
}

/// The people whose removal any event tells of. What was removed can't be brought back by a correction.
pub(crate) fn removed(records: &Records) -> BTreeSet<PersonId> {
    let person = |what: &What| match what {
        What::PersonRemoved { person } => Some(person.clone()),
        _ => None,
    };
    records.events().filter_map(|(event, _)| person(&event.what)).collect()
}
