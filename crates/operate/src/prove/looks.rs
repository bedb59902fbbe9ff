//! Looks and waits that come to nothing: `look-never-confirmed`, `wait-in-vain`, `step-unreachable`.

use boat::diagnostic::Diagnostic;
use boat::model::StepKind;

use super::Case;
use crate::belief::Took;
use crate::rehearse::WorldStep;
use crate::words::blame;

pub(super) fn find(case: &Case<'_, '_>, found: &mut Vec<Diagnostic>) {
    let boat = case.model.boat;
    let mut cut_off = false;
    for (at, (step, taken)) in boat.procedures[case.id].steps.iter().zip(&case.rehearsal.steps).enumerate() {
        let Some(first) = taken.first() else {
            if cut_off {
                found.push(
                    Diagnostic::warning(
                        "step-unreachable",
                        case.step_span(at),
                        format!(
                            "{} is never come to: a look before it always stops the list.",
                            case.step_name(at)
                        ),
                    )
                    .mend("Mend the look, or take the steps after it out."),
                );
                return;
            }
            continue;
        };
        match &step.kind {
            StepKind::Look { confirm: Some(confirm), .. }
                if taken.iter().all(|taken| taken.took == Took::NotSo) =>
            {
                cut_off = true;
                let because = blame(case.model, &first.before.values, confirm, true).join(", ");
                found.push(
                    Diagnostic::error(
                        "look-never-confirmed",
                        case.step_span(at),
                        format!(
                            "{} can never see what it looks for: `{}` does not hold there.",
                            case.step_name(at),
                            boat.fact_text(confirm)
                        ),
                    )
                    .label(if because.is_empty() { String::new() } else { format!("here {because}") })
                    .mend("Correct `confirm`, or add the step that brings it about before this one."),
                );
            }
            StepKind::Wait { until: Some(until), .. } => vain(case, at, until, taken, found),
            _ => {}
        }
    }
}

fn vain(
    case: &Case<'_, '_>,
    at: usize,
    until: &boat::model::Expr,
    taken: &[WorldStep],
    found: &mut Vec<Diagnostic>,
) {
    let these: Vec<&WorldStep> =
        taken.iter().filter(|taken| !case.model.eval_plain(&taken.after.values, until)).collect();
    let Some(first) = these.first() else { return };
    let because = blame(case.model, &first.after.values, until, true).join(", ");
    found.push(
        Diagnostic::error(
            "wait-in-vain",
            case.step_span(at),
            format!(
                "{} waits for something that has not come by then{}: `{}`.",
                case.step_name(at),
                case.only_if(taken, &these),
                case.model.boat.fact_text(until)
            ),
        )
        .label(if because.is_empty() { String::new() } else { format!("after the wait, {because}") })
        .mend("Wait longer, or add the step that sets it going before this one."),
    );
}
