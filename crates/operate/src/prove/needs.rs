//! A step whose needs do not hold, so that it does nothing: `step-needs-unmet`; a step past a limit beyond which it
//! does not work is found with the limits.

use boat::diagnostic::Diagnostic;
use boat::model::{Expr, Id, StepKind, Thing};

use super::{Case, at};
use crate::belief::Took;
use crate::rehearse::WorldStep;
use crate::words::blame;
use crate::world::Did;

pub(super) fn find(case: &Case<'_, '_>, found: &mut Vec<Diagnostic>) {
    let boat = case.model.boat;
    for (at_step, taken) in case.rehearsal.steps.iter().enumerate() {
        let idle: Vec<&WorldStep> =
            taken.iter().filter(|taken| taken.took == Took::Went(Did::Nothing)).collect();
        let Some(first) = idle.first() else { continue };
        let (needs, thing): (&Expr, Thing) = match &boat.procedures[case.id].steps[at_step].kind {
            StepKind::Set { var, to, .. } => {
                let Some(way) = plain_needs(case, *var, *to) else { continue };
                (way, Thing::Var(*var))
            }
            StepKind::Do { action, .. } => (&boat.actions[*action].needs, Thing::Action(*action)),
            StepKind::Look { .. } | StepKind::Wait { .. } => continue,
        };
        let because = blame(case.model, &first.before.values, needs, true).join(", ");
        let condition = case.only_if(taken, &idle);
        let mend = if condition.is_empty() {
            "Add the step that brings it about before this one, or start the list where it holds.".to_owned()
        } else {
            "The world decides that: add a `look` with `confirm` before this step.".to_owned()
        };
        found.push(
            Diagnostic::error(
                "step-needs-unmet",
                case.step_span(at_step),
                format!(
                    "{} does nothing{condition}: it needs `{}`.",
                    case.step_name(at_step),
                    boat.fact_text(needs)
                ),
            )
            .label(if because.is_empty() { String::new() } else { format!("here {because}") })
            .also(at(boat, thing), "needs it")
            .mend(mend),
        );
    }
}

fn plain_needs<'a>(case: &Case<'a, '_>, var: boat::model::VarId, to: boat::model::Value) -> Option<&'a Expr> {
    debug_assert!(var.index() < case.model.boat.vars.len(), "steps name controls of the same boat");
    match &case.model.boat.vars[var].kind {
        boat::model::VarKind::Control(control) => {
            control.moves.iter().find(|way| way.to == to).map(|way| &way.needs)
        }
        boat::model::VarKind::State(_) => None,
    }
}
