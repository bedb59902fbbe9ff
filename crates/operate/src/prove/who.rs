//! A list for one hand asks for what only another may do: `not-for-this-hand`.

use boat::diagnostic::Diagnostic;
use boat::model::{StepKind, Thing, Who};

use super::{Case, at};

pub(super) fn find(case: &Case<'_, '_>, found: &mut Vec<Diagnostic>) {
    let boat = case.model.boat;
    let procedure = &boat.procedures[case.id];
    for (at_step, step) in procedure.steps.iter().enumerate() {
        let StepKind::Do { action, .. } = &step.kind else { continue };
        let row = &boat.actions[*action];
        if rank(row.who) > rank(procedure.who) {
            found.push(
                Diagnostic::error(
                    "not-for-this-hand",
                    case.step_span(at_step),
                    format!(
                        "{} is for {} to do, but the list is for {}.",
                        case.step_name(at_step),
                        name(row.who),
                        name(procedure.who)
                    ),
                )
                .also(at(boat, Thing::Action(*action)), format!("for {}", name(row.who)))
                .mend(format!("Set the list's `who` to \"{}\", or leave the step out.", key(row.who))),
            );
        }
    }
}

fn rank(who: Who) -> u8 {
    match who {
        Who::Crew => 0,
        Who::Skipper => 1,
        Who::Base => 2,
    }
}

fn name(who: Who) -> &'static str {
    match who {
        Who::Crew => "the crew",
        Who::Skipper => "the skipper",
        Who::Base => "the base's people",
    }
}

fn key(who: Who) -> &'static str {
    match who {
        Who::Crew => "crew",
        Who::Skipper => "skipper",
        Who::Base => "base",
    }
}
