//! Chains of exchanges: where no single exchange gains, several in a row may, each beginning at the leg that the one
//! before would have ended with.
//!
//! # Source
//! Lin & Kernighan, “An effective heuristic algorithm for the traveling-salesman problem”, Operations Research 21
//! (1973) 498–516: the sum of what is gained stays above 0 all along a chain, and a leg put in is not taken out again.

use super::walk::{Swap, Walk};

/// The most exchanges in a chain.
const LONGEST_CHAIN: usize = 5;
/// How many ways on are tried at most, if the rules forbid the best.
const WAYS_ON: usize = 5;

/// An exchange as a link of a chain.
#[derive(Debug, Clone, Copy)]
struct Link {
    /// What the chain has gained with it, before the leg that ends it.
    open: i64,
    /// What the chain gains if it ends here.
    ended: i64,
    /// The stop at which the next link begins.
    ending: usize,
    swap: Swap,
    /// The legs that it puts in.
    added: [(usize, usize); 2],
}

impl Walk<'_> {
    /// Makes a chain of exchanges that begins behind a stop and gains, if one is found.
    pub(super) fn better_by_chain(&mut self, stop: usize) -> bool {
        let follower = self.at[self.place_before(stop) + 1];
        let now = i64::from(self.stops.leg(stop, follower));
        let mut firsts = self.links(stop, follower, now, &[]);
        firsts.sort_by_key(|link| (-link.open, link.swap));
        firsts.into_iter().any(|first| self.may_swap(first.swap) && self.chain_from(first, follower))
    }

    /// Makes the chain with this first link, if it gains; else leaves the order as it was.
    fn chain_from(&mut self, first: Link, follower: usize) -> bool {
        let mut added = first.added.to_vec();
        let mut made = vec![first.swap];
        let (mut stop, mut open) = (first.ending, first.open);
        self.exchange(first.swap);
        while made.len() < LONGEST_CHAIN {
            let mut links = self.links(stop, follower, open, &added);
            if links.iter().any(|link| link.ended > 0) {
                links.sort_by_key(|link| (-link.ended, link.swap));
            } else {
                links.sort_by_key(|link| (-link.open, link.swap));
            }
            let Some(link) = links.into_iter().take(WAYS_ON).find(|link| self.may_swap(link.swap)) else {
                break;
            };
            self.exchange(link.swap);
            made.push(link.swap);
            if link.ended > 0 {
                self.cost -= link.ended;
                for &swap in &made {
                    self.open_around(swap);
                }
                return true;
            }
            added.extend(link.added);
            (stop, open) = (link.ending, link.open);
        }
        for swap in made.into_iter().rev() {
            self.exchange(swap.back());
        }
        false
    }

    /// The exchanges that go on from behind `stop`, where `open` has been gained and the leg to `follower` is to go.
    fn links(&mut self, stop: usize, follower: usize, open: i64, added: &[(usize, usize)]) -> Vec<Link> {
        let (stops, near) = (self.stops, self.near);
        let here = self.place_before(stop);
        let mut links = Vec::new();
        for &(cost, nearer) in &near.0[stop] {
            self.looked += 1;
            let left = open - i64::from(cost);
            if left <= 0 {
                break;
            }
            let there = self.place[nearer];
            let loose = self.at[there - 1];
            if nearer == follower || added.contains(&(loose, nearer)) {
                continue;
            }
            let gain = left + i64::from(stops.leg(loose, nearer));
            for &(cost, behind) in &near.0[loose] {
                self.looked += 1;
                let left = gain - i64::from(cost);
                if left <= 0 {
                    break;
                }
                let third = self.place[behind];
                let ending = self.at[third - 1];
                let Some(swap) = Swap::at_cuts(here, there, third) else { continue };
                if added.contains(&(ending, behind)) {
                    continue;
                }
                let open = left + i64::from(stops.leg(ending, behind));
                let ended = open - i64::from(stops.leg(ending, follower));
                self.looked += 4;
                links.push(Link { open, ended, ending, swap, added: [(stop, nearer), (loose, behind)] });
            }
        }
        links
    }
}
