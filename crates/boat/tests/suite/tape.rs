//! Choices read from a tape of numbers: what is built from them shrinks when the tape does.

/// Numbers that decide; past the end all of them are zero.
pub(crate) struct Tape<'t> {
    numbers: &'t [u32],
    next: usize,
}

impl<'t> Tape<'t> {
    pub(crate) fn new(numbers: &'t [u32]) -> Self {
        Self { numbers, next: 0 }
    }

    fn take(&mut self) -> u32 {
        let number = self.numbers.get(self.next).copied().unwrap_or(0);
        self.next += 1;
        number
    }

    /// A number below `bound`.
    pub(crate) fn below(&mut self, bound: usize) -> usize {
        self.take() as usize % bound
    }

    /// One of these.
    pub(crate) fn one<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        &of[self.below(of.len())]
    }

    /// Yes in one of `n` cases.
    pub(crate) fn chance(&mut self, n: usize) -> bool {
        self.below(n) == n - 1
    }
}
