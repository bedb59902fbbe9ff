//! How often people slip: nominal human error probabilities of the THERP handbook, and what a slip weighs.
//!
//! # Source
//! A. D. Swain, H. E. Guttmann: *Handbook of Human Reliability Analysis with Emphasis on Nuclear Power Plant
//! Applications*, NUREG/CR-1278, 1983, chapter 20. The figures are for trained operators at work in calm; a crew on
//! holiday will slip more often. They serve to rank slips against each other, not to predict how many there will be.

use super::Class;

/// A row of a table of human error probabilities.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rate {
    /// The table, such as `20-7`; `None`: the handbook has no row, the figure is a judgement.
    pub table: Option<&'static str>,
    /// The row in words.
    pub says: &'static str,
    /// The nominal probability of an error at one opportunity.
    pub value: f64,
    /// Where the figure was read.
    pub read: Read,
}

/// Where a figure was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Read {
    /// In a text that quotes the table.
    In(&'static str),
    /// Not read again: from memory of the handbook.
    FromMemory,
    /// Not from the handbook: chosen here.
    Judged,
}

/// How a step list is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Use {
    /// Every step is ticked off.
    Ticked,
    /// It is read, not ticked off.
    #[default]
    Read,
    /// It is there, but nobody takes it to hand.
    Ignored,
}

const NUSBAUMER: &str = "nusbaumer.tripod.com/resources/THERP_documentation.txt (a worked THERP protocol)";
const HANOVER: &str = "Hanover College, human factors slides, \"Example HEPs (Swain and Guttman, 1980)\"";

const fn row(table: &'static str, says: &'static str, value: f64, read: Read) -> Rate {
    Rate { table: Some(table), says, value, read }
}

const fn judged(says: &'static str, value: f64) -> Rate {
    Rate { table: None, says, value, read: Read::Judged }
}

const SHORT_TICKED: Rate = row(
    "20-7",
    "Omission of an item, procedure with checkoff, short list (up to 10 items).",
    0.001,
    Read::FromMemory,
);
const LONG_TICKED: Rate = row(
    "20-7",
    "Omission of an item, procedure with checkoff, long list (over 10 items).",
    0.003,
    Read::FromMemory,
);
const SHORT_READ: Rate = row(
    "20-7",
    "Omission of an item, procedure without checkoff, short list (up to 10 items).",
    0.003,
    Read::In(NUSBAUMER),
);
const LONG_READ: Rate = row(
    "20-7",
    "Omission of an item, procedure without checkoff, long list (over 10 items).",
    0.01,
    Read::FromMemory,
);
const IGNORED: Rate =
    row("20-7", "Omission of an item, procedures available but not used.", 0.05, Read::In(NUSBAUMER));

/// Taking one of several controls that look alike and differ by their labels only.
pub(super) const WRONG_CONTROL: Rate = row(
    "20-12",
    "Wrong control of an array of similar-appearing controls, identified by labels only.",
    0.003,
    Read::In(HANOVER),
);
/// Setting a control of several positions to a wrong one.
pub(super) const WRONG_POSITION: Rate =
    row("20-12", "A rotary control set to an incorrect setting.", 0.001, Read::FromMemory);
/// Letting go of what must be held, too soon.
pub(super) const LET_GO: Rate = row(
    "20-12",
    "Failure to complete a change of state if the switch must be held until it is complete.",
    0.003,
    Read::FromMemory,
);
/// Holding on for too long.
pub(super) const HELD_ON: Rate =
    judged("Held too long: taken to be as likely as letting go too soon.", 0.003);
/// Doing a step twice.
pub(super) const TWICE: Rate =
    judged("A step done twice: taken to be as likely as an omission with checkoff.", 0.001);

/// How often an item of a list is left out.
pub(super) fn omission(steps: usize, used: Use) -> Rate {
    match (used, steps > 10) {
        (Use::Ticked, false) => SHORT_TICKED,
        (Use::Ticked, true) => LONG_TICKED,
        (Use::Read, false) => SHORT_READ,
        (Use::Read, true) => LONG_READ,
        (Use::Ignored, _) => IGNORED,
    }
}

/// Every row that is used, for printing with its source.
pub fn rates() -> [Rate; 10] {
    [
        SHORT_TICKED,
        LONG_TICKED,
        SHORT_READ,
        LONG_READ,
        IGNORED,
        WRONG_CONTROL,
        WRONG_POSITION,
        LET_GO,
        HELD_ON,
        TWICE,
    ]
}

/// What an outcome weighs against "does not work", which weighs 1. A judgement, not a measurement: damage is taken to
/// be a hundred times as bad as lost minutes, an injury ten times as bad as damage; a thing left standing from which
/// harm is one step or one day away, a tenth of that harm.
pub fn weight(class: Class) -> f64 {
    use boat::model::Severity::{Damage, Injury};
    match class {
        Class::NoMatter => 0.0,
        Class::DoesNotWork => 1.0,
        Class::LeftStanding(None) => 3.0,
        Class::LeftStanding(Some(Damage)) => 10.0,
        Class::LeftStanding(Some(Injury)) | Class::Damage => 100.0,
        Class::Injury => 1000.0,
    }
}
