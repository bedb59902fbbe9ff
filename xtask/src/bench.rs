//! Measuring: the benches, and how far they are from what they are compared with.

use crate::program::{Outcome, Program};

/// Runs all benches of the workspace.
pub(crate) fn run() -> Outcome {
    Program::new("cargo", &["bench", "--workspace", "--benches", "--locked"]).minutes(60).loudly()
}
