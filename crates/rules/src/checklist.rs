//! Published lists for handing a boat over, and what each line is about.

pub use boat::model::Subject;
use serde::{Deserialize, Serialize};

use crate::authority::Citation;

/// A published list for handing a boat over.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Checklist {
    /// A short name, unlike any other's.
    pub id: String,
    /// The name for people.
    pub title: String,
    /// Where it comes from.
    #[serde(flatten)]
    pub citation: Citation,
    /// Its lines, in order.
    #[serde(rename = "line")]
    pub lines: Vec<ChecklistLine>,
}

/// A line of such a list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ChecklistLine {
    /// A short name, unlike any other's in the list.
    pub id: String,
    /// What it says.
    pub words: String,
    /// Which subjects of a briefing cover it: at least one.
    #[serde(with = "subjects")]
    pub about: Vec<Subject>,
}

impl Checklist {
    pub(crate) fn sound(&self) -> Result<(), String> {
        for (at, line) in self.lines.iter().enumerate() {
            if line.about.is_empty() {
                return Err(format!("Line “{}” of checklist “{}” is about nothing.", line.id, self.id));
            }
            if self.lines[..at].iter().any(|other| other.id == line.id) {
                return Err(format!("Line “{}” of checklist “{}” is given twice.", line.id, self.id));
            }
        }
        Ok(())
    }

    /// The lines of which no subject is among those that a briefing covers.
    pub fn uncovered<'a>(&'a self, covered: &'a [Subject]) -> impl Iterator<Item = &'a ChecklistLine> {
        self.lines.iter().filter(|line| !line.about.iter().any(|subject| covered.contains(subject)))
    }
}

/// Subjects by their words.
mod subjects {
    use boat::model::Subject;
    use serde::{Deserialize, Deserializer, Serializer, de};

    pub(super) fn serialize<S: Serializer>(about: &[Subject], to: S) -> Result<S::Ok, S::Error> {
        to.collect_seq(about.iter().map(|subject| subject.word()))
    }

    pub(super) fn deserialize<'d, D: Deserializer<'d>>(from: D) -> Result<Vec<Subject>, D::Error> {
        let words = Vec::<String>::deserialize(from)?;
        let find = |word: String| {
            Subject::find(&word)
                .ok_or_else(|| de::Error::custom(format!("“{word}” is no subject of a briefing.")))
        };
        words.into_iter().map(find).collect()
    }
}
