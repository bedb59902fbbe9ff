//! Writes the expected texts of the broken boat files and trip plans again: what is now said about each.
//! What changed is to be read before it is kept.

#![allow(
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "it reads and writes the cases of the tests and says what it wrote"
)]

#[path = "../tests/suite/cases.rs"]
mod cases;

use std::fs;

fn main() -> std::io::Result<()> {
    for case in cases::all() {
        let said = case.said();
        if case.expected.as_ref() != Some(&said) {
            fs::write(cases::folder(case.what).join(format!("{}.txt", case.name)), said)?;
            println!("{} is written.", case.name);
        }
    }
    Ok(())
}
