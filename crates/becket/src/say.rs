//! Steps, stands and times in words, for the command line.

use boat::model::{Boat, CautionId};
use operate::{Change, Stand, StepOutcome, StepTrace};
use quantity::{System, Time};

/// "Bow thruster breaker: off to on".
pub(crate) fn change(boat: &Boat, change: Change) -> String {
    let var = &boat.vars[change.var];
    let alone = if change.by_itself { " (by itself)" } else { "" };
    format!("{}: {} to {}{alone}", var.name, var.label(change.from), var.label(change.to))
}

/// A time for people; nothing for no time.
pub(crate) fn time(time: Time) -> String {
    if time > Time::ZERO { time.display(System::Metric) } else { String::new() }
}

/// A caution with its signal word in front.
pub(crate) fn caution(boat: &Boat, id: CautionId) -> String {
    let caution = &boat.cautions[id];
    format!("{}: {}", caution.word.word().to_uppercase(), boat.say(&caution.text, System::Metric))
}

/// What came of a step, if it is not simply done.
pub(crate) fn outcome(outcome: StepOutcome) -> Option<&'static str> {
    match outcome {
        StepOutcome::Done | StepOutcome::Seen => None,
        StepOutcome::Already => Some("it is so already"),
        StepOutcome::Nothing => Some("nothing happens: what it needs is not there"),
        StepOutcome::InVain => Some("it does not work: a limit is passed"),
        StepOutcome::NotSeen => Some("it is not so: stop here"),
    }
}

/// The lines under a step: what the boat does.
pub(crate) fn step_lines(boat: &Boat, step: &StepTrace) -> Vec<String> {
    let mut lines = Vec::new();
    lines.extend(step.cautions.iter().map(|id| caution(boat, *id)));
    lines.extend(outcome(step.outcome).map(ToOwned::to_owned));
    lines.extend(step.changes.iter().map(|row| change(boat, *row)));
    let fact = |id: &boat::model::ConditionId| boat.say(&boat.conditions[*id].name, System::Metric);
    lines.extend(step.gained.iter().map(|id| format!("now: {}", fact(id))));
    lines.extend(step.lost.iter().map(|id| format!("no more: {}", fact(id))));
    lines.extend(step.readings.iter().map(|row| {
        let name = &boat.readings[row.reading].name;
        format!("{name}: {} to {}", row.from.display(System::Metric), row.to.display(System::Metric))
    }));
    lines.extend(step.events.iter().map(|row| operate::event_words(boat, *row)));
    lines
}

/// What is not at rest.
pub(crate) fn stand(boat: &Boat, stand: &Stand) -> String {
    let off: Vec<String> =
        Stand::at_rest(boat).changes(stand).map(|(var, _, to)| boat.value_words(var, to)).collect();
    if off.is_empty() { "everything at rest".to_owned() } else { off.join("; ") }
}
