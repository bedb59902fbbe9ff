//! Changes that happen by themselves go round in a circle: `turns-endless`.

use boat::diagnostic::Diagnostic;
use boat::model::Thing;

use super::{Case, at};
use crate::world::Event;

pub(super) fn find(case: &Case<'_, '_>, found: &mut Vec<Diagnostic>) {
    let boat = case.model.boat;
    for (step, taken) in case.rehearsal.steps.iter().enumerate() {
        let Some(round) = taken.iter().find(|taken| taken.log.contains(&Event::Endless)) else { continue };
        let last = round.log.iter().rev().find_map(|event| match event {
            Event::Turned(var, _) => Some(*var),
            _ => None,
        });
        let mut finding = Diagnostic::error(
            "turns-endless",
            case.step_span(step),
            format!(
                "After {} the boat never comes to rest: changes go round in a circle.",
                lower_first(&case.step_name(step))
            ),
        )
        .mend("Give one of the `turns` an `after`, or correct its `when`.");
        if let Some(var) = last {
            finding = finding.also(at(boat, Thing::Var(var)), "changes again and again");
        }
        found.push(finding);
        return;
    }
}

fn lower_first(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_lowercase().chain(chars).collect())
}
