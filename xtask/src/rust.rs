//! What Rust's own tools check: format, lints, documentation examples, tests, licences.

use crate::program::{Outcome, Program};
use crate::tools;

/// Everything is laid out as rustfmt does.
pub(crate) fn format() -> Outcome {
    tools::rust_components()?;
    Program::new("cargo", &["fmt", "--all", "--check"]).loudly()
}

/// No lint has anything to say.
pub(crate) fn lints() -> Outcome {
    tools::rust_components()?;
    let line = ["clippy", "--workspace", "--all-targets", "--locked", "--quiet", "--", "--deny", "warnings"];
    Program::new("cargo", &line).loudly()
}

/// The examples in the documentation run. Quiet, since a crate without one would say that it ran no test.
pub(crate) fn examples() -> Outcome {
    Program::new("cargo", &["test", "--doc", "--workspace", "--locked"]).quietly("examples")
}

/// All tests pass. Gives back the runner's own closing line too, to be read again at the end.
pub(crate) fn tests() -> (Outcome, Option<String>) {
    if let Err(message) = tools::cargo_tool("cargo-nextest").and_then(|()| tools::postgresql()) {
        return (Err(message), None);
    }
    let mut closing = None;
    // It is installed, so a test that does without it has not seen it.
    let run = Program::new("cargo", &["nextest", "run", "--workspace", "--locked", "--cargo-quiet"])
        .with("BECKET_NEED_POSTGRES", "1");
    let outcome = run.overheard(|line| {
        if line.trim_start().starts_with("Summary [") {
            closing = Some(line.trim_start().to_owned());
        }
    });
    (outcome, closing)
}

/// Licences, doubled crates and origins of all dependencies are as `deny.toml` allows. Known
/// vulnerabilities need a database from outside: `cargo deny check advisories`, where there is a network.
pub(crate) fn licences() -> Outcome {
    tools::cargo_tool("cargo-deny")?;
    Program::new("cargo", &["deny", "--locked", "--workspace", "check", "bans", "licenses", "sources"])
        .quietly("licences")
}
