//! A step list can't begin as it says: `start-unready`, `start-stuck`, `start-contradicts`, `start-never`.

use boat::diagnostic::Diagnostic;
use boat::model::Thing;

use super::{Case, at};
use crate::belief::StartFault;

pub(super) fn find(case: &Case<'_, '_>, found: &mut Vec<Diagnostic>) {
    for fault in &case.rehearsal.start.faults {
        found.push(one(case, fault));
    }
}

fn one(case: &Case<'_, '_>, fault: &StartFault) -> Diagnostic {
    let boat = case.model.boat;
    let own = &boat.procedures[case.id];
    let here = at(boat, Thing::Procedure(case.id));
    match fault {
        StartFault::Unready { list, wants, is } => Diagnostic::error(
            "start-unready",
            here,
            format!(
                "“{}” follows “{}” first, which starts with `{}`; here it is `{}`.",
                own.name,
                boat.procedures[*list].name,
                boat.fact_text(&boat::model::Expr::Is(wants.var, wants.value)),
                boat.fact_text(&boat::model::Expr::Is(wants.var, *is))
            ),
        )
        .also(at(boat, Thing::Procedure(*list)), "this list comes before it")
        .mend("Put the lists in `after` in an order in which each finds what it starts with."),
        StartFault::Stuck { list, step } => Diagnostic::error(
            "start-stuck",
            here,
            format!(
                "“{}” follows “{}” first, but step {} of that does not work here.",
                own.name,
                boat.procedures[*list].name,
                step + 1
            ),
        )
        .also(at(boat, Thing::Step(*list, *step)), "this step does not work")
        .mend("Add to `after` the list that it needs, or mend that list."),
        StartFault::Contradicts { list, wants: value, is } => {
            let wants = boat.fact_text(&boat::model::Expr::Is(value.var, value.value));
            let is = boat.fact_text(&boat::model::Expr::Is(value.var, *is));
            let headline = match list {
                Some(list) => format!(
                    "“{}” starts with `{wants}`, but “{}” before it leaves `{is}`.",
                    own.name, boat.procedures[*list].name
                ),
                None => format!(
                    "“{}” starts with `{wants}`, but then it becomes `{is}` by itself at once.",
                    own.name
                ),
            };
            match list {
                // A list for when something went wrong may well start otherwise than the list before leaves it.
                Some(list) => Diagnostic::note("start-contradicts", here, headline)
                    .label("taken to have been changed by hand in between")
                    .also(at(boat, Thing::Procedure(*list)), format!("leaves `{is}`"))
                    .mend(
                        "If it is not meant so, take the value out of `start`, or the list out of `after`.",
                    ),
                None => Diagnostic::error("start-contradicts", here, headline)
                    .also(at(boat, Thing::Var(value.var)), "changes by itself")
                    .mend("Take the value out of `start`, or add what keeps it so."),
            }
        }
        StartFault::GivenNever => Diagnostic::error(
            "start-never",
            here,
            format!("“{}” can never start: `{}` does not hold there.", own.name, boat.fact_text(&own.given)),
        )
        .mend("Correct `given`, or add to `after` the list that brings it about."),
        StartFault::Never(never) => Diagnostic::error(
            "start-never",
            here,
            format!("“{}” starts in a state that must never be: {}", own.name, boat.nevers[*never].name),
        )
        .also(at(boat, Thing::Never(*never)), "must never be")
        .mend("Change `after`, `start` or `given` so that it starts safely."),
    }
}
