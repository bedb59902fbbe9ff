//! What is advised at anchor, as data and in words.

use quantity::{Force, Length, Ratio, System};

use super::cautions::{CAUTIONS, Caution, HOLDING_UNKNOWN, OVERLAP};
use super::finding::{Finding, whole_up};
use super::rode::Lie;
use super::scope::{Conditions, Rule};
use super::wind::Drag;

/// Whether the rode aboard is enough.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Enough {
    /// It is, with at least this much left aboard.
    Yes {
        /// What stays aboard.
        left: Length,
    },
    /// It is not.
    Short {
        /// What is missing.
        by: Length,
    },
    /// Nobody can tell, since a length is not known.
    Unknown,
}

/// What the wind pulls, both ways side by side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loads {
    /// By the table, in proportion between its rows; none if she is longer than the table.
    pub table: Option<Force>,
    /// By the table, with the next larger row, as worked examples take it.
    pub table_next_row: Option<Force>,
    /// By the drag formula; none if neither windage nor beam and freeboard are known.
    pub drag: Option<Drag>,
    /// What the advice plans with: the larger of `table` and `drag`.
    pub planned: Option<Force>,
}

/// How far she swings around her anchor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swing {
    /// From the anchor to below the bow under the planned load; none if it cannot be worked out.
    pub reach_at_load: Option<Length>,
    /// From the anchor to below the bow with the rode pulled straight, the most that it can be.
    pub straight_reach: Length,
    /// Circle to keep clear: straight reach, the boat's length and the margin.
    pub radius: Length,
}

/// What a crew is advised.
#[derive(Debug, Clone, PartialEq)]
pub struct Advice {
    /// From the bottom to the bow roller at the highest water.
    pub height: Length,
    /// What the advice plans for.
    pub conditions: Conditions,
    /// Every rule that was asked, with its figure and source.
    pub rules: Vec<Rule>,
    /// The rode to let out: the largest of the rules.
    pub let_out: Length,
    /// Whether there is enough aboard.
    pub enough: Enough,
    /// The rode that the figures below are of: `let_out`, or all that is aboard if that is less.
    pub rode: Length,
    /// `rode` over `height`.
    pub scope: Ratio,
    /// What the wind pulls.
    pub loads: Loads,
    /// How the rode lies at the highest water under the planned load; none if something is not known or the
    /// rode does not reach the bottom.
    pub lie: Option<Lie>,
    /// The load at which the last link leaves the bottom at the highest water; none as with `lie`.
    pub lifting_load: Option<Force>,
    /// The swing at the lowest water, when the rode lies flattest; none if the rode does not reach.
    pub swing_low: Option<Swing>,
    /// The swing at the highest water; none if the rode does not reach the bottom.
    pub swing_high: Option<Swing>,
    /// What is wrong or must be known here, the worst first.
    pub findings: Vec<Finding>,
    /// What the figures rest on, full sentences.
    pub assumptions: Vec<String>,
}

impl Advice {
    /// What is missing aboard, if it is known to be short.
    pub const fn short_by(&self) -> Option<Length> {
        match self.enough {
            Enough::Short { by } => Some(by),
            Enough::Yes { .. } | Enough::Unknown => None,
        }
    }

    /// Whether the rode pulls the anchor upward under the planned load, if it is known.
    pub fn lifts(&self) -> Option<bool> {
        self.lie.map(|lie| lie.lifts)
    }

    /// The rules that the rode aboard meets, where it is short of the largest.
    pub fn met_rules(&self) -> impl Iterator<Item = &Rule> {
        self.rules.iter().filter(|rule| rule.length <= self.rode)
    }

    /// The cautions that hold for every anchor, in the order in which things happen.
    pub const fn cautions(&self) -> &'static [Caution] {
        &CAUTIONS
    }

    /// Says it all, in full sentences: what to let out, what was found, and how she swings.
    pub fn say(&self, system: System) -> Vec<String> {
        let mut said = vec![format!(
            "Let out {} of rode. From the bottom to the bow roller it will be {} at the highest water.",
            whole_up(self.let_out, system),
            self.height.display(system)
        )];
        said.extend(self.findings.iter().map(|finding| finding.say(system)));
        if self.short_by().is_some() && self.rode > self.height {
            said.extend(self.met_rules().map(|rule| {
                let Rule { name, source, .. } = rule;
                format!("The rode aboard does meet a less cautious rule: {name} ({source}).")
            }));
        }
        said.push(HOLDING_UNKNOWN.to_owned());
        if let (Some(low), Some(high)) = (self.swing_low, self.swing_high) {
            said.push(format!(
                "Keep a circle around the anchor clear, with a radius of {} at the lowest water and {} at \
                 the highest.",
                whole_up(low.radius, system),
                whole_up(high.radius, system)
            ));
            said.extend(OVERLAP.map(str::to_owned));
        }
        said
    }
}
