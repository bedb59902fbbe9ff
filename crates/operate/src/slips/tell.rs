//! A slip in words, for people who do not know the taxonomy.

use boat::model::{Boat, Severity, StepKind};

use super::{Class, Slip, SlipKind};
use crate::words::step as step_words;

impl Slip {
    /// What is done wrong, a full sentence, such as "Step 4 is left out: Shut the gas bottle."
    pub fn says(&self, boat: &Boat) -> String {
        let steps = &boat.procedures[self.procedure].steps;
        let words = steps.get(self.step).map_or_else(String::new, |step| step_words(boat, step));
        let number = self.step + 1;
        match self.kind {
            SlipKind::LeftOut => format!("Step {number} is left out: {words}"),
            SlipKind::LookLeftOut => format!("Nobody looks at step {number}: {words}"),
            SlipKind::TooEarly(place) => format!("Step {number} is done before step {}: {words}", place + 1),
            SlipKind::TooLate(place) => {
                format!("Step {number} is done only after step {}: {words}", place + 1)
            }
            SlipKind::Swapped => format!("Step {number} is done after step {}: {words}", number + 1),
            SlipKind::Repeated => format!("Step {number} is done twice: {words}"),
            SlipKind::WrongPosition(value) => match steps.get(self.step).map(|step| &step.kind) {
                Some(StepKind::Set { var, .. }) => {
                    let name = &boat.vars[*var].name;
                    format!("At step {number}, {name} is set to {}: {words}", boat.vars[*var].label(value))
                }
                _ => format!("Step {number} is done wrong: {words}"),
            },
            SlipKind::WrongControl(var, value) => format!(
                "At step {number}, {} is set to {} instead: {words}",
                boat.vars[var].name,
                boat.vars[var].label(value)
            ),
            SlipKind::WrongAction(action) => {
                format!("At step {number}, “{}” is done instead: {words}", boat.actions[action].name)
            }
            SlipKind::HeldTooShort(time) => format!("At step {number} it is held for {time} only: {words}"),
            SlipKind::HeldTooLong(time) => format!("At step {number} it is held for {time}: {words}"),
            SlipKind::WaitCutShort(time) => {
                format!("At step {number} the wait is cut short to {time}: {words}")
            }
            SlipKind::RestLeftOut => format!("There is no rest after step {number}: {words}"),
        }
    }
}

impl Class {
    /// The class in a few words.
    pub fn says(self) -> &'static str {
        match self {
            Self::NoMatter => "No matter",
            Self::DoesNotWork => "Does not work",
            Self::LeftStanding(None) => "Not left as it should be",
            Self::LeftStanding(Some(Severity::Damage)) => "Left so that damage is near",
            Self::LeftStanding(Some(Severity::Injury)) => "Left so that injury is near",
            Self::Damage => "Damage",
            Self::Injury => "Injury",
        }
    }
}
