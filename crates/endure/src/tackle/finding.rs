//! What the advice found at this berth, as data and in words.

use quantity::{Angle, Force, Length, Mass, System};

use super::boat::Bottom;
use super::weight::GRAVITY;

/// Something that is wrong, or that must be known, at this berth.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Finding {
    /// All the rode aboard does not reach the bottom at the highest water.
    DoesNotReach {
        /// All that is aboard.
        aboard: Length,
        /// From the bottom to the bow roller.
        height: Length,
    },
    /// She touches the bottom at the lowest water.
    Touches {
        /// The depth then.
        depth: Length,
        /// What she draws.
        draught: Length,
    },
    /// The rode aboard is less than the rules ask for.
    RodeShort {
        /// All that is aboard.
        aboard: Length,
        /// What is missing.
        by: Length,
    },
    /// The rode pulls the anchor upward.
    PullsUp {
        /// The load that was planned with.
        load: Force,
        /// How steeply.
        angle: Angle,
        /// Whether it is steeper than an anchor bears.
        is_too_steep: bool,
    },
    /// There is rope, with less chain before it than there should be.
    LittleChain {
        /// The chain that there is.
        chain: Length,
    },
    /// A length of rode is not known, and it may not be enough.
    RodeUnknown,
    /// How the rode lies cannot be worked out, since the chain's length or weight is not known.
    LieUnknown,
    /// No way to work out the load is left.
    LoadUnknown,
    /// She is beamier than the table, so that its load may be too small.
    BeamierThanTable,
    /// The water that is left under her at the lowest.
    UnderKeel {
        /// That water.
        water: Length,
    },
    /// Nobody said what she draws.
    DraughtUnknown {
        /// The depth at the lowest water.
        depth: Length,
    },
    /// What to expect of the bottom.
    OnBottom(Bottom),
    /// Nobody said what the bottom is.
    BottomUnknown,
}

impl Finding {
    /// Says it in full sentences, with what to do.
    pub fn say(&self, system: System) -> String {
        match *self {
            Self::DoesNotReach { aboard, height } => format!(
                "The {} of rode aboard do not reach the bottom at the highest water, {} below the bow \
                 roller. Do not anchor here.",
                aboard.display(system),
                height.display(system)
            ),
            Self::Touches { depth, draught } => format!(
                "She touches the bottom. There are {} of water at the lowest, and she draws {}. Look for \
                 deeper water.",
                depth.display(system),
                draught.display(system)
            ),
            Self::RodeShort { aboard, by } => format!(
                "The {} of rode aboard are {} short of what the rules ask for. Look for shallower water \
                 or better shelter, or keep an anchor watch.",
                aboard.display(system),
                whole_up(by, system)
            ),
            Self::PullsUp { load, angle, is_too_steep } => pulls_up(load, angle, is_too_steep, system),
            Self::LittleChain { chain } => format!(
                "There are {} of chain between rope and anchor. At least 20 ft (6 m) are advised, since \
                 rope chafes on the bottom and pulls the anchor up.",
                chain.display(system)
            ),
            Self::UnderKeel { water } => format!(
                "There are {} of water under her at the lowest, if chart, tide and draught are right. \
                 Swell takes some of it.",
                water.display(system)
            ),
            Self::DraughtUnknown { depth } => format!(
                "What she draws is not known here. There are {} of water at the lowest: compare.",
                depth.display(system)
            ),
            Self::OnBottom(bottom) => bottom.advice().to_owned(),
            Self::RodeUnknown => RODE_UNKNOWN.to_owned(),
            Self::LieUnknown => LIE_UNKNOWN.to_owned(),
            Self::LoadUnknown => LOAD_UNKNOWN.to_owned(),
            Self::BeamierThanTable => BEAMIER_THAN_TABLE.to_owned(),
            Self::BottomUnknown => BOTTOM_UNKNOWN.to_owned(),
        }
    }
}

const RODE_UNKNOWN: &str = "How much chain and rope is aboard is not known, so nobody can say whether it is \
    enough. Ask the base, or measure it; do not guess.";
const LIE_UNKNOWN: &str = "Whether the rode pulls the anchor up cannot be worked out, since the length or \
    the weight of the chain is not known.";
const LOAD_UNKNOWN: &str = "What the wind pulls cannot be worked out: she is longer than the table, and her \
    windage is not known.";
const BEAMIER_THAN_TABLE: &str =
    "She is beamier than any boat in the load table. The load may be more than it says.";
const BOTTOM_UNKNOWN: &str = "What the bottom is here is not known. Read the chart, and look at what the \
    lead or the anchor brings up.";

/// A length for people, rounded up to whole metres or feet: a hair too much rode or room is harmless.
pub(crate) fn whole_up(length: Length, system: System) -> String {
    // A whole number that is off by a rounding stays that number.
    let up = |size: f64| (size * (1.0 - 1e-9)).ceil();
    let whole = match system {
        System::Metric => Length::metres(up(length.as_metres())),
        System::UsCustomary => Length::feet(up(length.as_feet())),
    };
    whole.display(system)
}

fn pulls_up(load: Force, angle: Angle, is_too_steep: bool, system: System) -> String {
    let pull = format!(
        "The strongest wind that is planned for pulls with {}, the weight of {}. Then the whole rode is \
         off the bottom, and pulls the anchor up by {:.1}°.",
        load.display(system),
        Mass::kilograms(load.as_newtons() / GRAVITY).display(system),
        angle.as_degrees()
    );
    if is_too_steep {
        format!("{pull} That is steeper than the 8° that an anchor bears: it may break out.")
    } else {
        format!("{pull} An anchor bears about 8°.")
    }
}
