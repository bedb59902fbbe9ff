//! The delete relaxation of a task: what could be reached if nothing that was once true were ever lost.
//!
//! It is a monotone task of atoms and actions. There is an atom for each value of each variable, for each derived
//! fact holding, for each derived fact failing, and for each inner part of a condition. An action needs all its
//! preconditions and adds all its effects. Rules of derived facts, inner parts of conditions and events are actions
//! without cost; the conditional effects of one operator are actions that share one cost (paid once for all).
//!
//! Why bounds from it are admissible: take any real plan and let S be the atoms that are true in some state on its
//! way. By induction over the plan all of S is reached by the relaxed actions that belong to the plan's operators
//! (each paid once) and by free ones: values come from the start, an operator or an event whose conditions were true
//! at that time and so are in S; a part of a condition that was true had true parts below it. A derived fact of a
//! group that does not depend on itself holds exactly when its body does, and fails exactly when the negation of its
//! body does, so both polarities follow from atoms of earlier groups that were true at the same time. A fact in a
//! recursive group that holds has a derivation by the rules in finitely many rounds, which the free actions repeat.
//! That such a fact fails cannot be derived from rules in the same way (its negated body may rest on itself), so that
//! atom is simply given from the start: this only makes more reachable, and bounds smaller.

use std::collections::BTreeMap;

use crate::OpId;
use crate::formula::{Literal, Tree};
use crate::planner::{Compiled, Planner};
use crate::scope::Scope;

/// The atom that always holds.
const TOP: u32 = 0;

/// A relaxed task with one goal atom.
#[derive(Debug, Clone)]
pub(crate) struct Relaxation {
    pub(crate) atoms: usize,
    pub(crate) goal: u32,
    /// Preconditions of each action; never empty.
    pub(crate) needs: Lists,
    /// Effects of each action.
    pub(crate) adds: Lists,
    /// Actions that need an atom.
    pub(crate) needed_by: Lists,
    /// Actions that add an atom.
    pub(crate) added_by: Lists,
    /// Which cost an action pays; cost 0 is free.
    pub(crate) purse: Vec<u32>,
    /// Actions that pay a cost.
    pub(crate) payers: Lists,
    /// The costs; the first is zero.
    pub(crate) costs: Vec<u32>,
    /// The cost of an operator, by its index; 0 if it is not in the relaxation.
    purse_of: Vec<u32>,
    /// For each variable that matters: its index, and its first atom.
    variables: Vec<(usize, u32)>,
}

/// Lists of numbers, one behind the other in one vector.
#[derive(Debug, Clone, Default)]
pub(crate) struct Lists {
    starts: Vec<u32>,
    items: Vec<u32>,
}

impl Lists {
    fn new(lists: &[Vec<u32>]) -> Lists {
        let mut starts = vec![0];
        let mut items = Vec::new();
        for list in lists {
            items.extend_from_slice(list);
            starts.push(number(items.len()));
        }
        Lists { starts, items }
    }

    fn inverse(&self, len: usize) -> Lists {
        let mut lists = vec![Vec::new(); len];
        for index in 0..self.len() {
            for &item in self.of(number(index)) {
                lists[item as usize].push(number(index));
            }
        }
        Lists::new(&lists)
    }

    pub(crate) fn len(&self) -> usize {
        self.starts.len() - 1
    }

    pub(crate) fn of(&self, index: u32) -> &[u32] {
        let index = index as usize;
        &self.items[self.starts[index] as usize..self.starts[index + 1] as usize]
    }
}

pub(super) fn number(index: usize) -> u32 {
    u32::try_from(index).expect("a relaxation has fewer than four billion parts")
}

impl Relaxation {
    pub(crate) fn new(planner: &Planner, scope: &Scope, goal: &Tree) -> Relaxation {
        let mut maker = Maker::new(planner, scope);
        let goal_atom = maker.atom();
        maker.rule(goal, goal_atom);
        let mut costs = vec![0];
        let mut purse_of = vec![0; planner.operators.len()];
        for id in &scope.operators {
            let operator = &planner.operators[id.index()];
            if operator.cost > 0 {
                purse_of[id.index()] = number(costs.len());
                costs.push(operator.cost);
            }
            maker.doing(operator, purse_of[id.index()]);
        }
        for &event in &scope.events {
            maker.doing(&planner.events[event], 0);
        }
        maker.finish_facts();
        let needs = Lists::new(&maker.needs);
        let adds = Lists::new(&maker.adds);
        let purse_lists = Lists::new(&maker.purse.iter().map(|&purse| vec![purse]).collect::<Vec<_>>());
        Relaxation {
            atoms: maker.atoms as usize,
            goal: goal_atom,
            needed_by: needs.inverse(maker.atoms as usize),
            added_by: adds.inverse(maker.atoms as usize),
            payers: purse_lists.inverse(costs.len()),
            needs,
            adds,
            purse: maker.purse,
            costs,
            purse_of,
            variables: maker.variables,
        }
    }

    pub(crate) fn actions(&self) -> usize {
        self.purse.len()
    }

    /// The cost an operator pays.
    pub(crate) fn purse_of(&self, operator: OpId) -> u32 {
        self.purse_of[operator.index()]
    }

    /// Calls `visit` with each atom that is given in a state.
    pub(crate) fn given(&self, planner: &Planner, words: &[u64], mut visit: impl FnMut(u32)) {
        visit(TOP);
        for &(variable, first) in &self.variables {
            visit(first + u32::from(planner.layout.get(words, variable)));
        }
    }
}

/// A relaxation being made.
struct Maker<'a> {
    planner: &'a Planner,
    scope: &'a Scope,
    recursive: Vec<bool>,
    atoms: u32,
    needs: Vec<Vec<u32>>,
    adds: Vec<Vec<u32>>,
    purse: Vec<u32>,
    variables: Vec<(usize, u32)>,
    first: Vec<Option<u32>>,
    facts: BTreeMap<(usize, bool), u32>,
    to_do: Vec<(usize, bool)>,
    parts: BTreeMap<(bool, Vec<u32>), u32>,
}

impl<'a> Maker<'a> {
    fn new(planner: &'a Planner, scope: &'a Scope) -> Self {
        let mut maker = Maker {
            planner,
            scope,
            recursive: vec![false; planner.bodies.len()],
            atoms: TOP + 1,
            needs: Vec::new(),
            adds: Vec::new(),
            purse: Vec::new(),
            variables: Vec::new(),
            first: vec![None; planner.sizes.len()],
            facts: BTreeMap::new(),
            to_do: Vec::new(),
            parts: BTreeMap::new(),
        };
        for group in planner.rules.iter().filter(|group| group.recursive) {
            for &fact in &group.facts {
                maker.recursive[fact] = true;
            }
        }
        maker
    }

    fn atom(&mut self) -> u32 {
        self.atoms += 1;
        self.atoms - 1
    }

    fn action(&mut self, mut needs: Vec<u32>, adds: Vec<u32>, purse: u32) {
        needs.sort_unstable();
        needs.dedup();
        if needs.len() > 1 {
            needs.retain(|&atom| atom != TOP);
        }
        self.needs.push(needs);
        self.adds.push(adds);
        self.purse.push(purse);
    }

    /// Free actions that add `atom` when the tree holds.
    fn rule(&mut self, tree: &Tree, atom: u32) {
        for alternative in tree.alternatives() {
            if let Some(needs) = self.conjuncts(alternative) {
                self.action(needs, vec![atom], 0);
            }
        }
    }

    /// Actions of an operator or event: one for each run of effects with the same condition.
    fn doing(&mut self, doing: &Compiled, purse: u32) {
        let Some(base) = self.conjuncts(&doing.condition) else { return };
        let keep = &self.scope.keep;
        let effects: Vec<_> =
            doing.effects.iter().filter(|effect| keep[effect.word] & effect.mask != 0).collect();
        for run in effects.chunk_by(|a, b| a.condition == b.condition) {
            let Some(more) = self.conjuncts(&run[0].condition) else { continue };
            let adds = run.iter().map(|effect| self.value(effect.variable.index(), effect.value)).collect();
            let needs = base.iter().copied().chain(more).collect();
            self.action(needs, adds, purse);
        }
    }

    /// Atoms that together say what the tree says (never empty); `None` if it cannot hold.
    fn conjuncts(&mut self, tree: &Tree) -> Option<Vec<u32>> {
        match tree {
            Tree::True => Some(vec![TOP]),
            Tree::False => None,
            Tree::All(parts) => Some(parts.iter().map(|part| self.part(part)).collect()),
            other => Some(vec![self.part(other)]),
        }
    }

    /// The atom for an inner part of a condition; equal parts share one.
    fn part(&mut self, tree: &Tree) -> u32 {
        let (all, parts) = match tree {
            Tree::True | Tree::False => unreachable!("constants stand only at the root of a tree"),
            Tree::Leaf(literal) => return self.literal(*literal),
            Tree::All(parts) => (true, parts),
            Tree::Any(parts) => (false, parts),
        };
        let mut below: Vec<u32> = parts.iter().map(|part| self.part(part)).collect();
        below.sort_unstable();
        below.dedup();
        self.joint(all, below)
    }

    fn joint(&mut self, all: bool, below: Vec<u32>) -> u32 {
        if let &[only] = below.as_slice() {
            return only;
        }
        if !all && below.contains(&TOP) {
            return TOP;
        }
        if let Some(&atom) = self.parts.get(&(all, below.clone())) {
            return atom;
        }
        let atom = self.atom();
        if all {
            self.action(below.clone(), vec![atom], 0);
        } else {
            for &part in &below {
                self.action(vec![part], vec![atom], 0);
            }
        }
        self.parts.insert((all, below), atom);
        atom
    }

    fn literal(&mut self, literal: Literal) -> u32 {
        match literal {
            Literal::Is(variable, value) => self.value(variable.index(), value),
            Literal::IsNot(variable, value) => {
                let others = (0..self.planner.sizes[variable.index()]).filter(|&other| other != value);
                let below = others.map(|other| self.value(variable.index(), other)).collect();
                self.joint(false, below)
            }
            Literal::Fact(fact) => self.fact(fact.index(), true),
            Literal::NoFact(fact) => self.fact(fact.index(), false),
        }
    }

    fn value(&mut self, variable: usize, value: u8) -> u32 {
        let first = if let Some(first) = self.first[variable] {
            first
        } else {
            let first = self.atoms;
            self.atoms += u32::from(self.planner.sizes[variable]);
            self.first[variable] = Some(first);
            self.variables.push((variable, first));
            first
        };
        first + u32::from(value)
    }

    /// The atom for a derived fact holding or failing; that a recursive fact fails is always given.
    fn fact(&mut self, fact: usize, holds: bool) -> u32 {
        if !holds && self.recursive[fact] {
            return TOP;
        }
        if let Some(&atom) = self.facts.get(&(fact, holds)) {
            return atom;
        }
        let atom = self.atom();
        self.facts.insert((fact, holds), atom);
        self.to_do.push((fact, holds));
        atom
    }

    /// Writes the rules of all facts that are used, which may use further ones.
    fn finish_facts(&mut self) {
        while let Some((fact, holds)) = self.to_do.pop() {
            let atom = self.facts[&(fact, holds)];
            let body = &self.planner.bodies[fact];
            if holds {
                self.rule(body, atom);
            } else {
                self.rule(&body.negated(&self.planner.sizes), atom);
            }
        }
    }
}
