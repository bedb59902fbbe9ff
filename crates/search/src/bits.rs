//! Sets of small numbers.

/// A set of small numbers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Bits(Vec<u64>);

impl Bits {
    pub(crate) fn new(len: usize) -> Bits {
        Bits(vec![0; len.div_ceil(64)])
    }

    pub(crate) fn add(&mut self, item: usize) {
        self.0[item / 64] |= 1 << (item % 64);
    }

    pub(crate) fn has(&self, item: usize) -> bool {
        self.0[item / 64] >> (item % 64) & 1 == 1
    }

    pub(crate) fn join(&mut self, other: &Bits) {
        for (word, more) in self.0.iter_mut().zip(&other.0) {
            *word |= more;
        }
    }

    pub(crate) fn meets(&self, other: &Bits) -> bool {
        self.0.iter().zip(&other.0).any(|(word, more)| word & more != 0)
    }

    pub(crate) fn count(&self) -> u32 {
        self.0.iter().map(|word| word.count_ones()).sum()
    }

    /// The members, ascending.
    pub(crate) fn iter(&self) -> impl Iterator<Item = usize> + '_ {
        self.0.iter().enumerate().flat_map(|(index, &word)| {
            std::iter::successors((word != 0).then_some(word), |rest| {
                let rest = rest & (rest - 1);
                (rest != 0).then_some(rest)
            })
            .map(move |rest| index * 64 + rest.trailing_zeros() as usize)
        })
    }

    pub(crate) fn clear(&mut self) {
        self.0.fill(0);
    }
}
