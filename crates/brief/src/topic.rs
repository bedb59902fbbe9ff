//! The topics of a boat's briefing.

use boat::model::{CautionId, ItemId, PlaceId, ProcedureId, Subject, TopicId};
use quantity::Time;

use crate::risk::Harm;

/// Where a topic comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Origin {
    /// The boat file writes it.
    Written(TopicId),
    /// A step list that no written topic teaches.
    StepList(ProcedureId),
    /// Cautions and never-states that no topic gives.
    Cautions,
    /// Things to find in an emergency, or that the law asks for, that no written topic points at.
    Find,
    /// An open defect.
    Defect,
    /// A line of a published list that no other topic is about.
    Line,
}

/// Why a topic is in every briefing, however short.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Always {
    /// The boat file says so.
    File,
    /// It must be found, or done, in an emergency.
    Emergency,
    /// It is about safety and not as it should be.
    Defect,
    /// A law, or a published list that is gone through line by line.
    Law,
}

/// How the engine must be for a topic to be shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Engine {
    /// It does not matter: nothing is worked.
    Either,
    /// It must not run.
    Stopped,
    /// It is started in showing it, and can run on.
    Starts,
    /// It must run.
    Runs,
}

/// One subject of a briefing.
#[derive(Debug, Clone, PartialEq)]
pub struct Topic {
    /// Its name in records, unlike any other's: that of the boat file, or one with a dot, such as `find.saloon`.
    pub key: String,
    /// The name for people.
    pub name: String,
    /// Where it comes from.
    pub origin: Origin,
    /// What to say; limits may stand in braces, as in the boat file.
    pub words: String,
    /// Where to stand.
    pub place: Option<PlaceId>,
    /// What to point at.
    pub items: Vec<ItemId>,
    /// The step lists that it teaches.
    pub procedures: Vec<ProcedureId>,
    /// The cautions that it gives.
    pub cautions: Vec<CautionId>,
    /// How long it takes in full.
    pub takes: Time,
    /// Whether `takes` is not in the boat file but taken from the number of words and steps.
    pub taken: bool,
    /// How long its words take, told in short. Never longer than `takes`.
    pub short: Time,
    /// Whether the crew must do it themselves, not only hear it.
    pub shown: bool,
    /// Why it is in every briefing, if it is.
    pub always: Option<Always>,
    /// What it is about.
    pub about: Vec<Subject>,
    /// How the engine must be.
    pub engine: Engine,
    /// Topics that come before it however deep one goes, by their place in [`Briefing::topics`]. With `shown_after`
    /// never in a circle.
    pub after: Vec<usize>,
    /// Topics that come before it if both are shown, by their place in [`Briefing::topics`].
    pub shown_after: Vec<usize>,
    /// Topics without which it can't be shown, by their place in [`Briefing::topics`]: some of those before it.
    pub needs: Vec<usize>,
    /// What goes wrong without it.
    pub(crate) harm: Harm,
}

/// Everything that a crew may be told of a boat.
#[derive(Debug, Clone, PartialEq)]
pub struct Briefing<'b> {
    pub(crate) boat: &'b boat::model::Boat,
    /// Those written in the boat file in its order, then those that follow from it.
    pub topics: Vec<Topic>,
}

impl Briefing<'_> {
    /// The topic of a name, by its place.
    pub fn find(&self, key: &str) -> Option<usize> {
        self.topics.iter().position(|topic| topic.key == key)
    }
}
