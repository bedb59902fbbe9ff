//! A briefing under way: what is done, what time is left, and what comes next.

use std::collections::BTreeMap;

use brief::{Ask, Briefing, Depth, Engine, Plan, Stop};
use quantity::Time;
use records::{CharterStanding, Moment, Showing, Shown, What};

use super::ask::BriefAsk;
use super::briefing_of;
use crate::dock::Handover;

/// A briefing under way, planned anew from where it stands.
#[derive(Debug)]
pub struct Run<'v> {
    /// Everything that may be told.
    pub(super) briefing: Briefing<'v>,
    /// The rest of it.
    pub(super) plan: Plan,
    /// What was told or shown, by its place in the briefing.
    pub(super) done: BTreeMap<usize, Showing>,
    /// What was said to be left out, by its place in the briefing.
    pub(super) left: Vec<usize>,
    /// What the crew has read by itself, by its place in the briefing.
    pub(super) read: Vec<usize>,
    /// How long it has gone on.
    pub(super) gone: Time,
    /// How long is left; less than nothing if it goes on too long.
    pub(super) remains: Time,
}

impl<'v> Run<'v> {
    /// Looks at what the records say of a charter's briefing, and plans the rest.
    pub fn new(over: &Handover<'v>, ask: &BriefAsk, now: Moment) -> Self {
        let briefing = briefing_of(over.vessel, over.records(), ask.list);
        let began = ask.began.unwrap_or(now);
        let gone = now.since(began).max(Time::ZERO);
        let remains = ask.time() - gone;
        let (mut done, mut left, mut read) = (BTreeMap::new(), Vec::new(), Vec::new());
        for (key, shown) in &over.stands.briefed {
            let Some(at) = briefing.find(key) else { continue };
            match shown.showing {
                Showing::NotDone => left.push(at),
                Showing::Read => read.push(at),
                Showing::ToldOnly | Showing::Shown => {
                    done.insert(at, shown.showing);
                }
            }
        }
        let depth = |showing: Showing| if showing == Showing::Shown { Depth::Shown } else { Depth::Told };
        let last = latest(&briefing, over.stands);
        let plan = briefing.plan(&Ask {
            time: remains.max(Time::ZERO),
            done: done.iter().map(|(at, showing)| (*at, depth(*showing))).collect(),
            left: left.clone(),
            at: last.and_then(|(at, _)| briefing.topics[at].place),
            engine_runs: last.is_some_and(|(at, showing)| {
                showing == Showing::Shown
                    && matches!(briefing.topics[at].engine, Engine::Starts | Engine::Runs)
            }),
            ..ask.plain()
        });
        Self { briefing, plan, done, left, read, gone, remains }
    }

    /// The topic to go through now, if it is another than the plan's next: one that was asked for by name.
    pub(super) fn stop(&self, wanted: Option<&str>) -> Option<Stop> {
        let wanted = wanted.and_then(|key| self.briefing.find(key));
        let planned = |at: usize| self.plan.stops.iter().find(|stop| stop.topic == at).copied();
        match wanted {
            Some(at) => Some(planned(at).unwrap_or_else(|| self.full(at))),
            None => self.plan.stops.first().copied(),
        }
    }

    /// A topic in full, that is not in the plan.
    fn full(&self, at: usize) -> Stop {
        let topic = &self.briefing.topics[at];
        let depth = if topic.shown { Depth::Shown } else { Depth::Told };
        Stop { topic: at, depth, walk: Time::ZERO, begins: Time::ZERO, lasts: topic.takes, then_stop: false }
    }

    /// What must be in and is neither told nor shown, or only told though the crew must do it.
    pub(super) fn owed(&self, ask: &BriefAsk) -> Vec<usize> {
        (0..self.briefing.topics.len())
            .filter(|at| self.briefing.is_always(*at, ask.trip))
            .filter(|at| {
                let showing = self.done.get(at).copied().unwrap_or(Showing::NotDone);
                let least = if self.briefing.topics[*at].shown { Showing::Shown } else { Showing::ToldOnly };
                showing < least
            })
            .collect()
    }
}

/// What was last gone through.
fn latest(briefing: &Briefing<'_>, stands: &CharterStanding) -> Option<(usize, Showing)> {
    let gone = |shown: &&Shown| shown.showing >= Showing::ToldOnly;
    let here = stands.briefed.iter().filter(|(_, shown)| gone(shown));
    let found = here.filter_map(|(key, shown)| Some((briefing.find(key)?, shown)));
    let last = found.max_by_key(|(_, shown)| (shown.mark.when, shown.mark.content));
    last.map(|(at, shown)| (at, shown.showing))
}

/// Why what was said of a topic is not taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShownFlaw {
    /// The briefing has no such topic.
    NoTopic,
    /// It is not said how it was gone through.
    NoAnswer,
}

/// What was said of a topic: the event to make.
///
/// # Errors
/// If the briefing has no such topic, or how it was gone through is not said.
pub fn shown(over: &Handover<'_>, ask: &BriefAsk, topic: &str, answer: &str) -> Result<What, ShownFlaw> {
    let briefing = briefing_of(over.vessel, over.records(), ask.list);
    if briefing.find(topic).is_none() {
        return Err(ShownFlaw::NoTopic);
    }
    let showing = match answer {
        "shown" => Showing::Shown,
        "told" => Showing::ToldOnly,
        "not-done" => Showing::NotDone,
        _ => return Err(ShownFlaw::NoAnswer),
    };
    Ok(What::Briefed { topic: topic.to_owned(), showing })
}
