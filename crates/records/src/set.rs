//! The set of events that a device or the base has: it only grows, and two of them can always be put together.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use crate::ids::EventId;
use crate::moment::Moment;
use crate::{Event, Standing};

/// An event as it was taken in.
#[derive(Debug, Clone, PartialEq)]
pub struct Taken {
    /// The event.
    pub event: Event,
    /// When the base received it, by the base's clock; nothing if it has not been there.
    pub received: Option<Moment>,
}

/// What became of an event that was handed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Took {
    /// It was not known.
    New,
    /// It was there already.
    Again,
    /// Another content was there under the same name; both are kept and flagged.
    Twin,
}

/// Events, each once.
///
/// It is a set that only grows; putting two together is its union. So copies of it agree as soon as they have had the
/// same events, in whatever order and however often.
///
/// # Source
/// M. Shapiro, N. Preguiça, C. Baquero, M. Zawirski, "Conflict-free replicated data types", SSS 2011: a grow-only set.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Records {
    kept: BTreeMap<EventId, Kept>,
}

/// What came under one name: usually one content.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Kept {
    /// The contents, each once, in the order of their texts.
    pub(crate) contents: Vec<Event>,
    /// When the base first received it.
    pub(crate) received: Option<Moment>,
}

impl Records {
    /// No events.
    pub fn new() -> Self {
        Self::default()
    }

    /// Takes an event in, with the moment at which the base received it, if it has.
    pub fn take(&mut self, event: Event, received: Option<Moment>) -> Took {
        match self.kept.entry(event.id) {
            Entry::Vacant(place) => {
                place.insert(Kept { contents: vec![event], received });
                Took::New
            }
            Entry::Occupied(mut place) => {
                let kept = place.get_mut();
                kept.received = earlier(kept.received, received);
                insert(&mut kept.contents, event)
            }
        }
    }

    /// Takes in all that another set has.
    pub fn merge(&mut self, other: &Self) {
        for kept in other.kept.values() {
            for event in &kept.contents {
                self.take(event.clone(), kept.received);
            }
        }
    }

    /// Every event, by name, with when the base received it. Of several contents under one name all are given.
    pub fn events(&self) -> impl Iterator<Item = (&Event, Option<Moment>)> {
        self.kept.values().flat_map(|kept| kept.contents.iter().map(|event| (event, kept.received)))
    }

    /// The event of a name; of several contents the first by their text.
    pub fn get(&self, id: EventId) -> Option<&Event> {
        self.kept.get(&id)?.contents.first()
    }

    /// How many names there are.
    pub fn len(&self) -> usize {
        self.kept.len()
    }

    /// Whether there is no event.
    pub fn is_empty(&self) -> bool {
        self.kept.is_empty()
    }

    /// How boats and charters stand by these events.
    pub fn standing(&self) -> Standing {
        crate::fold::standing(self)
    }

    /// The same without what tells of removed persons, for overwriting what is stored. Its standing is the same.
    #[must_use]
    pub fn without_removed(&self) -> Self {
        let removed = crate::person::removed(self);
        let mut left = Self::new();
        for (event, received) in self.events() {
            let event = removed.iter().fold(event.clone(), Event::without);
            left.take(event, received);
        }
        left
    }

    pub(crate) fn kept(&self) -> impl Iterator<Item = (EventId, &Kept)> {
        self.kept.iter().map(|(id, kept)| (*id, kept))
    }
}

impl Extend<Taken> for Records {
    fn extend<T: IntoIterator<Item = Taken>>(&mut self, events: T) {
        for Taken { event, received } in events {
            self.take(event, received);
        }
    }
}

impl FromIterator<Taken> for Records {
    fn from_iter<T: IntoIterator<Item = Taken>>(events: T) -> Self {
        let mut records = Self::new();
        records.extend(events);
        records
    }
}

/// Adds a content under a name that is there already.
fn insert(contents: &mut Vec<Event>, event: Event) -> Took {
    if contents.contains(&event) {
        return Took::Again;
    }
    // The text decides, so that a figure that is not a number is still the same as itself.
    let text = event.text();
    match contents.binary_search_by(|there| there.text().cmp(&text)) {
        Ok(_) => Took::Again,
        Err(at) => {
            contents.insert(at, event);
            Took::Twin
        }
    }
}

fn earlier(one: Option<Moment>, other: Option<Moment>) -> Option<Moment> {
    one.into_iter().chain(other).min()
}
