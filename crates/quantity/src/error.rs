//! What can be wrong with a written quantity, as data and in the reader's words.

use std::fmt;
use std::ops::Range;

use crate::dimension::Dimension;
use crate::unit::Unit;

/// A written quantity that cannot be taken, where the fault is, and how to mend it.
///
/// `Display` gives the fault and, where one is known, the mending, as full sentences.
#[derive(Debug, Clone, PartialEq)]
pub struct ParseError {
    pub(crate) kind: ErrorKind,
    pub(crate) span: Range<usize>,
    pub(crate) wanted: Option<Dimension>,
}

/// What is wrong with a written quantity.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum ErrorKind {
    /// Nothing was written.
    Empty,
    /// A number was expected and something else stands there.
    NotANumber {
        /// What stands there.
        found: String,
    },
    /// The number holds a comma or an underscore, which people read in different ways.
    Separator {
        /// The number as written.
        number: String,
        /// What it may have meant, each written plainly.
        readings: Vec<String>,
    },
    /// "inf", "nan" and the like.
    NotFinite {
        /// The word that was written.
        found: String,
    },
    /// The number is larger than can be held.
    TooLarge {
        /// The part that is too large, as written.
        found: String,
    },
    /// The number has no unit.
    MissingUnit {
        /// The number as written.
        number: String,
    },
    /// The unit is not known.
    UnknownUnit {
        /// The unit as written.
        found: String,
        /// The known unit that is most like it, if any is.
        nearest: Option<&'static Unit>,
    },
    /// The quantity is sound but measures another thing than is wanted.
    WrongDimension {
        /// The quantity as written.
        text: String,
        /// What it measures.
        found: Dimension,
        /// What is wanted.
        wanted: Dimension,
    },
    /// The parts of "1 h 30 L" do not measure the same thing.
    MixedParts {
        /// What the first part measures.
        first: Dimension,
        /// The part that differs, as written.
        text: String,
        /// What that part measures.
        found: Dimension,
    },
    /// The parts do not run from the larger unit to the smaller ("30 min 1 h").
    NotDescending {
        /// The unit before.
        before: &'static Unit,
        /// The part out of order, as written.
        text: String,
    },
    /// A part is as large as one of the unit before it ("1 h 90 min").
    PartTooLarge {
        /// The unit before.
        before: &'static Unit,
        /// The part, as written.
        text: String,
    },
    /// A part before the last has a fraction ("1.5 h 30 min").
    FractionBeforeLast {
        /// The part, as written.
        text: String,
    },
    /// A part after the first has a sign of its own ("1 h -30 min").
    SignInside {
        /// The part, as written.
        text: String,
    },
    /// Parts of this kind are not added up: temperatures, percentages.
    NotInParts {
        /// What the parts measure.
        dimension: Dimension,
    },
}

impl ParseError {
    /// What is wrong.
    pub const fn kind(&self) -> &ErrorKind {
        &self.kind
    }

    /// The bytes of the text, as it was given, that are at fault.
    ///
    /// The span lies on character boundaries; it is empty only if the text is.
    pub fn span(&self) -> Range<usize> {
        self.span.clone()
    }

    /// What was wanted, if the reader of the text wanted one dimension.
    pub const fn wanted(&self) -> Option<Dimension> {
        self.wanted
    }

    /// Returns one sentence saying what is wrong.
    pub fn headline(&self) -> String {
        match &self.kind {
            ErrorKind::Empty => "Nothing is written here.".to_owned(),
            ErrorKind::NotANumber { found } => format!("A number is wanted where “{found}” stands."),
            ErrorKind::Separator { number, .. } => {
                format!("“{number}” can be read in more than one way.")
            }
            ErrorKind::NotFinite { found } => format!("“{found}” is not an amount."),
            ErrorKind::TooLarge { found } => format!("“{found}” is too large to be an amount."),
            ErrorKind::MissingUnit { number } => format!("“{number}” has no unit."),
            ErrorKind::UnknownUnit { found, .. } => format!("“{found}” is not a unit known here."),
            ErrorKind::WrongDimension { text, found, wanted } => {
                let (found, wanted, such) = (found.with_article(), wanted.with_article(), wanted.example());
                format!("{text} is {found}; {wanted} is wanted here, such as {such}.")
            }
            ErrorKind::MixedParts { first, text, found } => {
                let (first, found) = (first.with_article(), found.with_article());
                format!("“{text}” is {found}, but what stands before it is {first}.")
            }
            ErrorKind::NotDescending { text, .. } => {
                format!("“{text}” is not in a smaller unit than what stands before it.")
            }
            ErrorKind::PartTooLarge { before, text } => {
                format!("“{text}” makes a full {} or more.", before.name())
            }
            ErrorKind::FractionBeforeLast { text } => {
                format!("“{text}” has a fraction and more follows it.")
            }
            ErrorKind::SignInside { text } => format!("“{text}” has a sign of its own."),
            ErrorKind::NotInParts { dimension } => {
                format!("{} cannot be written in parts.", capital(&dimension.with_article()))
            }
        }
    }

    /// Returns a sentence saying how to mend it, if more can be said than the headline says.
    pub fn help(&self) -> Option<String> {
        let such = self.wanted.map_or("230 Ah", Dimension::example);
        match &self.kind {
            ErrorKind::Empty
            | ErrorKind::NotANumber { .. }
            | ErrorKind::NotFinite { .. }
            | ErrorKind::UnknownUnit { nearest: None, .. } => {
                Some(format!("Write a number and a unit, such as {such}."))
            }
            ErrorKind::Separator { readings, .. } => Some(separator_help(readings)),
            ErrorKind::TooLarge { .. } => Some("Check the number of digits.".to_owned()),
            ErrorKind::MissingUnit { number } => Some(match self.wanted {
                Some(wanted) => {
                    format!("Write the unit after it, such as {number} {}.", Unit::canonical(wanted).symbol())
                }
                None => format!("Write the unit after it, such as {such}."),
            }),
            ErrorKind::UnknownUnit { nearest: Some(unit), .. } => {
                Some(format!("Did you mean {}?", unit.symbol()))
            }
            ErrorKind::WrongDimension { .. } => None,
            ErrorKind::MixedParts { .. } | ErrorKind::NotInParts { .. } => {
                Some("Write a single number and unit.".to_owned())
            }
            ErrorKind::NotDescending { .. } => {
                Some("Write the larger unit first, such as 1 h 30 min.".to_owned())
            }
            ErrorKind::PartTooLarge { before, .. } => Some(format!(
                "Carry it over to the {}, or write all of it in the smaller unit.",
                before.name()
            )),
            ErrorKind::FractionBeforeLast { .. } => {
                Some("Let only the last part have a fraction, or write a single number and unit.".to_owned())
            }
            ErrorKind::SignInside { .. } => {
                Some("Write the sign once, at the front; it counts for all parts.".to_owned())
            }
        }
    }
}

impl fmt::Display for ParseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.headline())?;
        self.help().map_or(Ok(()), |help| write!(f, " {help}"))
    }
}

impl std::error::Error for ParseError {}

/// A quantity that measures another thing than is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WrongDimension {
    /// What the quantity measures.
    pub found: Dimension,
    /// What is wanted.
    pub wanted: Dimension,
}

impl fmt::Display for WrongDimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (found, wanted, such) =
            (self.found.with_article(), self.wanted.with_article(), self.wanted.example());
        write!(f, "This is {found}; {wanted} is wanted here, such as {such}.")
    }
}

impl std::error::Error for WrongDimension {}

fn separator_help(readings: &[String]) -> String {
    match readings {
        [one] => format!("Write {one}, with a point before the decimals and nothing between thousands."),
        [one, other] => {
            format!("Write {one} with a point, or {other} with nothing between the thousands.")
        }
        _ => "Write a point before the decimals and nothing between thousands.".to_owned(),
    }
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
