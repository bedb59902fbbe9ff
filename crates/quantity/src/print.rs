//! Printing: exactly, to be read back, and rounded, for people.

use crate::dimension::Dimension;
use crate::table::{DAY, HOUR, MINUTE, SECOND, UNITS};
use crate::unit::{System, Unit};

/// Prints a canonical value so that it reads back as the same value, bit for bit.
///
/// It takes the natural metric unit, or a smaller one if that needs fewer digits, or the canonical unit if
/// neither carries the value exactly. Not-a-number and infinities print as such and cannot be read back.
pub(crate) fn exact(dimension: Dimension, value: f64) -> String {
    let canonical = Unit::canonical(dimension);
    if !value.is_finite() || value == 0.0 {
        return with_unit(&digits(value), canonical);
    }
    let clock = if dimension == Dimension::Time { clock(value) } else { None };
    if let Some(text) = clock {
        return text;
    }
    ladder(dimension, System::Metric, value)
        .into_iter()
        .chain(std::iter::once(canonical))
        .filter_map(|unit| Some((shortest(value, unit)?, unit)))
        .min_by_key(|(text, _)| significant(text))
        .map_or_else(|| with_unit(&digits(value), canonical), |(text, unit)| with_unit(&text, unit))
}

/// Returns the shortest digits that read back as the value when written in `unit`, if any do.
fn shortest(value: f64, unit: &Unit) -> Option<String> {
    let reading = unit.reading(value);
    // Turning 0.29 into a percentage gives 28.999999999999996; 29 reads back just as exactly.
    let to_fifteen_digits = format!("{reading:.14e}").parse().ok();
    let to_sixteen_digits = format!("{reading:.15e}").parse().ok();
    to_fifteen_digits
        .into_iter()
        .chain(to_sixteen_digits)
        .chain([reading])
        .find(|reading: &f64| unit.to_canonical(*reading).to_bits() == value.to_bits())
        .map(digits)
}

/// Prints a canonical value for people: about four digits, in a unit of `system` that suits its size.
pub(crate) fn for_people(dimension: Dimension, value: f64, system: System) -> String {
    let natural = ladder(dimension, system, value).first().copied();
    let unit = natural.unwrap_or_else(|| Unit::canonical(dimension));
    if !value.is_finite() {
        return with_unit(&digits(value), unit);
    }
    match (dimension, system) {
        (Dimension::Time, _) if value.abs() >= 60.0 => {
            clock(rounded_time(value)).unwrap_or_else(|| with_unit(&rounded(value), unit))
        }
        (Dimension::Length, System::UsCustomary) if unit.symbol() == "ft" => {
            feet_and_inches(unit.reading(value))
        }
        _ => with_unit(&rounded(unit.reading(value)), unit),
    }
}

/// Returns the units a value may be printed in, the natural one first, then smaller ones.
fn ladder(dimension: Dimension, system: System, value: f64) -> Vec<&'static Unit> {
    let size = value.abs();
    let canonical = Unit::canonical(dimension);
    let mut units: Vec<(f64, &Unit)> = UNITS
        .iter()
        .filter(|unit| unit.dimension() == dimension && unit.systems().contains(&system))
        .filter_map(|unit| Some((unit.print_from()?, unit)))
        .collect();
    units.sort_by(|a, b| b.0.total_cmp(&a.0));
    if size > 0.0 {
        units.retain(|(least, _)| *least <= size);
    } else if units.iter().any(|(_, unit)| *unit == canonical) {
        // Nothing is said in the unit of everyday amounts, not in the smallest one.
        return vec![canonical];
    } else if let [.., everyday, _] = units.as_slice() {
        return vec![everyday.1];
    }
    units.into_iter().map(|(_, unit)| unit).collect()
}

/// Writes whole seconds as days, hours, minutes and seconds; days only from two on.
fn clock(value: f64) -> Option<String> {
    let total = value.abs();
    // Below 2^53 every part and every sum of parts is exact.
    if total < 60.0 || total.fract() != 0.0 || total >= 9e15 {
        return None;
    }
    let mut left = total;
    let mut parts = Vec::new();
    for unit in [&DAY, &HOUR, &MINUTE, &SECOND] {
        let size = unit.to_canonical(1.0);
        let skip = unit.symbol() == DAY.symbol() && total < 2.0 * size;
        let count = if skip { 0.0 } else { (left / size).floor() };
        left -= count * size;
        if count > 0.0 {
            parts.push(with_unit(&format!("{count}"), unit));
        }
    }
    let sign = if value < 0.0 { "-" } else { "" };
    Some(format!("{sign}{}", parts.join(" ")))
}

/// Rounds a time to what people say: to the second under ten minutes, to the minute under two days, else to
/// the hour.
fn rounded_time(value: f64) -> f64 {
    let step = match value.abs() {
        under_ten_minutes if under_ten_minutes < 600.0 => 1.0,
        under_two_days if under_two_days < 172_800.0 => 60.0,
        _ => 3600.0,
    };
    (value / step).round() * step
}

/// Writes feet and inches up to ten feet, else feet to a tenth.
fn feet_and_inches(feet: f64) -> String {
    let inches = (feet.abs() * 12.0).round();
    if inches >= 120.0 {
        return format!("{} ft", rounded_to(feet, 1));
    }
    let sign = if feet < 0.0 { "-" } else { "" };
    let (whole, rest) = ((inches / 12.0).floor(), inches % 12.0);
    if rest > 0.0 { format!("{sign}{whole} ft {rest} in") } else { format!("{sign}{whole} ft") }
}

/// Writes a number to four significant digits, whole numbers in full, without trailing zeros.
fn rounded(value: f64) -> String {
    let places = match value.abs() {
        size if size >= 1000.0 => 0,
        size if size >= 100.0 => 1,
        size if size >= 10.0 => 2,
        size if size >= 1.0 => 3,
        _ => 4,
    };
    rounded_to(value, places)
}

fn rounded_to(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// Writes the shortest digits that read back as the same number, with an exponent if very long.
fn digits(value: f64) -> String {
    let size = value.abs();
    if size == 0.0 || (1e-6..1e16).contains(&size) || !size.is_finite() {
        format!("{value}")
    } else {
        format!("{value:e}")
    }
}

/// Counts the digits of a written number that carry information.
fn significant(text: &str) -> usize {
    let mantissa = text.split('e').next().unwrap_or(text);
    let figures: String = mantissa.chars().filter(char::is_ascii_digit).collect();
    figures.trim_start_matches('0').trim_end_matches('0').len()
}

/// Joins number and symbol, with the space that the SI asks for except before a bare degree sign.
fn with_unit(number: &str, unit: &Unit) -> String {
    match unit.symbol() {
        "" => number.to_owned(),
        "°" => format!("{number}°"),
        symbol => format!("{number} {symbol}"),
    }
}
