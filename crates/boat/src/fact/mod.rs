//! The condition language: `engine is running and not hatch_open and engine_rpm >= 1500 rpm`.
//! Text to tree with spans (`parse`), tree to typed facts (`check`). Knows nothing of files.

mod check;
mod lex;
mod parse;

pub(crate) use check::{Meaning, Names, ValueNames, check, check_assign};
pub(crate) use parse::{parse, parse_assign};

use std::ops::Range;

/// Something wrong in a fact's text: where in it, what, and how to mend it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Fault {
    pub(crate) code: &'static str,
    pub(crate) at: Range<usize>,
    pub(crate) headline: String,
    pub(crate) expected: Option<String>,
    pub(crate) near: Option<String>,
    pub(crate) mend: Option<String>,
}

impl Fault {
    fn new(code: &'static str, at: Range<usize>, headline: impl Into<String>) -> Self {
        Self { code, at, headline: headline.into(), expected: None, near: None, mend: None }
    }
    fn expected(mut self, text: impl Into<String>) -> Self {
        self.expected = Some(text.into());
        self
    }
    fn near(mut self, name: Option<&str>) -> Self {
        self.near = name.map(ToOwned::to_owned);
        self
    }
    fn mend(mut self, text: impl Into<String>) -> Self {
        self.mend = Some(text.into());
        self
    }
}

/// A name as written, with its place in the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Word {
    pub(crate) text: String,
    pub(crate) at: Range<usize>,
}

/// A fact as written: names not yet resolved.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Tree {
    Const(bool),
    Name(Word),
    /// `name is value`, `name is one of (a, b)`; negated with `is not`.
    Is {
        name: Word,
        values: Vec<Word>,
        not: bool,
    },
    Compare {
        left: Side,
        how: crate::model::Compare,
        right: Side,
        at: Range<usize>,
    },
    Not(Box<Tree>),
    And(Vec<Tree>),
    Or(Vec<Tree>),
}

/// A side of a comparison as written.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Side {
    Name(Word),
    Quantity(quantity::Quantity, Range<usize>),
}
