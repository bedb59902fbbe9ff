//! `run`: follow a step list and show the boat after every step.

use std::fmt::Write as _;

use boat::diagnostic::nearest;
use boat::model::{Boat, ProcedureId};
use clap::Args;
use operate::{End, Model, Stand, StepTrace, Trace};
use quantity::System;
use serde_json::{Value, json};

use crate::load::{self, Failure};
use crate::output::Printed;
use crate::say;

#[derive(Args)]
pub(crate) struct Run {
    /// A boat file, or the name of a demo boat.
    boat: String,
    /// The step list's id; left out, all are listed.
    procedure: Option<String>,
    /// How she stands instead of the list's own start, such as "engine is running"; may be repeated.
    #[arg(long = "with", value_name = "X IS Y")]
    with: Vec<String>,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

impl Run {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let boat = load::boat(&self.boat)?;
        let Some(id) = &self.procedure else { return Ok(Printed::well(list(&boat))) };
        let id = find(&boat, id)?;
        let model = Model::new(&boat);
        let trace = if self.with.is_empty() {
            operate::run(&model, id)
        } else {
            operate::run_from(&model, id, &stand(&boat, &self.with)?)
        };
        let failed = trace.end != End::Reached;
        if self.json {
            return Ok(Printed::json(&to_json(&boat, id, &trace), failed));
        }
        Ok(Printed { text: text(&boat, id, &trace), failed })
    }
}

/// All step lists, by id.
fn list(boat: &Boat) -> String {
    let widest = boat.procedures.iter().map(|row| row.id.len()).max().unwrap_or(0);
    let lines: Vec<String> =
        boat.procedures.iter().map(|row| format!("{:widest$}  {}", row.id, row.name)).collect();
    lines.join("\n") + "\n"
}

/// A step list by id.
pub(crate) fn find(boat: &Boat, id: &str) -> Result<ProcedureId, Failure> {
    boat.procedure(id).ok_or_else(|| {
        let near = nearest(id, boat.procedures.iter().map(|row| row.id.as_str()));
        let near = near.map_or_else(String::new, |near| format!(" Did you mean {near}?"));
        Failure(format!("There is no step list \"{id}\".{near}\n\nThese there are:\n{}", list(boat)))
    })
}

/// The boat at rest but for what is said.
pub(crate) fn stand(boat: &Boat, with: &[String]) -> Result<Stand, Failure> {
    let mut stand = Stand::at_rest(boat);
    for text in with {
        let assign = boat.read_assign(text)?;
        stand = stand.with(assign.var, assign.value);
    }
    Ok(stand)
}

fn text(boat: &Boat, id: ProcedureId, trace: &Trace) -> String {
    let procedure = &boat.procedures[id];
    let mut out = format!("{}\n", procedure.name);
    // Writing to a String can't fail, here and below.
    if let Some(about) = &procedure.about {
        let _ = writeln!(out, "{}", boat.say(about, System::Metric));
    }
    let _ = writeln!(out, "At the start: {}.", say::stand(boat, &trace.start));
    for id in &procedure.cautions {
        let _ = writeln!(out, "{}", say::caution(boat, *id));
    }
    steps(boat, &trace.steps, &mut out);
    let _ = writeln!(out, "\n{}", end(trace));
    let _ = writeln!(out, "At the end: {}.", say::stand(boat, trace.last_stand()));
    out
}

/// Steps with what the boat does at each.
pub(crate) fn steps(boat: &Boat, steps: &[StepTrace], out: &mut String) {
    for step in steps {
        let place = step.place.map_or_else(String::new, |id| format!(" [{}]", boat.places[id].name));
        let _ = writeln!(out, "\n{:>2}. {}{place}", step.step + 1, boat.say(&step.words, System::Metric));
        for line in say::step_lines(boat, step) {
            let _ = writeln!(out, "      {line}");
        }
    }
}

fn end(trace: &Trace) -> String {
    let time = trace.steps.last().map(|step| say::time(step.elapsed)).filter(|time| !time.is_empty());
    let after = time.map_or_else(String::new, |time| format!(" after {time}"));
    match trace.end {
        End::Reached => format!("Done{after}."),
        End::Missed => format!("At the end{after}, but what it is for has not come about."),
        End::Stopped(step) => format!("Stopped at step {}{after}: what should be seen is not so.", step + 1),
        End::NoStart => "It can't begin: its start contradicts itself.".to_owned(),
    }
}

fn to_json(boat: &Boat, id: ProcedureId, trace: &Trace) -> Value {
    json!({
        "procedure": boat.procedures[id].id,
        "end": end(trace),
        "reached": trace.end == End::Reached,
        "worlds": trace.worlds,
        "start": stand_json(boat, &trace.start),
        "steps": trace.steps.iter().map(|step| step_json(boat, step)).collect::<Vec<_>>(),
    })
}

/// What is not at rest, by id.
pub(crate) fn stand_json(boat: &Boat, stand: &Stand) -> Value {
    Stand::at_rest(boat)
        .changes(stand)
        .map(|(var, _, to)| {
            (boat.vars[var].id.clone(), Value::from(boat.vars[var].values[usize::from(to.0)].as_str()))
        })
        .collect::<serde_json::Map<_, _>>()
        .into()
}

/// One step with what the boat does.
pub(crate) fn step_json(boat: &Boat, step: &StepTrace) -> Value {
    json!({
        "step": step.step + 1,
        "words": boat.say(&step.words, System::Metric),
        "place": step.place.map(|id| boat.places[id].id.as_str()),
        "item": step.item.map(|id| boat.items[id].id.as_str()),
        "outcome": say::outcome(step.outcome).unwrap_or("done"),
        "elapsed_s": step.elapsed.as_seconds(),
        "changes": step.changes.iter().map(|row| json!({
            "of": boat.vars[row.var].id,
            "from": boat.vars[row.var].values[usize::from(row.from.0)],
            "to": boat.vars[row.var].values[usize::from(row.to.0)],
            "by_itself": row.by_itself,
        })).collect::<Vec<_>>(),
        "gained": step.gained.iter().map(|id| boat.conditions[*id].id.as_str()).collect::<Vec<_>>(),
        "lost": step.lost.iter().map(|id| boat.conditions[*id].id.as_str()).collect::<Vec<_>>(),
        "cautions": step.cautions.iter().map(|id| boat.cautions[*id].id.as_str()).collect::<Vec<_>>(),
        "events": step.events.iter().map(|event| operate::event_words(boat, *event)).collect::<Vec<_>>(),
    })
}
