//! What may go overboard: where, how far from land, treated or not.

use quantity::Length;
use serde::{Deserialize, Serialize};

use crate::aboard::Waters;
use crate::authority::{Authority, Citation, Extent};
use crate::requirement::lengths;

/// What would go overboard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Waste {
    /// Sewage as it comes, from a toilet or a holding tank.
    SewageUntreated,
    /// Sewage that a device has comminuted (cut small) and disinfected.
    SewageComminuted,
    /// Sewage through an approved marine sanitation device.
    SewageTreated,
    /// Plastic of any kind.
    Plastic,
    /// Other garbage, not ground.
    Garbage,
    /// Garbage ground to under an inch.
    GarbageGround,
    /// Dunnage that floats.
    Dunnage,
    /// Oil and oily bilge water.
    Oil,
}

impl Waste {
    /// All kinds, in the order in which they are asked about.
    pub const ALL: [Self; 8] = [
        Self::SewageUntreated,
        Self::SewageComminuted,
        Self::SewageTreated,
        Self::Plastic,
        Self::Garbage,
        Self::GarbageGround,
        Self::Dunnage,
        Self::Oil,
    ];

    /// Its name in addresses and tables.
    pub const fn word(self) -> &'static str {
        match self {
            Self::SewageUntreated => "sewage_untreated",
            Self::SewageComminuted => "sewage_comminuted",
            Self::SewageTreated => "sewage_treated",
            Self::Plastic => "plastic",
            Self::Garbage => "garbage",
            Self::GarbageGround => "garbage_ground",
            Self::Dunnage => "dunnage",
            Self::Oil => "oil",
        }
    }

    /// The one of a name.
    pub fn find(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.word() == word)
    }

    /// The words for it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::SewageUntreated => "Untreated sewage",
            Self::SewageComminuted => "Sewage cut small and disinfected",
            Self::SewageTreated => "Sewage through an approved device",
            Self::Plastic => "Plastic",
            Self::Garbage => "Garbage",
            Self::GarbageGround => "Ground garbage",
            Self::Dunnage => "Floating dunnage",
            Self::Oil => "Oil and oily water",
        }
    }
}

impl ZoneKind {
    /// All kinds.
    pub const ALL: [Self; 4] =
        [Self::DesignatedSewageArea, Self::NoDischargeZone, Self::ClosedLake, Self::Narrow];

    /// Its name in addresses and tables.
    pub const fn word(self) -> &'static str {
        match self {
            Self::DesignatedSewageArea => "designated_sewage_area",
            Self::NoDischargeZone => "no_discharge_zone",
            Self::ClosedLake => "closed_lake",
            Self::Narrow => "narrow",
        }
    }

    /// The one of a name.
    pub fn find(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.word() == word)
    }

    /// The waters in which such a zone is asked about when nothing else is said.
    pub const fn waters(self) -> Waters {
        match self {
            Self::ClosedLake => Waters::Inland,
            Self::DesignatedSewageArea | Self::NoDischargeZone | Self::Narrow => Waters::Coastal,
        }
    }

    /// The words for it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::DesignatedSewageArea => "Designated sewage areas",
            Self::NoDischargeZone => "No-discharge zones",
            Self::ClosedLake => "Closed lakes and reservoirs",
            Self::Narrow => "Waters of less than 6 nautical miles from shore to shore",
        }
    }
}

/// Waters with rules of their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ZoneKind {
    /// A designated sewage area of Canada.
    DesignatedSewageArea,
    /// A no-discharge zone of the United States.
    NoDischargeZone,
    /// A closed lake or reservoir.
    ClosedLake,
    /// Less than 6 nautical miles from shore to shore.
    Narrow,
}

/// Places with rules of their own, as far as they are known.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Zone {
    /// Which rules.
    pub kind: ZoneKind,
    /// Where; never all of them.
    pub names: Vec<String>,
    /// How far the list goes.
    pub words: String,
    /// Where it comes from.
    #[serde(flatten)]
    pub citation: Citation,
}

/// What a rule says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// It may not go overboard.
    Forbidden,
    /// It may, if the conditions in the words are kept.
    Conditions,
    /// It is not known here: keep it aboard and ask.
    NotKnown,
}

/// A rule about what may go overboard. The first that fits a question answers it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Discharge {
    /// A short name, unlike any other's of the authority.
    pub id: String,
    /// What it is about.
    pub what: Waste,
    /// Only in these waters; anywhere if empty.
    #[serde(default)]
    pub waters: Vec<Waters>,
    /// Only in such a zone.
    #[serde(default)]
    pub zone: Option<ZoneKind>,
    /// Only up to this far from land, that distance included.
    #[serde(default, with = "lengths")]
    pub upto: Option<Length>,
    /// Only farther than this from land.
    #[serde(default, with = "lengths")]
    pub over: Option<Length>,
    /// What it says.
    pub verdict: Verdict,
    /// In full sentences.
    pub words: String,
    /// Where it comes from.
    #[serde(flatten)]
    pub citation: Citation,
}

/// What is asked: may this go overboard there?
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Question {
    /// What would go overboard.
    pub what: Waste,
    /// In which waters.
    pub waters: Waters,
    /// In which zone, if in one.
    pub zone: Option<ZoneKind>,
    /// How far from land, if known.
    pub from_land: Option<Length>,
}

/// The answer, with where it comes from.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Answer {
    /// What the rule says.
    pub verdict: Verdict,
    /// In full sentences, for the crew.
    pub words: String,
    /// Where it comes from; `None` if it is not known here.
    pub citation: Option<Citation>,
    /// Which rule answered.
    pub rule: Option<String>,
}

impl Discharge {
    pub(crate) fn sound(&self) -> Result<(), String> {
        let crossed = self.over.zip(self.upto).is_some_and(|(over, upto)| over >= upto);
        if crossed {
            Err(format!("The distances of discharge rule “{}” leave no room.", self.id))
        } else {
            Ok(())
        }
    }

    /// Whether it is about what is asked, but for the distance.
    fn is_about(&self, question: &Question) -> bool {
        self.what == question.what
            && (self.waters.is_empty() || self.waters.contains(&question.waters))
            && self.zone.is_none_or(|zone| question.zone == Some(zone))
    }

    fn reaches(&self, from_land: Length) -> bool {
        self.upto.is_none_or(|upto| from_land <= upto) && self.over.is_none_or(|over| from_land > over)
    }
}

/// Answers whether something may go overboard.
///
/// Where the distance from land is not known, a rule that holds only from or up to a distance can't be used: then the
/// answer is that it is not known.
pub fn discharge(authority: &Authority, question: &Question) -> Answer {
    let mut about = authority.discharges.iter().filter(|rule| rule.is_about(question));
    let found = match question.from_land {
        Some(from_land) => about.find(|rule| rule.reaches(from_land)),
        None => about.next().filter(|rule| rule.upto.is_none() && rule.over.is_none()),
    };
    if let Some(rule) = found {
        return Answer {
            verdict: rule.verdict,
            words: rule.words.clone(),
            citation: Some(rule.citation.clone()),
            rule: Some(rule.id.clone()),
        };
    }
    let depends =
        authority.discharges.iter().any(|rule| rule.is_about(question)) && question.from_land.is_none();
    let name = &authority.name;
    let words = if depends {
        format!("{name}: it depends on how far from land she is. Keep it aboard until that is known.")
    } else if authority.coverage.discharge == Extent::Nothing {
        format!("{name}: what may go overboard is not known here. Keep it aboard and ask the authority.")
    } else {
        format!("{name}: the rules for this are not known here. Keep it aboard and ask the authority.")
    };
    Answer { verdict: Verdict::NotKnown, words, citation: None, rule: None }
}
