//! Sets of states as reduced ordered binary decision diagrams.
//!
//! # Source
//! R. E. Bryant: Graph-Based Algorithms for Boolean Function Manipulation, IEEE Trans. Computers C-35 (1986) 677-691;
//! if-then-else with a computed table: K. S. Brace, R. L. Rudell, R. E. Bryant, Design Automation Conference 1990.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

/// A function of the bits, by its place in the store.
pub(super) type Node = u32;

/// Holds nowhere.
pub(super) const NOWHERE: Node = 0;
/// Holds everywhere.
pub(super) const EVERYWHERE: Node = 1;

/// A bit and its two functions: where it is not set, where it is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
struct Branch {
    bit: u32,
    low: Node,
    high: Node,
}

/// Multiplies and folds: the keys are small numbers from this module only, looked up and never iterated over.
#[derive(Default)]
struct Mix(u64);

impl Hasher for Mix {
    fn finish(&self) -> u64 {
        self.0 ^ self.0 >> 29
    }
    fn write(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.write_u32(u32::from(*byte));
        }
    }
    fn write_u32(&mut self, number: u32) {
        self.0 = (self.0.rotate_left(23) ^ u64::from(number)).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    }
}

type Lookup<K> = HashMap<K, Node, BuildHasherDefault<Mix>>;

/// The store of all functions.
pub(super) struct Store {
    branches: Vec<Branch>,
    unique: Lookup<Branch>,
    /// Answers of [`Store::choose`] by a hash of the question; a later one overwrites an earlier one.
    choices: Vec<[Node; 4]>,
    choice_bits: u32,
    limit: usize,
    /// Whether the limit was met: then every answer since is worthless.
    pub(super) full: bool,
}

/// The table of answers has two to this many places at first, and at most.
const CHOICE_BITS: (u32, u32) = (10, 22);

/// Past every bit: where the constants lie.
const END: u32 = u32::MAX;

impl Store {
    /// A store that gives up beyond `limit` branches.
    pub(super) fn new(limit: usize) -> Self {
        let constant = Branch { bit: END, low: NOWHERE, high: EVERYWHERE };
        Self {
            branches: vec![constant, constant],
            unique: Lookup::default(),
            choices: vec![[END; 4]; 1 << CHOICE_BITS.0],
            choice_bits: CHOICE_BITS.0,
            limit,
            full: false,
        }
    }

    /// How many branches there are.
    pub(super) fn len(&self) -> usize {
        self.branches.len()
    }

    fn branch(&self, node: Node) -> Branch {
        self.branches[node as usize]
    }

    fn node(&mut self, bit: u32, low: Node, high: Node) -> Node {
        if low == high {
            return low;
        }
        let branch = Branch { bit, low, high };
        if let Some(&node) = self.unique.get(&branch) {
            return node;
        }
        if self.branches.len() >= self.limit {
            self.full = true;
            return NOWHERE;
        }
        let node = Node::try_from(self.branches.len()).expect("the limit is far below 32 bits");
        self.branches.push(branch);
        self.unique.insert(branch, node);
        if self.branches.len() > self.choices.len() && self.choice_bits < CHOICE_BITS.1 {
            self.choice_bits += 1;
            self.choices = vec![[END; 4]; 1 << self.choice_bits];
        }
        node
    }

    /// Where the bit is set, or is not.
    pub(super) fn bit(&mut self, bit: u32, set: bool) -> Node {
        if set { self.node(bit, NOWHERE, EVERYWHERE) } else { self.node(bit, EVERYWHERE, NOWHERE) }
    }

    /// `yes` where `test` holds, `no` elsewhere.
    pub(super) fn choose(&mut self, test: Node, yes: Node, no: Node) -> Node {
        match (test, yes, no) {
            (EVERYWHERE, yes, _) => return yes,
            (NOWHERE, _, no) => return no,
            (_, yes, no) if yes == no => return yes,
            (test, EVERYWHERE, NOWHERE) => return test,
            _ if self.full => return NOWHERE,
            _ => {}
        }
        let mut mix = Mix::default();
        for node in [test, yes, no] {
            mix.write_u32(node);
        }
        let place = usize::try_from(mix.finish() >> (u64::BITS - self.choice_bits))
            .expect("a place in a table of this size");
        let [known_test, known_yes, known_no, known] = self.choices[place];
        if (known_test, known_yes, known_no) == (test, yes, no) {
            return known;
        }
        let bit = self.branch(test).bit.min(self.branch(yes).bit).min(self.branch(no).bit);
        let halves = |node: Node| {
            let branch = self.branch(node);
            if branch.bit == bit { (branch.low, branch.high) } else { (node, node) }
        };
        let ((test_low, test_high), (yes_low, yes_high), (no_low, no_high)) =
            (halves(test), halves(yes), halves(no));
        let low = self.choose(test_low, yes_low, no_low);
        let high = self.choose(test_high, yes_high, no_high);
        let node = self.node(bit, low, high);
        // The table may have grown meanwhile; then this answer is worked out again when it is next asked for.
        if let Some(choice) = self.choices.get_mut(place) {
            *choice = [test, yes, no, node];
        }
        node
    }

    pub(super) fn and(&mut self, a: Node, b: Node) -> Node {
        // One order for both ways round, so that the table is hit more often.
        self.choose(a.min(b), a.max(b), NOWHERE)
    }

    pub(super) fn or(&mut self, a: Node, b: Node) -> Node {
        self.choose(a.min(b), EVERYWHERE, a.max(b))
    }

    pub(super) fn not(&mut self, a: Node) -> Node {
        self.choose(a, NOWHERE, EVERYWHERE)
    }

    /// Where `a` holds and `b` does not.
    pub(super) fn without(&mut self, a: Node, b: Node) -> Node {
        self.choose(b, NOWHERE, a)
    }

    /// The function with some bits put to fixed values; `fixed` is in the order of the bits.
    pub(super) fn put(&mut self, node: Node, fixed: &[(u32, bool)]) -> Node {
        self.rebuild(
            node,
            fixed,
            &mut Lookup::default(),
            &|store, low, high, value| match value {
                Some(true) => high,
                Some(false) => low,
                None => store.or(low, high),
            },
            &|(bit, value)| (*bit, Some(*value)),
        )
    }

    /// Where some value of the bits makes it hold; `bits` in their order.
    pub(super) fn some(&mut self, node: Node, bits: &[u32]) -> Node {
        self.rebuild(node, bits, &mut Lookup::default(), &|store, low, high, _| store.or(low, high), &|bit| {
            (*bit, None)
        })
    }

    fn rebuild<T>(
        &mut self,
        node: Node,
        bits: &[T],
        known: &mut Lookup<Node>,
        join: &impl Fn(&mut Self, Node, Node, Option<bool>) -> Node,
        read: &impl Fn(&T) -> (u32, Option<bool>),
    ) -> Node {
        let branch = self.branch(node);
        // Bits above this node do not matter to it.
        let past = bits.iter().take_while(|bit| read(bit).0 < branch.bit).count();
        let bits = &bits[past..];
        let Some(first) = bits.first().map(read) else { return node };
        if branch.bit == END {
            return node;
        }
        if let Some(&found) = known.get(&node) {
            return found;
        }
        let low = self.rebuild(branch.low, bits, known, join, read);
        let high = self.rebuild(branch.high, bits, known, join, read);
        let found = if first.0 == branch.bit {
            join(self, low, high, first.1)
        } else {
            self.node(branch.bit, low, high)
        };
        known.insert(node, found);
        found
    }

    /// The function with bits renamed: bit `from` becomes `to`. Of the bits it tests, their order must stay the same.
    pub(super) fn rename(&mut self, node: Node, names: &[(u32, u32)]) -> Node {
        self.renamed(node, names, &mut Lookup::default())
    }

    fn renamed(&mut self, node: Node, names: &[(u32, u32)], known: &mut Lookup<Node>) -> Node {
        let Branch { bit, low, high } = self.branch(node);
        if bit == END {
            return node;
        }
        if let Some(&found) = known.get(&node) {
            return found;
        }
        let low = self.renamed(low, names, known);
        let high = self.renamed(high, names, known);
        let bit = names.binary_search_by_key(&bit, |(from, _)| *from).map_or(bit, |at| names[at].1);
        let found = self.node(bit, low, high);
        known.insert(node, found);
        found
    }

    /// One place where it holds, as close to `wish` as going bit by bit can be; `None` if it holds nowhere.
    pub(super) fn pick(&self, node: Node, wish: &[bool]) -> Option<Vec<bool>> {
        if node == NOWHERE {
            return None;
        }
        let mut place = wish.to_vec();
        let mut at = node;
        while at > EVERYWHERE {
            let branch = self.branch(at);
            let bit = branch.bit as usize;
            let wished = if wish[bit] { branch.high } else { branch.low };
            if wished == NOWHERE {
                place[bit] = !wish[bit];
                at = if wish[bit] { branch.low } else { branch.high };
            } else {
                at = wished;
            }
        }
        Some(place)
    }

    /// At how many of the `2^bits` places it holds.
    pub(super) fn count(&self, node: Node, bits: u32) -> f64 {
        let mut shares: HashMap<Node, f64, BuildHasherDefault<Mix>> = HashMap::default();
        self.share(node, &mut shares) * (0..bits).fold(1.0, |places, _| places * 2.0)
    }

    /// The share of all places at which it holds.
    fn share(&self, node: Node, shares: &mut HashMap<Node, f64, BuildHasherDefault<Mix>>) -> f64 {
        match node {
            NOWHERE => 0.0,
            EVERYWHERE => 1.0,
            _ => {
                if let Some(&share) = shares.get(&node) {
                    return share;
                }
                let Branch { low, high, .. } = self.branch(node);
                let share = f64::midpoint(self.share(low, shares), self.share(high, shares));
                shares.insert(node, share);
                share
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// All places of `bits` bits at which a function holds, by following the branches.
    fn places(store: &Store, node: Node, bits: u32) -> Vec<Vec<bool>> {
        (0..1_u32 << bits)
            .map(|number| (0..bits).map(|bit| number >> bit & 1 == 1).collect::<Vec<bool>>())
            .filter(|place| {
                let mut at = node;
                while at > EVERYWHERE {
                    let branch = store.branch(at);
                    at = if place[branch.bit as usize] { branch.high } else { branch.low };
                }
                at == EVERYWHERE
            })
            .collect()
    }

    #[test]
    #[allow(clippy::many_single_char_names, reason = "functions of truth are called by letters")]
    fn operations_agree_with_the_tables_of_truth() {
        let mut store = Store::new(1000);
        let [a, b, c] = [0, 1, 2].map(|bit| store.bit(bit, true));
        let ab = store.and(a, b);
        let f = store.or(ab, c);
        assert_eq!(places(&store, f, 3).len(), 5);
        assert!((store.count(f, 3) - 5.0).abs() < 1e-9);
        let g = store.put(f, &[(0, true)]);
        let bc = store.or(b, c);
        assert_eq!(g, bc, "with a set, f is b or c; equal functions are one node");
        let h = store.some(f, &[2]);
        assert_eq!(h, EVERYWHERE);
        let fnot = store.not(f);
        assert_eq!(store.and(f, fnot), NOWHERE);
        assert_eq!(store.without(f, c), {
            let nc = store.not(c);
            store.and(ab, nc)
        });
        assert_eq!(store.pick(f, &[false, false, false]), Some(vec![false, false, true]));
        assert_eq!(store.pick(NOWHERE, &[true; 3]), None);
    }

    #[test]
    fn a_full_store_says_so() {
        let mut store = Store::new(4);
        let bits: Vec<Node> = (0..6).map(|bit| store.bit(bit, true)).collect();
        let _ = store.and(bits[0], bits[1]);
        assert!(store.full);
    }
}
