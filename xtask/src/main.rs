//! `cargo xtask`: runs all tests, writes generated files, takes pictures, measures.
//!
//! Needs nothing but the standard library, so that it builds in a second and on a bare machine.
#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    clippy::disallowed_methods,
    reason = "this is the rim: it runs programs, reads files and the clock, and prints"
)]

mod bench;
mod browser;
mod generate;
mod library;
mod planner;
mod program;
mod rust;
mod steps;
mod test;
mod tools;
mod wasm;

use std::process::ExitCode;

const HELP: &str = "\
cargo xtask test [STEP ..]    run all tests, or the steps named; installs what they need
cargo xtask generate          write the files that are made from the code
cargo xtask generate --check  say which of them are stale
cargo xtask pictures          take the pictures of docs/pictures
cargo xtask bench             measure, and print the ratios
";

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let done = program::enter_workspace().and_then(|()| match words.as_slice() {
        ["test", steps @ ..] => test::run(steps),
        ["generate"] => generate::write(),
        ["generate", "--check"] => generate::check(),
        ["pictures"] => browser::pictures(),
        ["bench"] => bench::run(),
        [] | ["help" | "--help" | "-h"] => {
            print!("{HELP}");
            Ok(())
        }
        other => Err(format!("“{}” is not a task.\n\n{HELP}", other.join(" "))),
    });
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::FAILURE
        }
    }
}
