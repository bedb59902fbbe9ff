//! Where each charter stands in its life, and what was out of turn in it.

use super::Folding;
use crate::clock::SLACK_MILLISECONDS;
use crate::flag::{Flag, Why};
use crate::ids::CharterId;
use crate::moment::Moment;
use crate::stage::{Life, Stage};
use crate::standing::{CharterStanding, Mark};
use crate::what::Walk;

impl Folding<'_> {
    pub(super) fn lives(&mut self) {
        let mut taken: Vec<(Moment, CharterId)> = Vec::new();
        for (id, charter) in &mut self.standing.charters {
            let told = |stage: Stage| match stage {
                // Whoever changes a plan knows that there is one.
                Stage::Planned => charter.plan.is_some(),
                Stage::Out => charter.stages.contains_key(&stage) || sailed(charter),
                _ => charter.stages.contains_key(&stage),
            };
            let (reached, missing) = Stage::reached(told);
            let furthest = Stage::ALL.into_iter().rfind(|stage| charter.stages.contains_key(stage));
            charter.furthest = furthest.max(reached);
            let gone = charter.furthest.is_some_and(|stage| stage >= Stage::CheckedOut);
            charter.life = match reached {
                _ if !charter.cancelled.is_empty() && !gone => Life::Cancelled,
                Some(stage) => Life::At(stage),
                None => Life::Unknown,
            };
            self.standing.flags.extend(odd_stages(charter, missing));
            self.standing.flags.extend(odd_cancelling(charter, gone));
            self.standing.flags.extend(odd_clocks(charter));
            self.standing.flags.extend(after_settled(charter));
            if let Some(when) = charter.came_to(Stage::CheckedOut) {
                taken.push((when, id.clone()));
            }
        }
        taken.sort();
        for (when, id) in taken {
            let boat = self.standing.charters[&id].boat.clone();
            self.standing.boats.entry(boat).or_default().taken.push((when, id));
        }
    }
}

/// Whether anything tells that she was under way.
fn sailed(charter: &CharterStanding) -> bool {
    let under_way = |walk: Walk| walk == Walk::UnderWay;
    !charter.calls.is_empty()
        || charter.counts.keys().any(|(walk, _)| under_way(*walk))
        || charter.readings.keys().any(|(walk, _)| under_way(*walk))
        || charter.looks.keys().any(|(walk, _)| under_way(*walk))
}

fn flag(mark: &Mark, why: Why) -> Flag {
    Flag { event: mark.content, why }
}

/// Stages after a missing one, and those told twice. She may be made ready, and leave, more than once.
fn odd_stages(charter: &CharterStanding, missing: Option<Stage>) -> Vec<Flag> {
    let mut flags = Vec::new();
    for (stage, marks) in &charter.stages {
        if let Some(missing) = missing.filter(|missing| missing < stage) {
            flags.extend(marks.iter().map(|mark| flag(mark, Why::OutOfTurn { stage: missing })));
        }
        if !matches!(stage, Stage::Readied | Stage::Out) {
            flags.extend(marks.iter().skip(1).map(|mark| flag(mark, Why::Again { stage: *stage })));
        }
    }
    flags
}

/// A boat that was taken over can't be cancelled any more; a cancelled charter does not go on.
fn odd_cancelling(charter: &CharterStanding, gone: bool) -> Vec<Flag> {
    let Some((first, _)) = charter.cancelled.first() else { return Vec::new() };
    if gone {
        let why = Why::OutOfTurn { stage: charter.furthest.unwrap_or(Stage::CheckedOut) };
        return charter.cancelled.iter().map(|(mark, _)| flag(mark, why)).collect();
    }
    let later = charter.stages.values().flatten().filter(|mark| mark.when > first.when);
    later.map(|mark| flag(mark, Why::AfterCancelled)).collect()
}

fn odd_clocks(charter: &CharterStanding) -> Vec<Flag> {
    let mut flags = Vec::new();
    let mut before: Option<&Mark> = None;
    for mark in charter.stages.values().filter_map(|marks| marks.first()) {
        let late = before.filter(|before| later_than(before, mark));
        if let Some(before) = late {
            flags.push(flag(mark, Why::AgainstTheClock { before: before.content }));
        }
        before = Some(mark);
    }
    flags
}

fn later_than(one: &Mark, other: &Mark) -> bool {
    one.when > other.when.plus_milliseconds(SLACK_MILLISECONDS)
}

/// What changes what is owed after it was agreed.
fn after_settled(charter: &CharterStanding) -> Vec<Flag> {
    let Some(settled) = charter.stages.get(&Stage::Settled).and_then(|marks| marks.last()) else {
        return Vec::new();
    };
    let damage = charter.damage.values().map(|one| &one.mark);
    let added = charter.added.values().map(|one| &one.mark);
    let waived = charter.waived.iter().map(|one| &one.mark);
    let late = damage.chain(added).chain(waived).filter(|mark| mark.when > settled.when);
    late.map(|mark| flag(mark, Why::AfterSettled)).collect()
}
