//! What is told of a charter: its plan and stages, what was found on its walks, what is owed.

use super::{Folding, Said};
use crate::event::Hand;
use crate::flag::Why;
use crate::stage::Stage;
use crate::standing::{
    Added, CallMade, CharterStanding, Counting, Damage, Looked, Mark, Shown, Sight, Signed, Waiver,
};
use crate::what::{Showing, Walk, What};

impl What {
    /// The stage of a charter that it tells of.
    pub(crate) fn stage(&self) -> Option<Stage> {
        match self {
            Self::Planned(_) => Some(Stage::Planned),
            Self::Readied => Some(Stage::Readied),
            Self::CheckedOut => Some(Stage::CheckedOut),
            Self::Left => Some(Stage::Out),
            Self::HandedBack => Some(Stage::HandedBack),
            Self::Settled => Some(Stage::Settled),
            _ => None,
        }
    }

    /// Whether it makes no sense without a charter.
    fn needs_charter(&self) -> bool {
        let of_a_walk = |walk: &Walk| matches!(walk, Walk::CheckOut | Walk::UnderWay | Walk::HandBack);
        match self {
            Self::Changed(_)
            | Self::Cancelled { .. }
            | Self::Briefed { .. }
            | Self::Signed(_)
            | Self::ChargeAdded { .. }
            | Self::ChargeWaived { .. } => true,
            Self::Read { walk, .. } | Self::Counted { walk, .. } | Self::Checked { walk, .. } => {
                of_a_walk(walk)
            }
            _ => self.stage().is_some(),
        }
    }
}

impl Folding<'_> {
    pub(super) fn charter(&mut self, said: &Said<'_>) {
        let Some(id) = &said.content.charter else {
            if said.content.what.needs_charter() {
                self.standing.flags.insert(said.flag(Why::NoCharter));
            }
            return;
        };
        if matches!(&said.content.what, What::ChargeWaived { .. } | What::ChargeAdded { .. }) {
            self.check_charge(said);
        }
        let boat = &said.content.boat;
        let charter =
            self.standing.charters.entry(id.clone()).or_insert_with(|| CharterStanding::new(boat.clone()));
        if let Some(stage) = said.content.what.stage() {
            charter.stages.entry(stage).or_default().push(said.mark());
        }
        match &said.content.what {
            What::Planned(plan) | What::Changed(plan) => {
                charter.boat = boat.clone();
                charter.plan = Some((said.mark(), plan.clone()));
            }
            What::Cancelled { reason } => charter.cancelled.push((said.mark(), reason.clone())),
            What::Read { .. } | What::Counted { .. } | What::Checked { .. } | What::Called { .. } => {
                found(charter, said);
            }
            what => papers(charter, said.mark(), what),
        }
    }

    fn check_charge(&mut self, said: &Said<'_>) {
        let (What::ChargeWaived { reason, .. } | What::ChargeAdded { reason, .. }) = &said.content.what
        else {
            return;
        };
        if matches!(said.root.who, Hand::Crew(_)) {
            self.standing.flags.insert(said.flag(Why::NotTheirs));
        }
        if reason.trim().is_empty() {
            self.standing.flags.insert(said.flag(Why::NoReason));
        }
    }
}

/// What was found on a walk, or under way.
fn found(charter: &mut CharterStanding, said: &Said<'_>) {
    let mark = said.mark();
    match &said.content.what {
        What::Counted { walk, line, count, note } => {
            let counting = Counting { mark, walk: *walk, count: *count, note: note.clone() };
            keep_last(charter.counts.entry((*walk, line.clone())).or_default(), counting, |one| &one.mark);
        }
        What::Read { walk, reading } => {
            let sight = Sight { mark, walk: *walk, reading: reading.clone(), total: None };
            keep_last(charter.readings.entry((*walk, reading.meter())).or_default(), sight, |one| &one.mark);
        }
        What::Checked { walk, item, look, note } => {
            let looked = Looked { mark, walk: *walk, look: *look, note: note.clone() };
            keep_last(charter.looks.entry((*walk, item.clone())).or_default(), looked, |one| &one.mark);
        }
        What::Called { symptom, answers, advice } => {
            let (symptom, answers, advice) = (symptom.clone(), answers.clone(), advice.clone());
            charter.calls.push(CallMade { mark, symptom, answers, advice });
        }
        _ => {}
    }
}

/// Keeps of each hand on each device what it said last. Several corrections of one event are each kept, because no
/// hand of them gave way.
fn keep_last<T>(kept: &mut Vec<T>, new: T, mark: impl Fn(&T) -> &Mark) {
    let replaces = |old: &T| {
        let (old, new) = (mark(old), mark(&new));
        old.who == new.who && old.device == new.device && old.event != new.event
    };
    kept.retain(|old| !replaces(old));
    kept.push(new);
}

fn papers(charter: &mut CharterStanding, mark: Mark, what: &What) {
    match what {
        What::Briefed { topic, showing } => {
            let before = charter.briefed.get(topic).map(|shown| shown.showing);
            // What was told or shown is not undone by reading it as well.
            if *showing != Showing::Read || before.is_none_or(|before| before < Showing::Read) {
                charter.briefed.insert(topic.clone(), Shown { mark, showing: *showing });
            }
        }
        What::Signed(signature) => charter.signed.push(Signed { mark, signature: signature.clone() }),
        What::Damaged { item, words, photos, estimate } => {
            let (item, words, photos) = (item.clone(), words.clone(), photos.clone());
            charter.damage.insert(mark.event, Damage { mark, item, words, photos, estimate: *estimate });
        }
        What::ChargeAdded { reason, amount } => {
            let (reason, amount) = (reason.clone(), *amount);
            charter.added.insert(mark.event, Added { mark, reason, amount });
        }
        What::ChargeWaived { charge, amount, reason } => {
            let (charge, reason) = (charge.clone(), reason.clone());
            charter.waived.push(Waiver { mark, charge, amount: *amount, reason });
        }
        What::Noted { words } => charter.notes.push((mark, words.clone())),
        _ => {}
    }
}
