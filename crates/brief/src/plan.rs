//! The plan of a briefing: what, how deep, in which order, by when; and what is left to reading.

use std::collections::BTreeSet;

use boat::model::PlaceId;
use quantity::Time;

use crate::arrange::{Arranged, Begin};
use crate::choose::{Choice, Chosen, Depth, Need, choose};
use crate::risk::{Experience, Trip};
use crate::topic::{Briefing, Engine};

/// What is asked: who they are, where they go, how long there is; and what is done already.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// The time that is left.
    pub time: Time,
    /// How well the crew knows such boats.
    pub experience: Experience,
    /// What they are going to do.
    pub trip: Trip,
    /// Topics gone through already and how deep, by their place in [`Briefing::topics`].
    pub done: Vec<(usize, Depth)>,
    /// Topics that are left out for now, neither planned nor left to reading.
    pub left: Vec<usize>,
    /// Where everybody stands.
    pub at: Option<PlaceId>,
    /// Whether the engine runs.
    pub engine_runs: bool,
}

impl Ask {
    /// A crew that is new to such boats, with nothing said of its trip and nothing done yet.
    pub fn new(time: Time) -> Self {
        Self {
            time,
            experience: Experience::default(),
            trip: Trip::default(),
            done: Vec::new(),
            left: Vec::new(),
            at: None,
            engine_runs: false,
        }
    }
}

/// One topic of a plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stop {
    /// Which, by its place in [`Briefing::topics`].
    pub topic: usize,
    /// How deep.
    pub depth: Depth,
    /// Going there.
    pub walk: Time,
    /// When it begins, going there not counted, from the beginning of the plan.
    pub begins: Time,
    /// How long it takes.
    pub lasts: Time,
    /// Whether the engine is stopped when it is done.
    pub then_stop: bool,
}

/// A briefing in the time there is.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// What is gone through, in order.
    pub stops: Vec<Stop>,
    /// What is left to reading, by place in [`Briefing::topics`]; what weighs most comes first.
    pub reading: Vec<usize>,
    /// Topics that the crew should show and that are only told: by place in [`Briefing::topics`].
    pub only_told: Vec<usize>,
    /// All of it with the walking.
    pub total: Time,
    /// The walking.
    pub walk: Time,
    /// By how much it is too long: what must be in does not fit even in short.
    pub over: Time,
    /// How often the engine is started.
    pub starts: usize,
    /// Of the risk that going through everything in full would take away, the part that this takes away: 0 to 1.
    pub taken_away: f64,
    /// How far another choice could be better at most, as a part: 0 if none is. What must be shown counts more.
    pub gap: f64,
    /// The walking and starting could be shorter by no more than this.
    pub excess: Time,
}

/// What must be in and must be shown weighs so many times its risk: check-out asks for it all the same, when the time is
/// over. Judgement; at 1 two hours do not bring all of it, at 1000 a long talk takes hardly more risk away than a short one.
const FIRST: f64 = 8.0;
/// How often choosing and ordering take turns, so that the walking is counted in.
const TURNS: usize = 10;
/// The least by which a talk is cut that turned out too long.
const A_CUT: Time = Time::seconds(5.0);

impl Briefing<'_> {
    /// Plans a briefing. What must be in is always in, at least in short, whatever the time.
    pub fn plan(&self, ask: &Ask) -> Plan {
        let open: Vec<usize> = (0..self.topics.len()).filter(|at| is_open(ask, *at)).collect();
        let choices: Vec<Vec<Choice>> = open.iter().map(|at| self.choices(ask, *at)).collect();
        let needs = self.needs(ask, &open);
        let begin = Begin { at: ask.at, engine_runs: ask.engine_runs };
        let least = self.least(&open, &choices);
        let bare = self.lay(&open, &choices, &least, begin);
        if bare.total > ask.time {
            // Nothing else fits.
            return self.finish(ask, &open, &least, bare, 0.0);
        }
        let limit = choose(&choices, &needs, ask.time - bare.arranged.bound).map_or(0.0, |found| found.bound);
        let mut best = Best { value: value(&choices, &least), laid: bare, depths: least };
        let plain = choices.clone();
        let priced = self.with_detours(&open, &choices, &best.depths);
        for wished in [plain, priced] {
            self.better(ask, &open, &choices, &wished, &needs, &mut best);
        }
        let Best { value, laid, depths } = best;
        let gap = if limit > value { (limit - value) / limit } else { 0.0 };
        self.finish(ask, &open, &depths, laid, gap)
    }

    /// Looks for a better plan: how much talking there is time for is only known when the walk is, so the two take turns.
    /// `wished` are the choices with the times that they are chosen by.
    fn better(
        &self,
        ask: &Ask,
        open: &[usize],
        choices: &[Vec<Choice>],
        wished: &[Vec<Choice>],
        needs: &[Need],
        best: &mut Best,
    ) {
        let begin = Begin { at: ask.at, engine_runs: ask.engine_runs };
        // How much talking is known to fit, and how much more is known not to.
        let (mut fits, mut too_long) = (Time::ZERO, ask.time);
        let mut talk = ask.time - best.laid.walk;
        let mut cut = A_CUT;
        for _ in 0..TURNS {
            let Some(Chosen { depths, .. }) = choose(wished, needs, talk) else { break };
            let laid = self.lay(open, choices, &depths, begin);
            let slack = ask.time - laid.total;
            if slack >= Time::ZERO {
                fits = talk;
                talk = talk.max(ask.time - laid.walk);
                let value = value(choices, &depths);
                if value > best.value + 1e-9 {
                    *best = Best { value, laid, depths };
                }
                if talk <= fits || talk >= too_long {
                    talk = (fits + too_long) / 2.0;
                }
            } else {
                too_long = talk;
                talk = (talk + slack).min(talk - cut);
                cut = cut * 2.0;
                if talk <= fits {
                    talk = (fits + too_long) / 2.0;
                }
            }
            if too_long - fits < A_CUT {
                break;
            }
        }
    }

    /// The choices, with the way to a place where nothing must be told added to what is told there.
    fn with_detours(&self, open: &[usize], choices: &[Vec<Choice>], least: &[Depth]) -> Vec<Vec<Choice>> {
        let place = |at: usize| self.topics[open[at]].place;
        let visited: BTreeSet<PlaceId> =
            (0..open.len()).filter(|at| least[*at] > Depth::Reading).filter_map(place).collect();
        let detour = |to: PlaceId| -> Time {
            let ways = visited.iter().flat_map(|one| visited.iter().map(move |other| (*one, *other)));
            let longer = ways.map(|(one, other)| {
                self.between(one, to) + self.between(to, other) - self.between(one, other)
            });
            longer.reduce(Time::min).unwrap_or(Time::ZERO)
        };
        let mut priced = choices.to_vec();
        for (at, choices) in priced.iter_mut().enumerate() {
            let Some(to) = place(at).filter(|to| !visited.contains(to)) else { continue };
            for choice in choices.iter_mut().filter(|choice| choice.depth > Depth::Reading) {
                choice.takes += detour(to);
            }
        }
        priced
    }

    /// Whether a topic must be in: the file says so, or this trip does.
    pub fn is_always(&self, topic: usize, trip: Trip) -> bool {
        let topic = &self.topics[topic];
        topic.always.is_some() || trip.insists(&topic.about)
    }

    /// The depths that a topic can have, with the risk that each takes away against reading.
    fn choices(&self, ask: &Ask, at: usize) -> Vec<Choice> {
        let topic = &self.topics[at];
        let full = self.full(at);
        let depths = [Depth::Reading, Depth::Short, full];
        let left = |depth| topic.harm.left(ask.experience, depth) * ask.trip.meets(&topic.about);
        let reading = left(Depth::Reading);
        depths
            .into_iter()
            .filter(|depth| *depth != Depth::Reading || !self.is_always(at, ask.trip))
            .map(|depth| {
                let takes = match depth {
                    Depth::Reading => Time::ZERO,
                    Depth::Short => topic.short,
                    Depth::Told | Depth::Shown => topic.takes,
                };
                let gain = reading - left(depth);
                let first = depth == Depth::Shown && self.is_always(at, ask.trip);
                Choice { depth, takes, value: if first { FIRST * gain } else { gain } }
            })
            .collect()
    }

    /// The depth at which a topic is gone through in full.
    fn full(&self, topic: usize) -> Depth {
        if self.topics[topic].shown { Depth::Shown } else { Depth::Told }
    }

    fn needs(&self, ask: &Ask, open: &[usize]) -> Vec<Need> {
        let place = |topic: usize| open.iter().position(|at| *at == topic);
        let mut needs = Vec::new();
        for (topic, at) in open.iter().enumerate() {
            for other in &self.topics[*at].needs {
                let Some(other_at) = place(*other) else { continue };
                let starts =
                    self.topics[*at].engine == Engine::Runs && self.topics[*other].engine == Engine::Starts;
                let written = !starts;
                if written {
                    needs.push(Need { topic, from: Depth::Short, other: other_at, least: Depth::Short });
                } else if !ask.engine_runs {
                    needs.push(Need { topic, from: Depth::Shown, other: other_at, least: Depth::Shown });
                }
            }
        }
        needs
    }

    /// The shortest depths: what must be in is told in short, with what it needs.
    fn least(&self, open: &[usize], choices: &[Vec<Choice>]) -> Vec<Depth> {
        let mut depths: Vec<Depth> = choices
            .iter()
            .map(|choices| choices.iter().map(|choice| choice.depth).min().unwrap_or(Depth::Reading))
            .collect();
        let mut wanted: Vec<usize> = (0..open.len()).filter(|at| depths[*at] > Depth::Reading).collect();
        while let Some(at) = wanted.pop() {
            for other in &self.topics[open[at]].needs {
                if let Some(place) = open.iter().position(|topic| topic == other) {
                    if depths[place] == Depth::Reading {
                        depths[place] = Depth::Short;
                        wanted.push(place);
                    }
                }
            }
        }
        depths
    }

    /// Puts what was chosen in order and in time.
    fn lay(&self, open: &[usize], choices: &[Vec<Choice>], depths: &[Depth], begin: Begin) -> Laid {
        let chosen: Vec<(usize, Depth)> = open
            .iter()
            .zip(depths)
            .filter(|(_, depth)| **depth > Depth::Reading)
            .map(|(topic, depth)| (*topic, *depth))
            .collect();
        let arranged = self.arrange(&chosen, begin);
        let mut laid = Laid { stops: Vec::new(), total: Time::ZERO, walk: Time::ZERO, starts: 0, arranged };
        let (mut at, mut runs) = (begin.at, begin.engine_runs);
        for topic in laid.arranged.topics.clone() {
            let place = open.iter().position(|open| *open == topic).unwrap_or_default();
            let depth = depths[place];
            let takes = choices[place].iter().find(|choice| choice.depth == depth).map(|choice| choice.takes);
            let lasts = takes.unwrap_or(Time::ZERO);
            let walk = self.way(at, topic);
            let engine = self.engine_at(topic, depth);
            let wants = matches!(engine, Engine::Starts | Engine::Runs);
            if wants && !runs {
                laid.starts += 1;
            }
            if !wants && runs {
                if let Some(last) = laid.stops.last_mut() {
                    let last: &mut Stop = last;
                    last.then_stop = true;
                }
            }
            runs = wants;
            at = self.topics[topic].place.or(at);
            laid.walk += walk;
            laid.total += walk;
            laid.stops.push(Stop { topic, depth, walk, begins: laid.total, lasts, then_stop: false });
            laid.total += lasts;
        }
        if let Some(last) = laid.stops.last_mut().filter(|_| runs) {
            last.then_stop = true;
        }
        laid
    }

    fn finish(&self, ask: &Ask, open: &[usize], depths: &[Depth], laid: Laid, gap: f64) -> Plan {
        let left = |at: usize, depth| {
            self.topics[at].harm.left(ask.experience, depth) * ask.trip.meets(&self.topics[at].about)
        };
        let gain = |at: usize, depth| left(at, Depth::Reading) - left(at, depth);
        let all: f64 = open.iter().map(|at| gain(*at, self.full(*at))).sum();
        let got: f64 = open.iter().zip(depths).map(|(at, depth)| gain(*at, *depth)).sum();
        let part = |value: f64| if all > 0.0 { (value / all).min(1.0) } else { 1.0 };
        let mut reading: Vec<usize> = open
            .iter()
            .zip(depths)
            .filter(|(_, depth)| **depth == Depth::Reading)
            .map(|(at, _)| *at)
            .collect();
        reading.sort_by(|a, b| left(*b, Depth::Reading).total_cmp(&left(*a, Depth::Reading)).then(a.cmp(b)));
        let only_told =
            laid.stops.iter().filter(|stop| self.topics[stop.topic].shown && stop.depth < Depth::Shown);
        let only_told = only_told.map(|stop| stop.topic).collect();
        Plan {
            reading,
            only_told,
            over: if laid.total > ask.time { laid.total - ask.time } else { Time::ZERO },
            total: laid.total,
            walk: laid.walk,
            starts: laid.starts,
            taken_away: part(got),
            gap,
            excess: laid.arranged.excess,
            stops: laid.stops,
        }
    }
}

/// Whether a topic is still to be planned: not done, or told only though it must be shown.
fn is_open(ask: &Ask, topic: usize) -> bool {
    let deepest = ask.done.iter().filter(|(done, _)| *done == topic).map(|(_, depth)| *depth).max();
    !ask.left.contains(&topic) && deepest.is_none_or(|depth| depth == Depth::Reading)
}

fn value(choices: &[Vec<Choice>], depths: &[Depth]) -> f64 {
    let one = |(choices, depth): (&Vec<Choice>, &Depth)| {
        choices.iter().find(|choice| choice.depth == *depth).map_or(0.0, |choice| choice.value)
    };
    choices.iter().zip(depths).map(one).sum()
}

/// The best plan found.
struct Best {
    value: f64,
    laid: Laid,
    depths: Vec<Depth>,
}

/// Topics in order and in time.
struct Laid {
    stops: Vec<Stop>,
    total: Time,
    walk: Time,
    starts: usize,
    arranged: Arranged,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::choose::tests::solved;
    use crate::{Given, played};

    /// Whimbrel's choice, for several crews and times, against an exact solver of integer programs.
    #[test]
    fn the_choice_for_whimbrel_is_that_of_an_exact_solver() {
        let text = include_str!("../../../demo/whimbrel.toml");
        let boat = boat::compile("whimbrel.toml", text).boat.expect("the demo boat is sound");
        let model = operate::Model::new(&boat);
        let played = played(&model, &operate::all_slips(&model, operate::Use::Read));
        let briefing = Briefing::new(&boat, &Given { played: &played, ..Given::default() });
        let mut chosen = 0;
        for minutes in [20.0, 27.0, 45.0, 61.0, 85.0, 140.0] {
            for experience in Experience::ALL {
                let ask = Ask { experience, ..Ask::new(Time::minutes(minutes)) };
                let open: Vec<usize> = (0..briefing.topics.len()).collect();
                let choices: Vec<Vec<Choice>> = open.iter().map(|at| briefing.choices(&ask, *at)).collect();
                let needs = briefing.needs(&ask, &open);
                let found = choose(&choices, &needs, ask.time).map(|found| found.value);
                match (solved(&choices, &needs, ask.time), found) {
                    (None, None) => {}
                    (Some(best), Some(found)) => {
                        chosen += 1;
                        assert!((found - best).abs() < 1e-6 * best, "{minutes} min: {found} against {best}");
                    }
                    (best, found) => panic!("{minutes} min: {found:?} against {best:?}"),
                }
            }
        }
        assert!(chosen >= 15, "{chosen}");
    }
}
