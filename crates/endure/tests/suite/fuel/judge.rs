//! Reads the outside tables and judges a figure against a printed one.

use std::collections::BTreeMap;

/// A row of a table by the names of its columns.
pub(crate) struct Row(BTreeMap<String, String>);

impl Row {
    pub(crate) fn text(&self, column: &str) -> &str {
        &self.0[column]
    }

    pub(crate) fn number(&self, column: &str) -> f64 {
        self.text(column).parse().expect("the column holds numbers")
    }
}

/// Reads a table of `reference/oracles`.
pub(crate) fn table(name: &str) -> Vec<Row> {
    let path = format!("{}/../../reference/oracles/{name}", env!("CARGO_MANIFEST_DIR"));
    let mut reader = csv::Reader::from_path(path).expect("the table is there");
    reader.deserialize().map(|row| Row(row.expect("the table has whole rows"))).collect()
}

/// Holds a figure against a printed one: to a millionth, or to half a unit of the last printed digit where
/// that is coarser, since the print says no more.
pub(crate) fn assert_printed(found: f64, printed: &str, what: &str) {
    let value: f64 = printed.parse().expect("a number is printed");
    let places = printed.split_once('.').map_or(0, |(_, digits)| digits.len());
    let half_digit = 0.5 / 10_f64.powi(i32::try_from(places).unwrap_or(0));
    // The figure that was rounded may lie on the half itself, but for the last bit.
    let bound = (value.abs() * 1e-6).max(half_digit * (1.0 + 1e-6));
    assert!((found - value).abs() <= bound, "{what}: found {found}, printed {printed}");
}

/// Holds a figure against one with all its digits, to a relative bound.
pub(crate) fn assert_near(found: f64, wanted: f64, relative: f64, what: &str) {
    let error = (found / wanted - 1.0).abs();
    assert!(error <= relative, "{what}: found {found}, wanted {wanted}, off by {error:e}");
}

#[test]
fn the_judge_refuses_what_is_off() {
    assert_printed(2.0215, "2.0215", "itself");
    assert!(std::panic::catch_unwind(|| assert_printed(2.02156, "2.0215", "a digit off")).is_err());
    assert!(std::panic::catch_unwind(|| assert_printed(1000.002, "1000.00000", "two millionths")).is_err());
    assert!(std::panic::catch_unwind(|| assert_near(1.1, 1.0, 0.09, "a tenth")).is_err());
}
