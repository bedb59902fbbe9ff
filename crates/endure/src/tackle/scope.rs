//! How much rode the rules of the trade ask for.

use quantity::{Angle, Force, Length, Ratio, Speed};

use super::weight::ChainWeight;
use crate::cable::{Fault, above_zero, number, zero_or_more};

/// The steepest pull at which an anchor still bites: about 8°. Source: a magazine, as in
/// `reference/trade-facts.md` section 10.
pub const STEEPEST_PULL: Angle = Angle::degrees(8.0);
/// The least chain between rope and anchor: 20 ft. Source: an insurer's note, same section.
pub const LEAST_CHAIN_BEFORE_ROPE: Length = Length::feet(20.0);

/// Weather to plan for: the worst through the stay, not that of now.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Conditions {
    /// Up to 10 knots (Beaufort 3) in shelter.
    Calm,
    /// Up to 21 knots (Beaufort 5).
    Usual,
    /// More wind, or swell.
    Heavy,
}

impl Conditions {
    /// Takes the conditions from the wind. The bounds are common practice, at steps of the Beaufort scale.
    pub fn from_wind(wind: Speed) -> Self {
        if wind <= Speed::knots(10.0) {
            Self::Calm
        } else if wind <= Speed::knots(21.0) {
            Self::Usual
        } else {
            Self::Heavy
        }
    }

    /// The wanted scope: 5, 7 or 10. Source: several texts, `reference/trade-facts.md` section 10.
    pub const fn wanted_scope(self) -> Ratio {
        Ratio::plain(match self {
            Self::Calm => 5.0,
            Self::Usual => 7.0,
            Self::Heavy => 10.0,
        })
    }
}

/// What the rode is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum RodeKind {
    /// Chain alone.
    AllChain,
    /// Chain and rope, or rope alone.
    ChainAndRope,
}

/// One rule, what it asks for, and where it is from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// The rule in a few words: "7 times depth and bow height".
    pub name: &'static str,
    /// The rode that it asks for.
    pub length: Length,
    /// Who says so.
    pub source: &'static str,
}

/// Returns the scope: rode over depth, rise of tide still to come and bow height.
pub fn scope(rode: Length, depth: Length, rise: Length, bow_height: Length) -> Result<Ratio, Fault> {
    zero_or_more("The rode let out", rode.as_metres(), rode)?;
    Ok(Ratio::plain(rode / height(depth, rise, bow_height)?))
}

/// Returns the height from the bottom to the bow roller, once the tide has risen.
pub fn height(depth: Length, rise: Length, bow_height: Length) -> Result<Length, Fault> {
    above_zero("The depth", depth.as_metres(), depth)?;
    zero_or_more("The rise of tide still to come", rise.as_metres(), rise)?;
    zero_or_more("The height of the bow roller", bow_height.as_metres(), bow_height)?;
    Ok(depth + rise + bow_height)
}

/// Returns the scope at which a straight rode pulls at an angle: 1 over its sine.
pub fn straight_scope(angle: Angle) -> Result<Ratio, Fault> {
    number("The angle", angle.as_degrees())?;
    above_zero("The angle", angle.as_degrees(), angle)?;
    Ok(Ratio::plain(1.0 / libm::sin(angle.as_radians())))
}

/// Returns all rules for a rode over the greatest depth, each with what it asks for.
///
/// `height` is from the bottom to the bow roller at that depth. The rules differ; the largest is the most
/// cautious.
pub fn rules(kind: RodeKind, conditions: Conditions, depth: Length, height: Length) -> Vec<Rule> {
    let ratio = Rule {
        name: match conditions {
            Conditions::Calm => "5 times depth and bow height together",
            Conditions::Usual => "7 times depth and bow height together",
            Conditions::Heavy => "10 times depth and bow height together",
        },
        length: height * conditions.wanted_scope(),
        source: "training texts",
    };
    let mut rules = vec![ratio];
    match kind {
        RodeKind::AllChain => rules.extend(chain_rules(conditions, depth)),
        RodeKind::ChainAndRope => rules.push(Rule {
            name: "6 times the depth",
            length: depth * 6.0,
            source: "UK sailing association, for chain and rope",
        }),
    }
    rules
}

fn chain_rules(conditions: Conditions, depth: Length) -> [Rule; 3] {
    let strong = conditions == Conditions::Heavy;
    [
        Rule {
            name: "4 times the depth",
            length: depth * 4.0,
            source: "UK sailing association, for \
            chain",
        },
        Rule {
            name: "3 times the depth and 10 m",
            length: depth * 3.0 + Length::metres(10.0),
            source: "club guide, for chain",
        },
        Rule {
            name: if strong { "2 times the depth and 25 m" } else { "2 times the depth and 15 m" },
            length: depth * 2.0 + Length::metres(if strong { 25.0 } else { 15.0 }),
            source: "an author on anchoring, for chain",
        },
    ]
}

/// Returns the least rode whose pull at the anchor is no steeper than `angle`, under a horizontal load.
///
/// `chain` is what there is of it, next to the anchor, and rope follows; with no end of it given, all is
/// chain. A heavier load asks for more, up to [`straight_scope`] times the height.
pub fn rode_for_pull(
    chain: Option<Length>,
    weight: ChainWeight,
    height: Length,
    load: Force,
    angle: Angle,
) -> Result<Length, Fault> {
    above_zero("The height from the bottom to the bow roller", height.as_metres(), height)?;
    above_zero("The load", load.as_newtons(), load)?;
    above_zero("The angle", angle.as_degrees(), angle)?;
    let (weight, load, height) = (weight.check()?.newtons_per_metre(), load.as_newtons(), height.as_metres());
    let slope = libm::tan(angle.as_radians());
    let secant = |slope: f64| libm::hypot(1.0, slope);
    // All chain: the catenary that starts at this slope and rises to the height.
    let top = secant(slope) + height * weight / load;
    let all_chain = load / weight * (((top - 1.0) * (top + 1.0)).sqrt() - slope);
    let Some(chain) = chain else { return Ok(Length::metres(all_chain)) };
    zero_or_more("The length of the chain", chain.as_metres(), chain)?;
    let chain = chain.as_metres();
    if all_chain <= chain {
        return Ok(Length::metres(all_chain));
    }
    // Too little chain: it all hangs, and rope makes up what is left of the height.
    let steeper = slope + weight * chain / load;
    let chain_rises = chain * (slope + steeper) / (secant(slope) + secant(steeper));
    Ok(Length::metres(chain + (height - chain_rises) * secant(steeper) / steeper))
}
