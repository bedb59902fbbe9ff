//! When things happened, as far as wrong clocks let one say.
//!
//! Every event is given a moment, and events are ordered by that and then by name. With sound clocks it is the moment
//! that the event says. Otherwise what is certain comes before what a clock says:
//!
//! 1. An event happened before the base received it, and before the base received anything that names it. A clock that
//!    says later was ahead.
//! 2. What one device did, it did in the order of the names that it gave, as far as they tell. If its clock went back
//!    in between, the later setting is believed, because clocks are set to make them right: the events before are placed
//!    no later.
//! 3. An event happened after those that it names.
//! 4. A clock that shows a time before [`EARLIEST`] was never set; the event is placed by the other rules alone.
//!
//! A clock that is behind is only found by rule 3, or by rule 4: an event that comes late may just have been without
//! signal.
//!
//! # Source
//! Rules 2 and 3 are the "happened before" of L. Lamport, "Time, clocks, and the ordering of events in a distributed
//! system", Communications of the ACM 21 (1978) 558. That the names made on one device rise even if its clock goes back
//! is what RFC 9562, section 6.2, asks of whoever makes them (from memory). Which setting of a clock to believe, and the
//! slack, are judgement.

use std::collections::{BTreeMap, BTreeSet};

use crate::Event;
use crate::flag::{Flag, Why};
use crate::ids::{DeviceId, EventId};
use crate::moment::Moment;

/// How far clocks may be apart before it is flagged: five minutes. Judgement: a clock set by hand is within that.
pub const SLACK_MILLISECONDS: i64 = 5 * 60 * 1000;

/// No event was made before this moment: the beginning of 2024. A clock that shows less was never set.
pub const EARLIEST: Moment = Moment::from_milliseconds(1_704_067_200_000);

/// An event with when the base received it.
pub(crate) type Lain<'a> = (&'a Event, Option<Moment>);

/// The moment of each event, and what is odd about the clocks. The events are in the order of their names.
pub(crate) fn place(events: &[Lain<'_>]) -> (Vec<Moment>, Vec<Flag>) {
    let causes = causes(events);
    let known = known_by(events, &causes);
    let graph = Graph::of(events, causes, &known);
    let mut flags = Vec::new();
    let said = believed(events, &graph, &known, &mut flags);
    (settled(events, &graph, &known, &said, &mut flags), flags)
}

/// The events that each names. Those that name one another in a circle tell nothing of time.
fn causes(events: &[Lain<'_>]) -> Vec<Vec<usize>> {
    let find = |id: EventId| events.binary_search_by_key(&id, |(event, _)| event.id).ok();
    let named =
        |event: &Event| event.answers.into_iter().chain(event.what.names()).filter_map(find).collect();
    let mut causes: Vec<Vec<usize>> = events.iter().map(|(event, _)| named(event)).collect();
    let stuck = circles(&turned(&causes));
    for at in stuck.iter().copied() {
        causes[at].retain(|cause| !stuck.contains(cause));
    }
    causes
}

/// Rule 1: when each was known to the base at the latest, by the base's own clock.
fn known_by(events: &[Lain<'_>], causes: &[Vec<usize>]) -> Vec<Option<Moment>> {
    let mut known: Vec<Option<Moment>> = events.iter().map(|(_, received)| *received).collect();
    for at in sorted(&turned(causes)).0.into_iter().rev() {
        for cause in causes[at].iter().copied() {
            known[cause] = known[cause].into_iter().chain(known[at]).min();
        }
    }
    known
}

/// What was before what: by device, and by naming.
struct Graph {
    /// The event before each on its device, as far as its names tell.
    before: Vec<Option<usize>>,
    /// The events that each names.
    causes: Vec<Vec<usize>>,
    /// The events in an order in which each comes after those before it.
    order: Vec<usize>,
}

impl Graph {
    fn of(events: &[Lain<'_>], causes: Vec<Vec<usize>>, known: &[Option<Moment>]) -> Self {
        let mut graph = Self { before: on_devices(events, known), causes, order: Vec::new() };
        // That a device made one event before another is taken from their names only, so it gives way.
        let stuck = circles(&graph.later());
        for at in stuck.iter().copied() {
            graph.before[at] = graph.before[at].filter(|before| !stuck.contains(before));
        }
        graph.order = sorted(&graph.later()).0;
        graph
    }

    fn earlier(&self, at: usize) -> impl Iterator<Item = usize> {
        self.before[at].into_iter().chain(self.causes[at].iter().copied())
    }

    /// For each event those that come after it.
    fn later(&self) -> Vec<Vec<usize>> {
        let earlier: Vec<Vec<usize>> = (0..self.before.len()).map(|at| self.earlier(at).collect()).collect();
        turned(&earlier)
    }
}

/// What a device's clock was like when it made an event.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Setting {
    Unset,
    Ahead,
    Likely,
}

/// The event before each on its device.
///
/// Names made under a clock that was ahead, or not set, tell how those events followed one another, but not what came
/// before or after them. If a name says a later time than its event, whoever made it did not let names fall when the
/// clock went back; then it came after all names that are less.
fn on_devices(events: &[Lain<'_>], known: &[Option<Moment>]) -> Vec<Option<usize>> {
    let mut last: BTreeMap<(&DeviceId, Setting), usize> = BTreeMap::new();
    let mut before = vec![None; events.len()];
    for (at, (event, _)) in events.iter().enumerate() {
        let Some(made) = event.id.made() else { continue };
        let setting = match known[at] {
            _ if made < EARLIEST => Setting::Unset,
            Some(known) if event.at > known.plus_milliseconds(SLACK_MILLISECONDS) => Setting::Ahead,
            _ => Setting::Likely,
        };
        let held = made > event.at.plus_milliseconds(SLACK_MILLISECONDS);
        let settings = [Setting::Unset, Setting::Ahead, Setting::Likely];
        let like = settings.into_iter().filter(|other| held || *other == setting);
        before[at] = like.filter_map(|setting| last.get(&(&event.device, setting)).copied()).max();
        last.insert((&event.device, setting), at);
    }
    before
}

/// From what each comes after to what comes after each.
fn turned(earlier: &[Vec<usize>]) -> Vec<Vec<usize>> {
    let mut later = vec![Vec::new(); earlier.len()];
    for (at, earlier) in earlier.iter().enumerate() {
        for before in earlier.iter().copied() {
            later[before].push(at);
        }
    }
    later
}

/// The events in an order in which each comes after those before it, and those that can't be put in one: what is in a
/// circle, or after one. Kahn's way of sorting.
fn sorted(later: &[Vec<usize>]) -> (Vec<usize>, BTreeSet<usize>) {
    let mut waits: Vec<usize> = vec![0; later.len()];
    for next in later.iter().flatten() {
        waits[*next] += 1;
    }
    let mut ready: Vec<usize> = (0..later.len()).filter(|at| waits[*at] == 0).collect();
    let mut order = Vec::with_capacity(later.len());
    while let Some(at) = ready.pop() {
        order.push(at);
        for next in &later[at] {
            waits[*next] -= 1;
            if waits[*next] == 0 {
                ready.push(*next);
            }
        }
    }
    let stuck = (0..later.len()).filter(|at| waits[*at] > 0).collect();
    (order, stuck)
}

/// The events that are in a circle, or between two of them.
fn circles(later: &[Vec<usize>]) -> BTreeSet<usize> {
    let (_, after) = sorted(later);
    if after.is_empty() {
        return after;
    }
    let (_, before) = sorted(&turned(later));
    after.intersection(&before).copied().collect()
}

/// Rules 1, 2 and 4: what each clock says as far as it can be believed; nothing if it was never set.
fn believed(
    events: &[Lain<'_>],
    graph: &Graph,
    known: &[Option<Moment>],
    flags: &mut Vec<Flag>,
) -> Vec<Option<Moment>> {
    let mut said = Vec::with_capacity(events.len());
    for ((event, _), known) in events.iter().zip(known) {
        let latest = known.unwrap_or(event.at);
        if event.at < EARLIEST {
            flags.push(Flag { event: event.id, why: Why::ClockUnset });
            said.push(None);
            continue;
        }
        if event.at > latest.plus_milliseconds(SLACK_MILLISECONDS) {
            flags.push(Flag { event: event.id, why: Why::ClockAhead { known: latest } });
        }
        said.push(Some(event.at.min(latest)));
    }
    for at in graph.order.iter().rev().copied() {
        let Some(before) = graph.before[at] else { continue };
        let (earlier, this) = (events[before].0, events[at].0);
        let back = earlier.at > this.at.plus_milliseconds(SLACK_MILLISECONDS);
        if back && this.at >= EARLIEST {
            flags.push(Flag { event: this.id, why: Why::ClockWentBack { after: earlier.id } });
        }
        if let (Some(one), Some(other)) = (said[before], said[at]) {
            said[before] = Some(one.min(other));
        }
    }
    said
}

/// Rules 2 and 3 forwards: each after those before it.
fn settled(
    events: &[Lain<'_>],
    graph: &Graph,
    known: &[Option<Moment>],
    said: &[Option<Moment>],
    flags: &mut Vec<Flag>,
) -> Vec<Moment> {
    let otherwise = |at: usize| known[at].unwrap_or(events[at].0.at);
    let mut when: Vec<Moment> =
        (0..events.len()).map(|at| said[at].unwrap_or_else(|| otherwise(at))).collect();
    for at in graph.order.iter().copied() {
        let causes = graph.causes[at].iter().map(|cause| when[*cause].plus_milliseconds(1));
        let least = graph.before[at].map(|before| when[before]).into_iter().chain(causes).max();
        when[at] = match (said[at], least) {
            (Some(said), Some(least)) => said.max(least),
            (None, Some(least)) => least,
            (_, None) => when[at],
        };
        let Some(said) = said[at] else { continue };
        for cause in &graph.causes[at] {
            if said.plus_milliseconds(SLACK_MILLISECONDS) < when[*cause] {
                let why = Why::BeforeItsCause { cause: events[*cause].0.id };
                flags.push(Flag { event: events[at].0.id, why });
            }
        }
    }
    when
}
