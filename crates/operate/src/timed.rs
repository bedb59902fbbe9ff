//! A search for a way that counts time as the runner does: slower than planning, used where a plan does not hold once
//! time is counted. Breadth first, so that of the ways it can see the shortest is found.

use std::collections::BTreeSet;

use boat::model::{Expr, Step};
use search::Budget;

use crate::belief::Took;
use crate::model::Model;
use crate::planning::{Op, step};
use crate::way::steps_of;
use crate::world::{Did, Event, World};

/// Worlds looked at before giving up.
const MOST_WORLDS: usize = 20_000;

/// A way that holds with time, if one is found within the bound. The budget's pot is not drawn from, but an empty one
/// stops the search from starting.
pub(crate) fn timed_way(
    model: &Model<'_>,
    ops: &[Op],
    from: &World,
    goal: &Expr,
    budget: &Budget<'_>,
) -> Option<Vec<Step>> {
    if budget.left() == 0 {
        return None;
    }
    let steps: Vec<(Op, Step)> = ops.iter().map(|op| (*op, step(model, *op))).collect();
    let mut seen = BTreeSet::from([from.clone()]);
    let mut nodes: Vec<(World, usize, Option<Op>)> = vec![(from.clone(), 0, None)];
    let mut at = 0;
    while at < nodes.len() && nodes.len() < MOST_WORLDS {
        for (op, step) in &steps {
            let mut world = nodes[at].0.clone();
            let mut log = Vec::new();
            let took = model.take(&mut world, &step.kind, &mut log);
            let bad = log.iter().any(|event| !matches!(event, Event::Turned(..)));
            if bad || took != Took::Went(Did::Done) || !seen.insert(world.clone()) {
                continue;
            }
            let reached = model.eval(&world.values, goal);
            nodes.push((world, at, Some(*op)));
            if reached {
                return Some(steps_of(model, &trace(&nodes)));
            }
        }
        at += 1;
    }
    None
}

fn trace(nodes: &[(World, usize, Option<Op>)]) -> Vec<Op> {
    let mut at = nodes.len() - 1;
    let mut ops = Vec::new();
    while let Some(op) = nodes[at].2 {
        ops.push(op);
        at = nodes[at].1;
    }
    ops.reverse();
    ops
}
