//! The part of the boat that a way from one stand to one goal has to do with, as a planning task of its own. The
//! shortest way on it is the shortest on the whole boat, and if there is none on it there is none at all.
//!
//! First, what can never be so from this stand is folded away: a value that nothing brings about, a fact that comes
//! out the same whatever happens, a step that can never be done. Then a set of controls and states is kept which is
//! closed: the goal speaks only of it, and so does everything that a step or change on it needs. Steps that write
//! nothing in it can be struck out of any way: what is kept goes the same way without them. A never-state that can't
//! come about by the steps that are left can be left out; of every other one all is kept that it speaks of, so that
//! what is kept is forbidden exactly where it is on the whole boat.
//!
//! A wait asks for something that comes due at its end, so as not to be mistaken for a shorter one. Here it asks only
//! for something kept that comes due within it: where nothing does at its end, the shorter wait does the same.

use boat::model::{Boat, Expr, Id, Named, Value, VarId};
use search::{Effect, Planner, Task};

use crate::model::Model;
use crate::planning::{Doing, Op, Put, formula, var_id};
use crate::possible::Possible;
use crate::stand::Stand;
use boat::lower::{all, any, not};

/// The task of one question, with the meaning of its operators.
pub(crate) struct Narrow {
    pub(crate) planner: Planner,
    pub(crate) goal: search::Goal,
    pub(crate) ops: Vec<Op>,
}

impl Narrow {
    /// What matters on the way from a settled stand to a lowered goal.
    pub(crate) fn new(model: &Model<'_>, doings: &[Doing], from: &Stand, goal: &Expr) -> Self {
        let mut folded = Folded::new(model, doings, from, goal);
        let forbidden = folded.close(from);
        let (task, ops) = folded.task(from, &forbidden);
        let planner = Planner::new(&task).expect("a part of a compiled boat is a sound task");
        let goal = planner.goal(&task.goal).expect("the goal is of the same task");
        Self { planner, goal, ops }
    }
}

/// A change at once: when, what, to what.
struct Turn {
    when: Expr,
    var: VarId,
    to: Value,
}

/// The boat with what can't change folded away.
struct Folded<'m, 'b> {
    model: &'m Model<'b>,
    boat: &'b Boat,
    /// Facts; a constant where they come out the same whatever happens.
    facts: Vec<Expr>,
    doings: Vec<Doing>,
    turns: Vec<Turn>,
    nevers: Vec<Expr>,
    goal: Expr,
    /// What each fact looks at.
    looks: Vec<Vec<bool>>,
    keeps: Vec<bool>,
}

impl<'m, 'b> Folded<'m, 'b> {
    fn new(model: &'m Model<'b>, doings: &[Doing], from: &Stand, goal: &Expr) -> Self {
        let boat = model.boat;
        let may = Possible::from(model, &doings.iter().collect::<Vec<_>>(), from);
        let mut facts = vec![Expr::Const(false); boat.conditions.len()];
        let mut looks = vec![vec![false; boat.vars.len()]; boat.conditions.len()];
        for named in boat.evaluation_order() {
            let Named::Condition(id) = named else { continue };
            let body = fold(&may, &facts, &model.conditions[id.index()]);
            let mut marks = vec![false; boat.vars.len()];
            mark(&looks, &body, &mut marks);
            looks[id.index()] = marks;
            facts[id.index()] = body;
        }
        let fold = |expr: &Expr| fold(&may, &facts, expr);
        let doings = doings.iter().filter_map(|doing| {
            let waits = matches!(doing.op, Op::Wait(_));
            let needs = if waits { Expr::Const(true) } else { fold(&doing.needs) };
            let puts = doing.puts.iter().map(|put| Put { when: fold(&put.when), ..*put });
            let puts: Vec<Put> = puts.filter(|put| put.when != Expr::Const(false)).collect();
            let can = needs != Expr::Const(false) && !puts.is_empty();
            can.then(|| Doing { op: doing.op, name: doing.name.clone(), needs, puts })
        });
        let turns = model.turns.iter().filter(|turn| turn.after.is_none());
        let turns = turns.map(|turn| Turn { when: fold(&turn.when), var: turn.var, to: turn.to });
        // Each alternative by itself, so that one may be left out without the others.
        let nevers = model.nevers.iter().flat_map(|never| match fold(never) {
            Expr::Or(parts) => parts,
            Expr::Const(false) => Vec::new(),
            other => vec![other],
        });
        let (doings, nevers) = (doings.collect(), nevers.collect());
        let turns = turns.filter(|turn| turn.when != Expr::Const(false)).collect();
        let goal = fold(goal);
        Self { model, boat, doings, turns, nevers, goal, looks, keeps: vec![false; boat.vars.len()], facts }
    }

    /// Finds what must be kept; gives back what is forbidden there.
    fn close(&mut self, from: &Stand) -> Vec<Expr> {
        let mut keeps = std::mem::take(&mut self.keeps);
        mark(&self.looks, &self.goal, &mut keeps);
        loop {
            let before = count(&keeps);
            for doing in &self.doings {
                if doing.puts.iter().any(|put| keeps[put.var.index()]) {
                    mark(&self.looks, &doing.needs, &mut keeps);
                    for put in &doing.puts {
                        if keeps[put.var.index()] {
                            mark(&self.looks, &put.when, &mut keeps);
                        }
                    }
                }
            }
            for turn in &self.turns {
                if keeps[turn.var.index()] {
                    mark(&self.looks, &turn.when, &mut keeps);
                }
            }
            let writes = |doing: &&Doing| doing.puts.iter().any(|put| keeps[put.var.index()]);
            let left: Vec<&Doing> = self.doings.iter().filter(writes).collect();
            let may = Possible::from(self.model, &left, from);
            let mut forbidden = Vec::new();
            for never in &self.nevers {
                let here = self.left(&may, never);
                if here != Expr::Const(false) {
                    mark(&self.looks, never, &mut keeps);
                    forbidden.push(here);
                }
            }
            if count(&keeps) == before {
                self.keeps = keeps;
                return forbidden;
            }
        }
    }

    /// An expression, facts written out, with everything filled in that the steps that are left can't change.
    fn left(&self, may: &Possible<'_, '_>, expr: &Expr) -> Expr {
        match expr {
            Expr::Holds(condition) => self.left(may, &self.facts[condition.index()]),
            Expr::Not(part) => not(self.left(may, part)),
            Expr::And(parts) => all(parts.iter().map(|part| self.left(may, part))),
            Expr::Or(parts) => any(parts.iter().map(|part| self.left(may, part))),
            plain => fold(may, &self.facts, plain),
        }
    }

    /// The doings that are left, with what they write of what is kept; of waits that do the same the shortest.
    fn kept(&self) -> Vec<Doing> {
        let mut kept: Vec<Doing> = Vec::new();
        for doing in &self.doings {
            let puts = doing.puts.iter().filter(|put| self.keeps[put.var.index()]);
            let puts: Vec<Put> = puts.cloned().collect();
            let waits = matches!(doing.op, Op::Wait(_));
            let same = |other: &Doing| waits && matches!(other.op, Op::Wait(_)) && other.puts == puts;
            if puts.is_empty() || kept.iter().any(same) {
                continue;
            }
            let due = |put: &Put| all([put.when.clone(), not(Expr::Is(put.var, put.to))]);
            let needs = if waits { any(puts.iter().map(due)) } else { doing.needs.clone() };
            kept.push(Doing { op: doing.op, name: doing.name.clone(), needs, puts });
        }
        kept
    }

    fn task(&self, from: &Stand, forbidden: &[Expr]) -> (Task, Vec<Op>) {
        let mut task = Task::new();
        for (id, var) in self.boat.vars.iter_ids() {
            let size = u8::try_from(var.values.len()).expect("a control or state has at most 255 values");
            task.variable(&var.id, size, from.get(id).0);
        }
        for (condition, body) in self.boat.conditions.iter().zip(&self.facts) {
            task.fact(&condition.id, formula(body));
        }
        let kept = self.kept();
        for doing in &kept {
            let effects: Vec<Effect> = doing.puts.iter().map(Put::effect).collect();
            task.operator(&doing.name, 1, formula(&doing.needs), effects);
        }
        for turn in self.turns.iter().filter(|turn| self.keeps[turn.var.index()]) {
            let name = &self.boat.vars[turn.var].id;
            task.event(name, formula(&turn.when), vec![Effect::set(var_id(turn.var), turn.to.0)]);
        }
        task.forbidden = formula(&any(forbidden.iter().cloned()));
        task.goal = formula(&self.goal);
        (task, kept.iter().map(|doing| doing.op).collect())
    }
}

/// An expression with everything filled in that can't be otherwise.
fn fold(may: &Possible<'_, '_>, facts: &[Expr], expr: &Expr) -> Expr {
    let inner = |part: &Expr| fold(may, facts, part);
    match expr {
        Expr::Is(var, value) if !may.has(*var, *value) => Expr::Const(false),
        Expr::Is(var, value) if !may.has_other(*var, *value) => Expr::Const(true),
        Expr::Holds(condition) => match &facts[condition.index()] {
            Expr::Const(value) => Expr::Const(*value),
            _ => expr.clone(),
        },
        Expr::Not(part) => not(inner(part)),
        Expr::And(parts) => all(parts.iter().map(inner)),
        Expr::Or(parts) => any(parts.iter().map(inner)),
        plain => plain.clone(),
    }
}

/// Marks what an expression looks at, also through facts.
fn mark(looks: &[Vec<bool>], expr: &Expr, marks: &mut [bool]) {
    match expr {
        Expr::Const(_) => {}
        Expr::Is(var, _) => marks[var.index()] = true,
        Expr::Holds(condition) => {
            let looks = looks[condition.index()].iter();
            marks.iter_mut().zip(looks).for_each(|(mark, looks)| *mark |= looks);
        }
        Expr::Not(inner) => mark(looks, inner, marks),
        Expr::And(parts) | Expr::Or(parts) => parts.iter().for_each(|part| mark(looks, part, marks)),
        Expr::Compare(..) => unreachable!("comparisons are lowered when the model is made"),
    }
}

fn count(marks: &[bool]) -> usize {
    marks.iter().filter(|mark| **mark).count()
}

#[cfg(test)]
mod tests {
    use boat::model::Who;
    use search::{Budget, Outcome};

    use super::*;
    use crate::planning::{Care, Planning, doings, formula};
    use boat::lower::lower;

    /// The length of the shortest way, none as the longest; nothing if the budget ran out.
    fn length(outcome: &Outcome) -> Option<u32> {
        match outcome {
            Outcome::Plan(plan) => Some(plan.cost),
            Outcome::NoPlan => Some(u32::MAX),
            Outcome::CutOff { .. } => None,
        }
    }

    /// The shortest way to the goal of every step list, from the boat at rest, is as long as on the whole boat.
    #[test]
    #[allow(clippy::disallowed_methods, reason = "a test reads the demo boats")]
    fn narrowing_keeps_the_length_of_the_shortest_way() {
        let mut compared = 0;
        for name in ["dunlin", "turnstone", "whimbrel"] {
            let path = format!("{}/../../demo/{name}.toml", env!("CARGO_MANIFEST_DIR"));
            let text = std::fs::read_to_string(path).unwrap();
            let boat = boat::compile(name, &text).boat.unwrap();
            let model = Model::new(&boat);
            let whole = Planning::new(&model, Who::Skipper, Care::Safe);
            let doings = doings(&model, Who::Skipper);
            let from = model.at_rest();
            for procedure in &boat.procedures {
                let goal = lower(&boat, &procedure.goal);
                if model.eval(&from.0, &goal) {
                    continue;
                }
                let narrow = Narrow::new(&model, &doings, &from, &goal);
                let start = narrow.planner.initial();
                let short = narrow.planner.plan(&start, &narrow.goal, &mut Budget::states(100)).unwrap();
                let aim = whole.planner.goal(&formula(&goal)).unwrap();
                let long = whole.planner.plan(&whole.state(&from), &aim, &mut Budget::states(100)).unwrap();
                if let (Some(short), Some(long)) = (length(&short.outcome), length(&long.outcome)) {
                    assert_eq!(short, long, "{name}: {}", procedure.id);
                    compared += 1;
                }
            }
        }
        assert!(compared > 100, "only {compared} ways were short enough to compare");
    }
}
