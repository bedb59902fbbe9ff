//! `cargo xtask test`: everything that is checked, in one command, on any machine.

use crate::program::{Outcome, say};
use crate::steps::Steps;
use crate::{browser, generate, planner, rust, wasm};

type Step = (&'static str, fn() -> Outcome);

/// The steps but for the tests themselves: quick ones and strict ones first.
const BEFORE: [Step; 12] = [
    ("format", rust::format),
    ("lints", rust::lints),
    ("generated", generate::check),
    ("examples", rust::examples),
    ("wasm", wasm::build),
    ("licences", rust::licences),
    ("program", browser::program_built),
    ("walk", browser::walk),
    ("life", browser::life),
    ("setup", browser::setup),
    ("interface", browser::interface),
    ("planner", planner::compare),
];

/// The tests come last, so that their closing line ends the run.
const TESTS: &str = "tests";

/// Runs all steps, or those named. A failed step does not stop the others.
pub(crate) fn run(only: &[&str]) -> Outcome {
    let names: Vec<&str> = BEFORE.iter().map(|(name, _)| *name).chain([TESTS]).collect();
    if let Some(unknown) = only.iter().find(|name| !names.contains(name)) {
        return Err(format!("“{unknown}” is not a step. The steps are: {}.", names.join(", ")));
    }
    let wanted = |name: &str| only.is_empty() || only.contains(&name);
    let mut steps = Steps::default();
    for (name, work) in BEFORE {
        if wanted(name) {
            steps.step(name, work);
        }
    }
    let mut closing = None;
    if wanted(TESTS) {
        steps.step(TESTS, || {
            let (outcome, line) = rust::tests();
            closing = line;
            outcome
        });
    }
    let outcome = steps.end();
    if let Some(line) = closing {
        say(&line);
    }
    outcome
}
