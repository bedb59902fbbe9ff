//! What is told of defects. First all that were found, then what was said of them, so that nothing hangs on clocks.

use super::{Folding, Said};
use crate::event::Hand;
use crate::flag::Why;
use crate::ids::EventId;
use crate::standing::{Closing, DefectStanding, Mending, Sails, SeenDefect};
use crate::what::What;

impl Folding<'_> {
    pub(super) fn defect(&mut self, said: &Said<'_>) {
        let What::Found(defect) = &said.content.what else { return };
        let standing = DefectStanding {
            found: said.mark(),
            defect: defect.clone(),
            severity: defect.severity,
            fault: defect.fault.clone(),
            seen: Vec::new(),
            tasks: Vec::new(),
            parts: Vec::new(),
            mended: Vec::new(),
            closed: Vec::new(),
            sails: Vec::new(),
        };
        // Corrected by several hands it is still one defect: the worst that is said of it counts.
        let defects = &mut self.standing.boats.entry(said.content.boat.clone()).or_default().defects;
        let worse = defects.get(&said.root.id).is_none_or(|there| there.severity <= standing.severity);
        if worse {
            defects.insert(said.root.id, standing);
        }
    }

    /// Tells what speaks of things that may only be told later: defects, and the boat of the plan.
    pub(super) fn afterwards(&mut self, said: &Said<'_>) {
        let charter = said.content.charter.as_ref().and_then(|id| self.standing.charters.get(id));
        let other =
            charter.is_some_and(|charter| charter.plan.is_some() && charter.boat != said.content.boat);
        let plans = matches!(said.content.what, What::Planned(_) | What::Changed(_));
        if other && !plans {
            self.standing.flags.insert(said.flag(Why::AnotherBoat));
        }
        let Some(named) = said.content.what.defect() else { return };
        let id = self.root(named);
        if matches!(said.content.what, What::SailsWith { .. }) {
            self.check_decision(said);
        }
        match self.find_defect(id) {
            Some(defect) => add(defect, said),
            None => {
                self.standing.flags.insert(said.flag(Why::NoSuchDefect));
            }
        }
    }

    /// The defect, whichever boat it is on: the boat may have been corrected.
    fn find_defect(&mut self, id: EventId) -> Option<&mut DefectStanding> {
        self.standing.boats.values_mut().find_map(|boat| boat.defects.get_mut(&id))
    }

    fn check_decision(&mut self, said: &Said<'_>) {
        let What::SailsWith { reason, .. } = &said.content.what else { return };
        if matches!(said.root.who, Hand::Crew(_)) {
            self.standing.flags.insert(said.flag(Why::NotTheirs));
        }
        if reason.trim().is_empty() {
            self.standing.flags.insert(said.flag(Why::NoReason));
        }
    }
}

fn add(defect: &mut DefectStanding, said: &Said<'_>) {
    let mark = said.mark();
    match &said.content.what {
        What::SeenAgain { words, severity, photos, .. } => {
            if let Some(severity) = severity {
                let theirs = matches!(mark.who, Hand::Account(_));
                defect.severity = if theirs { *severity } else { defect.severity.max(*severity) };
            }
            let (words, photos) = (words.clone(), photos.clone());
            defect.seen.push(SeenDefect { mark, words, severity: *severity, photos });
        }
        What::Diagnosed { fault, .. } => defect.fault = Some(fault.clone()),
        What::TaskSet { words, by, .. } => defect.tasks.push((mark, words.clone(), *by)),
        What::PartUsed { pieces, cost, .. } => defect.parts.push((mark, pieces.clone(), *cost)),
        What::Mended { words, took, cost, .. } => {
            defect.mended.push(Mending { mark, words: words.clone(), took: *took, cost: *cost });
        }
        What::Closed { words, .. } => defect.closed.push(Closing { mark, words: words.clone() }),
        What::SailsWith { covers, reason, .. } => {
            defect.sails.push(Sails { mark, covers: *covers, reason: reason.clone() });
        }
        _ => {}
    }
}
