//! Strong stubborn sets: in a state it is enough to try some of the operators, as others could as well be done later
//! (Valmari 1989; for planning Wehrle & Helmert, "Efficient stubborn sets: generalized algorithms and selection
//! strategies", ICAPS 2014). Without this, steps that have nothing to do with each other are tried in every order.
//!
//! A set T of operators is built for a state s: (1) operators of which every plan from s has one; (2) for each member
//! that is not allowed in s, operators one of which must come before it can be; (3) for each member that is allowed in
//! s, all operators that interfere with it. Only the allowed members of T are tried.
//!
//! Why a cheapest plan is kept: let o be the first member of T in a cheapest plan (there is one by 1). By (2) it is
//! allowed in s. The operators before it are no members, so by (3) they do not interfere with it, and it can be moved
//! to the front. With events, forbidden states and conditional effects "interfere" is taken wide enough for that.
//! Write W(o) for the values that o, or events that it may set off (judged by what they read and write, transitively),
//! may write. Conditions are monotone in the values they name when facts are looked through by polarity; call these
//! values their support. Operators a and b interfere if
//! - a writes a variable of which the precondition of b has another value in its support (a may switch b off);
//! - a writes a variable that a condition of an effect of b reads, or that an event that b may set off reads or writes
//!   (a may change what b does; and without this no event of b happens because of a);
//! - a and b write different values of one variable;
//! - both write a value in the support of one forbidden alternative;
//!
//! or the other way round. The last point is enough: let F be an alternative, o the operator moved to the front, and p
//! the operators it was moved over. If o writes nothing in the support of F, F is as false with o as it was without.
//! Else p write nothing in its support, so F is as false after o and any part of p as it was after o alone; and there
//! it is false since o is allowed in s. If o is not allowed in s because of F, then before it can be allowed some
//! operator must write a variable that F, the conditions of effects of o, or the events of o speak of: these are the
//! operators for (2).
//!
//! All this supposes that no event is due in s, which holds behind every operator.

use crate::bits::Bits;
use crate::formula::{Literal, Tree};
use crate::planner::{Compiled, Planner};
use crate::relevance::Speaks;
use crate::scope::Scope;

/// What is known beforehand about the operators of a scope, which are numbered by their position in it.
#[derive(Debug, Clone)]
pub(crate) struct Interference {
    /// Operators that interfere with each operator.
    with: Vec<Bits>,
    /// Operators that may write each value.
    writers: Vec<Bits>,
    /// Variables whose change may change what an operator does.
    minds: Vec<Bits>,
    forbidden: Vec<(Tree, Bits)>,
    atoms: Atoms,
    /// Negated bodies of facts that are not recursive, and the supports of all facts holding and failing.
    negated: Vec<Option<Tree>>,
    supports: Supports,
}

/// Numbers for the values of all variables.
#[derive(Debug, Clone)]
struct Atoms {
    first: Vec<usize>,
    count: usize,
}

impl Atoms {
    fn new(sizes: &[u8]) -> Atoms {
        let mut count = 0;
        let first = sizes.iter().map(|&size| (count, count += usize::from(size)).0).collect();
        Atoms { first, count }
    }

    fn of(&self, variable: usize, value: u8) -> usize {
        self.first[variable] + usize::from(value)
    }

    fn values(&self, variable: usize) -> std::ops::Range<usize> {
        self.first[variable]..self.first.get(variable + 1).copied().unwrap_or(self.count)
    }

    fn variable(&self, atom: usize) -> usize {
        self.first.partition_point(|&first| first <= atom) - 1
    }

    fn all_of(&self, variables: &Bits) -> Bits {
        let mut atoms = Bits::new(self.count);
        for variable in variables.iter() {
            for atom in self.values(variable) {
                atoms.add(atom);
            }
        }
        atoms
    }
}

/// The values on which facts rest when they hold (first) and when they fail (second).
#[derive(Debug, Clone)]
struct Supports(Vec<(Bits, Bits)>);

impl Supports {
    fn new(planner: &Planner, atoms: &Atoms, speaks: &Speaks, negated: &[Option<Tree>]) -> Supports {
        let empty = || (Bits::new(atoms.count), Bits::new(atoms.count));
        let mut supports = Supports(vec![empty(); planner.bodies.len()]);
        for group in &planner.rules {
            let (mut holding, mut failing) = empty();
            for &fact in &group.facts {
                holding.join(&supports.of(&planner.bodies[fact], atoms));
                match &negated[fact] {
                    Some(tree) => failing.join(&supports.of(tree, atoms)),
                    None => failing.join(&atoms.all_of(&speaks.of(&planner.bodies[fact]))),
                }
            }
            for &fact in &group.facts {
                supports.0[fact] = (holding.clone(), failing.clone());
            }
        }
        supports
    }

    fn of(&self, tree: &Tree, atoms: &Atoms) -> Bits {
        let mut support = Bits::new(atoms.count);
        tree.literals(&mut |literal| match literal {
            Literal::Is(variable, value) => support.add(atoms.of(variable.index(), value)),
            Literal::IsNot(variable, value) => {
                let not = atoms.of(variable.index(), value);
                atoms.values(variable.index()).filter(|&atom| atom != not).for_each(|atom| support.add(atom));
            }
            Literal::Fact(fact) => support.join(&self.0[fact.index()].0),
            Literal::NoFact(fact) => support.join(&self.0[fact.index()].1),
        });
        support
    }
}

/// What one operator or event reads and writes.
struct Reach {
    writes: Bits,
    minds: Bits,
}

impl Interference {
    pub(crate) fn new(planner: &Planner, scope: &Scope, forbidden: &[Tree]) -> Interference {
        let atoms = Atoms::new(&planner.sizes);
        let speaks = Speaks::new(planner);
        let mut negated: Vec<Option<Tree>> =
            planner.bodies.iter().map(|body| Some(body.negated(&planner.sizes))).collect();
        for group in planner.rules.iter().filter(|group| group.recursive) {
            for &fact in &group.facts {
                negated[fact] = None;
            }
        }
        let supports = Supports::new(planner, &atoms, &speaks, &negated);
        let reaches = reaches(planner, scope, &atoms, &speaks, &supports);
        let count = scope.operators.len();
        let mut writers = vec![Bits::new(count); atoms.count];
        let mut readers = vec![Bits::new(count); planner.sizes.len()];
        let mut needs = vec![Bits::new(count); atoms.count];
        for (index, reach) in reaches.iter().enumerate() {
            reach.writes.iter().for_each(|atom| writers[atom].add(index));
            reach.minds.iter().for_each(|variable| readers[variable].add(index));
            let condition = &planner.operators[scope.operators[index].index()].condition;
            supports.of(condition, &atoms).iter().for_each(|atom| needs[atom].add(index));
        }
        let mut with = vec![Bits::new(count); count];
        for (index, reach) in reaches.iter().enumerate() {
            for atom in reach.writes.iter() {
                let variable = atoms.variable(atom);
                with[index].join(&readers[variable]);
                for other in atoms.values(variable).filter(|&other| other != atom) {
                    with[index].join(&needs[other]);
                    with[index].join(&writers[other]);
                }
            }
        }
        for tree in forbidden {
            let support = supports.of(tree, &atoms);
            let mut contributors = Bits::new(count);
            support.iter().for_each(|atom| contributors.join(&writers[atom]));
            contributors.iter().for_each(|index| with[index].join(&contributors));
        }
        for index in 0..count {
            for other in with[index].clone().iter() {
                with[other].add(index);
            }
        }
        let minds = reaches.into_iter().map(|reach| reach.minds).collect();
        let forbidden = forbidden.iter().map(|tree| (tree.clone(), speaks.of(tree))).collect();
        Interference { with, writers, minds, forbidden, atoms, negated, supports }
    }
}

/// For each operator what it and the events that it may set off write, and which variables change what happens.
fn reaches(
    planner: &Planner,
    scope: &Scope,
    atoms: &Atoms,
    speaks: &Speaks,
    supports: &Supports,
) -> Vec<Reach> {
    let written = |doing: &Compiled| {
        let mut writes = Bits::new(atoms.count);
        for effect in &doing.effects {
            if scope.keep[effect.word] & effect.mask != 0 {
                writes.add(atoms.of(effect.variable.index(), effect.value));
            }
        }
        writes
    };
    let read_by_effects = |doing: &Compiled| {
        let mut reads = Bits::new(planner.sizes.len());
        doing.effects.iter().for_each(|effect| reads.join(&speaks.of(&effect.condition)));
        reads
    };
    // Of each event: what may set it off, what it writes, and what it reads or writes.
    let mut events = Vec::new();
    for &event in &scope.events {
        let event = &planner.events[event];
        let writes = written(event);
        let mut touched = read_by_effects(event);
        writes.iter().for_each(|atom| touched.add(atoms.variable(atom)));
        let mut sets_off = supports.of(&event.condition, atoms);
        sets_off.join(&atoms.all_of(&touched));
        touched.join(&speaks.of(&event.condition));
        events.push((sets_off, writes, touched));
    }
    let reach = |doing: &Compiled| {
        let mut reach = Reach { writes: written(doing), minds: read_by_effects(doing) };
        let mut open: Vec<_> = events.iter().collect();
        loop {
            let before = open.len();
            open.retain(|(sets_off, writes, touched)| {
                let happens = sets_off.meets(&reach.writes);
                if happens {
                    reach.writes.join(writes);
                    reach.minds.join(touched);
                }
                !happens
            });
            if open.len() == before {
                return reach;
            }
        }
    };
    scope.operators.iter().map(|id| reach(&planner.operators[id.index()])).collect()
}

/// Builds stubborn sets, state after state.
#[derive(Debug)]
pub(crate) struct Stubborn<'a> {
    planner: &'a Planner,
    scope: &'a Scope,
    known: &'a Interference,
    goal: &'a Tree,
    members: Bits,
    to_do: Vec<usize>,
    /// Facts (holding, failing) whose ways to change are in the set.
    done: [Bits; 2],
    next: Vec<u64>,
}

impl<'a> Stubborn<'a> {
    pub(crate) fn new(
        planner: &'a Planner,
        scope: &'a Scope,
        known: &'a Interference,
        goal: &'a Tree,
    ) -> Self {
        let facts = planner.bodies.len();
        Stubborn {
            planner,
            scope,
            known,
            goal,
            members: Bits::new(scope.operators.len()),
            to_do: Vec::new(),
            done: [Bits::new(facts), Bits::new(facts)],
            next: vec![0; planner.layout.all_words()],
        }
    }

    /// The positions of the operators to be tried in a state; `None` if all should be.
    pub(crate) fn positions(&mut self, words: &[u64]) -> Option<&Bits> {
        // Only a forbidden start is gone on from though it fulfils the goal; then (1) has nothing to begin with.
        if self.holds(self.goal, words) {
            return None;
        }
        self.members.clear();
        self.done.iter_mut().for_each(Bits::clear);
        self.to_do.clear();
        self.must_come(self.goal, words);
        while let Some(index) = self.to_do.pop() {
            let operator = &self.planner.operators[self.scope.operators[index].index()];
            if !operator.test.holds(words) {
                self.must_come(&operator.condition, words);
            } else if !self.add_what_unblocks(index, words) {
                let known = self.known;
                self.add_all(&known.with[index]);
            }
        }
        Some(&self.members)
    }

    fn add_all(&mut self, operators: &Bits) {
        for index in operators.iter() {
            if !self.members.has(index) {
                self.members.add(index);
                self.to_do.push(index);
            }
        }
    }

    /// If an enabled operator leads into a forbidden state, adds those that may change this.
    fn add_what_unblocks(&mut self, index: usize, words: &[u64]) -> bool {
        let known = self.known;
        if known.forbidden.is_empty() {
            return false;
        }
        let mut next = std::mem::take(&mut self.next);
        let id = self.scope.operators[index];
        let fine = self.planner.step(self.scope, id, words, &mut next, None).is_ok();
        let blocking = known.forbidden.iter().find(|(tree, _)| fine && self.holds(tree, &next));
        self.next = next;
        let Some((_, speaks)) = blocking else { return false };
        let mut variables = known.minds[index].clone();
        variables.join(speaks);
        for atom in known.atoms.all_of(&variables).iter() {
            self.add_all(&known.writers[atom]);
        }
        true
    }

    /// Adds operators one of which must come before a condition that does not hold can hold.
    fn must_come(&mut self, tree: &Tree, words: &[u64]) {
        match tree {
            Tree::True | Tree::False => {}
            Tree::All(parts) => {
                if let Some(part) = parts.iter().find(|part| !self.holds(part, words)) {
                    self.must_come(part, words);
                }
            }
            Tree::Any(parts) => parts.iter().for_each(|part| self.must_come(part, words)),
            Tree::Leaf(Literal::Fact(fact)) => self.fact_must_change(fact.index(), true, words),
            Tree::Leaf(Literal::NoFact(fact)) => self.fact_must_change(fact.index(), false, words),
            Tree::Leaf(Literal::Is(..) | Literal::IsNot(..)) => {
                let known = self.known;
                for atom in known.supports.of(tree, &known.atoms).iter() {
                    self.add_all(&known.writers[atom]);
                }
            }
        }
    }

    fn fact_must_change(&mut self, fact: usize, to: bool, words: &[u64]) {
        if self.done[usize::from(to)].has(fact) {
            return;
        }
        self.done[usize::from(to)].add(fact);
        let (known, planner) = (self.known, self.planner);
        match &known.negated[fact] {
            Some(_) if to => self.must_come(&planner.bodies[fact], words),
            Some(negated) => self.must_come(negated, words),
            None => {
                let (holding, failing) = &known.supports.0[fact];
                let support = if to { holding } else { failing };
                for atom in support.iter() {
                    let variable = known.atoms.variable(atom);
                    let value = planner.layout.get(words, variable);
                    if known.atoms.of(variable, value) != atom {
                        self.add_all(&known.writers[atom]);
                    }
                }
            }
        }
    }

    fn holds(&self, tree: &Tree, words: &[u64]) -> bool {
        let layout = &self.planner.layout;
        match tree {
            Tree::True => true,
            Tree::False => false,
            Tree::All(parts) => parts.iter().all(|part| self.holds(part, words)),
            Tree::Any(parts) => parts.iter().any(|part| self.holds(part, words)),
            Tree::Leaf(Literal::Is(variable, value)) => layout.get(words, variable.index()) == *value,
            Tree::Leaf(Literal::IsNot(variable, value)) => layout.get(words, variable.index()) != *value,
            Tree::Leaf(Literal::Fact(fact)) => {
                let (word, bit) = layout.fact(*fact);
                words[word as usize] & bit != 0
            }
            Tree::Leaf(Literal::NoFact(fact)) => {
                let (word, bit) = layout.fact(*fact);
                words[word as usize] & bit == 0
            }
        }
    }
}
