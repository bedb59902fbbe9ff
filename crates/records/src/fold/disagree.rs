//! Two hands who say different things of one thing on one occasion.

use std::collections::BTreeSet;

use super::Folding;
use crate::ids::{CharterId, EventId};
use crate::standing::{About, CharterStanding, Disagreement, Mark};
use crate::what::{Look, Walk};

impl Folding<'_> {
    pub(super) fn disagreements(&mut self) {
        let charters = &self.standing.charters;
        let mut found: Vec<Disagreement> =
            charters.iter().flat_map(|(id, charter)| of_charter(id, charter)).collect();
        found.sort();
        self.standing.disagreements = found;
    }
}

/// Under way things change from hour to hour, so that nobody contradicts anybody.
fn on_the_spot(walk: Walk) -> bool {
    matches!(walk, Walk::Readying | Walk::CheckOut | Walk::HandBack)
}

fn of_charter(id: &CharterId, charter: &CharterStanding) -> Vec<Disagreement> {
    let make = |walk: Walk, about: About, events: BTreeSet<EventId>| {
        let there = on_the_spot(walk) && !events.is_empty();
        there.then(|| Disagreement { charter: id.clone(), walk, about, events })
    };
    let counts = charter.counts.iter().filter_map(|((walk, line), said)| {
        make(*walk, About::Kit(line.clone()), differing(said, |one| one.count, |one| &one.mark))
    });
    let readings = charter.readings.iter().filter_map(|((walk, meter), said)| {
        make(*walk, About::Meter(meter.clone()), differing(said, |one| one.reading.clone(), |one| &one.mark))
    });
    let looks = charter.looks.iter().filter_map(|((walk, item), said)| {
        // Who did not look contradicts nobody.
        let looked: Vec<_> = said.iter().filter(|one| one.look != Look::NotLookedAt).collect();
        make(*walk, About::Item(item.clone()), differing(&looked, |one| one.look, |one| &one.mark))
    });
    counts.chain(readings).chain(looks).collect()
}

/// The events that say it, if they don't all say the same.
fn differing<T, V: PartialEq>(
    said: &[T],
    value: impl Fn(&T) -> V,
    mark: impl Fn(&T) -> &Mark,
) -> BTreeSet<EventId> {
    let Some(first) = said.first().map(&value) else { return BTreeSet::new() };
    if said.iter().all(|one| value(one) == first) {
        return BTreeSet::new();
    }
    said.iter().map(|one| mark(one).content).collect()
}
