//! Choosing how deep to go into each topic: the most risk taken away in the time there is.
//!
//! Each topic is left to reading, told in short, or gone through in full; each depth takes a time and takes away a risk:
//! a knapsack with one choice a topic, solved exactly by dynamic programming over the time in steps of five seconds.
//! That a topic needs another is put in by branching, so that the choice stays exact; if it is cut short, the bound
//! tells how much better another could be.
//!
//! # Source
//! Kellerer, Pferschy & Pisinger, Knapsack Problems (2004), chapter 11 (multiple-choice knapsack, dynamic programming).

use quantity::Time;

/// How deep a topic is gone into, from least.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Depth {
    /// The crew reads it by themselves.
    Reading,
    /// Its words are said, once, where it is.
    Short,
    /// It is told in full.
    Told,
    /// The crew does it.
    Shown,
}

impl Depth {
    /// All, from least.
    pub const ALL: [Self; 4] = [Self::Reading, Self::Short, Self::Told, Self::Shown];

    fn bit(self) -> u8 {
        1 << self as u8
    }
}

/// A depth that a topic can have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Choice {
    pub(crate) depth: Depth,
    /// How long it takes.
    pub(crate) takes: Time,
    /// The risk that it takes away.
    pub(crate) value: f64,
}

/// If the first topic goes to a depth or deeper, the second must go to another or deeper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Need {
    pub(crate) topic: usize,
    pub(crate) from: Depth,
    pub(crate) other: usize,
    pub(crate) least: Depth,
}

/// The depths chosen.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Chosen {
    pub(crate) depths: Vec<Depth>,
    pub(crate) value: f64,
    /// No choice takes more risk away.
    pub(crate) bound: f64,
}

/// The step of time.
const STEP: f64 = 5.0;
/// How often the choice is branched before it is cut short.
const BRANCHES: usize = 400;

/// Chooses a depth for each topic; `None` if even the shortest do not fit.
pub(crate) fn choose(topics: &[Vec<Choice>], needs: &[Need], time: Time) -> Option<Chosen> {
    if time < Time::ZERO {
        return None;
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some thousands of steps")]
    let room = (time.as_seconds() / STEP).floor() as usize;
    let rows: Vec<Vec<Option<(usize, f64)>>> = topics.iter().map(|choices| row(choices)).collect();
    let all = vec![0b1111_u8; topics.len()];
    let mut open = vec![solve(&rows, &all, room)?.with(all)];
    let mut best: Option<(Vec<Depth>, f64)> = None;
    let mut branches = 0;
    while let Some(at) = highest(&open) {
        let node = open.swap_remove(at);
        if best.as_ref().is_some_and(|(_, value)| node.value <= *value + 1e-9) {
            continue;
        }
        let broken = needs
            .iter()
            .find(|need| node.depths[need.topic] >= need.from && node.depths[need.other] < need.least);
        let Some(broken) = broken else {
            best = Some((node.depths, node.value));
            continue;
        };
        branches += 1;
        if branches > BRANCHES && best.is_some() {
            open.push(node);
            break;
        }
        let below = |depth: Depth| depth.bit() - 1;
        let mut shallow = node.masks.clone();
        shallow[broken.topic] &= below(broken.from);
        let mut deep = node.masks;
        deep[broken.other] &= !below(broken.least);
        for masks in [shallow, deep] {
            open.extend(solve(&rows, &masks, room).map(|found| found.with(masks)));
        }
    }
    let (depths, value) = best?;
    let bound = open.iter().map(|node| node.value).fold(value, f64::max);
    Some(Chosen { depths, value, bound })
}

struct Found {
    depths: Vec<Depth>,
    value: f64,
}

struct Node {
    masks: Vec<u8>,
    depths: Vec<Depth>,
    value: f64,
}

impl Found {
    fn with(self, masks: Vec<u8>) -> Node {
        Node { masks, depths: self.depths, value: self.value }
    }
}

fn highest(open: &[Node]) -> Option<usize> {
    (0..open.len()).max_by(|a, b| open[*a].value.total_cmp(&open[*b].value))
}

/// A topic's choices by depth: steps of time, rounded up, and value.
fn row(choices: &[Choice]) -> Vec<Option<(usize, f64)>> {
    let mut row = vec![None; Depth::ALL.len()];
    for choice in choices {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some hundreds of steps")]
        let steps = (choice.takes.as_seconds() / STEP).ceil() as usize;
        row[choice.depth as usize] = Some((steps, choice.value));
    }
    row
}

/// The best choice within the masks, needs left aside.
fn solve(rows: &[Vec<Option<(usize, f64)>>], masks: &[u8], room: usize) -> Option<Found> {
    const NONE: f64 = f64::NEG_INFINITY;
    let width = room + 1;
    let mut best = vec![0.0; width];
    let mut picks = vec![0_u8; rows.len() * width];
    for (at, row) in rows.iter().enumerate() {
        let mut next = vec![NONE; width];
        for depth in Depth::ALL.into_iter().filter(|depth| masks[at] & depth.bit() != 0) {
            let Some((steps, value)) = row[depth as usize] else { continue };
            for used in steps..width {
                let sum = best[used - steps] + value;
                if sum > next[used] {
                    next[used] = sum;
                    picks[at * width + used] = depth as u8;
                }
            }
        }
        best = next;
    }
    let value = best[room];
    if value == NONE {
        return None;
    }
    let mut depths = vec![Depth::Reading; rows.len()];
    let mut left = room;
    for at in (0..rows.len()).rev() {
        let depth = Depth::ALL[usize::from(picks[at * width + left])];
        depths[at] = depth;
        left -= rows[at][depth as usize].map_or(0, |(steps, _)| steps);
    }
    Some(Found { depths, value })
}

#[cfg(test)]
pub(crate) mod tests;
