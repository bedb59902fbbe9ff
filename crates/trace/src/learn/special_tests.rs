//! The integrals against tables with forty digits.

use super::{beta_at, gamma_at, quantile};

fn table(key: &str) -> Vec<Vec<f64>> {
    let path = format!("{}/../../reference/reliability/special.json", env!("CARGO_MANIFEST_DIR"));
    #[allow(clippy::disallowed_methods, reason = "a test reads the reference data")]
    let text = std::fs::read_to_string(path).unwrap();
    let file: serde_json::Value = serde_json::from_str(&text).unwrap();
    let row =
        |row: &serde_json::Value| row.as_array().unwrap().iter().map(|cell| cell.as_f64().unwrap()).collect();
    file[key].as_array().unwrap().iter().map(row).collect()
}

/// The largest relative difference from the last column, over at least so many rows.
fn worst(key: &str, rows: usize, ours: impl Fn(&[f64]) -> f64) -> f64 {
    let table = table(key);
    assert!(table.len() >= rows, "{key}");
    table.iter().map(|row| (ours(row) / row[row.len() - 1] - 1.0).abs()).fold(0.0, f64::max)
}

/// `reference/reliability/special.json`, by another program with forty digits.
#[test]
fn integrals_agree_with_forty_digits() {
    let gamma = worst("gamma", 70, |row| gamma_at(row[0], row[1]).below);
    let beta = worst("beta", 25, |row| beta_at(row[0], row[1], row[2]).0);
    assert!(gamma < 1e-12 && beta < 1e-12, "gamma {gamma:e}, beta {beta:e}");
}

/// As above. The quantile of a small shape is as ill to find as its exponent is large, so digits are lost there.
#[test]
fn quantiles_agree_with_forty_digits() {
    let gamma = worst("gamma_quantile", 30, |row| {
        let at = |x: f64| {
            let at = gamma_at(row[0], x);
            (at.below, at.above, at.density)
        };
        quantile(at, row[1], row[0])
    });
    let beta = worst("beta_quantile", 12, |row| {
        quantile(|x| beta_at(row[0], row[1], x), row[2], row[0] / (row[0] + row[1]))
    });
    assert!(gamma < 1e-11 && beta < 1e-11, "gamma {gamma:e}, beta {beta:e}");
}
