//! How a defect stands.

use quantity::{Money, Time};

use super::Mark;
use crate::event::Hand;
use crate::ids::{CharterId, ContentHash, EventId};
use crate::moment::Local;
use crate::what::{Defect, Pieces, Severity};

/// How a defect stands.
#[derive(Debug, Clone, PartialEq)]
pub struct DefectStanding {
    /// Who found it, and when. Its name is the name of that event.
    pub found: Mark,
    /// What was found.
    pub defect: Defect,
    /// How bad it is now. A crew can make it worse, only the base can make it less.
    pub severity: Severity,
    /// The fault, as the boat file names it, if it is known.
    pub fault: Option<String>,
    /// When it was seen again.
    pub seen: Vec<SeenDefect>,
    /// What is to be done, and by when.
    pub tasks: Vec<(Mark, String, Option<Local>)>,
    /// Parts used, with what they cost.
    pub parts: Vec<(Mark, Pieces, Option<Money>)>,
    /// What was done.
    pub mended: Vec<Mending>,
    /// When it was closed; it may have been seen again since.
    pub closed: Vec<Closing>,
    /// Decisions to let the boat go with it, good or not.
    pub sails: Vec<Sails>,
}

impl DefectStanding {
    /// Its name: the event that found it.
    pub fn id(&self) -> EventId {
        self.found.event
    }

    /// Whether it is there: never closed, or seen again since.
    pub fn open(&self) -> bool {
        let closed = self.closed.last().map(|closing| (closing.mark.when, closing.mark.event));
        let seen = self.seen.last().map(|seen| (seen.mark.when, seen.mark.event));
        closed.is_none() || seen > closed
    }

    /// How often it came: once, and once more for each time that it was seen again after it had been closed.
    pub fn times(&self) -> u32 {
        let mut times = 1;
        let mut after = None;
        for closing in &self.closed {
            let at = (closing.mark.when, closing.mark.event);
            let again = |seen: &&SeenDefect| {
                let seen = (seen.mark.when, seen.mark.event);
                after.is_some_and(|after| seen > after) && seen < at
            };
            times += u32::from(self.seen.iter().any(|seen| again(&seen)));
            after = Some(at);
        }
        times + u32::from(after.is_some() && self.open())
    }

    /// The good decisions to let the boat go with it, as bad as it is now, on a charter: by one of the base's own
    /// people, with a reason.
    pub fn let_go<'a>(&'a self, charter: &'a CharterId) -> impl Iterator<Item = &'a Sails> {
        self.sails.iter().filter(move |sails| {
            let here = sails.mark.charter.as_ref().is_none_or(|only| only == charter);
            // A decision from before the defect was last closed was about another time that it came.
            let still = self.closed.iter().all(|closing| closing.mark.when < sails.mark.when);
            let theirs = matches!(sails.mark.who, Hand::Account(_));
            here && still && theirs && sails.covers >= self.severity && !sails.reason.trim().is_empty()
        })
    }
}

/// A defect was seen again.
#[derive(Debug, Clone, PartialEq)]
pub struct SeenDefect {
    /// Who saw it, and when.
    pub mark: Mark,
    /// What was seen.
    pub words: String,
    /// How bad they say it is now.
    pub severity: Option<Severity>,
    /// Photos.
    pub photos: Vec<ContentHash>,
}

/// A defect was mended.
#[derive(Debug, Clone, PartialEq)]
pub struct Mending {
    /// Who mended it, and when.
    pub mark: Mark,
    /// What was done.
    pub words: String,
    /// How long it took.
    pub took: Option<Time>,
    /// What the work cost.
    pub cost: Option<Money>,
}

/// A defect was closed.
#[derive(Debug, Clone, PartialEq)]
pub struct Closing {
    /// Who closed it, and when.
    pub mark: Mark,
    /// How that was seen.
    pub words: String,
}

/// Someone decided that the boat sails with a defect.
#[derive(Debug, Clone, PartialEq)]
pub struct Sails {
    /// Who decided, when, and for which charter.
    pub mark: Mark,
    /// How bad it was when that was decided.
    pub covers: Severity,
    /// Why.
    pub reason: String,
}
