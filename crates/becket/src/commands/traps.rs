//! `traps`: states that can be come to by steps that each look safe, but not safely left.

use std::fmt::Write as _;

use boat::model::Boat;
use clap::Args;
use operate::{Budget, Model, Stand, Traps};
use serde_json::{Value, json};

use super::run;
use super::way::Hands;
use crate::load::{self, Failure};
use crate::output::Printed;
use crate::say;

#[derive(Args)]
pub(crate) struct TrapsArgs {
    /// A boat file, or the name of a demo boat.
    boat: String,
    /// Start where this step list ends, instead of at rest.
    #[arg(long)]
    after: Option<String>,
    /// Whose hands do it.
    #[arg(long = "as", value_enum, default_value = "crew")]
    hands: Hands,
    /// How many states to look at before giving up.
    #[arg(long, default_value_t = 2_000_000)]
    states: u64,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

impl TrapsArgs {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let boat = load::boat(&self.boat)?;
        let model = Model::new(&boat);
        let start = match &self.after {
            Some(id) => {
                let trace = operate::run(&model, run::find(&boat, id)?);
                trace.steps.last().map_or(trace.start, |step| step.stand.clone())
            }
            None => Stand::at_rest(&boat),
        };
        let mut budget = Budget::states(self.states);
        let found = operate::traps(&model, &[start], None, self.hands.who(), &mut budget)
            .ok_or_else(|| Failure("Changes that happen by themselves go round in a circle; `becket check` says where.".to_owned()))?;
        let failed = !found.entries.is_empty();
        if self.json {
            return Ok(Printed::json(&to_json(&boat, &found), failed));
        }
        Ok(Printed { text: text(&boat, &found), failed })
    }
}

fn text(boat: &Boat, found: &Traps) -> String {
    let mut out = String::new();
    for trap in &found.entries {
        let stuck: Vec<&str> = trap.stuck.iter().map(|var| boat.vars[*var].name.as_str()).collect();
        // Writing to a String can't fail, here and below.
        let _ = writeln!(out, "A trap: {}.", say::stand(boat, &trap.stand));
        let _ = writeln!(out, "  It is come to by:");
        for (at, step) in trap.path.iter().enumerate() {
            let _ = writeln!(out, "    {}. {}", at + 1, format!("{:?}", step.kind));
        }
        let _ = writeln!(out, "  What can't be brought to rest from there: {}.", stuck.join(", "));
    }
    let covered = if found.complete {
        format!("All {} states that can be come to were looked at.", found.covered)
    } else {
        format!("{} states were looked at, not all that can be come to: there may be more.", found.covered)
    };
    let _ = writeln!(out, "{} traps found. {covered}", found.entries.len());
    out
}

fn to_json(boat: &Boat, found: &Traps) -> Value {
    json!({
        "complete": found.complete,
        "covered": found.covered,
        "trapped": found.trapped,
        "traps": found.entries.iter().map(|trap| json!({
            "path": trap.path.iter().map(|step| format!("{:?}", step.kind)).collect::<Vec<_>>(),
            "stand": run::stand_json(boat, &trap.stand),
            "stuck": trap.stuck.iter().map(|var| boat.vars[*var].id.as_str()).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
    })
}
