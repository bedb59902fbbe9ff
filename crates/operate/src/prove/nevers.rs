//! A step leads into a state that must never be: `never-passed`.

use std::collections::BTreeSet;

use boat::diagnostic::Diagnostic;
use boat::model::{NeverId, Thing};

use super::{Case, at};
use crate::rehearse::WorldStep;
use crate::words::blame;
use crate::world::Event;

pub(super) fn find(case: &Case<'_, '_>, found: &mut Vec<Diagnostic>) {
    let boat = case.model.boat;
    let mut told: BTreeSet<NeverId> = BTreeSet::new();
    for (step, taken) in case.rehearsal.steps.iter().enumerate() {
        let nevers: BTreeSet<NeverId> = taken
            .iter()
            .flat_map(|taken| &taken.log)
            .filter_map(|event| match event {
                Event::Never(never) => Some(*never),
                _ => None,
            })
            .collect();
        for never in nevers {
            if !told.insert(never) {
                continue;
            }
            let these: Vec<&WorldStep> =
                taken.iter().filter(|taken| taken.log.contains(&Event::Never(never))).collect();
            let row = &boat.nevers[never];
            let because = blame(case.model, &these[0].after.values, &row.when, false).join(", ");
            found.push(
                Diagnostic::error(
                    "never-passed",
                    case.step_span(step),
                    format!(
                        "{} leads into a state that must never be{}: {} {}",
                        case.step_name(step),
                        case.only_if(taken, &these),
                        row.name,
                        row.what
                    ),
                )
                .label(if because.is_empty() { String::new() } else { format!("after it, {because}") })
                .also(at(boat, Thing::Never(never)), "must never be")
                .mend("Change the order of the steps so that it is not passed."),
            );
        }
    }
}
