//! Exact inference in a network of discrete unknowns: the posterior of every unknown, and the probability of what
//! was seen.
//!
//! Unknowns are eliminated one by one in an order that keeps tables small (least fill); what each elimination makes
//! is a message up a tree, and one pass back down the tree gives every posterior at once.
//!
//! # Source
//! S. L. Lauritzen, D. J. Spiegelhalter, "Local computations with probabilities on graphical structures and their
//! application to expert systems", J. Royal Statistical Society B 50 (1988) 157; G. Shafer, P. Shenoy, "Probability
//! propagation", Annals of Mathematics and Artificial Intelligence 2 (1990) 327; least fill: U. Kjærulff,
//! "Triangulation of graphs", 1990.

mod factor;
mod order;
mod tree;

use factor::Factor;
use tree::Tree;

/// An unknown, by its place in the network.
pub type Unknown = usize;

/// One of an unknown's values, by its place.
pub type ValueAt = usize;

/// A network: unknowns with so many values each, and tables whose product is their joint distribution.
#[derive(Debug, Clone, Default)]
pub struct Network {
    sizes: Vec<usize>,
    factors: Vec<Factor>,
}

/// Posteriors of all unknowns.
#[derive(Debug, Clone, PartialEq)]
pub struct Posterior {
    /// The probability of what was seen: the sum of the tables' product over all that fits it. It is zero when it is
    /// too small for a number; [`log_evidence`](Self::log_evidence) is not.
    pub evidence: f64,
    /// The natural logarithm of the evidence.
    pub log_evidence: f64,
    /// Probabilities by unknown, by value; each unknown's sum to one.
    pub of: Vec<Vec<f64>>,
}

/// What was seen can't be, by the network.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Impossible;

impl std::fmt::Display for Impossible {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(
            "What was seen can't happen by this model. One of the answers must be wrong, or the model is.",
        )
    }
}

impl std::error::Error for Impossible {}

impl Network {
    /// Adds an unknown with this many values, and gives its place.
    ///
    /// # Panics
    /// If it has no values.
    pub fn unknown(&mut self, values: usize) -> Unknown {
        assert!(values > 0, "an unknown has at least one value");
        self.sizes.push(values);
        self.sizes.len() - 1
    }

    /// How many unknowns there are.
    pub fn len(&self) -> usize {
        self.sizes.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.sizes.is_empty()
    }

    /// Adds a table over some unknowns: a number for each combination of their values, the last unknown's value
    /// running fastest.
    ///
    /// # Panics
    /// If the table's length is not the product of their numbers of values, an unknown stands twice or is not of this
    /// network, or a number is negative, infinite or none.
    pub fn table(&mut self, over: &[Unknown], numbers: Vec<f64>) {
        assert!(
            numbers.iter().all(|number| *number >= 0.0 && number.is_finite()),
            "weights are finite, from zero up"
        );
        let sizes: Vec<usize> = over.iter().map(|unknown| self.sizes[*unknown]).collect();
        self.factors.push(Factor::new(over, &sizes, numbers));
    }

    /// The posterior of every unknown once some are seen to have these values. An unknown that stands in no table is as
    /// likely to have each of its values.
    ///
    /// # Errors
    /// If that can't be.
    ///
    /// # Panics
    /// If an unknown or a value is not of this network.
    pub fn posterior(&self, seen: &[(Unknown, ValueAt)]) -> Result<Posterior, Impossible> {
        let fixed = self.fixed(seen)?;
        let factors: Vec<Factor> = self.factors.iter().map(|factor| factor.given(&fixed)).collect();
        let free: Vec<Unknown> = (0..self.sizes.len()).filter(|unknown| fixed[*unknown].is_none()).collect();
        let solved = Tree::new(&self.sizes, &free, factors).solve().ok_or(Impossible)?;
        let mut of = solved.marginals;
        for (unknown, value) in fixed.iter().enumerate() {
            if let Some(value) = value {
                of[unknown] = vec![0.0; self.sizes[unknown]];
                of[unknown][*value] = 1.0;
            }
        }
        Ok(Posterior { evidence: libm::exp(solved.log_total), log_evidence: solved.log_total, of })
    }

    /// The value that each unknown is seen to have, if any.
    fn fixed(&self, seen: &[(Unknown, ValueAt)]) -> Result<Vec<Option<ValueAt>>, Impossible> {
        let mut fixed: Vec<Option<ValueAt>> = vec![None; self.sizes.len()];
        for (unknown, value) in seen {
            assert!(*value < self.sizes[*unknown], "a value that the unknown has");
            if fixed[*unknown].is_some_and(|other| other != *value) {
                return Err(Impossible);
            }
            fixed[*unknown] = Some(*value);
        }
        Ok(fixed)
    }
}
