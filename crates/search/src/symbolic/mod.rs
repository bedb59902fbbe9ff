//! Traps of spaces too large to list: all states that can be come to, and all from which the goal can be reached, as
//! two sets held in decision diagrams. The trapped states are what the first has and the second has not; nothing is
//! sampled and nothing is left out.

mod bdd;
mod freely;
mod order;

use std::collections::BTreeMap;

use bdd::{EVERYWHERE, NOWHERE, Node, Store};

use crate::formula::{Literal, Tree};
use crate::planner::{Compiled, CompiledEffect, Goal, Planner};
use crate::state::State;
use crate::{VarId, rules};

/// What a survey of all states found.
#[derive(Debug, Clone, PartialEq)]
pub struct Survey {
    /// States without a way to the goal, each close to the first start and each trapped in another way: none has all
    /// the differences from the start that an earlier one has. At most as many as were asked for.
    pub trapped: Vec<State>,
    /// How many states are trapped.
    pub trapped_count: f64,
    /// How many states can be come to.
    pub reachable_count: f64,
    /// The size of the diagrams, in branches.
    pub branches: usize,
}

impl Planner {
    /// Finds all states that can be come to from the start states and have no way to the goal. Events that are due in
    /// a start state have not fired. Variables in `free` may have any value at the start. `limit` bounds the size of the diagrams in branches (some 40 bytes each);
    /// `None` if it is met: then nothing is known.
    pub fn survey(
        &self,
        starts: &[State],
        free: &[VarId],
        goal: &Goal,
        most: usize,
        limit: usize,
    ) -> Option<Survey> {
        let mut sets = Sets::new(self, limit, true);
        if sets.uneasy(starts, free) {
            sets = Sets::new(self, limit, false);
        }
        let reachable = sets.reachable(starts, free)?;
        let good = sets.good(reachable, &goal.tree)?;
        let trapped = sets.store.without(reachable, good);
        let examples = match starts.first() {
            Some(start) => sets.examples(trapped, start, most),
            None => Vec::new(),
        };
        let whole = !sets.store.full;
        whole.then(|| Survey {
            trapped: examples,
            trapped_count: sets.count(trapped),
            reachable_count: sets.count(reachable),
            branches: sets.store.len(),
        })
    }
}

/// A change with its condition and what it does, as sets.
struct Change {
    condition: Node,
    effect: Does,
}

/// What a change does.
enum Does {
    /// Sets variables to values, wherever it is done.
    Sets(Vec<(usize, u8)>),
    /// Sets each variable as its own relation between the state before (current bits) and behind (next bits) says.
    Relates(Vec<(usize, Node)>),
}

struct Sets<'p> {
    planner: &'p Planner,
    store: Store,
    /// The current bits of each variable, lowest first in meaning. Beside each lies, one further, the bit of the
    /// state behind a change; no set of states tests those.
    bits: Vec<Vec<u32>>,
    total_bits: u32,
    /// Whether each variable can be set at any time and sets nothing off; see [`freely`].
    freely: Vec<bool>,
    facts: Vec<Node>,
    operators: Vec<Change>,
    /// Each with the set where it fires and changes something.
    events: Vec<(Node, Change)>,
    allowed: Node,
}

/// Rounds of events after which they count as endless.
const MOST_ROUNDS: usize = 10_000;

impl<'p> Sets<'p> {
    fn new(planner: &'p Planner, limit: usize, freely: bool) -> Self {
        let mut bits = vec![Vec::new(); planner.sizes.len()];
        let mut next = 0;
        for variable in order::order(planner) {
            let size = planner.sizes[variable];
            let count = u8::BITS - size.saturating_sub(1).leading_zeros();
            bits[variable] = (next..next + count).map(|bit| 2 * bit).collect();
            next += count;
        }
        let mut sets = Self {
            planner,
            store: Store::new(limit),
            bits,
            total_bits: next,
            freely: vec![false; planner.sizes.len()],
            facts: vec![NOWHERE; planner.bodies.len()],
            operators: Vec::new(),
            events: Vec::new(),
            allowed: EVERYWHERE,
        };
        sets.derive(&planner.rules);
        if freely {
            sets.find_free();
        }
        let sets_bound = |operator: &&Compiled| {
            operator.effects.iter().any(|effect| !sets.freely[effect.variable.index()])
        };
        let operators: Vec<&Compiled> = planner.operators.iter().filter(sets_bound).collect();
        sets.operators = operators.into_iter().map(|operator| sets.change(operator)).collect();
        sets.events = planner
            .events
            .iter()
            .map(|event| {
                let change = sets.change(event);
                (sets.fires(&change), change)
            })
            .collect();
        let forbidden = sets.tree(&planner.forbidden);
        sets.allowed = sets.store.not(forbidden);
        sets
    }

    /// Where each derived fact holds; facts that depend on themselves by going round until nothing is added.
    fn derive(&mut self, groups: &[rules::Group]) {
        let planner = self.planner;
        for group in groups {
            loop {
                let mut changed = false;
                for &fact in &group.facts {
                    let body = self.tree(&planner.bodies[fact]);
                    changed |= body != self.facts[fact];
                    self.facts[fact] = body;
                }
                if !changed || !group.recursive || self.store.full {
                    break;
                }
            }
        }
    }

    fn is(&mut self, variable: usize, value: u8) -> Node {
        let fixed = self.fixed(&[(variable, value)]);
        self.cube(&fixed)
    }

    /// Where a variable has one of its values: not every code of its bits is one.
    fn any_value(&mut self, variable: usize) -> Node {
        (0..self.planner.sizes[variable]).fold(NOWHERE, |any, value| {
            let is = self.is(variable, value);
            self.store.or(any, is)
        })
    }

    /// The bits of values, in the order of the bits.
    fn fixed(&self, values: &[(usize, u8)]) -> Vec<(u32, bool)> {
        let bits = |&(variable, value): &(usize, u8)| {
            self.bits[variable].iter().enumerate().map(move |(place, &bit)| (bit, value >> place & 1 == 1))
        };
        let mut fixed: Vec<(u32, bool)> = values.iter().flat_map(bits).collect();
        fixed.sort_unstable();
        fixed
    }

    fn cube(&mut self, fixed: &[(u32, bool)]) -> Node {
        fixed.iter().rev().fold(EVERYWHERE, |cube, &(bit, set)| {
            let bit = self.store.bit(bit, set);
            self.store.and(bit, cube)
        })
    }

    fn tree(&mut self, tree: &Tree) -> Node {
        match tree {
            Tree::True => EVERYWHERE,
            Tree::False => NOWHERE,
            Tree::Leaf(Literal::Is(variable, value)) => self.is(variable.index(), *value),
            Tree::Leaf(Literal::IsNot(variable, value)) => {
                let is = self.is(variable.index(), *value);
                self.store.not(is)
            }
            Tree::Leaf(Literal::Fact(fact)) => self.facts[fact.index()],
            Tree::Leaf(Literal::NoFact(fact)) => self.store.not(self.facts[fact.index()]),
            Tree::All(parts) => parts.iter().fold(EVERYWHERE, |all, part| {
                let part = self.tree(part);
                self.store.and(all, part)
            }),
            Tree::Any(parts) => parts.iter().fold(NOWHERE, |any, part| {
                let part = self.tree(part);
                self.store.or(any, part)
            }),
        }
    }

    fn change(&mut self, compiled: &Compiled) -> Change {
        let condition = self.tree_freely(&compiled.condition);
        Change { condition, effect: self.effect(&compiled.effects) }
    }

    /// Where a condition holds for some values of the free variables.
    fn tree_freely(&mut self, tree: &Tree) -> Node {
        let node = self.tree(tree);
        let free: Vec<usize> = (0..self.freely.len()).filter(|variable| self.freely[*variable]).collect();
        let bits = self.current(&free);
        self.store.some(node, &bits)
    }

    /// All conditions are of the state before, and the later effect wins. What free variables become is left out.
    fn effect(&mut self, effects: &[CompiledEffect]) -> Does {
        let mut by_variable: BTreeMap<usize, Vec<&CompiledEffect>> = BTreeMap::new();
        for effect in effects.iter().filter(|effect| !self.freely[effect.variable.index()]) {
            by_variable.entry(effect.variable.index()).or_default().push(effect);
        }
        let always = |effects: &Vec<&CompiledEffect>| {
            effects.last().filter(|last| last.condition == Tree::True).map(|last| last.value)
        };
        let sets: Option<Vec<(usize, u8)>> = by_variable
            .iter()
            .map(|(variable, effects)| always(effects).map(|value| (*variable, value)))
            .collect();
        match sets {
            Some(sets) => Does::Sets(sets),
            None => Does::Relates(
                by_variable
                    .into_iter()
                    .map(|(variable, effects)| (variable, self.relation(variable, &effects)))
                    .collect(),
            ),
        }
    }

    /// Where the next bits of a variable are what its effects make of the current state.
    fn relation(&mut self, variable: usize, effects: &[&CompiledEffect]) -> Node {
        let mut open = EVERYWHERE;
        let mut relation = NOWHERE;
        for effect in effects.iter().rev() {
            let test = self.tree(&effect.condition);
            let here = self.store.and(open, test);
            open = self.store.without(open, test);
            let is = self.is(variable, effect.value);
            let next = self.next(is, &[variable]);
            let part = self.store.and(here, next);
            relation = self.store.or(relation, part);
        }
        for &bit in &self.bits[variable].clone() {
            let (now, then) = (self.store.bit(bit, true), self.store.bit(bit + 1, true));
            let other = self.store.not(then);
            let same = self.store.choose(now, then, other);
            open = self.store.and(open, same);
        }
        self.store.or(relation, open)
    }

    /// The current bits of variables, in order.
    fn current(&self, variables: &[usize]) -> Vec<u32> {
        let mut bits: Vec<u32> =
            variables.iter().flat_map(|variable| self.bits[*variable].iter().copied()).collect();
        bits.sort_unstable();
        bits
    }

    /// A set of states told by the next bits of some variables instead of their current ones.
    fn next(&mut self, node: Node, variables: &[usize]) -> Node {
        let names: Vec<(u32, u32)> = self.current(variables).into_iter().map(|bit| (bit, bit + 1)).collect();
        self.store.rename(node, &names)
    }

    /// Where an event fires and changes something.
    fn fires(&mut self, change: &Change) -> Node {
        let same = match &change.effect {
            Does::Sets(values) => {
                let fixed = self.fixed(values);
                self.cube(&fixed)
            }
            Does::Relates(relations) => relations.iter().fold(EVERYWHERE, |same, (variable, relation)| {
                // Put the current values in place of the next ones: where the relation holds of both, nothing changes.
                let unchanged = self.relation(*variable, &[]);
                let both = self.store.and(*relation, unchanged);
                let next: Vec<u32> = self.current(&[*variable]).into_iter().map(|bit| bit + 1).collect();
                let here = self.store.some(both, &next);
                self.store.and(same, here)
            }),
        };
        self.store.without(change.condition, same)
    }

    /// The states behind a change of some states; those where it can't be done are left out.
    fn after(&mut self, change: &Change, from: Node) -> Node {
        let from = self.store.and(change.condition, from);
        match &change.effect {
            Does::Sets(values) => {
                let fixed = self.fixed(values);
                let touched: Vec<u32> = fixed.iter().map(|(bit, _)| *bit).collect();
                let open = self.store.some(from, &touched);
                let cube = self.cube(&fixed);
                self.store.and(open, cube)
            }
            Does::Relates(relations) => {
                let pairs =
                    relations.iter().fold(from, |pairs, (_, relation)| self.store.and(pairs, *relation));
                let variables: Vec<usize> = relations.iter().map(|(variable, _)| *variable).collect();
                let touched = self.current(&variables);
                let behind = self.store.some(pairs, &touched);
                let names: Vec<(u32, u32)> = touched.into_iter().map(|bit| (bit + 1, bit)).collect();
                self.store.rename(behind, &names)
            }
        }
    }

    /// The states that a change leads into some states.
    fn before(&mut self, change: &Change, into: Node) -> Node {
        let led = match &change.effect {
            Does::Sets(values) => {
                let fixed = self.fixed(values);
                self.store.put(into, &fixed)
            }
            Does::Relates(relations) => {
                let variables: Vec<usize> = relations.iter().map(|(variable, _)| *variable).collect();
                // One variable after the other: its next bits are gone as soon as its relation is taken in.
                let mut led = self.next(into, &variables);
                for (variable, relation) in relations {
                    led = self.store.and(led, *relation);
                    let next: Vec<u32> = self.current(&[*variable]).into_iter().map(|bit| bit + 1).collect();
                    led = self.store.some(led, &next);
                }
                led
            }
        };
        self.store.and(change.condition, led)
    }

    /// The states behind all events that are due in some states. `None` if they do not come to rest.
    fn settled(&mut self, mut states: Node) -> Option<Node> {
        let events = std::mem::take(&mut self.events);
        let mut rest = None;
        for _ in 0..MOST_ROUNDS {
            let mut fired = false;
            for (fires, event) in &events {
                let due = self.store.and(*fires, states);
                if due != NOWHERE {
                    let others = self.store.without(states, *fires);
                    let moved = self.after(event, due);
                    states = self.store.or(others, moved);
                    fired = true;
                }
            }
            if !fired || self.store.full {
                rest = Some(states);
                break;
            }
        }
        self.events = events;
        rest
    }

    /// The states from which the events that are due lead into some states.
    fn settles_into(&mut self, into: Node) -> Node {
        let events = std::mem::take(&mut self.events);
        let mut quiet = into;
        for (fires, _) in &events {
            quiet = self.store.without(quiet, *fires);
        }
        let mut all = quiet;
        loop {
            let mut states = all;
            for (fires, event) in events.iter().rev() {
                let led = self.before(event, states);
                states = self.store.choose(*fires, led, states);
            }
            let more = self.store.or(all, states);
            if more == all || self.store.full {
                break;
            }
            all = more;
        }
        self.events = events;
        all
    }

    /// The start states: as given, but for what may have any value.
    fn starts(&mut self, starts: &[State], free: &[VarId]) -> Node {
        let mut known = NOWHERE;
        for start in starts {
            let values = self.planner.values(start);
            let own = |at: usize| !self.freely[at] && !free.contains(&VarId::new(at));
            let fixed: Vec<(usize, u8)> = values.into_iter().enumerate().filter(|(at, _)| own(*at)).collect();
            let fixed = self.fixed(&fixed);
            let mut set = self.cube(&fixed);
            for variable in free {
                if self.freely[variable.index()] {
                    continue;
                }
                let any = self.any_value(variable.index());
                set = self.store.and(set, any);
            }
            known = self.store.or(known, set);
        }
        known
    }

    /// Whether a start state is forbidden or has events due: then even what can be set at any time can't be yet.
    fn uneasy(&mut self, starts: &[State], free: &[VarId]) -> bool {
        let starts = self.starts(starts, free);
        let mut calm = self.store.and(starts, self.allowed);
        for at in 0..self.events.len() {
            calm = self.store.without(calm, self.events[at].0);
        }
        calm != starts
    }

    /// All states that can be come to. Operators are gone round, each on all states known so far.
    fn reachable(&mut self, starts: &[State], free: &[VarId]) -> Option<Node> {
        let mut known = self.starts(starts, free);
        // A start state in which events are due is known, but an operator that leads to it leads on from it.
        let mut due = NOWHERE;
        for at in 0..self.events.len() {
            due = self.store.or(due, self.events[at].0);
        }
        let operators = std::mem::take(&mut self.operators);
        let mut quiet = 0;
        for operator in operators.iter().cycle() {
            if quiet == operators.len() || self.store.full {
                break;
            }
            quiet += 1;
            let moved = self.after(operator, known);
            let settled = self.store.without(known, due);
            let new = self.store.without(moved, settled);
            if new != NOWHERE {
                let rest = self.settled(new)?;
                let rest = self.store.and(rest, self.allowed);
                let more = self.store.or(known, rest);
                if more != known {
                    known = more;
                    quiet = 0;
                }
            }
        }
        self.operators = operators;
        (!self.store.full).then_some(known)
    }

    /// Of the states that can be come to, those from which the goal can be reached.
    fn good(&mut self, reachable: Node, goal: &Tree) -> Option<Node> {
        let goal = self.tree_freely(goal);
        let goal = self.store.and(goal, self.allowed);
        let mut good = self.store.and(reachable, goal);
        let operators = std::mem::take(&mut self.operators);
        loop {
            let before = good;
            let allowed = self.store.and(good, self.allowed);
            let lead = self.settles_into(allowed);
            for operator in &operators {
                let can = self.before(operator, lead);
                let can = self.store.and(can, reachable);
                good = self.store.or(good, can);
            }
            if good == before || self.store.full {
                break;
            }
        }
        self.operators = operators;
        (!self.store.full).then_some(good)
    }

    /// States of a set, each close to a start, none with all the differences that an earlier one has.
    fn examples(&mut self, mut set: Node, start: &State, most: usize) -> Vec<State> {
        let values = self.planner.values(start);
        let wish = self.to_bits(&values);
        let mut found = Vec::new();
        while found.len() < most {
            let Some(place) = self.store.pick(set, &wish) else { break };
            let at = self.values_of(&place);
            let differences: Vec<(usize, u8)> = at
                .iter()
                .copied()
                .enumerate()
                .filter(|(variable, value)| values[*variable] != *value)
                .collect();
            let fixed = self.fixed(&differences);
            let alike = self.cube(&fixed);
            set = self.store.without(set, alike);
            found.extend(self.planner.state(&at).ok());
        }
        found
    }

    fn to_bits(&self, values: &[u8]) -> Vec<bool> {
        let mut bits = vec![false; 2 * self.total_bits as usize];
        let all: Vec<(usize, u8)> = values.iter().copied().enumerate().collect();
        for (bit, set) in self.fixed(&all) {
            bits[bit as usize] = set;
        }
        bits
    }

    fn values_of(&self, bits: &[bool]) -> Vec<u8> {
        let value = |places: &Vec<u32>| {
            places
                .iter()
                .enumerate()
                .fold(0, |value, (place, &bit)| value | u8::from(bits[bit as usize]) << place)
        };
        self.bits.iter().map(value).collect()
    }

    /// The states of a set that does not look at the free variables; each value of those counts.
    fn count(&self, set: Node) -> f64 {
        let free = (0..self.freely.len()).filter(|variable| self.freely[*variable]);
        free.fold(self.store.count(set, self.total_bits), |count, variable| {
            let codes = (0..self.bits[variable].len()).fold(1.0, |codes, _| codes * 2.0);
            count / codes * f64::from(self.planner.sizes[variable])
        })
    }
}
