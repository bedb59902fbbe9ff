//! Values on their way into a statement, and the places in it that they take.

use jiff::Timestamp;

use crate::text;

/// A value to be bound; `None` is null.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Value {
    Text(Option<String>),
    Int(Option<i64>),
    Bytes(Option<Vec<u8>>),
}

impl From<&str> for Value {
    fn from(text: &str) -> Self {
        Self::Text(Some(text.to_owned()))
    }
}

impl From<&String> for Value {
    fn from(text: &String) -> Self {
        Self::Text(Some(text.clone()))
    }
}

impl From<String> for Value {
    fn from(text: String) -> Self {
        Self::Text(Some(text))
    }
}

impl From<Option<&str>> for Value {
    fn from(text: Option<&str>) -> Self {
        Self::Text(text.map(str::to_owned))
    }
}

impl From<Timestamp> for Value {
    fn from(time: Timestamp) -> Self {
        Self::Text(Some(text::from_time(time)))
    }
}

impl From<i64> for Value {
    fn from(number: i64) -> Self {
        Self::Int(Some(number))
    }
}

impl From<u32> for Value {
    fn from(number: u32) -> Self {
        Self::Int(Some(number.into()))
    }
}

impl From<Option<u32>> for Value {
    fn from(number: Option<u32>) -> Self {
        Self::Int(number.map(i64::from))
    }
}

impl From<bool> for Value {
    fn from(yes: bool) -> Self {
        Self::Int(Some(yes.into()))
    }
}

impl From<&[u8]> for Value {
    fn from(bytes: &[u8]) -> Self {
        Self::Bytes(Some(bytes.to_vec()))
    }
}

/// Values to be bound, each turned into its kind.
macro_rules! values {
    ($($value:expr),* $(,)?) => { vec![$($crate::value::Value::from($value)),*] };
}
pub(crate) use values;

/// `($1, $2), ($3, $4)`: places for values in rows of so many columns.
pub(crate) fn places(rows: usize, columns: usize) -> String {
    let row = |row: usize| {
        let places: Vec<String> =
            (1..=columns).map(|column| format!("${}", row * columns + column)).collect();
        format!("({})", places.join(", "))
    };
    (0..rows).map(row).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_numbered_through() {
        assert_eq!(places(2, 3), "($1, $2, $3), ($4, $5, $6)");
    }
}
