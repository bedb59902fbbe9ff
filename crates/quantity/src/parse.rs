//! Reading what people write: "230 Ah", "-5 °C", "1 h 30 min", "5ft6in", "50 %".
//!
//! The text is one part (a number and a unit) or several of descending units. Every fault carries the span
//! of what is wrong in the text as given.

use std::ops::Range;

use crate::dimension::Dimension;
use crate::error::{ErrorKind, ParseError};
use crate::quantity::Quantity;
use crate::table::{PLAIN, UNITS};
use crate::unit::Unit;

/// Reads a quantity; if `wanted` is given, one of that dimension.
pub(crate) fn parse(text: &str, wanted: Option<Dimension>) -> Result<Quantity, ParseError> {
    let found = Reader { text, at: 0, wanted }.quantity().map_err(|(kind, span)| ParseError {
        kind,
        span,
        wanted,
    })?;
    match wanted {
        Some(wanted) if wanted != found.dimension() => {
            let span = trimmed(text, 0..text.len());
            let kind = ErrorKind::WrongDimension {
                text: text[span.clone()].to_owned(),
                found: found.dimension(),
                wanted,
            };
            Err(ParseError { kind, span, wanted: Some(wanted) })
        }
        _ => Ok(found),
    }
}

type Fault = (ErrorKind, Range<usize>);

struct Reader<'t> {
    text: &'t str,
    at: usize,
    wanted: Option<Dimension>,
}

/// A number with its unit, as it stands in the text.
struct Part {
    number: Number,
    unit: &'static Unit,
    span: Range<usize>,
}

struct Number {
    negative: bool,
    signed: bool,
    size: f64,
    span: Range<usize>,
}

impl<'t> Reader<'t> {
    fn quantity(&mut self) -> Result<Quantity, Fault> {
        self.skip_space();
        if self.rest().is_empty() {
            return Err((ErrorKind::Empty, 0..self.text.len()));
        }
        let first = self.part()?;
        let dimension = first.unit.dimension();
        let mut parts = vec![first];
        self.skip_space();
        while !self.rest().is_empty() {
            let part = self.part()?;
            self.follows(&parts[0], &parts[parts.len() - 1], &part)?;
            parts.push(part);
            self.skip_space();
        }
        let mut total = None;
        for part in &parts {
            let canonical = part.unit.to_canonical(if parts[0].number.negative {
                -part.number.size
            } else {
                part.number.size
            });
            // Starting from the first part, not from 0.0, keeps the sign of -0.0.
            total = Some(total.map_or(canonical, |before: f64| before + canonical));
        }
        let total = total.unwrap_or(f64::NAN);
        if total.is_finite() {
            Ok(Quantity::from_canonical(dimension, total))
        } else {
            let span = parts[0].span.start..parts[parts.len() - 1].span.end;
            Err((ErrorKind::TooLarge { found: self.text[span.clone()].to_owned() }, span))
        }
    }

    /// Checks that `part` may follow `before` in a quantity that began with `first`.
    fn follows(&self, first: &Part, before: &Part, part: &Part) -> Result<(), Fault> {
        let written = |part: &Part| self.text[part.span.clone()].to_owned();
        let text = written(part);
        let dimension = first.unit.dimension();
        let fault = |kind| Err((kind, part.span.clone()));
        if part.unit.dimension() != dimension {
            return fault(ErrorKind::MixedParts { first: dimension, text, found: part.unit.dimension() });
        }
        if matches!(dimension, Dimension::Temperature | Dimension::Ratio) {
            return fault(ErrorKind::NotInParts { dimension });
        }
        if part.number.signed {
            return fault(ErrorKind::SignInside { text });
        }
        if part.unit.factor() >= before.unit.factor() {
            return fault(ErrorKind::NotDescending { before: before.unit, text });
        }
        if part.unit.to_canonical(part.number.size) >= before.unit.to_canonical(1.0) {
            return fault(ErrorKind::PartTooLarge { before: before.unit, text });
        }
        if before.number.size.fract() != 0.0 {
            let kind = ErrorKind::FractionBeforeLast { text: written(before) };
            return Err((kind, before.span.clone()));
        }
        Ok(())
    }

    fn part(&mut self) -> Result<Part, Fault> {
        let number = self.number()?;
        self.skip_space();
        let unit = self.unit(&number)?;
        let span = trimmed(self.text, number.span.start..self.at);
        Ok(Part { number, unit, span })
    }

    fn number(&mut self) -> Result<Number, Fault> {
        let start = self.at;
        let sign = self.rest().chars().next().filter(|c| matches!(c, '+' | '-' | '\u{2212}'));
        self.at += sign.map_or(0, char::len_utf8);
        let digits = self.at;
        self.take(|c| c.is_ascii_digit() || c == '.');
        if self.text[digits..self.at].bytes().all(|b| b == b'.') {
            return Err(self.no_number(start, digits));
        }
        self.refuse_separators(start, digits)?;
        self.take_exponent();
        let span = start..self.at;
        // Rust reads the digits to the nearest f64, and more digits than fit to infinity.
        let size = self.text[digits..self.at].parse::<f64>().map_err(|_| {
            (ErrorKind::NotANumber { found: self.text[span.clone()].to_owned() }, span.clone())
        })?;
        if !size.is_finite() {
            return Err((ErrorKind::TooLarge { found: self.text[span.clone()].to_owned() }, span));
        }
        let negative = matches!(sign, Some('-' | '\u{2212}'));
        Ok(Number { negative, signed: sign.is_some(), size, span })
    }

    /// Says what stands where a number should.
    fn no_number(&mut self, start: usize, digits: usize) -> Fault {
        self.at = digits;
        self.take(char::is_alphabetic);
        let word = self.text[digits..self.at].to_ascii_lowercase();
        if matches!(word.as_str(), "inf" | "infinity" | "infinite" | "nan") {
            let span = start..self.at;
            return (ErrorKind::NotFinite { found: self.text[span.clone()].to_owned() }, span);
        }
        self.take(|c| !c.is_whitespace() && !c.is_ascii_digit());
        let span = start..self.at.max(start);
        (ErrorKind::NotANumber { found: self.text[span.clone()].to_owned() }, span)
    }

    /// Refuses "1,5", "1,500" and "1_500", offering what they may mean.
    fn refuse_separators(&mut self, start: usize, digits: usize) -> Result<(), Fault> {
        let is_separator = |c: char| matches!(c, ',' | '_');
        let mut next = self.rest().chars();
        let separated =
            next.next().is_some_and(is_separator) && next.next().is_some_and(|c| c.is_ascii_digit());
        if !separated {
            return Ok(());
        }
        self.take(|c| c.is_ascii_digit() || c == '.' || is_separator(c));
        let number = &self.text[start..self.at];
        let size = &self.text[digits..self.at];
        let readings = readings(size).into_iter().map(|r| format!("{}{r}", &self.text[start..digits]));
        let kind = ErrorKind::Separator { number: number.to_owned(), readings: readings.collect() };
        Err((kind, start..self.at))
    }

    /// Takes "e9" or "E-9", if digits follow; else leaves the letter to the unit.
    fn take_exponent(&mut self) {
        let Some(after) = self.rest().strip_prefix(['e', 'E']) else { return };
        let digits = after.strip_prefix(['+', '-']).unwrap_or(after);
        if digits.starts_with(|c: char| c.is_ascii_digit()) {
            self.at = self.text.len() - digits.len();
            self.take(|c| c.is_ascii_digit());
        }
    }

    fn unit(&mut self, number: &Number) -> Result<&'static Unit, Fault> {
        let rest = self.rest();
        let known = UNITS.iter().filter_map(|unit| Some((unit.match_len(rest)?, unit)));
        if let Some((len, unit)) = known.max_by_key(|(len, _)| *len) {
            self.at += len;
            return Ok(unit);
        }
        let end = rest.find(|c: char| c.is_ascii_digit()).unwrap_or(rest.len());
        let span = trimmed(self.text, self.at..self.at + end);
        if !span.is_empty() {
            let found = &self.text[span.clone()];
            let nearest = nearest(found, self.wanted);
            return Err((ErrorKind::UnknownUnit { found: found.to_owned(), nearest }, span));
        }
        let alone = rest.is_empty() && self.text[..number.span.start].trim().is_empty();
        if alone && self.wanted.is_none_or(|wanted| wanted == Dimension::Ratio) {
            return Ok(&PLAIN);
        }
        let kind = ErrorKind::MissingUnit { number: self.text[number.span.clone()].to_owned() };
        Err((kind, number.span.clone()))
    }

    fn rest(&self) -> &'t str {
        &self.text[self.at..]
    }

    fn take(&mut self, wanted: impl Fn(char) -> bool) {
        let rest = self.rest();
        self.at += rest.find(|c| !wanted(c)).unwrap_or(rest.len());
    }

    fn skip_space(&mut self) {
        self.take(char::is_whitespace);
    }
}

/// Narrows a span to leave out the white space at its ends.
fn trimmed(text: &str, span: Range<usize>) -> Range<usize> {
    let part = &text[span.clone()];
    let start = span.start + (part.len() - part.trim_start().len());
    start..start + part.trim().len()
}

/// Returns what a number with separators may mean, the decimal reading first.
fn readings(number: &str) -> Vec<String> {
    let bare: String = number.chars().filter(|c| !matches!(c, ',' | '_')).collect();
    if number.contains('_') {
        return vec![bare];
    }
    let (whole, tail) = number.split_once(',').unwrap_or((number, ""));
    let grouped = tail.split('.').next().unwrap_or("").split(',').all(|group| group.len() == 3);
    let thousands = grouped && !whole.contains('.') && tail.matches('.').count() <= 1;
    let decimal = !tail.contains([',', '.']);
    let mut readings = Vec::new();
    if decimal {
        readings.push(format!("{}.{tail}", whole.replace('.', "")));
    }
    if thousands {
        readings.push(bare);
    }
    readings
}

/// The letters of a text in order.
fn sorted(text: &str) -> Vec<char> {
    let mut letters: Vec<char> = text.chars().collect();
    letters.sort_unstable();
    letters
}

/// Returns the known unit most like what was written, units of the wanted dimension first.
fn nearest(found: &str, wanted: Option<Dimension>) -> Option<&'static Unit> {
    let lower = found.to_lowercase();
    let distance = |unit: &Unit| {
        unit.spellings()
            .filter(|spelling| !spelling.is_empty())
            .filter_map(|spelling| {
                let spelling = spelling.to_lowercase();
                if spelling.strip_prefix('°') == Some(&lower) {
                    return Some(0);
                }
                let steps = strsim::damerau_levenshtein(&lower, &spelling);
                let length = spelling.chars().count();
                // One slip in three letters is a likely slip; a whole short symbol replaced is a guess.
                // Letters in another order are likelier a slip of the fingers than another letter is: "rmp" is rpm.
                let swapped = steps > 0 && sorted(&lower) == sorted(&spelling);
                (steps * 3 <= length).then_some(2 * steps - usize::from(swapped))
            })
            .min()
    };
    let by = |unit: &&'static Unit| {
        let other_dimension = wanted.is_some_and(|wanted| wanted != unit.dimension());
        distance(unit).map(|steps| (steps, other_dimension))
    };
    UNITS.iter().filter_map(|unit| Some((by(&unit)?, unit))).min_by_key(|(rank, _)| *rank).map(|(_, u)| u)
}
