//! A yes or no for each of many worlds, sixty-four to a word.

use core::ops::{BitAndAssign, BitOrAssign};

/// One bit a world.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Bits {
    words: Vec<u64>,
    len: usize,
}

impl Bits {
    /// The same for all of `len` worlds.
    pub(crate) fn all(len: usize, yes: bool) -> Self {
        let mut bits = Self { words: vec![if yes { u64::MAX } else { 0 }; len.div_ceil(64)], len };
        bits.trim();
        bits
    }

    /// Bits past the end stay off, so that counting words is counting worlds.
    fn trim(&mut self) {
        if self.len % 64 != 0 {
            if let Some(last) = self.words.last_mut() {
                *last &= (1 << (self.len % 64)) - 1;
            }
        }
    }

    pub(crate) fn set(&mut self, at: usize) {
        self.words[at / 64] |= 1 << (at % 64);
    }

    pub(crate) fn has(&self, at: usize) -> bool {
        self.words[at / 64] >> (at % 64) & 1 == 1
    }

    pub(crate) fn not(mut self) -> Self {
        self.words.iter_mut().for_each(|word| *word = !*word);
        self.trim();
        self
    }

    /// The sum of the weights of the worlds in which it is so.
    pub(crate) fn weigh(&self, weights: &[f64]) -> f64 {
        let mut sum = 0.0;
        for (word, part) in self.words.iter().zip(weights.chunks(64)) {
            let mut left = *word;
            while left != 0 {
                sum += part[left.trailing_zeros() as usize];
                left &= left - 1;
            }
        }
        sum
    }
}

impl BitAndAssign<&Bits> for Bits {
    fn bitand_assign(&mut self, other: &Bits) {
        self.words.iter_mut().zip(&other.words).for_each(|(a, b)| *a &= b);
    }
}

impl BitOrAssign<&Bits> for Bits {
    fn bitor_assign(&mut self, other: &Bits) {
        self.words.iter_mut().zip(&other.words).for_each(|(a, b)| *a |= b);
    }
}

#[cfg(test)]
mod tests {
    use super::Bits;

    #[test]
    fn a_number_of_worlds_that_is_not_a_multiple_of_a_word_leaves_no_bits_behind() {
        let weights = vec![1.0; 70];
        assert!((Bits::all(70, true).weigh(&weights) - 70.0).abs() < 1e-12);
        assert!(Bits::all(70, true).not().weigh(&weights) < 1e-12);
        let mut one = Bits::all(70, false);
        one.set(69);
        assert!(one.has(69) && !one.has(68));
        assert!((one.not().weigh(&weights) - 69.0).abs() < 1e-12);
    }
}
