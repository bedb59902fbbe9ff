//! The straight-line picture of what readings tell of the scores behind a drawing, and drawing again from it.
//!
//! Readings are taken as affine in the normal scores; of normal scores with normal gauge errors the posterior is then
//! normal in closed form, the update step of Kalman's filter (Bishop, Pattern Recognition and Machine Learning, 2006,
//! section 2.3.3 and 13.3). It only proposes; what it gets wrong, importance weights put right.

/// Readings as affine functions of the scores.
#[derive(Debug, Clone)]
pub(super) struct Affine {
    /// What each reading is with all scores at nought.
    pub(super) at_nought: Vec<f64>,
    /// How each reading changes with each score.
    pub(super) slopes: Vec<Vec<f64>>,
    /// The variance of each reading that the straight line leaves.
    pub(super) left: Vec<f64>,
}

impl Affine {
    /// The weighted least squares fit with a light pull of the slopes towards nought (ridge regression: Bishop,
    /// section 3.1.4). Weights add up to 1; `effective` is how many drawings they are worth.
    pub(super) fn fit(scores: &[&[f64]], seen: &[&[f64]], weights: &[f64], effective: f64) -> Self {
        let (size, readings) =
            (scores.first().map_or(0, |one| one.len()), seen.first().map_or(0, |one| one.len()));
        let mean =
            |of: &[&[f64]], at: usize| -> f64 { of.iter().zip(weights).map(|(one, w)| one[at] * w).sum() };
        let centre: Vec<f64> = (0..size).map(|at| mean(scores, at)).collect();
        let middle: Vec<f64> = (0..readings).map(|at| mean(seen, at)).collect();
        let mut spread = vec![vec![0.0; size]; size];
        let mut joint = vec![vec![0.0; size]; readings];
        let mut off = vec![0.0; size];
        for ((one, seen), weight) in scores.iter().zip(seen).zip(weights) {
            if *weight < 1e-12 {
                continue;
            }
            for at in 0..size {
                off[at] = one[at] - centre[at];
            }
            for row in 0..size {
                let weighed = weight * off[row];
                for (sum, other) in spread[row][..=row].iter_mut().zip(&off) {
                    *sum += weighed * other;
                }
            }
            for (row, sums) in joint.iter_mut().enumerate() {
                let weighed = weight * (seen[row] - middle[row]);
                sums.iter_mut().zip(&off).for_each(|(sum, off)| *sum += weighed * off);
            }
        }
        // As many slopes as scores share one reading's variance: a tenth of that is left to noise.
        let pull = 0.1 * size as f64 / effective.max(1.0) + 1e-9;
        (0..size).for_each(|at| spread[at][at] += pull);
        let root = Root::of(spread);
        let slopes: Vec<Vec<f64>> = joint.iter().map(|row| root.solve(row)).collect();
        let at_nought = slopes
            .iter()
            .zip(&middle)
            .map(|(slopes, middle)| middle - dot(slopes, &centre))
            .collect::<Vec<f64>>();
        let left = (0..readings)
            .map(|at| {
                let off = |one: &[f64], seen: &[f64]| seen[at] - at_nought[at] - dot(&slopes[at], one);
                scores
                    .iter()
                    .zip(seen)
                    .zip(weights)
                    .map(|((one, seen), w)| w * off(one, seen) * off(one, seen))
                    .sum()
            })
            .collect();
        Self { at_nought, slopes, left }
    }
}

/// A normal distribution of scores: the posterior if the straight lines were true.
#[derive(Debug, Clone)]
pub(super) struct Proposal {
    centre: Vec<f64>,
    slopes: Vec<Vec<f64>>,
    noise: Vec<f64>,
    /// What a reading's surprise moves each score by: a row for each reading.
    gain: Vec<Vec<f64>>,
    log_scale: f64,
}

impl Proposal {
    /// From what was seen, and the variance of each reading's error.
    pub(super) fn new(affine: &Affine, seen: &[f64], noise: Vec<f64>) -> Self {
        let slopes = affine.slopes.clone();
        let mut around: Vec<Vec<f64>> =
            slopes.iter().map(|one| slopes.iter().map(|other| dot(one, other)).collect()).collect();
        noise.iter().enumerate().for_each(|(at, noise)| around[at][at] += noise);
        let root = Root::of(around);
        let surprise: Vec<f64> = seen.iter().zip(&affine.at_nought).map(|(seen, at)| seen - at).collect();
        let size = slopes.first().map_or(0, Vec::len);
        let mut gain = vec![vec![0.0; size]; slopes.len()];
        for at in 0..size {
            let column: Vec<f64> = slopes.iter().map(|row| row[at]).collect();
            root.solve(&column).into_iter().zip(&mut gain).for_each(|(gained, row)| row[at] = gained);
        }
        let centre = moved(&gain, &surprise, size);
        let log_noise: f64 = noise.iter().map(|noise| libm::log(*noise)).sum();
        let log_scale = root.log_diagonal() - log_noise / 2.0;
        Self { centre, slopes, noise, gain, log_scale }
    }

    /// Scores of this distribution from standard normal ones and one more for each reading: what the readings would
    /// have told of these is taken off them (sampling by perturbed observations; Burgers, van Leeuwen and Evensen,
    /// Monthly Weather Review 126 (1998) 1719).
    pub(super) fn draw(&self, scores: &[f64], errors: &[f64]) -> Vec<f64> {
        let surprise: Vec<f64> = self
            .slopes
            .iter()
            .zip(&self.noise)
            .zip(errors)
            .map(|((slopes, noise), error)| dot(slopes, scores) + noise.sqrt() * error)
            .collect();
        let back = moved(&self.gain, &surprise, scores.len());
        scores
            .iter()
            .zip(&self.centre)
            .zip(back)
            .map(|((score, centre), back)| centre + score - back)
            .collect()
    }

    /// The logarithm of its density over that of standard normal scores.
    pub(super) fn log_ratio(&self, scores: &[f64]) -> f64 {
        let off: Vec<f64> = scores.iter().zip(&self.centre).map(|(score, centre)| score - centre).collect();
        let told: f64 = self
            .slopes
            .iter()
            .zip(&self.noise)
            .map(|(slopes, noise)| {
                let along = dot(slopes, &off);
                along * along / noise
            })
            .sum();
        self.log_scale - (dot(&off, &off) + told - dot(scores, scores)) / 2.0
    }
}

fn moved(gain: &[Vec<f64>], surprise: &[f64], size: usize) -> Vec<f64> {
    let mut sum = vec![0.0; size];
    for (row, by) in gain.iter().zip(surprise) {
        sum.iter_mut().zip(row).for_each(|(sum, gain)| *sum += gain * by);
    }
    sum
}

pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// The lower triangular root of a symmetric positive matrix (Cholesky's), of which the lower half is given.
struct Root(Vec<Vec<f64>>);

impl Root {
    fn of(mut matrix: Vec<Vec<f64>>) -> Self {
        for row in 0..matrix.len() {
            for column in 0..=row {
                let known = dot(&matrix[row][..column], &matrix[column][..column]);
                let rest = matrix[row][column] - known;
                // What rounding leaves of a matrix that is only just positive.
                matrix[row][column] =
                    if row == column { rest.max(1e-14).sqrt() } else { rest / matrix[column][column] };
            }
        }
        Self(matrix)
    }

    fn solve(&self, right: &[f64]) -> Vec<f64> {
        let size = self.0.len();
        let mut found = right.to_vec();
        for row in 0..size {
            let known = dot(&self.0[row][..row], &found[..row]);
            found[row] = (found[row] - known) / self.0[row][row];
        }
        for row in (0..size).rev() {
            let known: f64 = (row + 1..size).map(|below| self.0[below][row] * found[below]).sum();
            found[row] = (found[row] - known) / self.0[row][row];
        }
        found
    }

    /// Half the logarithm of the determinant.
    fn log_diagonal(&self) -> f64 {
        self.0.iter().enumerate().map(|(at, row)| libm::log(row[at])).sum()
    }
}
