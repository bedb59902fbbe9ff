//! Corrections: what counts of events that answer one another.
//!
//! An answer takes the place of what it answers. A withdrawal takes it away. An answer that was itself withdrawn counts
//! for nothing, and what it answered stands again. An answer whose event has not come waits for it.

use std::collections::{BTreeMap, BTreeSet};

use crate::clock::Lain;
use crate::flag::{Flag, Why};
use crate::ids::EventId;
use crate::what::What;

/// What counts, by position in the row of events.
pub(crate) struct Answered {
    /// What counts, each with the event whose place it takes (itself, if nothing answers it).
    pub(crate) count: Vec<(usize, usize)>,
    /// The event at the root of each that has one.
    pub(crate) roots: Vec<Option<usize>>,
    /// The answers to each event, that one there or not.
    pub(crate) answers: BTreeMap<EventId, BTreeSet<EventId>>,
    /// The events that have not come, with the answers that wait for them.
    pub(crate) waiting: BTreeMap<EventId, BTreeSet<EventId>>,
    /// What is odd.
    pub(crate) flags: Vec<Flag>,
}

/// What an event comes to once all answers to it are heard.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Says {
    /// The content at this position.
    Content(usize),
    /// That what it answers was a mistake.
    Withdrawn,
}

/// Works out what counts. The events are in the order of their names.
pub(crate) fn resolve(events: &[Lain<'_>]) -> Answered {
    let mut found = Answered {
        count: Vec::new(),
        roots: vec![None; events.len()],
        answers: BTreeMap::new(),
        waiting: BTreeMap::new(),
        flags: Vec::new(),
    };
    let (children, mut starts) = tree(events, &mut found);
    let mut order = Vec::with_capacity(events.len());
    for start in starts.iter().copied().chain(waiters(events, &found)) {
        walk_down(start, &children, &mut order, &mut found.roots);
    }
    let mut says: Vec<Vec<Says>> = vec![Vec::new(); events.len()];
    for at in order.iter().rev().copied() {
        says[at] = comes_to(at, events, &children[at], &says, &mut found.flags);
    }
    starts.retain(|at| !matches!(events[*at].0.what, What::Withdrawn { .. }));
    for root in starts {
        for say in &says[root] {
            if let Says::Content(at) = say {
                found.count.push((*at, root));
            }
        }
    }
    for (at, root) in found.roots.iter().enumerate() {
        if root.is_none() {
            found.flags.push(Flag { event: events[at].0.id, why: Why::Circle });
        }
    }
    found
}

/// The answers to each event, and the events that answer none.
fn tree(events: &[Lain<'_>], found: &mut Answered) -> (Vec<Vec<usize>>, Vec<usize>) {
    let mut children: Vec<Vec<usize>> = vec![Vec::new(); events.len()];
    let mut starts = Vec::new();
    for (at, (event, _)) in events.iter().enumerate() {
        let Some(to) = event.answers else {
            if matches!(event.what, What::Withdrawn { .. }) {
                found.flags.push(Flag { event: event.id, why: Why::AnswersNothing });
            }
            starts.push(at);
            continue;
        };
        found.answers.entry(to).or_default().insert(event.id);
        let there = events.binary_search_by_key(&to, |(event, _)| event.id).ok();
        let Some(there) = there else {
            found.flags.push(Flag { event: event.id, why: Why::Waiting { on: to } });
            found.waiting.entry(to).or_default().insert(event.id);
            continue;
        };
        if matches!(events[there].0.what, What::PersonRemoved { .. }) {
            found.flags.push(Flag { event: event.id, why: Why::CantBeAnswered });
        }
        children[there].push(at);
    }
    (children, starts)
}

/// The positions of the events that wait.
fn waiters(events: &[Lain<'_>], found: &Answered) -> Vec<usize> {
    let ids = found.waiting.values().flatten();
    ids.filter_map(|id| events.binary_search_by_key(id, |(event, _)| event.id).ok()).collect()
}

/// Adds an event and all that answers it, each before its answers.
fn walk_down(start: usize, children: &[Vec<usize>], order: &mut Vec<usize>, roots: &mut [Option<usize>]) {
    let mut open = vec![start];
    while let Some(at) = open.pop() {
        roots[at] = Some(start);
        order.push(at);
        open.extend(&children[at]);
    }
}

fn comes_to(
    at: usize,
    events: &[Lain<'_>],
    children: &[usize],
    says: &[Vec<Says>],
    flags: &mut Vec<Flag>,
) -> Vec<Says> {
    let own = || match events[at].0.what {
        What::Withdrawn { .. } => vec![Says::Withdrawn],
        _ => vec![Says::Content(at)],
    };
    // A removal can't be taken back, and what can't be read can't take the place of what can.
    if matches!(events[at].0.what, What::PersonRemoved { .. }) {
        return own();
    }
    let heard = |child: &&usize| {
        let unread = matches!(events[**child].0.what, What::Other(_));
        !(unread && says[**child] == [Says::Content(**child)])
    };
    let said: Vec<Says> =
        children.iter().filter(heard).flat_map(|child| says[*child].iter().copied()).collect();
    let contents: Vec<Says> = said.iter().copied().filter(|say| *say != Says::Withdrawn).collect();
    let voices = children.iter().filter(heard).filter(|child| !says[**child].is_empty());
    if voices.clone().count() > 1 && !(contents.is_empty()) {
        flags.extend(voices.map(|child| Flag { event: events[*child].0.id, why: Why::CorrectedTwice }));
    }
    match (said.is_empty(), contents.is_empty()) {
        (true, _) => own(),
        (false, true) => Vec::new(),
        (false, false) => contents,
    }
}
