//! Counting: how many of a thing are aboard, in date, without a date, expired.

use boat::model::Gear;
use jiff::civil::Date;

use crate::aboard::{Carried, Fact, Vessel};
use crate::authority::Authority;
use crate::check::{Inquiry, Need, Use, UseState};
use crate::requirement::Asked;

/// What is aboard, with how many pieces are left to count as each thing.
///
/// A piece that counts as two different things may serve for both, as a lifebuoy and its light do; as one thing it
/// counts once.
pub(crate) struct Stock<'a> {
    lines: &'a [Carried],
    last: Date,
    authority: &'a Authority,
    taken: Vec<(usize, Gear, u32)>,
}

/// How many are asked for at least and at most, while something is not said, with what that is.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Number {
    pub(crate) least: u32,
    pub(crate) most: Option<u32>,
    pub(crate) unsaid: Vec<String>,
}

impl<'a> Stock<'a> {
    pub(crate) fn new(authority: &'a Authority, inquiry: &'a Inquiry) -> Self {
        Self { lines: &inquiry.aboard, last: inquiry.dates.last(), authority, taken: Vec::new() }
    }

    /// Whether a piece may be used through the last day, as far as is known.
    pub(crate) fn state(&self, line: &Carried, gear: Gear) -> UseState {
        match line.expires {
            // The boat file's day is the last on which it may be used.
            Some(day) if day < self.last => UseState::Expired,
            None if self.authority.lives_of(&[gear]).any(|life| life.needs_date) => UseState::Undated,
            Some(_) | None => UseState::InDate,
        }
    }

    /// Counts what is aboard of what is asked, and takes as many as are needed.
    pub(crate) fn take(&mut self, asked: &Asked, number: &Number) -> Need {
        let mut need = Need::nothing(&asked.one_of, number);
        let mut wanted = number.most.unwrap_or(number.least);
        let mut smoke = asked.most_smoke.unwrap_or(u32::MAX);
        for (at, gear, state) in self.counting(&asked.one_of) {
            let line = &self.lines[at];
            let mut count = line.count.saturating_sub(self.taken(at, gear));
            need.aboard += count;
            if gear == Gear::FlareSmoke {
                count = count.min(smoke);
                smoke -= count;
            }
            match state {
                UseState::InDate => need.in_date += count,
                UseState::Undated => need.undated += count,
                UseState::Expired => need.expired += count,
            }
            let take = count.min(wanted);
            wanted -= take;
            self.taken.push((at, gear, take));
            need.uses.push(Use::of(line, state));
        }
        need.missing = need.short();
        need
    }

    /// The lines that count as any of these, each once: those in date first, then in the order of what is asked for.
    fn counting(&self, one_of: &[Gear]) -> Vec<(usize, Gear, UseState)> {
        let first = |line: &Carried| one_of.iter().position(|gear| line.counts_as.contains(gear));
        let mut found: Vec<(UseState, usize, usize)> = self
            .lines
            .iter()
            .enumerate()
            .filter_map(|(at, line)| first(line).map(|gear| (self.state(line, one_of[gear]), gear, at)))
            .collect();
        found.sort_unstable();
        found.into_iter().map(|(state, gear, at)| (at, one_of[gear], state)).collect()
    }

    /// Whether any of these is aboard and may be used, for all that is known.
    pub(crate) fn has(&self, gear: &[Gear]) -> bool {
        let usable = |line: &&Carried, gear: Gear| {
            line.count > 0 && line.counts_as.contains(&gear) && self.state(line, gear) == UseState::InDate
        };
        gear.iter().any(|gear| self.lines.iter().any(|line| usable(&line, *gear)))
    }

    fn taken(&self, at: usize, gear: Gear) -> u32 {
        self.taken
            .iter()
            .filter(|(line, as_what, _)| *line == at && *as_what == gear)
            .map(|(_, _, count)| count)
            .sum()
    }
}

impl Number {
    /// How many are asked for of a boat with her crew.
    pub(crate) fn of(asked: &Asked, inquiry: &Inquiry) -> Self {
        let vessel: &Vessel = &inquiry.vessel;
        if asked.per_person {
            return Self::just(inquiry.crew.persons());
        }
        if asked.per_entrance {
            return match vessel.entrances {
                Some(count) => Self::just(count),
                None => Self {
                    least: 1,
                    most: None,
                    unsaid: vec![
                        "how many entrances there are to spaces with a fuel-burning appliance, to sleeping spaces and to \
                         the machinery space"
                            .to_owned(),
                    ],
                },
            };
        }
        let mut number = Self::just(asked.count);
        for add in &asked.add {
            match vessel.says(add.fact) {
                Some(true) => {
                    number.least += add.count;
                    number.most = number.most.map(|most| most + add.count);
                }
                Some(false) => {}
                None => {
                    number.most = number.most.map(|most| most + add.count);
                    number.unsaid.push(Fact::words(add.fact).to_owned());
                }
            }
        }
        number
    }

    pub(crate) fn just(count: u32) -> Self {
        Self { least: count, most: Some(count), unsaid: Vec::new() }
    }
}
