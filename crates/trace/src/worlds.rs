//! All ways in which at most so many unknowns are otherwise than they should be, each with its weight: the exact
//! posterior over none, one, two (or more) faults at once, and every fact in every such world.

use crate::bits::Bits;
use crate::system::{FactAt, Logic, System, UnknownAt};

/// One unknown that is not as it should be, and how: by its place in [`Worlds::deviations`].
pub type DeviationAt = usize;

/// One way in which one unknown is otherwise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Deviation {
    /// Which unknown.
    pub unknown: UnknownAt,
    /// Its value, from 1.
    pub value: usize,
}

/// Every set of at most `most` deviations of different unknowns, and what holds in each.
#[derive(Debug, Clone)]
pub struct Worlds {
    /// What can be otherwise, by unknown, then by value.
    pub deviations: Vec<Deviation>,
    /// The deviations of each world, in ascending order; the first world has none.
    sets: Sets,
    /// The worlds with each deviation.
    with: Vec<Bits>,
    /// Each fact in every world.
    facts: Vec<Bits>,
    /// The probability of each world before anything was seen; without those of more deviations they sum to less
    /// than one.
    pub prior: Vec<f64>,
}

impl Worlds {
    /// Lays out all worlds with at most `most` deviations.
    ///
    /// # Panics
    /// If a system has 65,535 deviations or more.
    pub fn new(system: &System, most: usize) -> Self {
        let deviations: Vec<Deviation> = system
            .unknowns
            .iter()
            .enumerate()
            .flat_map(|(unknown, values)| {
                (1..values.len()).filter(|v| values[*v] > 0.0).map(move |value| Deviation { unknown, value })
            })
            .collect();
        assert!(deviations.len() < usize::from(u16::MAX), "fewer deviations than a table has rows");
        let sets = subsets(&deviations, most);
        let mut with = vec![Bits::all(sets.len(), false); deviations.len()];
        for at in 0..sets.len() {
            for deviation in sets.get(at) {
                with[usize::from(*deviation)].set(at);
            }
        }
        let sound: f64 = system.unknowns.iter().map(|values| values[0]).product();
        let odds: Vec<f64> = deviations
            .iter()
            .map(|d| system.unknowns[d.unknown][d.value] / system.unknowns[d.unknown][0])
            .collect();
        let prior = (0..sets.len())
            .map(|at| sets.get(at).iter().map(|d| odds[usize::from(*d)]).product::<f64>() * sound)
            .collect();
        let mut worlds = Self { deviations, sets, with, facts: Vec::new(), prior };
        for fact in &system.facts {
            let bits = worlds.eval(fact);
            worlds.facts.push(bits);
        }
        worlds
    }

    /// How many worlds there are.
    pub fn len(&self) -> usize {
        self.sets.len()
    }

    /// There is always the world in which all is as it should be.
    pub fn is_empty(&self) -> bool {
        false
    }

    /// The deviations of a world.
    pub fn set(&self, world: usize) -> &[u16] {
        self.sets.get(world)
    }

    /// A fact in every world.
    pub(crate) fn fact(&self, fact: FactAt) -> &Bits {
        &self.facts[fact]
    }

    /// The worlds in which an unknown is not as it should be.
    pub(crate) fn otherwise(&self, unknown: UnknownAt) -> Bits {
        let mut bits = Bits::all(self.len(), false);
        for (deviation, with) in self.deviations.iter().zip(&self.with) {
            if deviation.unknown == unknown {
                bits |= with;
            }
        }
        bits
    }

    /// The worlds with a deviation.
    pub(crate) fn with(&self, deviation: DeviationAt) -> &Bits {
        &self.with[deviation]
    }

    /// Where a deviation stands.
    pub fn deviation(&self, unknown: UnknownAt, value: usize) -> Option<DeviationAt> {
        self.deviations.iter().position(|d| d.unknown == unknown && d.value == value)
    }

    /// Something in logic, in every world.
    pub(crate) fn eval(&self, logic: &Logic) -> Bits {
        match logic {
            Logic::Const(yes) => Bits::all(self.len(), *yes),
            Logic::Is(unknown, 0) => self.otherwise(*unknown).not(),
            Logic::Is(unknown, value) => self
                .deviation(*unknown, *value)
                .map_or_else(|| Bits::all(self.len(), false), |at| self.with[at].clone()),
            Logic::Fact(fact) => self.facts[*fact].clone(),
            Logic::Not(inner) => self.eval(inner).not(),
            Logic::And(parts) => {
                let mut all = Bits::all(self.len(), true);
                for part in parts {
                    all &= &self.eval(part);
                }
                all
            }
            Logic::Or(parts) => {
                let mut any = Bits::all(self.len(), false);
                for part in parts {
                    any |= &self.eval(part);
                }
                any
            }
        }
    }

    /// The world that a world becomes once the deviation at this place of its set is put right.
    pub(crate) fn without_one(&self, world: usize, place: usize) -> usize {
        match *self.sets.get(world) {
            // The worlds of one deviation stand right after the one of none, in order.
            [_] => 0,
            [first, second] => 1 + usize::from(if place == 0 { second } else { first }),
            ref more => {
                let left: Vec<u16> =
                    more.iter().enumerate().filter(|(at, _)| *at != place).map(|(_, d)| *d).collect();
                self.sets.find(&left).unwrap_or(world)
            }
        }
    }

    /// The world that a world becomes once these unknowns are put right.
    pub fn without(&self, world: usize, right: &dyn Fn(Deviation) -> bool) -> usize {
        let set = self.sets.get(world);
        if !set.iter().any(|d| right(self.deviations[usize::from(*d)])) {
            return world;
        }
        let left: Vec<u16> =
            set.iter().copied().filter(|d| !right(self.deviations[usize::from(*d)])).collect();
        self.sets.find(&left).unwrap_or(world)
    }
}

/// Sets of small numbers, smaller sets first, each size in order of their members.
#[derive(Debug, Clone)]
struct Sets {
    members: Vec<u16>,
    /// Where each set begins in `members`, and the end.
    starts: Vec<u32>,
    /// Where each size begins among the sets, and the end.
    sizes: Vec<usize>,
}

impl Sets {
    fn len(&self) -> usize {
        self.starts.len() - 1
    }

    fn get(&self, at: usize) -> &[u16] {
        &self.members[self.starts[at] as usize..self.starts[at + 1] as usize]
    }

    fn push(&mut self, set: &[u16]) {
        self.members.extend_from_slice(set);
        self.starts.push(u32::try_from(self.members.len()).unwrap_or(u32::MAX));
    }

    fn find(&self, set: &[u16]) -> Option<usize> {
        let (mut low, mut high) = (*self.sizes.get(set.len())?, *self.sizes.get(set.len() + 1)?);
        while low < high {
            let middle = usize::midpoint(low, high);
            match self.get(middle).cmp(set) {
                core::cmp::Ordering::Less => low = middle + 1,
                core::cmp::Ordering::Equal => return Some(middle),
                core::cmp::Ordering::Greater => high = middle,
            }
        }
        None
    }
}

/// All sets of at most `most` deviations of different unknowns.
fn subsets(deviations: &[Deviation], most: usize) -> Sets {
    let mut sets = Sets { members: Vec::new(), starts: vec![0, 0], sizes: vec![0, 1] };
    for size in 0..most {
        let mut larger = vec![0; size + 1];
        for at in sets.sizes[size]..sets.sizes[size + 1] {
            larger[..size].copy_from_slice(sets.get(at));
            let start = larger[..size].last().map_or(0, |last| usize::from(*last) + 1);
            for next in start..deviations.len() {
                let unknown = deviations[next].unknown;
                if larger[..size].iter().all(|d| deviations[usize::from(*d)].unknown != unknown) {
                    larger[size] = u16::try_from(next).unwrap_or(u16::MAX);
                    sets.push(&larger);
                }
            }
        }
        sets.sizes.push(sets.len());
    }
    sets
}
