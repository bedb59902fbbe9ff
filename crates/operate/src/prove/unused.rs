//! Controls and actions that no step list uses: notes `control-unused`, `action-unused`.

use boat::diagnostic::Diagnostic;
use boat::model::{Id, StepKind, Thing};

use super::at;
use crate::model::Model;

pub(super) fn find(model: &Model<'_>, found: &mut Vec<Diagnostic>) {
    let boat = model.boat;
    let mut vars = vec![false; boat.vars.len()];
    let mut actions = vec![false; boat.actions.len()];
    for step in boat.procedures.iter().flat_map(|procedure| &procedure.steps) {
        match &step.kind {
            StepKind::Set { var, .. } => vars[var.index()] = true,
            StepKind::Do { action, .. } => actions[action.index()] = true,
            StepKind::Look { .. } | StepKind::Wait { .. } => {}
        }
    }
    for (id, var, _) in boat.controls().filter(|(id, _, _)| !vars[id.index()]) {
        found.push(
            Diagnostic::note(
                "control-unused",
                at(boat, Thing::Var(id)),
                format!("No step list sets {}.", var.name),
            )
            .mend("Nothing need be done; a step list that shows how to use it may be worth writing."),
        );
    }
    for (id, action) in boat.actions.iter_ids().filter(|(id, _)| !actions[id.index()]) {
        found.push(
            Diagnostic::note(
                "action-unused",
                at(boat, Thing::Action(id)),
                format!("No step list uses “{}”.", action.name),
            )
            .mend("Nothing need be done; a step list that shows how to use it may be worth writing."),
        );
    }
}
