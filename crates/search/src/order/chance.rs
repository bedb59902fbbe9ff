//! A small source of chance: the same seed gives the same numbers on every machine.

/// Numbers that look random.
///
/// # Source
/// SplitMix64: Steele, Lea & Flood, “Fast splittable pseudorandom number generators”, OOPSLA 2014.
#[derive(Debug, Clone)]
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) fn new(seed: u64) -> Chance {
        Chance(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut word = self.0;
        word = (word ^ (word >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        word = (word ^ (word >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        word ^ (word >> 31)
    }

    /// A number below `end`, which must not be 0. The small bias of multiplying does no harm here.
    #[expect(clippy::cast_possible_truncation, reason = "the product's upper half is below `end`")]
    pub(crate) fn below(&mut self, end: usize) -> usize {
        ((u128::from(self.next()) * end as u128) >> 64) as usize
    }
}
