//! Sets of drawings.

/// A set of drawings by their numbers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Bits {
    words: Vec<u64>,
}

impl Bits {
    /// None of so many.
    pub(super) fn none(count: usize) -> Self {
        Self { words: vec![0; count.div_ceil(64)] }
    }

    /// All of so many.
    pub(super) fn all(count: usize) -> Self {
        let mut bits = Self::none(count);
        for at in 0..count {
            bits.put(at);
        }
        bits
    }

    /// Puts one in.
    pub(super) fn put(&mut self, at: usize) {
        self.words[at / 64] |= 1 << (at % 64);
    }

    /// Takes one out.
    pub(super) fn drop(&mut self, at: usize) {
        self.words[at / 64] &= !(1 << (at % 64));
    }

    /// How many are in.
    pub(super) fn count(&self) -> usize {
        self.words.iter().map(|word| word.count_ones() as usize).sum()
    }

    /// Keeps those that are in the other too.
    pub(super) fn keep(&mut self, other: &Self) {
        for (word, other) in self.words.iter_mut().zip(&other.words) {
            *word &= other;
        }
    }

    /// Those in both.
    pub(super) fn and(&self, other: &Self) -> Self {
        let mut both = self.clone();
        both.keep(other);
        both
    }

    /// How many are in both.
    pub(super) fn shared(&self, other: &Self) -> usize {
        self.words.iter().zip(&other.words).map(|(a, b)| (a & b).count_ones() as usize).sum()
    }
}
