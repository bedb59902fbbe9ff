//! One row of the unit table, and looking a unit up by what was written.

use crate::dimension::Dimension;
use crate::table::{self, UNITS};

/// Whose units are used when a quantity is shown to people.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum System {
    /// Metric units; knots and nautical miles for speed and distance, as at sea everywhere.
    Metric,
    /// Units as used in the United States: gallons, pounds, feet, °F; knots and nautical miles at sea.
    UsCustomary,
}

/// A unit as the table knows it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    dimension: Dimension,
    symbol: &'static str,
    also: &'static [&'static str],
    words: &'static [&'static str],
    times: f64,
    over: f64,
    offset: f64,
    systems: &'static [System],
    print_from: Option<f64>,
}

/// Every unit that is understood, grouped by dimension.
pub fn units() -> &'static [Unit] {
    UNITS
}

/// Returns the unit that is written as `text`, if it is known.
///
/// Symbols keep their case (kn is a knot, kN a thousand newtons); words do not ("Gallons").
pub fn find_unit(text: &str) -> Option<&'static Unit> {
    let text = text.trim();
    UNITS.iter().find(|unit| !text.is_empty() && unit.match_len(text) == Some(text.len()))
}

impl Unit {
    pub(crate) const fn new(
        dimension: Dimension,
        symbol: &'static str,
        also: &'static [&'static str],
        words: &'static [&'static str],
    ) -> Self {
        Self {
            dimension,
            symbol,
            also,
            words,
            times: 1.0,
            over: 1.0,
            offset: 0.0,
            systems: &[],
            print_from: None,
        }
    }

    pub(crate) const fn times(mut self, times: f64) -> Self {
        self.times = times;
        self
    }

    pub(crate) const fn over(mut self, over: f64) -> Self {
        self.over = over;
        self
    }

    pub(crate) const fn less(mut self, offset: f64) -> Self {
        self.offset = offset;
        self
    }

    /// Marks the unit as one that is printed in `systems`, for sizes from `least` (canonical) up.
    pub(crate) const fn printed(mut self, systems: &'static [System], least: f64) -> Self {
        self.systems = systems;
        self.print_from = Some(least);
        self
    }

    /// What the unit measures.
    pub const fn dimension(&self) -> Dimension {
        self.dimension
    }

    /// The symbol it is printed with, such as "Ah"; empty for a plain number.
    pub const fn symbol(&self) -> &'static str {
        self.symbol
    }

    /// The word for one of it, such as "amp hour"; empty for a plain number.
    pub fn name(&self) -> &'static str {
        self.words.first().copied().unwrap_or("")
    }

    /// Other symbols that are understood, upper and lower case as written.
    pub const fn other_symbols(&self) -> &'static [&'static str] {
        self.also
    }

    /// The words that are understood, in any case: first for one of it, then for many, then others.
    ///
    /// A space in a word also stands for a hyphen or several spaces.
    pub const fn words(&self) -> &'static [&'static str] {
        self.words
    }

    /// How many canonical units one of this unit is, to the nearest `f64`.
    ///
    /// The canonical unit of a dimension is the one for which this is 1 and [`offset`](Self::offset) is 0
    /// (see [`Unit::canonical`]).
    pub const fn factor(&self) -> f64 {
        self.times / self.over
    }

    /// What is taken from a reading in this unit before the factor applies; other than 0 only for
    /// temperature scales (32 for °F).
    pub const fn offset(&self) -> f64 {
        self.offset
    }

    /// The systems in which people are shown this unit; empty if it is only read.
    pub const fn systems(&self) -> &'static [System] {
        self.systems
    }

    /// The least size, in canonical units, from which this unit is preferred in print.
    pub const fn print_from(&self) -> Option<f64> {
        self.print_from
    }

    /// Returns the unit in which quantities of a dimension are held.
    pub const fn canonical(dimension: Dimension) -> &'static Self {
        match dimension {
            Dimension::Charge => &table::AMP_HOUR,
            Dimension::Voltage => &table::VOLT,
            Dimension::Current => &table::AMP,
            Dimension::Power => &table::WATT,
            Dimension::Energy => &table::WATT_HOUR,
            Dimension::Resistance => &table::OHM,
            Dimension::Volume => &table::LITRE,
            Dimension::Mass => &table::KILOGRAM,
            Dimension::Length => &table::METRE,
            Dimension::Area => &table::SQUARE_METRE,
            Dimension::Time => &table::SECOND,
            Dimension::RotationalSpeed => &table::RPM,
            Dimension::Speed => &table::KNOT,
            Dimension::Temperature => &table::CELSIUS,
            Dimension::Pressure => &table::BAR,
            Dimension::Force => &table::NEWTON,
            Dimension::Frequency => &table::HERTZ,
            Dimension::Angle => &table::DEGREE,
            Dimension::VolumeRate => &table::LITRE_PER_HOUR,
            Dimension::MassRate => &table::KILOGRAM_PER_HOUR,
            Dimension::Ratio => &table::PLAIN,
        }
    }

    /// Turns a reading in this unit into canonical units.
    pub(crate) const fn to_canonical(self, reading: f64) -> f64 {
        // Taking away 0.0 keeps the sign of -0.0; adding it would not.
        (reading - self.offset) * self.times / self.over
    }

    /// Turns canonical units into a reading in this unit.
    pub(crate) const fn reading(self, canonical: f64) -> f64 {
        canonical * self.over / self.times + self.offset
    }

    /// Returns how many bytes at the start of `text` spell this unit, taking the longest spelling.
    pub(crate) fn match_len(&self, text: &str) -> Option<usize> {
        let symbols = std::iter::once(&self.symbol).chain(self.also);
        let by_symbol = symbols.filter_map(|spelling| spelled(text, spelling, |a, b| a == b));
        let by_word = self
            .words
            .iter()
            .filter_map(|spelling| spelled(text, spelling, |a, b| a.eq_ignore_ascii_case(&b)));
        by_symbol.chain(by_word).max()
    }

    /// Every way the unit may be spelled, the symbol first.
    pub(crate) fn spellings(&self) -> impl Iterator<Item = &'static str> + use<> {
        std::iter::once(self.symbol).chain(self.also.iter().copied()).chain(self.words.iter().copied())
    }
}

/// Returns the bytes of `text` that `spelling` covers, if the text starts with it and the unit ends there.
fn spelled(text: &str, spelling: &str, same: impl Fn(char, char) -> bool) -> Option<usize> {
    if spelling.is_empty() {
        return None;
    }
    let mut rest = text;
    for wanted in spelling.chars() {
        match wanted {
            ' ' => {
                let after = rest.trim_start_matches(|c: char| c.is_whitespace() || c == '-');
                if after.len() == rest.len() {
                    return None;
                }
                rest = after;
            }
            '/' => rest = rest.trim_start().strip_prefix('/')?.trim_start(),
            _ => {
                let found = rest.chars().next()?;
                if !same(found, wanted) {
                    return None;
                }
                rest = &rest[found.len_utf8()..];
            }
        }
    }
    ends_a_unit(rest).then(|| text.len() - rest.len())
}

/// Tells whether a unit may end before `rest`: "ft" ends before "6in", not before "²" or "lb".
fn ends_a_unit(rest: &str) -> bool {
    let ends = |c: char| !c.is_alphabetic() && !"/²³^·°%'\"′″".contains(c);
    rest.chars().next().is_none_or(ends) && !rest.trim_start().starts_with('/')
}
