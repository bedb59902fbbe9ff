//! A step does harm: `harm-done`.

use boat::diagnostic::Diagnostic;
use boat::model::Thing;

use super::{Case, at};
use crate::rehearse::WorldStep;
use crate::words::blame;
use crate::world::Event;

pub(super) fn find(case: &Case<'_, '_>, found: &mut Vec<Diagnostic>) {
    let boat = case.model.boat;
    for (step, taken) in case.rehearsal.steps.iter().enumerate() {
        for thing in things(taken) {
            let Some(harm) = case.model.boat.harm_at(thing) else { continue };
            let these: Vec<&WorldStep> =
                taken.iter().filter(|taken| taken.log.contains(&Event::Harm(thing))).collect();
            let because = blame(case.model, &these[0].before.values, &harm.when, false).join(", ");
            let condition = case.only_if(taken, &these);
            let mend = if condition.is_empty() {
                "Change the order of the steps, or add the step that makes it safe before this one."
            } else {
                "The world decides that: add a `look` with `confirm` before this step."
            };
            found.push(
                Diagnostic::error(
                    "harm-done",
                    case.step_span(step),
                    format!("{} does harm{condition}: {}", case.step_name(step), harm.what),
                )
                .label(if because.is_empty() { String::new() } else { format!("just before, {because}") })
                .also(at(boat, thing), "this harm")
                .mend(mend),
            );
        }
    }
}

fn things(taken: &[WorldStep]) -> std::collections::BTreeSet<Thing> {
    let events = taken.iter().flat_map(|taken| &taken.log);
    events
        .filter_map(|event| match event {
            Event::Harm(thing) => Some(*thing),
            _ => None,
        })
        .collect()
}
