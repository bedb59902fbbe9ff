//! Changing a boat file without a text editor: each [`Edit`] gives a new text in which everything else keeps every
//! letter, remarks too. What may be put behind a key is said by the format's own table ([`keys`]), so that forms,
//! compiler, schema and reference can't disagree. [`changes`] compares two texts and [`merge`] brings them together.
//!
//! Texts that are TOML but no sound boat can be edited as well: a form is how a file is mended.

mod apply;
mod begin;
mod compare;
mod deck;
mod merge;
mod params;
mod patch;
mod refs;
mod rename;
mod sheet;
mod value;

use std::fmt;

use crate::diagnostic::Diagnostic;
use crate::source::Sources;

pub use crate::format::{Key, Kind, Section};
pub use begin::{begin, class_name};
pub use compare::{Change, changes};
pub use deck::{Deck, Entry, unit_choices};
pub use merge::{Clash, Merged, Whose, merge};
pub use params::{Parameter, parameters};
pub use value::Value;

/// The name by which edits call the particulars, which are one entry without an id.
pub const BOAT: &str = "boat";

/// One change of a boat file.
#[derive(Debug, Clone, PartialEq)]
pub enum Edit {
    /// Adds an entry, behind the last one of its section.
    AddRow {
        /// The section.
        section: String,
        /// Its id.
        id: String,
        /// Its keys.
        keys: Value,
    },
    /// Removes an entry to which nothing else refers.
    RemoveRow {
        /// The section.
        section: String,
        /// Its id.
        id: String,
    },
    /// Gives an entry another id, everywhere where it is spoken of. What an item's class brings goes with it.
    Rename {
        /// The section.
        section: String,
        /// Its id.
        id: String,
        /// The new one.
        to: String,
    },
    /// Gives a key a value or takes it away. If only a class brings the entry, the file overrides it.
    Set {
        /// The section; [`BOAT`] for the particulars.
        section: String,
        /// The entry; empty for the particulars.
        id: String,
        /// The key.
        key: String,
        /// The value; `None` takes the key away.
        value: Option<Value>,
    },
    /// Makes an entry say exactly this, key by key.
    Row {
        /// The section; [`BOAT`] for the particulars.
        section: String,
        /// The entry; empty for the particulars.
        id: String,
        /// All of its keys.
        row: Value,
    },
    /// Adds a step to a step list.
    AddStep {
        /// The step list.
        procedure: String,
        /// Before which step, from 0; behind all if there are not so many.
        at: usize,
        /// The step, a table.
        step: Value,
    },
    /// Removes a step.
    RemoveStep {
        /// The step list.
        procedure: String,
        /// Which, from 0.
        at: usize,
    },
    /// Moves a step.
    MoveStep {
        /// The step list.
        procedure: String,
        /// Which, from 0.
        from: usize,
        /// Where it stands then.
        to: usize,
    },
    /// Gives a key of a step a value, or takes it away.
    SetStep {
        /// The step list.
        procedure: String,
        /// Which step, from 0.
        at: usize,
        /// The key.
        key: String,
        /// The value; `None` takes the key away.
        value: Option<Value>,
    },
}

/// Who refers to an entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reference {
    /// The section of the one that refers.
    pub section: String,
    /// Its id.
    pub id: String,
    /// Its name for people, if it has one.
    pub name: Option<String>,
    /// The key in which it does.
    pub key: String,
    /// The id that it names.
    pub to: String,
}

/// Why a change is not made. Nothing was changed.
#[derive(Debug, Clone)]
pub enum Refused {
    /// The text is not TOML.
    Unreadable {
        /// Where and why.
        diagnostics: Vec<Diagnostic>,
        /// The text that they point at.
        sources: Sources,
    },
    /// Something else refers to what was to be removed.
    Referred {
        /// Its id.
        what: String,
        /// Who refers to it.
        by: Vec<Reference>,
    },
    /// It makes no sense.
    Words {
        /// What is wrong.
        what: String,
        /// How to mend it.
        mend: String,
    },
}

impl Refused {
    pub(crate) fn words(what: impl Into<String>, mend: impl Into<String>) -> Self {
        Self::Words { what: what.into(), mend: mend.into() }
    }
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unreadable { diagnostics, sources } => {
                f.write_str("The file can't be read as a boat file.")?;
                diagnostics.first().map_or(Ok(()), |first| write!(f, " {}", first.plain(sources)))
            }
            Self::Referred { what, by } => {
                let list: Vec<String> = by
                    .iter()
                    .map(|one| format!("{}.{} ({} names {})", one.section, one.id, one.key, one.to))
                    .collect();
                let them = if list.len() == 1 { "this is" } else { "these are" };
                write!(
                    f,
                    "\"{what}\" can't be removed: something refers to it. Change {them} first: {}.",
                    list.join("; ")
                )
            }
            Self::Words { what, mend } => write!(f, "{what} {mend}"),
        }
    }
}

impl std::error::Error for Refused {}

/// Makes one change and gives back the new text; every part that the change does not speak of stays as it is.
///
/// # Errors
/// Why it is not made, and how to mend that.
///
/// ```
/// use boat::edit::{Edit, Value, edit};
/// let text = "becket = 1\n\n[places.mast]  # deck-stepped\nname = \"Mast\"\n";
/// let (section, id, key) = ("places".to_owned(), "mast".to_owned(), "name".to_owned());
/// let new = edit(text, &Edit::Set { section, id, key, value: Some(Value::text("Main mast")) })?;
/// assert_eq!(new, "becket = 1\n\n[places.mast]  # deck-stepped\nname = \"Main mast\"\n");
/// # Ok::<(), boat::edit::Refused>(())
/// ```
pub fn edit(text: &str, edit: &Edit) -> Result<String, Refused> {
    apply::apply(text, edit)
}

/// The keys of a section's entries, with what each means and what may stand there; of [`BOAT`] the particulars'.
/// Nothing for a name that is no section.
pub fn keys(section: &str) -> &'static [Key] {
    apply::keys_of(section).unwrap_or(&[])
}

/// All sections, in the order of the format.
pub fn sections() -> &'static [Section] {
    crate::format::SECTIONS
}

/// What the file itself writes of an entry.
///
/// # Errors
/// If the text is not TOML, or has no such entry.
pub fn row(text: &str, section: &str, id: &str) -> Result<Value, Refused> {
    let sheet = sheet::Sheet::read(text)?;
    sheet.row(section, id).map(Value::of_table).ok_or_else(|| {
        let what = format!("The file has no entry \"{id}\" in its section \"{section}\".");
        Refused::words(what, "Load the page again: somebody may have removed or renamed it.")
    })
}

/// Who refers to an entry, or to what its class brings with it.
///
/// # Errors
/// If the text is not TOML.
pub fn referring(text: &str, section: &str, id: &str) -> Result<Vec<Reference>, Refused> {
    refs::referring(text, section, id)
}

/// An id that a name may have: small letters, figures and `_`.
pub fn id_of(name: &str) -> String {
    let id = crate::ids::make_id(name);
    // Doubled strokes come from spaces beside other signs.
    let parts: Vec<&str> = id.split('_').filter(|part| !part.is_empty()).collect();
    parts.join("_")
}
