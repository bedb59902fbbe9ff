//! `traps`: states that can be come to by steps that each look safe, but not safely left.

use std::fmt::Write as _;

use boat::model::Boat;
use clap::Args;
use operate::{Covered, Model, Stand, Traps};
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
    /// How large the survey may grow, in millions of branches of some 40 bytes each.
    #[arg(long, default_value_t = 20)]
    millions: usize,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

impl TrapsArgs {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let boat = load::boat(&self.boat)?;
        let model = Model::new(&boat);
        let start = match &self.after {
            Some(id) => operate::run(&model, run::find(&boat, id)?).last_stand().clone(),
            None => Stand::at_rest(&boat),
        };
        let found = operate::traps(&model, &start, None, self.hands.who(), self.millions * 1_000_000)
            .ok_or_else(|| {
                Failure(
                    "Changes that happen by themselves go round in a circle; `becket check` says where."
                        .to_owned(),
                )
            })?;
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
        match &trap.path {
            Some(path) => {
                let _ = writeln!(out, "  It is come to by:");
                for (at, step) in path.iter().enumerate() {
                    let _ = writeln!(out, "    {}. {}", at + 1, operate::step_words(boat, step));
                }
            }
            None => out.push_str("  The shortest way into it was not worked out.\n"),
        }
        let _ = writeln!(out, "  What can't be brought to rest from there: {}.", stuck.join(", "));
        for reason in &trap.reasons {
            let _ = writeln!(out, "  {reason}");
        }
    }
    let _ = match (found.entries.is_empty(), found.reach) {
        (true, Covered::Everything(_)) => writeln!(
            out,
            "No traps. From every one of the {} that can be come to by safe steps there is a safe way to rest.",
            stands(found.covered)
        ),
        (false, Covered::Everything(_)) => {
            writeln!(
                out,
                "{} of the {} that can be come to are traps.",
                stands(found.trapped),
                stands(found.covered)
            )
        }
        (none, Covered::Near(steps) | Covered::SomeNear(steps)) => {
            let found_any =
                if none { "No traps".to_owned() } else { format!("Traps: {}", stands(found.trapped)) };
            let all = if matches!(found.reach, Covered::Near(_)) { "all" } else { "some of those" };
            writeln!(
                out,
                "{found_any} among the {} looked at: {all} within {steps} steps of rest and of the end of every step \
                 list. The boat is too large to look at everything; give it more with --millions.",
                stands(found.covered)
            )
        }
    };
    out
}

/// A count of stands in words; past a million as a power of ten.
fn stands(count: f64) -> String {
    if count < 1e6 { format!("{count:.0} stands") } else { format!("{count:.1e} stands") }
}

fn to_json(boat: &Boat, found: &Traps) -> Value {
    json!({
        "covered": found.covered,
        "everything": matches!(found.reach, Covered::Everything(_)),
        "trapped": found.trapped,
        "traps": found.entries.iter().map(|trap| json!({
            "path": trap.path.as_ref().map(|path| path.iter().map(|step| operate::step_words(boat, step)).collect::<Vec<_>>()),
            "stand": run::stand_json(boat, &trap.stand),
            "stuck": trap.stuck.iter().map(|var| boat.vars[*var].id.as_str()).collect::<Vec<_>>(),
            "reasons": trap.reasons,
        })).collect::<Vec<_>>(),
    })
}
