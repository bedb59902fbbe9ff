//! States packed into words, and where in the words each variable and derived fact lies.

use crate::{DerivedId, VarId};

/// A state, packed. Only the planner that made it can read it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct State(pub(crate) Box<[u64]>);

/// The derived facts of one state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Facts(pub(crate) Box<[u64]>);

impl Facts {
    /// Whether the fact holds.
    ///
    /// # Panics
    /// If the fact is not one of the planner's task.
    pub fn holds(&self, fact: DerivedId) -> bool {
        self.0[fact.index() / 64] >> (fact.index() % 64) & 1 == 1
    }
}

/// Places of variables (in the first `state_words` words) and derived facts (one bit each, behind them).
#[derive(Debug, Clone)]
pub(crate) struct Layout {
    slots: Vec<Slot>,
    state_words: usize,
    fact_words: usize,
}

#[derive(Debug, Clone, Copy)]
struct Slot {
    word: u32,
    shift: u32,
    mask: u64,
}

impl Layout {
    pub(crate) fn new(sizes: &[u8], facts: usize) -> Layout {
        let mut slots = Vec::with_capacity(sizes.len());
        let (mut word, mut used) = (0, 0);
        for &size in sizes {
            let bits = (u8::BITS - size.saturating_sub(1).leading_zeros()).max(1);
            if used + bits > u64::BITS {
                word += 1;
                used = 0;
            }
            slots.push(Slot { word, shift: used, mask: ((1 << bits) - 1) << used });
            used += bits;
        }
        Layout { slots, state_words: word as usize + 1, fact_words: facts.div_ceil(64) }
    }

    pub(crate) fn state_words(&self) -> usize {
        self.state_words
    }

    pub(crate) fn all_words(&self) -> usize {
        self.state_words + self.fact_words
    }

    /// Word, mask and wanted bits of the test "variable is value".
    pub(crate) fn test(&self, variable: VarId, value: u8) -> (u32, u64, u64) {
        let slot = self.slots[variable.index()];
        (slot.word, slot.mask, u64::from(value) << slot.shift)
    }

    /// Word (counted from the first state word) and bit of a derived fact.
    pub(crate) fn fact(&self, fact: DerivedId) -> (u32, u64) {
        let word = self.state_words + fact.index() / 64;
        (u32::try_from(word).expect("a layout has few words"), 1 << (fact.index() % 64))
    }

    pub(crate) fn get(&self, words: &[u64], variable: usize) -> u8 {
        let slot = self.slots[variable];
        u8::try_from((words[slot.word as usize] & slot.mask) >> slot.shift)
            .expect("a slot has at most 8 bits")
    }

    pub(crate) fn set(&self, words: &mut [u64], variable: usize, value: u8) {
        let slot = self.slots[variable];
        let word = &mut words[slot.word as usize];
        *word = *word & !slot.mask | u64::from(value) << slot.shift;
    }
}
