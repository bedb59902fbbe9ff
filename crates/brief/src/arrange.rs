//! Putting the chosen topics in an order: what comes first first, one start of the engine, little walking.

use boat::model::PlaceId;
use boat::walk::walk;
use quantity::Time;
use search::order::{Effort, Order, Stops, order};

use crate::choose::Depth;
use crate::topic::{Briefing, Engine};

/// Starting the engine once more than needed: the minutes that it takes, and what it is to her. Judgement.
const START: Time = Time::minutes(5.0);
/// Exchanges looked at: a plan takes a quarter of a second; five times as many bring no shorter walk aboard Whimbrel.
const LOOKS: u64 = 4_000_000;

/// Where and how a plan begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Begin {
    pub(crate) at: Option<PlaceId>,
    pub(crate) engine_runs: bool,
}

/// Topics in order.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Arranged {
    /// The topics, by their place in the briefing.
    pub(crate) topics: Vec<usize>,
    /// No order costs less by more than this: cost less bound, in seconds.
    pub(crate) excess: Time,
    /// The least that any order costs.
    pub(crate) bound: Time,
}

impl Briefing<'_> {
    /// How the engine must be for a topic at a depth: what is only told needs nothing.
    pub(crate) fn engine_at(&self, topic: usize, depth: Depth) -> Engine {
        if depth == Depth::Shown { self.topics[topic].engine } else { Engine::Either }
    }

    /// How long it takes to get from where one stands to a topic.
    pub(crate) fn way(&self, from: Option<PlaceId>, topic: usize) -> Time {
        match (from, self.topics[topic].place) {
            (Some(from), Some(to)) => self.between(from, to),
            _ => Time::ZERO,
        }
    }

    /// How long it takes to get from one place to another.
    pub(crate) fn between(&self, from: PlaceId, to: PlaceId) -> Time {
        walk(self.boat, from, to)
    }

    /// Puts topics in an order that keeps what comes before what.
    pub(crate) fn arrange(&self, chosen: &[(usize, Depth)], begin: Begin) -> Arranged {
        // A topic without a place is told wherever one stands: it is put in afterwards.
        let count = chosen.len() + 1;
        let mut costs = vec![0_u32; count * count];
        for (to, (topic, depth)) in chosen.iter().enumerate() {
            for from in 0..count {
                let (place, runs) = match from.checked_sub(1) {
                    None => (begin.at, begin.engine_runs),
                    Some(at) => {
                        let (other, depth) = chosen[at];
                        let engine = self.engine_at(other, depth);
                        (self.topics[other].place, matches!(engine, Engine::Starts | Engine::Runs))
                    }
                };
                let start = self.engine_at(*topic, *depth) == Engine::Runs && !runs;
                let cost = self.way(place, *topic) + if start { START } else { Time::ZERO };
                costs[from * count + to + 1] = seconds(cost);
            }
        }
        let mut before: Vec<(usize, usize)> = (1..count).map(|at| (0, at)).collect();
        for (at, (topic, depth)) in chosen.iter().enumerate() {
            let topic = &self.topics[*topic];
            for (other, (earlier, other_depth)) in chosen.iter().enumerate() {
                let both = *depth == Depth::Shown && *other_depth == Depth::Shown;
                if topic.after.contains(earlier) || both && topic.shown_after.contains(earlier) {
                    before.push((other + 1, at + 1));
                }
            }
        }
        let stops = Stops::new(count, &costs, &before).expect("what comes before what is free of circles");
        let Order { stops, cost, bound, .. } = order(&stops, Effort::looks(LOOKS), 1);
        let topics = stops.into_iter().filter(|at| *at > 0).map(|at| chosen[at - 1].0).collect();
        let time = |seconds: u64| Time::seconds(seconds as f64);
        Arranged { topics, excess: time(cost - bound), bound: time(bound) }
    }
}

fn seconds(time: Time) -> u32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some minutes at most")]
    let seconds = time.as_seconds().round() as u32;
    seconds
}
