//! A set of packed states that numbers them in the order in which they came.

/// States of equal width in one arena, found again by open addressing. The numbers depend only on the order of
/// insertion, never on the hash.
#[derive(Debug, Clone)]
pub(crate) struct Table {
    width: usize,
    words: Vec<u64>,
    slots: Vec<u32>,
    len: usize,
}

const EMPTY: u32 = u32::MAX;

impl Table {
    pub(crate) fn new(width: usize) -> Table {
        Table { width, words: Vec::new(), slots: vec![EMPTY; 64], len: 0 }
    }

    pub(crate) fn len(&self) -> usize {
        self.len
    }

    pub(crate) fn get(&self, index: usize) -> &[u64] {
        &self.words[index * self.width..(index + 1) * self.width]
    }

    /// The number of this state, if it is in the table.
    pub(crate) fn find(&self, key: &[u64]) -> Option<usize> {
        let slot = self.slots[self.slot(key)];
        (slot != EMPTY).then_some(slot as usize)
    }

    /// The number of this state, and whether it is new.
    pub(crate) fn insert(&mut self, key: &[u64]) -> (usize, bool) {
        let slot = self.slot(key);
        if self.slots[slot] != EMPTY {
            return (self.slots[slot] as usize, false);
        }
        let index = self.len;
        self.slots[slot] = u32::try_from(index).expect("a table holds fewer than four billion states");
        self.words.extend_from_slice(key);
        self.len += 1;
        if self.len * 2 > self.slots.len() {
            self.grow();
        }
        (index, true)
    }

    /// The slot that holds the key, or the empty one where it belongs.
    fn slot(&self, key: &[u64]) -> usize {
        let mask = self.slots.len() - 1;
        let mut slot = hash(key) & mask;
        while self.slots[slot] != EMPTY && self.get(self.slots[slot] as usize) != key {
            slot = (slot + 1) & mask;
        }
        slot
    }

    fn grow(&mut self) {
        let mask = self.slots.len() * 2 - 1;
        let mut slots = vec![EMPTY; mask + 1];
        for index in 0..self.len {
            let mut slot = hash(self.get(index)) & mask;
            while slots[slot] != EMPTY {
                slot = (slot + 1) & mask;
            }
            slots[slot] = u32::try_from(index).expect("a table holds fewer than four billion states");
        }
        self.slots = slots;
    }
}

/// Multiply-and-fold over the words; the constants are the fractional digits of the golden ratio and of pi.
#[expect(clippy::cast_possible_truncation, reason = "a hash keeps what fits")]
fn hash(key: &[u64]) -> usize {
    let mut sum: u64 = 0x9e37_79b9_7f4a_7c15;
    for &word in key {
        let product = u128::from(sum ^ word) * u128::from(0x243f_6a88_85a3_08d3_u64);
        sum = (product >> 64) as u64 ^ product as u64;
    }
    (sum ^ sum >> 32) as usize
}
