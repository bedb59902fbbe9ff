//! The drawings that a remedy is searched with: spread evenly over what may happen.

use crate::luck::{Luck, Scores};
use crate::voyage::Voyage;

/// So many drawings under a seed, in which every single thing left to chance takes each part of its range once: a
/// Latin hypercube (McKay, Beckman and Conover, Technometrics 21 (1979) 239). A hundred of them tell more than a
/// hundred drawn freely, above all where one habit decides whether a tank lasts. The skies are drawn freely.
pub fn drawings(voyage: &Voyage, seed: u64, count: u32) -> Vec<Luck> {
    let mut scores: Vec<Scores> =
        (0..u64::from(count)).map(|number| Scores::draw(voyage, seed, number)).collect();
    let width = scores.first().map_or(0, |first| first.normal.len());
    let parts: Vec<f64> = (0..count).map(|part| normal((f64::from(part) + 0.5) / f64::from(count))).collect();
    for at in 0..width {
        let mut order: Vec<usize> = (0..scores.len()).collect();
        order.sort_by(|a, b| scores[*a].normal[at].total_cmp(&scores[*b].normal[at]).then(a.cmp(b)));
        for (part, number) in order.into_iter().enumerate() {
            scores[number].normal[at] = parts[part];
        }
    }
    scores.iter().map(|scores| Luck::of_scores(voyage, scores)).collect()
}

/// The standard normal score below which this part lies, by halving.
fn normal(part: f64) -> f64 {
    let below = |score: f64| 0.5 * libm::erfc(-score / std::f64::consts::SQRT_2);
    let (mut low, mut high) = (-10.0_f64, 10.0_f64);
    for _ in 0..80 {
        let middle = f64::midpoint(low, high);
        if below(middle) < part {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}
