//! Authorities: whose rules they are, how much of them is known, and how a table of them is read.

use std::collections::BTreeSet;
use std::fmt;
use std::sync::OnceLock;

use boat::model::Gear;
use jiff::civil::Date;
use quantity::Length;
use serde::{Deserialize, Serialize};

use crate::aboard::{Carried, Fact};
use crate::checklist::Checklist;
use crate::requirement::{Requirement, Section, gears};
use crate::waste::{Discharge, Zone};

/// How a fact of the table is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum How {
    /// The figure was seen in a stored text of the named source.
    Read,
    /// It was seen in another text that quotes the source.
    ReadSecondary,
    /// It is recalled and was not seen: confirm it before you rely on it.
    Memory,
}

/// Where a row comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Citation {
    /// The law, guide or page.
    pub cite: String,
    /// Which edition was seen, where that is known.
    #[serde(default)]
    pub edition: Option<String>,
    /// How it is known.
    pub how: How,
}

/// How much of a subject a table covers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Extent {
    /// Some rows; others are known to be missing, or it is not known whether any are.
    Part,
    /// No row: ask the authority.
    Nothing,
}

/// How much of an authority's rules is in the table. No table claims to be whole.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Coverage {
    /// Equipment by length, waters and crew.
    pub equipment: Extent,
    /// Placards and papers aboard.
    pub placards: Extent,
    /// What may go overboard.
    pub discharge: Extent,
    /// Lists for handing a boat over.
    pub checklists: Extent,
    /// What is known to be missing, in full sentences.
    pub gaps: Vec<String>,
}

/// How long things last, and whether they must show a date.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Life {
    /// For which things.
    #[serde(with = "gears")]
    pub gear: Vec<Gear>,
    /// The rule, a full sentence.
    pub words: String,
    /// Whether one without a known date can't be counted as in date.
    pub needs_date: bool,
    /// Where it comes from.
    #[serde(flatten)]
    pub citation: Citation,
}

/// What is worth knowing beside the rows.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Note {
    /// In full sentences.
    pub words: String,
    /// Whether it is about what may go overboard, and not about equipment or handing over.
    #[serde(default)]
    pub waste: bool,
    /// Where it comes from.
    #[serde(flatten)]
    pub citation: Citation,
}

/// What the base or the crew must do.
pub type Duty = Note;

/// Whose rules they are.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Authority {
    /// A short name for addresses and files, such as `united_states`.
    pub id: String,
    /// The name for people.
    pub name: String,
    /// Other names by which it is found.
    pub also: Vec<String>,
    /// The authority within which this one is: its rules hold as well.
    #[serde(default)]
    pub within: Option<String>,
    /// The day on which the rows were entered from the trade facts.
    #[serde(with = "dates")]
    pub entered: Date,
    /// How much is known.
    pub coverage: Coverage,
    /// What must be aboard.
    #[serde(default, rename = "requirement")]
    pub requirements: Vec<Requirement>,
    /// How long things last.
    #[serde(default, rename = "life")]
    pub lives: Vec<Life>,
    /// What is worth knowing beside the rows.
    #[serde(default, rename = "note")]
    pub notes: Vec<Note>,
    /// What the base or the crew must do.
    #[serde(default, rename = "duty")]
    pub duties: Vec<Duty>,
    /// Lists for handing a boat over.
    #[serde(default, rename = "checklist")]
    pub checklists: Vec<Checklist>,
    /// Waters with rules of their own.
    #[serde(default, rename = "zone")]
    pub zones: Vec<Zone>,
    /// What may go overboard.
    #[serde(default, rename = "discharge")]
    pub discharges: Vec<Discharge>,
}

/// An authority of which nothing is known here; `Display` says what to do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct NotKnown {
    /// The name that was asked for.
    pub name: String,
}

impl fmt::Display for NotKnown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let known: Vec<&str> = authorities().iter().map(|one| one.name.as_str()).collect();
        write!(
            f,
            "The rules of “{}” are not known here. Ask the authority of her flag and of her waters. Something is known of: {}.",
            self.name,
            known.join(", ")
        )
    }
}

impl std::error::Error for NotKnown {}

/// What is wrong with a table; `Display` says where and how.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReadError {
    /// In full sentences, with the line where there is one.
    pub words: String,
}

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.words)
    }
}

impl std::error::Error for ReadError {}

/// The tables that are compiled in.
#[allow(clippy::missing_panics_doc, reason = "a test reads every table that is compiled in")]
pub fn authorities() -> &'static [Authority] {
    static AUTHORITIES: OnceLock<Vec<Authority>> = OnceLock::new();
    AUTHORITIES.get_or_init(|| {
        let texts = [
            include_str!("data/canada.toml"),
            include_str!("data/united_states.toml"),
            include_str!("data/united_kingdom.toml"),
            include_str!("data/florida.toml"),
            include_str!("data/washington.toml"),
            include_str!("data/queensland.toml"),
            include_str!("data/marpol.toml"),
        ];
        texts
            .map(|text| Authority::read(text).expect("the tests read every table that is compiled in"))
            .into()
    })
}

/// The compiled-in authority of a name; capitals and small letters are alike.
pub fn authority(name: &str) -> Result<&'static Authority, NotKnown> {
    let name = name.trim();
    authorities().iter().find(|one| one.is_called(name)).ok_or_else(|| NotKnown { name: name.to_owned() })
}

impl Authority {
    /// Reads a table, as a base may edit it: the texts in `src/data` show the form.
    pub fn read(text: &str) -> Result<Self, ReadError> {
        let read: Self = toml::from_str(text).map_err(|error| ReadError { words: error.to_string() })?;
        known_keys(text).map_err(|words| ReadError { words })?;
        read.sound().map_err(|words| ReadError { words })?;
        Ok(read)
    }

    /// It, and the authorities within which it is, the nearest first: the rules of all of them hold.
    pub fn chain(&self) -> Vec<&Self> {
        let mut all = vec![self];
        let mut next = self.within.as_deref();
        while let Some(wider) = next.and_then(|name| authority(name).ok()) {
            if all.iter().any(|one| one.id == wider.id) {
                break;
            }
            all.push(wider);
            next = wider.within.as_deref();
        }
        all
    }

    /// What its rows for boats of a length depend on, each once and in order.
    pub fn depends_on(&self, length: Length) -> BTreeSet<Fact> {
        let rows = self.requirements.iter().filter(|row| row.is_for(length));
        rows.flat_map(|row| {
            let adds = row.any.iter().flatten().flat_map(|asked| asked.add.iter().map(|add| add.fact));
            row.if_any.iter().chain(&row.if_all).copied().chain(adds)
        })
        .collect()
    }

    /// Whether a row for boats of a length counts entrances.
    pub fn counts_entrances(&self, length: Length) -> bool {
        let mut rows = self.requirements.iter().filter(|row| row.is_for(length));
        rows.any(|row| row.any.iter().flatten().any(|asked| asked.per_entrance))
    }

    /// Whether a row for boats of a length depends on the waters.
    pub fn depends_on_waters(&self, length: Length) -> bool {
        let mut rows = self.requirements.iter().filter(|row| row.is_for(length));
        rows.any(|row| !row.only_in.is_empty() || !row.not_in.is_empty())
    }

    fn is_called(&self, name: &str) -> bool {
        let names = [&self.id, &self.name].into_iter().chain(&self.also);
        names.into_iter().any(|one| one.eq_ignore_ascii_case(name))
    }

    /// Checks what the form alone can't.
    fn sound(&self) -> Result<(), String> {
        let mut ids = BTreeSet::new();
        let requirements = self.requirements.iter().map(|one| &one.id);
        let discharges = self.discharges.iter().map(|one| &one.id);
        for id in requirements {
            if !ids.insert(id) {
                return Err(format!("The requirement “{id}” is given twice."));
            }
        }
        ids.clear();
        for id in discharges {
            if !ids.insert(id) {
                return Err(format!("The discharge rule “{id}” is given twice."));
            }
        }
        self.requirements.iter().try_for_each(Requirement::sound)?;
        self.discharges.iter().try_for_each(Discharge::sound)?;
        self.checklists.iter().try_for_each(Checklist::sound)
    }

    /// What the base or the crew must do and what is worth knowing, about what may go overboard or about the rest.
    pub fn beside(&self, waste: bool) -> impl Iterator<Item = &Note> {
        self.duties.iter().chain(&self.notes).filter(move |note| note.waste == waste)
    }

    /// The requirements under a head for a boat of a length, such as the placards that she must show.
    pub fn asked_of(&self, length: Length, section: Section) -> impl Iterator<Item = &Requirement> {
        self.requirements.iter().filter(move |row| row.section == section && row.is_for(length))
    }

    /// What is aboard that must show a date by this authority and has none in the boat file, with the rule.
    pub fn without_date<'a>(
        &'a self,
        aboard: &'a [Carried],
    ) -> impl Iterator<Item = (&'a Carried, &'a Life)> {
        aboard.iter().filter(|line| line.expires.is_none() && line.count > 0).filter_map(move |line| {
            self.lives_of(&line.counts_as).find(|life| life.needs_date).map(|life| (line, life))
        })
    }

    /// The rules on how long one of these things lasts.
    pub fn lives_of<'a>(&'a self, gear: &'a [Gear]) -> impl Iterator<Item = &'a Life> {
        self.lives.iter().filter(move |life| life.gear.iter().any(|one| gear.contains(one)))
    }
}

/// The keys of each kind of row, besides `cite`, `edition` and `how`.
const KEYS: [(&str, &[&str]); 7] = [
    (
        "requirement",
        &[
            "id", "section", "title", "rule", "over", "from", "upto", "under", "only_in", "not_in", "if_any",
            "if_all", "worn", "any", "relief", "note",
        ],
    ),
    ("life", &["gear", "words", "needs_date"]),
    ("note", &["words", "waste"]),
    ("duty", &["words", "waste"]),
    ("checklist", &["id", "title", "line"]),
    ("zone", &["kind", "names", "words"]),
    ("discharge", &["id", "what", "waters", "zone", "upto", "over", "verdict", "words"]),
];

/// Refuses a misspelt key, which would otherwise be passed over.
fn known_keys(text: &str) -> Result<(), String> {
    let table: toml::Table = toml::from_str(text).map_err(|error| error.to_string())?;
    for (kind, keys) in KEYS {
        let rows = table.get(kind).and_then(toml::Value::as_array).into_iter().flatten();
        for (at, row) in rows.enumerate() {
            let written = row.as_table().into_iter().flat_map(toml::Table::keys);
            let odd = written
                .into_iter()
                .find(|key| !keys.contains(&key.as_str()) && !CITED.contains(&key.as_str()));
            if let Some(key) = odd {
                let nth = at + 1;
                return Err(format!(
                    "[[{kind}]] number {nth} has a key “{key}”, which is not known. Known are {}.",
                    keys.join(", ")
                ));
            }
        }
    }
    Ok(())
}

const CITED: [&str; 3] = ["cite", "edition", "how"];

/// Dates as they are written, `2026-11-25`.
mod dates {
    use jiff::civil::Date;
    use serde::{Deserialize, Deserializer, Serializer, de};

    #[allow(clippy::trivially_copy_pass_by_ref, reason = "serde hands over a reference")]
    pub(super) fn serialize<S: Serializer>(date: &Date, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(date)
    }

    pub(super) fn deserialize<'d, D: Deserializer<'d>>(from: D) -> Result<Date, D::Error> {
        let text = String::deserialize(from)?;
        text.parse().map_err(|_| de::Error::custom(format!("“{text}” is not a day, such as 2026-11-25.")))
    }
}
