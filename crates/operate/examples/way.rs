//! The shortest safe way on a boat, and its PDDL export for checking with another planner:
//! `way BOAT.toml GOAL [START ...] [--who crew|skipper|base] [--pddl FOLDER] [--most NUMBER]`, where a start is
//! "name is value" beyond rest. With a folder, the part of the boat nearest to the goal (at most so many controls and
//! states, and those that the way moves) is written there and solved by our planner too. Prints one JSON object.
#![allow(
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "an example stands at the rim: it reads and writes files, prints and takes the time"
)]

use std::time::Instant;

use boat::model::Who;
use operate::{Answer, Budget, Model, Part, Pilot};

fn main() {
    let mut plain = Vec::new();
    let (mut who, mut folder, mut most) = (Who::Crew, None, 12);
    let mut args = std::env::args().skip(1);
    while let Some(arg) = args.next() {
        match arg.as_str() {
            "--who" => {
                who = match args.next().as_deref() {
                    Some("skipper") => Who::Skipper,
                    Some("base") => Who::Base,
                    _ => Who::Crew,
                }
            }
            "--pddl" => folder = args.next(),
            "--most" => most = args.next().and_then(|most| most.parse().ok()).unwrap_or(most),
            _ => plain.push(arg),
        }
    }
    let text = std::fs::read_to_string(&plain[0]).expect("the boat file can be read");
    let compiled = boat::compile(&plain[0], &text);
    let boat = compiled.boat.expect("the boat compiles");
    let model = Model::new(&boat);
    let goal = boat.read_fact(&plain[1]).expect("the goal is a fact of this boat");
    let mut from = model.at_rest();
    for start in &plain[2..] {
        let assign = boat.read_assign(start).expect("a start is a value of this boat");
        from = from.with(assign.var, assign.value);
    }
    let pilot = Pilot::new(&model, who);
    let begun = Instant::now();
    let answer = pilot.way(&from, &goal, &mut Budget::states(2_000_000));
    let seconds = begun.elapsed().as_secs_f64();
    let (outcome, steps) = match &answer {
        Answer::Way(way) => (
            if way.shortest { "shortest" } else { "way" },
            way.trace.steps.iter().map(|step| step.words.clone()).collect(),
        ),
        Answer::Already => ("already", Vec::new()),
        Answer::None(none) => ("none", none.reasons.clone()),
        Answer::GaveUp { .. } => ("gave up", Vec::new()),
    };
    let words: Vec<String> = steps.iter().map(|words| format!("{words:?}")).collect();
    let mut part_words = "null".to_owned();
    if let Some(folder) = folder {
        let moved = match &answer {
            Answer::Way(way) => {
                way.trace.steps.iter().flat_map(|step| &step.changes).map(|change| change.var).collect()
            }
            _ => Vec::new(),
        };
        let part = Part::near(&model, &from, &goal, who, most, moved);
        std::fs::write(format!("{folder}/domain.pddl"), part.domain()).expect("the folder can be written to");
        std::fs::write(format!("{folder}/problem.pddl"), part.problem())
            .expect("the folder can be written to");
        let task = part.task();
        let planner = search::Planner::new(&task).expect("a part of a compiled boat is a sound task");
        let aim = planner.goal(&task.goal).expect("the goal is of the same task");
        let found = planner
            .plan(&planner.initial(), &aim, &mut Budget::states(2_000_000))
            .expect("no endless events");
        let length = match found.outcome {
            search::Outcome::Plan(found) => found.cost.to_string(),
            search::Outcome::NoPlan => "null".to_owned(),
            search::Outcome::CutOff { .. } => "\"cut off\"".to_owned(),
        };
        part_words = format!(
            "{{\"length\": {length}, \"variables\": {}, \"operators\": {}}}",
            part.variables(),
            part.operators()
        );
    }
    println!(
        "{{\"outcome\": {outcome:?}, \"length\": {}, \"seconds\": {seconds:.6}, \"part\": {part_words}, \"steps\": [{}]}}",
        if outcome == "none" { 0 } else { words.len() },
        words.join(", ")
    );
}
