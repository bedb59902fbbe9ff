//! Tables over a few unknowns: products, sums, and fixing a value.

use super::{Unknown, ValueAt};

/// After how many tables a product is scaled: with eight, weights down to 1e-38 can't vanish in it.
const SCALED_AFTER: usize = 8;

/// A table over some unknowns, in ascending order of their places, the last running fastest.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Factor {
    pub(super) over: Vec<Unknown>,
    pub(super) sizes: Vec<usize>,
    pub(super) numbers: Vec<f64>,
    /// The natural logarithm of what all the numbers are to be multiplied by; long products would vanish otherwise.
    pub(super) log: f64,
}

impl Factor {
    /// A table whose unknowns may stand in any order.
    ///
    /// Panics if the numbers are not as many as combinations, or an unknown stands twice.
    pub(super) fn new(over: &[Unknown], sizes: &[usize], numbers: Vec<f64>) -> Self {
        assert_eq!(numbers.len(), sizes.iter().product::<usize>(), "a number for each combination of values");
        let mut order: Vec<usize> = (0..over.len()).collect();
        order.sort_by_key(|at| over[*at]);
        assert!(
            order.windows(2).all(|pair| over[pair[0]] < over[pair[1]]),
            "an unknown stands once in a table"
        );
        if order.is_sorted() {
            return Self { over: over.to_vec(), sizes: sizes.to_vec(), numbers, log: 0.0 };
        }
        let steps = strides(sizes);
        let sorted_sizes: Vec<usize> = order.iter().map(|at| sizes[*at]).collect();
        let mut out = Vec::with_capacity(numbers.len());
        each(&sorted_sizes, |values| {
            let place: usize = order.iter().zip(values).map(|(at, value)| steps[*at] * value).sum();
            out.push(numbers[place]);
        });
        Self { over: order.iter().map(|at| over[*at]).collect(), sizes: sorted_sizes, numbers: out, log: 0.0 }
    }

    /// The table that is left when some unknowns are fixed.
    pub(super) fn given(&self, fixed: &[Option<ValueAt>]) -> Self {
        if self.over.iter().all(|unknown| fixed[*unknown].is_none()) {
            return self.clone();
        }
        let steps = strides(&self.sizes);
        let kept: Vec<usize> = (0..self.over.len()).filter(|at| fixed[self.over[*at]].is_none()).collect();
        let start: usize =
            self.over.iter().zip(&steps).filter_map(|(unknown, step)| Some(fixed[*unknown]? * step)).sum();
        let sizes: Vec<usize> = kept.iter().map(|at| self.sizes[*at]).collect();
        let mut numbers = Vec::with_capacity(sizes.iter().product());
        each(&sizes, |values| {
            let place: usize =
                start + kept.iter().zip(values).map(|(at, value)| steps[*at] * value).sum::<usize>();
            numbers.push(self.numbers[place]);
        });
        Self { over: kept.iter().map(|at| self.over[*at]).collect(), sizes, numbers, log: self.log }
    }

    /// The product of tables, over all their unknowns and those in `also`, each with its number of values.
    pub(super) fn product(parts: &[&Self], also: &[(Unknown, usize)]) -> Self {
        let mut all: Vec<(Unknown, usize)> = also.to_vec();
        for part in parts {
            all.extend(part.over.iter().copied().zip(part.sizes.iter().copied()));
        }
        all.sort_unstable();
        all.dedup();
        let (over, sizes): (Vec<Unknown>, Vec<usize>) = all.into_iter().unzip();
        let numbers = vec![1.0; sizes.iter().product()];
        let mut out = Self { over, sizes, numbers, log: parts.iter().map(|part| part.log).sum() };
        for some in parts.chunks(SCALED_AFTER) {
            for part in some {
                part.multiply_into(&out.over, &out.sizes, &mut out.numbers);
            }
            out.scale();
        }
        out
    }

    /// Multiplies this table into a larger one that has all its unknowns.
    fn multiply_into(&self, over: &[Unknown], sizes: &[usize], numbers: &mut [f64]) {
        let own = strides(&self.sizes);
        let steps: Vec<usize> =
            over.iter().map(|unknown| self.over.binary_search(unknown).map_or(0, |at| own[at])).collect();
        let mut values = vec![0_usize; over.len()];
        let mut place = 0;
        for number in numbers.iter_mut() {
            *number *= self.numbers[place];
            for at in (0..over.len()).rev() {
                values[at] += 1;
                place += steps[at];
                if values[at] < sizes[at] {
                    break;
                }
                place -= steps[at] * sizes[at];
                values[at] = 0;
            }
        }
    }

    /// The table over fewer unknowns, all others summed over.
    pub(super) fn sum_to(&self, keep: &[Unknown]) -> Self {
        let kept: Vec<usize> = (0..self.over.len()).filter(|at| keep.contains(&self.over[*at])).collect();
        let sizes: Vec<usize> = kept.iter().map(|at| self.sizes[*at]).collect();
        let inner = strides(&sizes);
        let mut steps = vec![0; self.over.len()];
        for (at, step) in kept.iter().zip(&inner) {
            steps[*at] = *step;
        }
        let mut numbers = vec![0.0; sizes.iter().product()];
        let mut values = vec![0_usize; self.over.len()];
        let mut place = 0;
        for number in &self.numbers {
            numbers[place] += number;
            for at in (0..self.over.len()).rev() {
                values[at] += 1;
                place += steps[at];
                if values[at] < self.sizes[at] {
                    break;
                }
                place -= steps[at] * self.sizes[at];
                values[at] = 0;
            }
        }
        Self { over: kept.iter().map(|at| self.over[*at]).collect(), sizes, numbers, log: self.log }
    }

    /// Makes its largest number one; the logarithm takes the rest.
    fn scale(&mut self) {
        let most = self.numbers.iter().copied().fold(0.0, f64::max);
        if most > 0.0 {
            self.numbers.iter_mut().for_each(|number| *number /= most);
        }
        self.log += libm::log(most);
    }
}

/// How far apart the values of each unknown stand in a table.
fn strides(sizes: &[usize]) -> Vec<usize> {
    let mut steps = vec![1; sizes.len()];
    for at in (1..sizes.len()).rev() {
        steps[at - 1] = steps[at] * sizes[at];
    }
    steps
}

/// Every combination of values, the last running fastest.
fn each(sizes: &[usize], mut see: impl FnMut(&[usize])) {
    let mut values = vec![0_usize; sizes.len()];
    loop {
        see(&values);
        let Some(at) = (0..sizes.len()).rev().find(|at| values[*at] + 1 < sizes[*at]) else { return };
        values[at] += 1;
        values[at + 1..].fill(0);
    }
}
