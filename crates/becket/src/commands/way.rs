//! `way`: the shortest safe step list from how she stands to what is wanted.

use std::fmt::Write as _;

use boat::model::{Boat, Who};
use clap::{Args, ValueEnum};
use operate::{Answer, Budget, Model, Way};
use serde_json::{Value, json};

use super::run;
use crate::load::{self, Failure};
use crate::output::Printed;

/// States looked at before a search gives up.
pub(crate) const SEARCH_STATES: u64 = 200_000;

#[derive(Args)]
pub(crate) struct WayArgs {
    /// A boat file, or the name of a demo boat.
    boat: String,
    /// What you want, such as "hot_water" or "engine is running and windlass_live".
    goal: String,
    /// How she stands where not at rest, such as "engine is running"; may be repeated.
    #[arg(long = "with", value_name = "X IS Y")]
    with: Vec<String>,
    /// Start where this step list ends.
    #[arg(long, conflicts_with = "with")]
    after: Option<String>,
    /// Whose hands do it.
    #[arg(long = "as", value_enum, default_value = "crew")]
    hands: Hands,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

/// Whose hands do it.
#[derive(Clone, Copy, ValueEnum)]
pub(crate) enum Hands {
    /// Anyone of the crew.
    Crew,
    /// The one in charge.
    Skipper,
    /// The base's own people.
    Base,
}

impl Hands {
    pub(crate) fn who(self) -> Who {
        match self {
            Self::Crew => Who::Crew,
            Self::Skipper => Who::Skipper,
            Self::Base => Who::Base,
        }
    }
}

impl WayArgs {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let boat = load::boat(&self.boat)?;
        let model = Model::new(&boat);
        let from = match &self.after {
            Some(id) => operate::run(&model, run::find(&boat, id)?).last_stand().clone(),
            None => run::stand(&boat, &self.with)?,
        };
        let goal = boat.read_fact(&self.goal)?;
        let mut budget = Budget::states(SEARCH_STATES);
        let answer = operate::way(&model, &from, &goal, self.hands.who(), &mut budget);
        let failed = matches!(answer, Answer::None(_) | Answer::GaveUp { .. });
        if self.json {
            return Ok(Printed::json(&to_json(&boat, &answer), failed));
        }
        Ok(Printed { text: text(&boat, &answer), failed })
    }
}

fn text(boat: &Boat, answer: &Answer) -> String {
    match answer {
        Answer::Already => "It is so already.\n".to_owned(),
        Answer::None(none) => format!("There is no safe way.\n{}\n", none.reasons.join("\n")),
        Answer::GaveUp { at_least } => {
            format!("No way was found in the time there is; it has at least {at_least} steps.\n")
        }
        Answer::Way(way) => way_text(boat, way),
    }
}

fn way_text(boat: &Boat, way: &Way) -> String {
    let mut out = String::new();
    for (var, value) in &way.relies_on {
        // Writing to a String can't fail, here and below.
        let _ = writeln!(out, "Look first that this is so: {}.", boat.value_words(*var, *value));
    }
    run::steps(boat, &way.trace.steps, &mut out);
    let shortest = if way.shortest { "No safe way has fewer." } else { "There may be a way with fewer." };
    let _ = writeln!(out, "\n{} steps. {shortest}", way.steps.len());
    out
}

fn to_json(boat: &Boat, answer: &Answer) -> Value {
    match answer {
        Answer::Already => json!({ "answer": "already", "length": 0, "steps": [] }),
        Answer::None(none) => json!({ "answer": "none", "reasons": none.reasons }),
        Answer::GaveUp { at_least } => json!({ "answer": "gave up", "at_least": at_least }),
        Answer::Way(way) => json!({
            "answer": "way",
            "length": way.steps.len(),
            "shortest": way.shortest,
            "relies_on": way.relies_on.iter().map(|(var, value)| boat.value_words(*var, *value)).collect::<Vec<_>>(),
            "steps": way.trace.steps.iter().map(|step| run::step_json(boat, step)).collect::<Vec<_>>(),
        }),
    }
}
