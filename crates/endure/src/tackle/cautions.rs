//! What a crew is told about anchoring, in the order in which it happens.

/// When a caution matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Stage {
    /// Before the anchor is let go.
    Before,
    /// While the rode runs out.
    LettingGo,
    /// While the anchor is dug in.
    DiggingIn,
    /// As long as she lies there.
    Watching,
    /// While the anchor comes up.
    Raising,
}

/// A caution and when it matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Caution {
    /// When it matters.
    pub stage: Stage,
    /// The words, full sentences.
    pub text: &'static str,
}

const fn caution(stage: Stage, text: &'static str) -> Caution {
    Caution { stage, text }
}

/// What holds for every anchor, in the order in which it happens: common practice of training texts.
///
/// The base's own briefing, the maker's manual and local rules come first.
pub const CAUTIONS: [Caution; 15] = [
    caution(Stage::Before, "Read on the chart where anchoring is forbidden, and where cables lie."),
    caution(Stage::Before, "Make sure that the end of the rode is made fast on board."),
    caution(Stage::Before, "Keep swimmers out of the water until the engine is stopped."),
    caution(
        Stage::LettingGo,
        "Keep hands, feet, hair and clothing clear of the windlass and of the running chain.",
    ),
    caution(
        Stage::LettingGo,
        "Never stop a running chain with hand or foot, and never take a turn of it around either.",
    ),
    caution(Stage::DiggingIn, "Let the rode draw tight, then go astern gently, and only then harder."),
    caution(
        Stage::DiggingIn,
        "Hang a snubber, a stretchy line from the chain to a cleat, and let it take the load. A windlass \
         is not made to hold the boat.",
    ),
    caution(
        Stage::DiggingIn,
        "Take bearings of two pairs of marks ashore while she pulls. If they move, she drags: raise the \
         anchor and begin again.",
    ),
    caution(
        Stage::Watching,
        "Set the alarms for depth and position. Look at the bearings again when wind or tide turns.",
    ),
    caution(
        Stage::Watching,
        "Show the anchor light at night, and the ball by day, as the collision rules ask.",
    ),
    caution(
        Stage::Watching,
        "If the wind is to rise, let out more rode or leave before it does. Keep a watch on deck in \
         strong wind.",
    ),
    caution(Stage::Raising, "Start the engine first. Take the snubber off before the windlass hauls."),
    caution(Stage::Raising, "Motor up to the anchor. Do not let the windlass pull the boat."),
    caution(
        Stage::Raising,
        "If the anchor does not break out, make the chain fast on a cleat or stopper and let the boat \
         break it out, not the windlass.",
    ),
    caution(Stage::Raising, "Make the anchor fast at the bow before you get under way."),
];

/// What every crew should know about the boats around her.
pub const OVERLAP: [&str; 3] = [
    "Circles of boats that swing alike may overlap a little, since they swing together. Boats on chain \
     and boats on rope swing differently: keep their circles apart.",
    "In light wind, boats lie to the tide or to none, each her own way. Deep keels, motor boats and \
     multihulls do not turn together.",
    "Who anchored first may stay where she lies. Who came later moves.",
];

/// What nobody can work out beforehand.
pub const HOLDING_UNKNOWN: &str = "What the anchor holds here is not known. It depends on the bottom, and \
    on whether the anchor dug in. Only a hard pull astern, and bearings that stay, tell.";
