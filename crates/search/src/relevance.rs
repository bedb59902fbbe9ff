//! Which part of a task can matter for a goal.
//!
//! A set R of variables is closed when: the goal speaks only of R; every operator or event that writes a variable
//! of R is kept, and its condition and the conditions of its effects on R speak only of R; and every alternative of
//! the forbidden formula that kept operators could make true (it speaks of a variable that they, or events which they
//! may set off, can change) speaks only of R and is kept. "Speaks of" looks through derived facts.
//!
//! Then a plan stays a plan when the operators that are not kept are struck out. The values of R develop the same way,
//! as they are written by kept operators and events only, under conditions on R only. (Events that are not kept may
//! add rounds, but in those nothing on R happens. In a start state in which no event is due, none on R becomes due by
//! a struck operator.) Kept alternatives of the forbidden formula speak of R and so are as false as they were. The
//! others are made of variables that never change now, and are false if they were false at the start. Conversely
//! a plan made of kept operators is judged on R and these alternatives alone. So the caller must make sure that in
//! the start state no event is due and no left-out alternative holds; otherwise it must take the whole task.

use crate::OpId;
use crate::bits::Bits;
use crate::condition::Condition;
use crate::formula::{Literal, Tree};
use crate::planner::{Compiled, Planner};
use crate::rules::Group;
use crate::scope::Scope;

/// The part of a task that matters, and the forbidden alternatives that were left out.
#[derive(Debug, Clone)]
pub(crate) struct Relevant {
    pub(crate) scope: Scope,
    pub(crate) left_out: Condition,
    /// The forbidden alternatives that were kept.
    pub(crate) forbidden: Vec<Tree>,
}

/// Finds the part that matters for a goal.
pub(crate) fn relevant(planner: &Planner, goal: &Tree) -> Relevant {
    let speaks = Speaks::new(planner);
    let alternatives = planner.forbidden.alternatives();
    let mut part = Part {
        variables: speaks.of(goal),
        operators: vec![false; planner.operators.len()],
        events: vec![false; planner.events.len()],
        forbidden: vec![false; alternatives.len()],
    };
    loop {
        let before = (part.variables.count(), part.forbidden.iter().filter(|&&kept| kept).count());
        part.keep_writers(planner, &speaks);
        let changeable = part.changeable(planner, &speaks);
        for (kept, alternative) in part.forbidden.iter_mut().zip(&alternatives) {
            let variables = speaks.of(alternative);
            if !*kept && variables.meets(&changeable) {
                *kept = true;
                part.variables.join(&variables);
            }
        }
        if before == (part.variables.count(), part.forbidden.iter().filter(|&&kept| kept).count()) {
            break;
        }
    }
    part.finish(planner, goal, &alternatives)
}

struct Part {
    variables: Bits,
    operators: Vec<bool>,
    events: Vec<bool>,
    forbidden: Vec<bool>,
}

impl Part {
    /// Keeps operators and events that write a variable of the part, with what they speak of, until nothing is new.
    fn keep_writers(&mut self, planner: &Planner, speaks: &Speaks) {
        loop {
            let before = self.variables.count();
            for (kept, operator) in self.operators.iter_mut().zip(&planner.operators) {
                *kept |= keep(operator, &mut self.variables, speaks);
            }
            for (kept, event) in self.events.iter_mut().zip(&planner.events) {
                *kept |= keep(event, &mut self.variables, speaks);
            }
            if self.variables.count() == before {
                return;
            }
        }
    }

    /// Variables that kept operators, or events set off by them, may change.
    fn changeable(&self, planner: &Planner, speaks: &Speaks) -> Bits {
        let mut changeable = Bits::new(planner.sizes.len());
        for (_, operator) in self.operators.iter().zip(&planner.operators).filter(|(kept, _)| **kept) {
            changeable.join(&writes(operator, planner.sizes.len()));
        }
        loop {
            let before = changeable.count();
            for event in &planner.events {
                let writes = writes(event, planner.sizes.len());
                let mut minds = speaks.of(&event.condition);
                minds.join(&writes);
                for effect in &event.effects {
                    minds.join(&speaks.of(&effect.condition));
                }
                if minds.meets(&changeable) {
                    changeable.join(&writes);
                }
            }
            if changeable.count() == before {
                return changeable;
            }
        }
    }

    fn finish(self, planner: &Planner, goal: &Tree, alternatives: &[&Tree]) -> Relevant {
        let width = planner.layout.state_words();
        let mut bits = vec![0; width];
        for variable in 0..planner.sizes.len() {
            if self.variables.has(variable) {
                let (word, mask, _) = planner.layout.test(crate::VarId::new(variable), 0);
                bits[word as usize] |= mask;
            }
        }
        let select = |wanted: bool| {
            let chosen = self.forbidden.iter().zip(alternatives).filter(|(kept, _)| **kept == wanted);
            Tree::any(chosen.map(|(_, tree)| (*tree).clone()).collect())
        };
        let forbidden = select(true);
        let operators: Vec<OpId> =
            (0..planner.operators.len()).filter(|&index| self.operators[index]).map(OpId::new).collect();
        let events: Vec<usize> = (0..planner.events.len()).filter(|&index| self.events[index]).collect();
        let mut used = vec![false; planner.bodies.len()];
        mark_facts(planner, goal, &mut used);
        mark_facts(planner, &forbidden, &mut used);
        let doing = operators.iter().map(|id| &planner.operators[id.index()]);
        for doing in doing.chain(events.iter().map(|&event| &planner.events[event])) {
            mark_facts(planner, &doing.condition, &mut used);
            for effect in doing.effects.iter().filter(|effect| self.variables.has(effect.variable.index())) {
                mark_facts(planner, &effect.condition, &mut used);
            }
        }
        let rules: Vec<Group> = planner
            .rules
            .iter()
            .filter(|group| group.facts.iter().any(|&fact| used[fact]))
            .cloned()
            .collect();
        let facts_after = !events.is_empty() || forbidden != Tree::False;
        Relevant {
            left_out: Condition::compile(&select(false), &planner.layout),
            forbidden: forbidden.alternatives().into_iter().cloned().collect(),
            scope: Scope {
                operators,
                events,
                rules,
                forbidden: Condition::compile(&forbidden, &planner.layout),
                keep: bits,
                facts_after,
            },
        }
    }
}

/// Whether the operator or event writes one of the variables; if so, joins what it speaks of.
fn keep(doing: &Compiled, variables: &mut Bits, speaks: &Speaks) -> bool {
    let mut kept = false;
    for effect in &doing.effects {
        if variables.has(effect.variable.index()) {
            kept = true;
            variables.join(&speaks.of(&effect.condition));
        }
    }
    if kept {
        variables.join(&speaks.of(&doing.condition));
    }
    kept
}

fn writes(doing: &Compiled, variables: usize) -> Bits {
    let mut bits = Bits::new(variables);
    for effect in &doing.effects {
        bits.add(effect.variable.index());
    }
    bits
}

/// Marks the facts that a tree uses, directly or through other facts.
fn mark_facts(planner: &Planner, tree: &Tree, used: &mut [bool]) {
    let mut to_do = Vec::new();
    facts_of(tree, &mut to_do);
    while let Some(fact) = to_do.pop() {
        if !used[fact] {
            used[fact] = true;
            facts_of(&planner.bodies[fact], &mut to_do);
        }
    }
}

fn facts_of(tree: &Tree, found: &mut Vec<usize>) {
    tree.literals(&mut |literal| {
        if let Literal::Fact(fact) | Literal::NoFact(fact) = literal {
            found.push(fact.index());
        }
    });
}

/// Which variables a condition speaks of, derived facts looked through.
pub(crate) struct Speaks {
    variables: usize,
    facts: Vec<Bits>,
}

impl Speaks {
    pub(crate) fn new(planner: &Planner) -> Speaks {
        let variables = planner.sizes.len();
        let mut speaks = Speaks { variables, facts: vec![Bits::new(variables); planner.bodies.len()] };
        for group in &planner.rules {
            let mut all = Bits::new(variables);
            for &fact in &group.facts {
                all.join(&speaks.of(&planner.bodies[fact]));
            }
            for &fact in &group.facts {
                speaks.facts[fact] = all.clone();
            }
        }
        speaks
    }

    pub(crate) fn of(&self, tree: &Tree) -> Bits {
        let mut bits = Bits::new(self.variables);
        tree.literals(&mut |literal| match literal {
            Literal::Is(variable, _) | Literal::IsNot(variable, _) => bits.add(variable.index()),
            Literal::Fact(fact) | Literal::NoFact(fact) => bits.join(&self.facts[fact.index()]),
        });
        bits
    }
}
