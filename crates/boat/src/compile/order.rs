//! The order in which facts and readings follow from each other; a circle is refused.

use std::collections::BTreeMap;

use super::Compiler;
use crate::diagnostic::Diagnostic;
use crate::model::{Condition, ConditionId, Expr, Named, Operand, Reading, ReadingId, Table, Thing};

impl Compiler<'_> {
    pub(super) fn order(
        &mut self,
        conditions: &Table<ConditionId, Condition>,
        readings: &Table<ReadingId, Reading>,
    ) -> Vec<Named> {
        let mut needs: BTreeMap<Named, Vec<Named>> = BTreeMap::new();
        for (id, condition) in conditions.iter_ids() {
            let mut found = Vec::new();
            names_in(&condition.when, &mut found);
            needs.insert(Named::Condition(id), found);
        }
        for (id, reading) in readings.iter_ids() {
            let mut found = Vec::new();
            reading.cases.iter().for_each(|case| names_in(&case.when, &mut found));
            needs.insert(Named::Reading(id), found);
        }
        let mut walk = Walk { needs: &needs, done: BTreeMap::new(), order: Vec::new(), circles: Vec::new() };
        for &named in needs.keys() {
            walk.visit(named);
        }
        let Walk { order, circles, .. } = walk;
        for circle in circles {
            self.circle(&circle, conditions, readings);
        }
        order
    }

    fn circle(
        &mut self,
        circle: &[Named],
        conditions: &Table<ConditionId, Condition>,
        readings: &Table<ReadingId, Reading>,
    ) {
        let name = |named: &Named| match named {
            Named::Condition(id) => conditions.get(*id).map_or("", |condition| condition.id.as_str()),
            Named::Reading(id) => readings.get(*id).map_or("", |reading| reading.id.as_str()),
        };
        let span = |named: &Named| {
            self.spans.by_thing[&match named {
                Named::Condition(id) => Thing::Condition(*id),
                Named::Reading(id) => Thing::Reading(*id),
            }]
        };
        let mut round: Vec<&str> = circle.iter().map(name).collect();
        round.extend(circle.first().map(name));
        let mut diagnostic = Diagnostic::error(
            "cycle",
            span(&circle[0]),
            format!("\"{}\" follows from itself: {}.", round[0], round.join(" needs ")),
        )
        .expected("facts that follow from controls and states in the end")
        .mend("Take one of these names out of the other's `when`; what lasts belongs under [states].");
        for named in &circle[1..] {
            diagnostic = diagnostic.also(span(named), format!("\"{}\" is on the way round", name(named)));
        }
        self.reader.report(diagnostic);
    }
}

struct Walk<'n> {
    needs: &'n BTreeMap<Named, Vec<Named>>,
    /// `false` while on the path, `true` when placed.
    done: BTreeMap<Named, bool>,
    order: Vec<Named>,
    circles: Vec<Vec<Named>>,
}

impl Walk<'_> {
    /// Depth first with its own stack: a chain of facts may be long.
    fn visit(&mut self, start: Named) {
        if self.done.contains_key(&start) {
            return;
        }
        self.done.insert(start, false);
        let mut path: Vec<(Named, usize)> = vec![(start, 0)];
        while let Some((at, next)) = path.last_mut() {
            let at = *at;
            let Some(&need) = self.needs.get(&at).and_then(|needs| needs.get(*next)) else {
                self.done.insert(at, true);
                self.order.push(at);
                path.pop();
                continue;
            };
            *next += 1;
            match self.done.get(&need) {
                None => {
                    self.done.insert(need, false);
                    path.push((need, 0));
                }
                Some(false) => {
                    let from = path.iter().position(|(named, _)| *named == need).unwrap_or(0);
                    self.circles.push(path[from..].iter().map(|(named, _)| *named).collect());
                }
                Some(true) => {}
            }
        }
    }
}

/// The facts and readings that an expression names, in order of appearance.
fn names_in(expr: &Expr, found: &mut Vec<Named>) {
    match expr {
        Expr::Const(_) | Expr::Is(..) => {}
        Expr::Holds(id) => found.push(Named::Condition(*id)),
        Expr::Compare(left, _, right) => {
            for side in [left, right] {
                if let Operand::Reading(id) = side {
                    found.push(Named::Reading(*id));
                }
            }
        }
        Expr::Not(inner) => names_in(inner, found),
        Expr::And(parts) | Expr::Or(parts) => parts.iter().for_each(|part| names_in(part, found)),
    }
}
