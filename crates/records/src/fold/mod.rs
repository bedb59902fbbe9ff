//! From a set of events to how things stand.
//!
//! Events are placed in time ([`crate::clock`]), corrections heard ([`crate::answers`]), and what counts is then told
//! in order to boats and charters. Nothing here depends on the order in which events came.

mod boat;
mod charter;
mod defects;
mod disagree;
mod life;

use std::borrow::Cow;
use std::collections::BTreeMap;

use crate::answers::{Answered, resolve};
use crate::clock::{Lain, place};
use crate::flag::{Flag, Why};
use crate::ids::EventId;
use crate::moment::Moment;
use crate::person::removed;
use crate::standing::{Mark, Standing};
use crate::what::What;
use crate::{Event, Records, Taken};

/// How boats and charters stand by these events; each may be there more than once, in any order.
pub fn fold(events: impl IntoIterator<Item = Taken>) -> Standing {
    events.into_iter().collect::<Records>().standing()
}

/// Something that counts.
#[derive(Clone, Copy)]
struct Said<'a> {
    /// The event whose content counts.
    content: &'a Event,
    /// The event whose place it takes.
    root: &'a Event,
    /// When that happened.
    when: Moment,
}

impl Said<'_> {
    fn mark(&self) -> Mark {
        Mark {
            event: self.root.id,
            content: self.content.id,
            when: self.when,
            who: self.root.who.clone(),
            device: self.root.device.clone(),
            charter: self.content.charter.clone(),
        }
    }

    fn flag(&self, why: Why) -> Flag {
        Flag { event: self.content.id, why }
    }
}

/// What all parts of the fold add to.
struct Folding<'a> {
    standing: Standing,
    /// What counts, in order.
    said: Vec<Said<'a>>,
    /// The event that each event or its corrections go back to.
    roots: BTreeMap<EventId, EventId>,
}

pub(crate) fn standing(records: &Records) -> Standing {
    let removed = removed(records);
    let mut flags = Vec::new();
    let contents: Vec<(Cow<'_, Event>, Option<Moment>)> =
        records.kept().map(|(_, kept)| (first(kept, &removed, &mut flags), kept.received)).collect();
    let events: Vec<Lain<'_>> =
        contents.iter().map(|(event, received)| (event.as_ref(), *received)).collect();
    let (when, odd_clocks) = place(&events);
    let answered = resolve(&events);
    let mut folding = Folding {
        said: in_order(&events, &when, &answered),
        roots: roots(&events, &answered),
        standing: Standing::default(),
    };
    folding.standing.removed = removed;
    folding.standing.when = events.iter().map(|(event, _)| event.id).zip(when).collect();
    folding.standing.flags.extend(flags.into_iter().chain(odd_clocks).chain(answered.flags));
    folding.standing.waiting = answered.waiting;
    folding.standing.answers = answered.answers;
    folding.tell();
    folding.standing
}

impl Folding<'_> {
    fn tell(&mut self) {
        let said = std::mem::take(&mut self.said);
        let mut engines = boat::Engines::default();
        for said in &said {
            if matches!(said.content.what, What::Other(_)) {
                self.standing.flags.insert(said.flag(Why::NotUnderstood));
                continue;
            }
            self.defect(said);
            self.boat(said, &mut engines);
            self.charter(said);
        }
        for said in &said {
            self.afterwards(said);
        }
        self.lives();
        self.disagreements();
    }
}

/// The content that counts under a name, without what tells of removed persons.
fn first<'a>(
    kept: &'a crate::set::Kept,
    removed: &std::collections::BTreeSet<crate::PersonId>,
    flags: &mut Vec<Flag>,
) -> Cow<'a, Event> {
    let clean = |event: &'a Event| {
        let concerned = matches!(event.what, What::Signed(_) | What::Other(_)) && !removed.is_empty();
        if !concerned {
            return Cow::Borrowed(event);
        }
        Cow::Owned(removed.iter().fold(event.clone(), Event::without))
    };
    let mut contents: Vec<Cow<'a, Event>> = kept.contents.iter().map(clean).collect();
    if contents.len() > 1 {
        contents.sort_by_cached_key(|event| event.text());
        contents.dedup_by_key(|event| event.text());
    }
    if contents.len() > 1 {
        flags.push(Flag { event: contents[0].id, why: Why::Twin });
    }
    contents.swap_remove(0)
}

fn in_order<'a>(events: &[Lain<'a>], when: &[Moment], answered: &Answered) -> Vec<Said<'a>> {
    let mut said: Vec<Said<'a>> = answered
        .count
        .iter()
        .map(|(content, root)| Said { content: events[*content].0, root: events[*root].0, when: when[*root] })
        .collect();
    said.sort_by_key(|said| (said.when, said.root.id, said.content.id));
    said
}

fn roots(events: &[Lain<'_>], answered: &Answered) -> BTreeMap<EventId, EventId> {
    let pair = |(at, root): (usize, &Option<usize>)| root.map(|root| (events[at].0.id, events[root].0.id));
    answered.roots.iter().enumerate().filter_map(pair).collect()
}
