//! The tree of eliminations: messages up, then down with every unknown's posterior on the way.

use super::order::least_fill;
use super::{Factor, Unknown};

/// One elimination: its unknown, the tables that have it, and where its message goes.
#[derive(Debug)]
struct Bucket {
    unknown: Unknown,
    /// The unknowns of its tables and of the messages to it, itself among them, with their numbers of values.
    over: Vec<(Unknown, usize)>,
    tables: Vec<Factor>,
    children: Vec<usize>,
}

/// All eliminations, in order; a bucket's message goes to a later one.
#[derive(Debug)]
pub(super) struct Tree {
    buckets: Vec<Bucket>,
    /// The logarithm of what tables without free unknowns come to.
    log_constant: f64,
    /// How many unknowns there are, those that are not free among them.
    unknowns: usize,
}

/// What the passes came to.
#[derive(Debug)]
pub(super) struct Solved {
    /// The logarithm of the sum over everything.
    pub(super) log_total: f64,
    /// By unknown, by value; empty for those that were not free.
    pub(super) marginals: Vec<Vec<f64>>,
}

impl Tree {
    pub(super) fn new(sizes: &[usize], free: &[Unknown], factors: Vec<Factor>) -> Self {
        let order = least_fill(sizes.len(), free, &factors);
        let mut place = vec![usize::MAX; sizes.len()];
        for (at, unknown) in order.iter().enumerate() {
            place[*unknown] = at;
        }
        let empty = |unknown: &Unknown| Bucket {
            unknown: *unknown,
            over: vec![(*unknown, sizes[*unknown])],
            tables: Vec::new(),
            children: Vec::new(),
        };
        let mut tree =
            Self { buckets: order.iter().map(empty).collect(), log_constant: 0.0, unknowns: sizes.len() };
        for factor in factors {
            match factor.over.iter().map(|unknown| place[*unknown]).min() {
                Some(first) => {
                    let own = factor.over.iter().copied().zip(factor.sizes.iter().copied());
                    tree.buckets[first].over.extend(own);
                    tree.buckets[first].tables.push(factor);
                }
                None => tree.log_constant += libm::log(factor.numbers[0]),
            }
        }
        tree.link(&place);
        tree
    }

    /// Sends each bucket's message to the first of its other unknowns that is eliminated.
    fn link(&mut self, place: &[usize]) {
        for at in 0..self.buckets.len() {
            let bucket = &mut self.buckets[at];
            bucket.over.sort_unstable();
            bucket.over.dedup();
            let unknown = bucket.unknown;
            let rest: Vec<(Unknown, usize)> =
                bucket.over.iter().copied().filter(|(other, _)| *other != unknown).collect();
            if let Some(parent) = rest.iter().map(|(other, _)| place[*other]).min() {
                self.buckets[parent].over.extend(rest);
                self.buckets[parent].children.push(at);
            }
        }
    }

    /// Both passes; nothing if the sum over everything is zero.
    pub(super) fn solve(&self) -> Option<Solved> {
        let (up, log_total) = self.up();
        if !log_total.is_finite() {
            return None;
        }
        Some(Solved { log_total, marginals: self.down(&up) })
    }

    /// Messages towards the last unknown, and the logarithm of the whole sum: each sum that goes no further is a part.
    fn up(&self) -> (Vec<Factor>, f64) {
        let mut up: Vec<Factor> = Vec::with_capacity(self.buckets.len());
        let mut log_total = self.log_constant;
        for bucket in &self.buckets {
            let others = bucket.over.iter().map(|(unknown, _)| *unknown);
            let keep: Vec<Unknown> = others.filter(|unknown| *unknown != bucket.unknown).collect();
            let messages = bucket.children.iter().map(|child| &up[*child]);
            let parts: Vec<&Factor> = bucket.tables.iter().chain(messages).collect();
            let message = Factor::product(&parts, &bucket.over).sum_to(&keep);
            if message.over.is_empty() {
                log_total += message.log + libm::log(message.numbers[0]);
            }
            up.push(message);
        }
        (up, log_total)
    }

    /// Messages back, and the posterior of each bucket's unknown when all that reaches it is known.
    ///
    /// A child hears everything but what it said itself: what stands left of it among the children is multiplied up as
    /// the pass goes, what stands right of it beforehand.
    fn down(&self, up: &[Factor]) -> Vec<Vec<f64>> {
        let mut marginals: Vec<Vec<f64>> = vec![Vec::new(); self.unknowns];
        let mut above: Vec<Option<Factor>> = vec![None; self.buckets.len()];
        for (at, bucket) in self.buckets.iter().enumerate().rev() {
            let parts: Vec<&Factor> = bucket.tables.iter().chain(above[at].as_ref()).collect();
            let mut left = Factor::product(&parts, &bucket.over);
            let mut right: Vec<Factor> = Vec::with_capacity(bucket.children.len());
            for child in bucket.children.iter().skip(1).rev() {
                let parts: Vec<&Factor> = right.last().into_iter().chain([&up[*child]]).collect();
                right.push(Factor::product(&parts, &[]));
            }
            for child in &bucket.children {
                let parts: Vec<&Factor> = right.last().into_iter().chain([&left]).collect();
                above[*child] = Some(Factor::product(&parts, &[]).sum_to(&up[*child].over));
                right.pop();
                left = Factor::product(&[&left, &up[*child]], &[]);
            }
            let belief = left.sum_to(&[bucket.unknown]).numbers;
            let sum: f64 = belief.iter().sum();
            marginals[bucket.unknown] = belief.iter().map(|number| number / sum).collect();
        }
        marginals
    }
}
