//! The boat file's format as one table: sections, keys, kinds. It drives the check for unknown keys and wrong
//! kinds, the JSON Schema for editors and the reference in `docs/boat-file.md`, so that they can't disagree.

mod class;
mod faults;
mod gear;
mod sections;
mod stores;
mod subjects;

pub(crate) use class::class_keys;
pub(crate) use gear::GEAR;
pub(crate) use sections::{PARTICULARS, SECTIONS};
pub(crate) use stores::{ACTIVITIES, CHEMISTRIES, DAY_PARTS, EVENTS, LOAD_KINDS, SOURCE_KINDS, STORE_KINDS};
pub(crate) use subjects::SUBJECTS;

use quantity::Dimension;

/// What may stand as the value of a key.
#[derive(Debug, Clone, Copy)]
pub enum Kind {
    /// Any text that is not empty.
    Text,
    /// Prose for people; may hold `{thing.limit}` placeholders.
    Words,
    /// A list of texts.
    Texts,
    /// A whole number in this range.
    Integer(i64, i64),
    /// `true` or `false`.
    Bool,
    /// A number in this range, whole or not.
    Number(i32, i32),
    /// One of these words.
    Choice(&'static [&'static str]),
    /// A list of these words.
    Choices(&'static [&'static str]),
    /// A quantity of this dimension, as a text.
    Quantity(Dimension),
    /// A quantity of this dimension, as a text, that may have a minus sign.
    Signed(Dimension),
    /// A time of day, "16:00".
    Clock,
    /// A quantity of one of these dimensions, as a text.
    OneOf(&'static [Dimension]),
    /// A quantity of any dimension, as a text.
    AnyQuantity,
    /// A distance from the centreline, such as "0.6 m port".
    Side,
    /// A fact in the condition language.
    Fact,
    /// "x is value".
    Assign,
    /// A list of "x is value".
    Assigns,
    /// The id of an entry of this section.
    Ref(&'static str),
    /// A list of ids of this section.
    Refs(&'static str),
    /// The id of a control, state or reading that has quantities.
    Measured,
    /// A quantity, or the id of a control or state that has quantities.
    QuantityOrMeasured,
    /// A value of the control or state at hand.
    ValueName,
    /// A list of new value names.
    ValueNames,
    /// A table from value names to words.
    WordsByValue,
    /// A table from value names to quantities.
    QuantityByValue,
    /// A table from a class's parameters to texts.
    Parameters,
    /// A day, "2027-05-31".
    Date,
    /// An amount of money, "95.00 USD".
    Money,
    /// One table of this shape.
    Row(&'static [Key]),
    /// A list of tables of this shape.
    Rows(&'static [Key]),
    /// The name of a class of the library.
    Class,
}

/// A key of a section or an inner table.
#[derive(Debug, Clone, Copy)]
pub struct Key {
    /// The key as it is written.
    pub name: &'static str,
    /// What may stand there.
    pub kind: Kind,
    /// Whether it must be there.
    pub required: bool,
    /// What it means, for editors and the reference.
    pub about: &'static str,
}

/// A section: a table of entries by id.
#[derive(Debug, Clone, Copy)]
pub struct Section {
    /// The section as it is written.
    pub name: &'static str,
    /// What one entry is, with its article: "an item".
    pub one: &'static str,
    /// What it holds.
    pub about: &'static str,
    /// The keys of an entry.
    pub keys: &'static [Key],
}

/// The section of this name.
pub(crate) fn section(name: &str) -> Option<&'static Section> {
    SECTIONS.iter().find(|section| section.name == name)
}

impl Kind {
    /// What is expected, in a reader's words with an example.
    pub fn expected(self) -> String {
        match self {
            Self::Text => "a text in quotes".into(),
            Self::Words => "words in quotes, full sentences".into(),
            Self::Texts => "a list of texts, such as [\"one\", \"two\"]".into(),
            Self::Integer(least, most) if most == i64::MAX => format!("a whole number from {least}"),
            Self::Integer(least, most) => format!("a whole number from {least} to {most}"),
            Self::Number(least, most) => format!("a number from {least} to {most}"),
            Self::Bool => "true or false, without quotes".into(),
            Self::Choice(words) => format!("one of {}", quoted_list(words)),
            Self::Choices(words) => format!("a list with any of {}", quoted_list(words)),
            Self::Signed(dimension) => {
                format!(
                    "{} in quotes, with a minus sign if it is less than nothing",
                    dimension.with_article()
                )
            }
            Self::Clock => "a time of day in quotes, such as \"16:00\"".into(),
            Self::OneOf(dimensions) => {
                let each: Vec<String> = dimensions
                    .iter()
                    .map(|dimension| {
                        format!("{} such as \"{}\"", dimension.with_article(), dimension.example())
                    })
                    .collect();
                format!("in quotes {}", each.join(", or "))
            }
            Self::Quantity(dimension) => {
                format!("{} in quotes, such as \"{}\"", dimension.with_article(), dimension.example())
            }
            Self::AnyQuantity => "a quantity in quotes, such as \"3 s\" or \"1500 rpm\"".into(),
            Self::Side => {
                "a distance from the centreline, such as \"0.6 m port\", \"1.1 m starboard\" or \"0 m\""
                    .into()
            }
            Self::Fact => "a fact in quotes, such as \"engine is running and not hatch_open\"".into(),
            Self::Assign => "a text such as \"engine is running\"".into(),
            Self::Assigns => "a list such as [\"engine is running\", \"panel is on\"]".into(),
            Self::Ref(section) => format!("the id of an entry of [{section}] in quotes"),
            Self::Refs(section) => {
                format!("a list of ids of [{section}] entries, such as [\"one\", \"two\"]")
            }
            Self::Measured => "the id of a reading, or of a control or state with `reads`".into(),
            Self::QuantityOrMeasured => {
                "a quantity such as \"1500 rpm\", or the id of a control or state with `reads`".into()
            }
            Self::ValueName => "one of its positions or values, in quotes".into(),
            Self::ValueNames => "a list of at least two names, such as [\"off\", \"on\"]".into(),
            Self::WordsByValue => "words by position, such as { on = \"The lamp lights.\" }".into(),
            Self::QuantityByValue => {
                "a quantity for every position, such as { idle = \"850 rpm\", fast = \"1500 rpm\" }".into()
            }
            Self::Parameters => "the class's parameters, such as { power = \"panel_live\" }".into(),
            Self::Date => "a day in quotes, such as \"2027-05-31\"".into(),
            Self::Money => "an amount and its currency, such as \"95.00 USD\"".into(),
            Self::Row(keys) => format!("a table {{ ... }} with {}", key_list(keys)),
            Self::Rows(keys) => {
                format!("a list of tables [{{ ... }}, {{ ... }}], each with {}", key_list(keys))
            }
            Self::Class => "the name of a class of the library, in quotes".into(),
        }
    }
}

impl Kind {
    /// Whether a list of texts or tables is expected.
    pub(crate) fn is_list(self) -> bool {
        matches!(
            self,
            Self::Texts | Self::Choices(_) | Self::Assigns | Self::Refs(_) | Self::ValueNames | Self::Rows(_)
        )
    }

    /// What an entry of such a list is; for other kinds the same as [`Self::expected`].
    pub(crate) fn entry(self) -> String {
        match self {
            Self::Texts => "a text in quotes".into(),
            Self::Choices(words) => format!("one of {}", quoted_list(words)),
            Self::Assigns => Self::Assign.expected(),
            Self::Refs(section) => Self::Ref(section).expected(),
            Self::ValueNames => "a name in quotes, such as \"on\"".into(),
            Self::Rows(keys) => Self::Row(keys).expected(),
            other => other.expected(),
        }
    }
}

/// The names of the keys that must be there, or of the first few if none must.
fn key_list(keys: &[Key]) -> String {
    let required: Vec<&str> = keys.iter().filter(|key| key.required).map(|key| key.name).collect();
    if !required.is_empty() {
        return required.join(", ");
    }
    let first: Vec<&str> = keys.iter().take(4).map(|key| key.name).collect();
    format!("{} ...", first.join(", "))
}

/// `a`, `b` or `c`.
pub(crate) fn quoted_list<S: AsRef<str>>(words: &[S]) -> String {
    let quoted: Vec<String> = words.iter().map(|word| format!("\"{}\"", word.as_ref())).collect();
    match quoted.as_slice() {
        [] => "nothing".into(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} or {last}", most.join(", ")),
    }
}
