//! What a rule asks to have aboard, for which boats, and how much of it.

use boat::model::Gear;
use quantity::Length;
use serde::{Deserialize, Serialize};

use crate::aboard::{Fact, Waters};
use crate::authority::Citation;

/// Under which head a requirement stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Section {
    /// Lifejackets, lines, lifebuoys.
    LifeSaving,
    /// Distress signals.
    Signals,
    /// Anchor and bilge pumps.
    Vessel,
    /// Sound, light, compass.
    Navigation,
    /// Fire-fighting.
    Fire,
    /// Placards.
    Placards,
    /// Papers and books.
    Papers,
}

impl Section {
    /// All of them, in order.
    pub const ALL: [Self; 7] = [
        Self::LifeSaving,
        Self::Signals,
        Self::Vessel,
        Self::Navigation,
        Self::Fire,
        Self::Placards,
        Self::Papers,
    ];

    /// The words for it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::LifeSaving => "Life-saving",
            Self::Signals => "Distress signals",
            Self::Vessel => "Anchor and pumps",
            Self::Navigation => "Sound, lights, compass",
            Self::Fire => "Fire-fighting",
            Self::Placards => "Placards",
            Self::Papers => "Papers and books",
        }
    }
}

/// What must be aboard, for the boats that it is for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Requirement {
    /// A short name, unlike any other's of the authority.
    pub id: String,
    /// Under which head it stands.
    pub section: Section,
    /// What it is about, in a word or two.
    pub title: String,
    /// What the source says, in our words.
    pub rule: String,
    /// Only for boats longer than this.
    #[serde(default, with = "lengths")]
    pub over: Option<Length>,
    /// Only for boats of this length or longer.
    #[serde(default, with = "lengths")]
    pub from: Option<Length>,
    /// Only for boats of this length or shorter: up to and including.
    #[serde(default, with = "lengths")]
    pub upto: Option<Length>,
    /// Only for boats shorter than this.
    #[serde(default, with = "lengths")]
    pub under: Option<Length>,
    /// Only in these waters; anywhere if empty.
    #[serde(default)]
    pub only_in: Vec<Waters>,
    /// Not in these waters.
    #[serde(default)]
    pub not_in: Vec<Waters>,
    /// Only if one of these is so; always if empty.
    #[serde(default)]
    pub if_any: Vec<Fact>,
    /// Only if all of these are so.
    #[serde(default)]
    pub if_all: Vec<Fact>,
    /// Whether it is worn, so that it must fit each person.
    #[serde(default)]
    pub worn: bool,
    /// Any of these will do; each is a list of what is then asked together.
    pub any: Vec<Vec<Asked>>,
    /// When less will do.
    #[serde(default)]
    pub relief: Option<Relief>,
    /// What the source adds.
    #[serde(default)]
    pub note: Option<String>,
    /// Where it comes from.
    #[serde(flatten)]
    pub citation: Citation,
}

/// One thing asked for, and how many of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    /// Any of these counts; the least that does stands first.
    #[serde(with = "gears")]
    pub one_of: Vec<Gear>,
    /// So many.
    #[serde(default)]
    pub count: u32,
    /// So many more for each of these that is so.
    #[serde(default)]
    pub add: Vec<Add>,
    /// One for each person aboard.
    #[serde(default)]
    pub per_person: bool,
    /// One at each entrance to a space with a fuel-burning appliance, to a sleeping space and to the machinery space.
    #[serde(default)]
    pub per_entrance: bool,
    /// Not more smoke signals than this count.
    #[serde(default)]
    pub most_smoke: Option<u32>,
}

/// So many more if something is so.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Add {
    /// If this is so.
    #[serde(rename = "if")]
    pub fact: Fact,
    /// So many more.
    pub count: u32,
}

/// When less will do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Relief {
    /// With any of these aboard.
    #[serde(with = "gears")]
    pub with: Vec<Gear>,
    /// So many do.
    pub count: u32,
    /// Of which not more than so many are smoke.
    pub most_smoke: u32,
    /// The rule, a full sentence.
    pub words: String,
    /// Where it comes from.
    pub cite: String,
}

impl Requirement {
    /// Whether it is for boats of a length: exactly as the source bounds it.
    pub fn is_for(&self, length: Length) -> bool {
        self.over.is_none_or(|over| length > over)
            && self.from.is_none_or(|from| length >= from)
            && self.upto.is_none_or(|upto| length <= upto)
            && self.under.is_none_or(|under| length < under)
    }

    pub(crate) fn sound(&self) -> Result<(), String> {
        let id = &self.id;
        if self.any.is_empty() || self.any.iter().any(Vec::is_empty) {
            return Err(format!("The requirement “{id}” asks for nothing."));
        }
        for asked in self.any.iter().flatten() {
            let ways = [asked.count > 0, !asked.add.is_empty(), asked.per_person, asked.per_entrance];
            if asked.one_of.is_empty() || ways.iter().filter(|way| **way).count() != 1 {
                return Err(format!(
                    "The requirement “{id}” must say what counts, and how many in one way only."
                ));
            }
        }
        if self.over.is_some() && self.from.is_some() || self.upto.is_some() && self.under.is_some() {
            return Err(format!("The requirement “{id}” bounds the length twice on one side."));
        }
        Ok(())
    }
}

/// Lengths as they are written, `6 m` or `26 ft`.
pub(crate) mod lengths {
    use quantity::Length;
    use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

    #[allow(clippy::ref_option, clippy::trivially_copy_pass_by_ref, reason = "serde hands over a reference")]
    pub(crate) fn serialize<S: Serializer>(length: &Option<Length>, to: S) -> Result<S::Ok, S::Error> {
        length.map(|length| length.to_string()).serialize(to)
    }

    pub(crate) fn deserialize<'d, D: Deserializer<'d>>(from: D) -> Result<Option<Length>, D::Error> {
        let text = Option::<String>::deserialize(from)?;
        text.map(|text| Length::parse(&text).map_err(de::Error::custom)).transpose()
    }
}

/// Things by the words of the boat file.
pub(crate) mod gears {
    use boat::model::Gear;
    use serde::{Deserialize, Deserializer, Serializer, de};

    pub(crate) fn serialize<S: Serializer>(gear: &[Gear], to: S) -> Result<S::Ok, S::Error> {
        to.collect_seq(gear.iter().map(|gear| gear.word()))
    }

    pub(crate) fn deserialize<'d, D: Deserializer<'d>>(from: D) -> Result<Vec<Gear>, D::Error> {
        let words = Vec::<String>::deserialize(from)?;
        let find = |word: String| {
            Gear::find(&word)
                .ok_or_else(|| de::Error::custom(format!("“{word}” is nothing that a thing counts as.")))
        };
        words.into_iter().map(find).collect()
    }
}
