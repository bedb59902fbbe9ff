//! A step passes a limit: `limit-broken`.

use std::collections::BTreeSet;

use boat::diagnostic::Diagnostic;
use boat::model::{LimitKind, StepKind, Thing};

use super::{Case, at};
use crate::rehearse::WorldStep;
use crate::words;
use crate::world::Event;

pub(super) fn find(case: &Case<'_, '_>, found: &mut Vec<Diagnostic>) {
    let boat = case.model.boat;
    for (step, taken) in case.rehearsal.steps.iter().enumerate() {
        let things: BTreeSet<Thing> = taken
            .iter()
            .flat_map(|taken| &taken.log)
            .filter_map(|event| match event {
                Event::Breach(thing) => Some(*thing),
                _ => None,
            })
            .collect();
        for thing in things {
            let Some(limit) = case.model.boat.limit_at(thing) else { continue };
            let these: Vec<&WorldStep> =
                taken.iter().filter(|taken| taken.log.contains(&Event::Breach(thing))).collect();
            let condition = case.only_if(taken, &these);
            let what = limit.breach.as_ref().map_or_else(String::new, |breach| format!(" {}", breach.what));
            found.push(
                Diagnostic::error(
                    "limit-broken",
                    case.step_span(step),
                    format!(
                        "{} passes the {} of {}, {}{condition}.{what}",
                        case.step_name(step),
                        words::kind_spoken(limit.kind),
                        words::thing(boat, thing),
                        limit.is
                    ),
                )
                .label(found_here(case, step, limit.kind))
                .also(at(boat, thing), format!("{} = {}", limit.kind.word(), limit.is))
                .mend(mend(limit.kind)),
            );
        }
    }
}

fn found_here(case: &Case<'_, '_>, step: usize, kind: LimitKind) -> String {
    let hold = match &case.model.boat.procedures[case.id].steps[step].kind {
        StepKind::Set { hold, .. } | StepKind::Do { hold, .. } => *hold,
        StepKind::Look { .. } => None,
        StepKind::Wait { time, .. } => Some(*time),
    };
    match (kind, hold) {
        (LimitKind::Longest | LimitKind::Hold, Some(hold)) => format!("{hold} here"),
        (LimitKind::Hold, None) => "no time given here".into(),
        _ => String::new(),
    }
}

fn mend(kind: LimitKind) -> &'static str {
    match kind {
        LimitKind::Longest => "Shorten `for`, or stop and rest in between.",
        LimitKind::Rest => "Add `rest` to the step before, or a `wait` between the two runs.",
        LimitKind::Hold => "Add `for` with at least that time to the step.",
        LimitKind::Least | LimitKind::Most | LimitKind::Clear => {
            "Bring the reading within the limit before this step."
        }
    }
}
