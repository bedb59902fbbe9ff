//! Which slips are asked for.

use boat::model::{Boat, ProcedureId};
use operate::{Class, Slip};

/// What became of a slip, as it is chosen in the form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Outcome {
    Injury,
    Damage,
    Left,
    Nothing,
    NoMatter,
}

impl Outcome {
    pub(super) const ALL: [Self; 5] = [Self::Injury, Self::Damage, Self::Left, Self::Nothing, Self::NoMatter];

    /// Its name in addresses.
    pub(super) fn key(self) -> &'static str {
        match self {
            Self::Injury => "injury",
            Self::Damage => "damage",
            Self::Left => "left",
            Self::Nothing => "nothing",
            Self::NoMatter => "no-matter",
        }
    }

    /// Its name for people.
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Injury => "Someone can be hurt",
            Self::Damage => "Damage",
            Self::Left => "Something is left wrong",
            Self::Nothing => "It does not work",
            Self::NoMatter => "No matter",
        }
    }

    /// The class name in the style sheet.
    pub(super) fn class(self) -> &'static str {
        match self {
            Self::Injury => "outcome injury",
            Self::Damage => "outcome damage",
            Self::Left => "outcome left",
            Self::Nothing | Self::NoMatter => "outcome",
        }
    }

    pub(super) fn of(class: Class) -> Self {
        match class {
            Class::Injury => Self::Injury,
            Class::Damage => Self::Damage,
            Class::LeftStanding(_) => Self::Left,
            Class::DoesNotWork => Self::Nothing,
            Class::NoMatter => Self::NoMatter,
        }
    }
}

/// Which slips are asked for.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SlipsAsk {
    pub(super) outcome: Option<Outcome>,
    pub(super) list: Option<ProcedureId>,
    pub(super) all: bool,
}

impl SlipsAsk {
    /// Reads what is asked from the names and values of an address: `outcome`, `list` and `all`. The error says what
    /// to mend, in a sentence.
    pub fn read(boat: &Boat, pairs: &[(String, String)]) -> Result<Self, String> {
        let find = |key: &str| {
            pairs
                .iter()
                .find(|(name, value)| name == key && !value.is_empty())
                .map(|(_, value)| value.as_str())
        };
        let outcome = find("outcome").map(|key| {
            let found = Outcome::ALL.into_iter().find(|outcome| outcome.key() == key);
            found.ok_or_else(|| {
                format!("\u{201c}{key}\u{201d} is no outcome of a slip. Choose one from the list.")
            })
        });
        let list = find("list").map(|id| {
            boat.procedure(id).ok_or_else(|| format!("This boat has no step list \u{201c}{id}\u{201d}."))
        });
        Ok(Self { outcome: outcome.transpose()?, list: list.transpose()?, all: find("all").is_some() })
    }

    pub(super) fn fits(&self, slip: &Slip) -> bool {
        let outcome = Outcome::of(slip.class);
        self.outcome.map_or(outcome != Outcome::NoMatter, |wanted| wanted == outcome)
            && self.list.is_none_or(|list| list == slip.procedure)
    }

    /// What is asked, as the end of a sentence.
    pub(super) fn words(&self, boat: &Boat) -> String {
        let outcome = match self.outcome {
            None => "that matter".to_owned(),
            Some(outcome) => format!("with the outcome \u{201c}{}\u{201d}", outcome.name()),
        };
        match self.list {
            None => format!("{outcome}, worst first"),
            Some(list) => {
                format!("{outcome}, in \u{201c}{}\u{201d}, worst first", boat.procedures[list].name)
            }
        }
    }

    pub(super) fn pairs_for_all<'b>(&self, boat: &'b Boat) -> [(&'static str, &'b str); 3] {
        [
            ("outcome", self.outcome.map_or("", Outcome::key)),
            ("list", self.list.map_or("", |list| &boat.procedures[list].id)),
            ("all", "1"),
        ]
    }
}
