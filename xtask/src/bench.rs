//! Measuring: the benches of all crates.

use crate::program::{Outcome, Program};

/// Runs them. A pattern names the benches, since `--benches` would take the unit tests along.
pub(crate) fn run() -> Outcome {
    Program::new("cargo", &["bench", "--workspace", "--locked", "--quiet", "--bench", "*"])
        .minutes(60)
        .loudly()
}
