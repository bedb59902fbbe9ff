//! The advice for one berth: rules, loads, how the rode lies, and the swing.

use quantity::{Force, Length, Ratio};

use super::advice::{Advice, Enough, Loads, Swing};
use super::boat::{Berth, Hull};
use super::finding::Finding;
use super::rode::{Lie, Rode, straight_reach};
use super::scope::{
    Conditions, LEAST_CHAIN_BEFORE_ROPE, RodeKind, Rule, STEEPEST_PULL, height, rode_for_pull, rules,
};
use super::weight::ChainWeight;
use super::wind::{Rows, TABLE_ASSUMES, drag_load, is_beamier_than_table, table_load};
use crate::cable::{Fault, above_zero, zero_or_more};

/// The least pull that a rode is reckoned with, in a flat calm.
const BREATH: Force = Force::newtons(1.0);

/// What a boat has to anchor with. What is not known stays unknown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tackle {
    /// The chain, next to the anchor. Zero if there is none.
    pub chain: Option<Length>,
    /// What the chain weighs.
    pub chain_weight: Option<ChainWeight>,
    /// The rope, between chain and bow. Zero if there is none. Its weight and stretch are left out.
    pub rope: Option<Length>,
    /// From the water to the bow roller.
    pub bow_height: Length,
}

impl Tackle {
    /// Returns what to let out at a berth, whether it is enough, and what it then bears.
    pub fn advise(&self, hull: &Hull, berth: &Berth) -> Result<Advice, Fault> {
        self.check()?;
        hull.check()?;
        check_berth(berth)?;
        let height = height(berth.depth, berth.rise, self.bow_height)?;
        let low_height = berth.depth - berth.fall + self.bow_height;
        let loads = loads(hull, berth)?;
        let by_wind = Conditions::from_wind(berth.wind);
        let conditions = berth.conditions.map_or(by_wind, |stated| stated.max(by_wind));
        let rules = self.rules(conditions, berth.depth + berth.rise, height, &loads)?;
        let let_out = rules.iter().map(|rule| rule.length).fold(Length::ZERO, Length::max);
        let enough = self.enough(let_out);
        let rode = if let Enough::Short { by } = enough { let_out - by } else { let_out };
        let out = self.rode_of(rode)?.filter(|_| rode > height);
        let lie = lie(out.as_ref(), height, &loads)?;
        let lifting_load = out.map(|out| out.lifting_load(height)).transpose()?;
        let swing = |over| swing(out.as_ref(), rode, over, &loads, hull, berth);
        let (swing_low, swing_high) = (swing(low_height)?, swing(height)?);
        let mut advice = Advice {
            height,
            conditions,
            rules,
            let_out,
            enough,
            rode,
            scope: Ratio::plain(rode / height),
            loads,
            lie,
            lifting_load,
            swing_low,
            swing_high,
            findings: Vec::new(),
            assumptions: Vec::new(),
        };
        advice.findings = self.findings(&advice, hull, berth);
        advice.assumptions = assumptions(&advice);
        Ok(advice)
    }

    fn check(&self) -> Result<(), Fault> {
        zero_or_more("The height of the bow roller", self.bow_height.as_metres(), self.bow_height)?;
        for (what, length) in [("The length of the chain", self.chain), ("The length of the rope", self.rope)]
        {
            if let Some(length) = length {
                zero_or_more(what, length.as_metres(), length)?;
            }
        }
        self.chain_weight.map(ChainWeight::check).transpose()?;
        if let (Some(chain), Some(rope)) = (self.chain, self.rope) {
            let aboard = chain + rope;
            above_zero("The rode aboard", aboard.as_metres(), aboard)?;
        }
        Ok(())
    }

    /// Chain alone only if it is known that there is no rope.
    fn kind(&self) -> RodeKind {
        let no_rope = self.rope.is_some_and(|rope| rope <= Length::ZERO);
        if no_rope { RodeKind::AllChain } else { RodeKind::ChainAndRope }
    }

    fn rules(
        &self,
        conditions: Conditions,
        depth: Length,
        height: Length,
        loads: &Loads,
    ) -> Result<Vec<Rule>, Fault> {
        let mut all = rules(self.kind(), conditions, depth, height);
        let load = loads.planned.map(|load| load.max(BREATH));
        if let (Some(load), Some(weight)) = (load, self.chain_weight) {
            let chain = if self.kind() == RodeKind::AllChain { Some(None) } else { self.chain.map(Some) };
            if let Some(chain) = chain {
                all.push(Rule {
                    name: "a pull at the anchor no steeper than 8°",
                    length: rode_for_pull(chain, weight, height, load, STEEPEST_PULL)?,
                    source: "magazine, and the catenary",
                });
            }
        }
        Ok(all)
    }

    fn enough(&self, let_out: Length) -> Enough {
        let known = self.chain.unwrap_or(Length::ZERO) + self.rope.unwrap_or(Length::ZERO);
        if known >= let_out {
            Enough::Yes { left: known - let_out }
        } else if self.chain.is_some() && self.rope.is_some() {
            Enough::Short { by: let_out - known }
        } else {
            Enough::Unknown
        }
    }

    /// What some rode is made of; none if that is not known.
    fn rode_of(&self, length: Length) -> Result<Option<Rode>, Fault> {
        let Some(chain) = self.chain else { return Ok(None) };
        let chain = chain.min(length);
        let rope = length - chain;
        if rope > self.rope.unwrap_or(Length::ZERO) {
            return Ok(None);
        }
        if chain <= Length::ZERO {
            return Rode::of_rope(rope).map(Some);
        }
        self.chain_weight.map(|weight| Rode::of_both(chain, weight, rope)).transpose()
    }

    fn findings(&self, advice: &Advice, hull: &Hull, berth: &Berth) -> Vec<Finding> {
        let mut found = Vec::new();
        let depth = berth.depth - berth.fall;
        if let Some(draught) = hull.draught.filter(|draught| *draught >= depth) {
            found.push(Finding::Touches { depth, draught });
        }
        if let Enough::Short { by } = advice.enough {
            let aboard = advice.rode;
            found.push(if aboard > advice.height {
                Finding::RodeShort { aboard, by }
            } else {
                Finding::DoesNotReach { aboard, height: advice.height }
            });
        }
        if let (Some(lie), Some(load)) = (advice.lie.filter(|lie| lie.lifts), advice.loads.planned) {
            let angle = lie.anchor_angle;
            // The rule for 8° is met by its own rode but for rounding.
            let is_too_steep = angle > STEEPEST_PULL * (1.0 + 1e-9);
            found.push(Finding::PullsUp { load, angle, is_too_steep });
        }
        if let Some(chain) = self.chain.filter(|chain| *chain < LEAST_CHAIN_BEFORE_ROPE) {
            if self.kind() == RodeKind::ChainAndRope {
                found.push(Finding::LittleChain { chain });
            }
        }
        if advice.enough == Enough::Unknown {
            found.push(Finding::RodeUnknown);
        }
        let reaches = advice.rode > advice.height;
        if advice.loads.planned.is_none() {
            found.push(Finding::LoadUnknown);
        } else if advice.lie.is_none() && reaches {
            found.push(Finding::LieUnknown);
        }
        if advice.loads.table.is_some() && is_beamier_than_table(hull) {
            found.push(Finding::BeamierThanTable);
        }
        match hull.draught {
            None => found.push(Finding::DraughtUnknown { depth }),
            Some(draught) if draught < depth => found.push(Finding::UnderKeel { water: depth - draught }),
            Some(_) => {}
        }
        found.push(berth.bottom.map_or(Finding::BottomUnknown, Finding::OnBottom));
        found
    }
}

fn check_berth(berth: &Berth) -> Result<(), Fault> {
    above_zero("The depth", berth.depth.as_metres(), berth.depth)?;
    zero_or_more("The rise of tide still to come", berth.rise.as_metres(), berth.rise)?;
    zero_or_more("The fall of tide still to come", berth.fall.as_metres(), berth.fall)?;
    zero_or_more("The wind", berth.wind.as_knots(), berth.wind)?;
    zero_or_more("The margin", berth.margin.as_metres(), berth.margin)?;
    if berth.fall < berth.depth {
        return Ok(());
    }
    let most = format!("less than the depth of {}, or the berth dries", berth.depth);
    Err(Fault::TooLarge { what: "The fall of tide still to come", found: berth.fall.to_string(), most })
}

fn loads(hull: &Hull, berth: &Berth) -> Result<Loads, Fault> {
    let table = table_load(hull, berth.wind, Rows::Between)?;
    let drag = drag_load(hull, berth.wind)?;
    let planned = table.into_iter().chain(drag.map(|drag| drag.load)).reduce(Force::max);
    Ok(Loads { table, table_next_row: table_load(hull, berth.wind, Rows::NextUp)?, drag, planned })
}

fn lie(out: Option<&Rode>, height: Length, loads: &Loads) -> Result<Option<Lie>, Fault> {
    match (out, loads.planned) {
        (Some(out), Some(load)) => out.lie(height, load.max(BREATH)).map(Some),
        _ => Ok(None),
    }
}

fn swing(
    out: Option<&Rode>,
    rode: Length,
    height: Length,
    loads: &Loads,
    hull: &Hull,
    berth: &Berth,
) -> Result<Option<Swing>, Fault> {
    if rode <= height {
        return Ok(None);
    }
    let straight_reach = straight_reach(rode, height)?;
    let reach_at_load = lie(out, height, loads)?.map(|lie| lie.reach);
    let radius = straight_reach + hull.length + berth.margin;
    Ok(Some(Swing { reach_at_load, straight_reach, radius }))
}

fn assumptions(advice: &Advice) -> Vec<String> {
    let mut said = vec![
        "Depth and tide are as given. Chart, forecast and sounder may all be off.".to_owned(),
        "The wind is the strongest through the stay, gusts too. Seas, current and shock come on top."
            .to_owned(),
        "The bottom is level. The chain is steel in sea water. Rope weighs nothing in water and does not \
         stretch."
            .to_owned(),
        "The rode lies in one line, and the anchor does not move. The swing is with the rode pulled \
         straight, from the anchor to the stern."
            .to_owned(),
    ];
    if advice.loads.table.is_some() {
        said.push(TABLE_ASSUMES.to_owned());
    }
    if advice.loads.drag.is_some_and(|drag| drag.is_estimate) {
        said.push(
            "The drag formula uses a rough estimate of the area that the wind meets, from length, beam and \
             freeboard."
                .to_owned(),
        );
    }
    said
}
