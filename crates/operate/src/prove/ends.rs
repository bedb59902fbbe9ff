//! How a list ends: `goal-not-reached`, `left-unpromised`, `promise-not-kept`.

use std::collections::BTreeMap;

use boat::diagnostic::Diagnostic;
use boat::model::{Thing, VarId};

use super::{Case, at};
use crate::words::blame;
use crate::world::World;

pub(super) fn find(case: &Case<'_, '_>, found: &mut Vec<Diagnostic>) {
    goal(case, found);
    unpromised(case, found);
    promises(case, found);
}

fn goal(case: &Case<'_, '_>, found: &mut Vec<Diagnostic>) {
    let boat = case.model.boat;
    let procedure = &boat.procedures[case.id];
    let missed =
        case.rehearsal.ends.iter().find(|(_, end)| !case.model.eval_plain(&end.values, &procedure.goal));
    let Some((_, end)) = missed else { return };
    let because = blame(case.model, &end.values, &procedure.goal, true).join(", ");
    found.push(
        Diagnostic::error(
            "goal-not-reached",
            at(boat, Thing::Procedure(case.id)),
            format!("“{}” does not reach its goal, `{}`.", procedure.name, boat.fact_text(&procedure.goal)),
        )
        .label(if because.is_empty() { String::new() } else { format!("at the end {because}") })
        .mend("Add the missing steps, or correct `goal`."),
    );
}

/// Controls and states that the list changed, with the world in which it ended so.
fn changed<'a>(case: &'a Case<'_, '_>) -> BTreeMap<VarId, &'a World> {
    let mut changed = BTreeMap::new();
    for (at, end) in &case.rehearsal.ends {
        let start = &case.rehearsal.start.worlds[*at];
        for (var, _, _) in start.stand().changes(&end.stand()) {
            changed.entry(var).or_insert(end);
        }
    }
    changed
}

fn unpromised(case: &Case<'_, '_>, found: &mut Vec<Diagnostic>) {
    let boat = case.model.boat;
    let procedure = &boat.procedures[case.id];
    for (var, end) in changed(case) {
        let is = end.is(var);
        let promised = procedure.leaves.iter().any(|leave| leave.var == var);
        if is == boat.vars[var].rest || promised || case.model.is_given(var) {
            continue;
        }
        let row = &boat.vars[var];
        found.push(
            Diagnostic::error(
                "left-unpromised",
                at(boat, Thing::Procedure(case.id)),
                format!(
                    "“{}” leaves `{}`, which is neither at rest (`{}`) nor promised in `leaves`.",
                    procedure.name,
                    boat.fact_text(&boat::model::Expr::Is(var, is)),
                    boat.fact_text(&boat::model::Expr::Is(var, row.rest))
                ),
            )
            .also(at(boat, Thing::Var(var)), format!("rests {}", row.label(row.rest)))
            .mend(format!(
                "Add the step that puts it back, or add \"{}\" to `leaves`.",
                boat.fact_text(&boat::model::Expr::Is(var, is))
            )),
        );
    }
}

fn promises(case: &Case<'_, '_>, found: &mut Vec<Diagnostic>) {
    let boat = case.model.boat;
    let procedure = &boat.procedures[case.id];
    for leave in &procedure.leaves {
        let broken = case.rehearsal.ends.iter().find(|(_, end)| end.is(leave.var) != leave.value);
        let Some((_, end)) = broken else { continue };
        found.push(
            Diagnostic::error(
                "promise-not-kept",
                at(boat, Thing::Procedure(case.id)),
                format!(
                    "“{}” promises `{}`, but at the end `{}`.",
                    procedure.name,
                    boat.fact_text(&boat::model::Expr::Is(leave.var, leave.value)),
                    boat.fact_text(&boat::model::Expr::Is(leave.var, end.is(leave.var)))
                ),
            )
            .also(at(boat, Thing::Var(leave.var)), "this one")
            .mend("Add the step that makes it so, or take it out of `leaves`."),
        );
    }
}
