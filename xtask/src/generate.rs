//! Files that are made from the code: written by one command, and found stale by the tests.

use crate::library;
use crate::program::{Outcome, Program, say};

/// Files made by asking the program itself, and what it is asked. The library's list is not among them:
/// the program can't be built while that is stale.
const ASKED: [(&str, &[&str]); 4] = [
    ("docs/boat-file.schema.json", &["reference", "schema"]),
    ("docs/boat-file.md", &["reference", "boat-file"]),
    ("docs/trip-plan.md", &["reference", "trip-plan"]),
    ("docs/commands.md", &["reference", "commands"]),
];

const LIST: &str = "crates/boat/src/library/list.rs";

/// Writes all of them.
pub(crate) fn write() -> Outcome {
    put(LIST, &library::list()?)?;
    std::fs::create_dir_all("docs").map_err(|error| format!("docs can't be made: {error}."))?;
    for (path, question) in ASKED {
        put(path, &ask(question)?)?;
    }
    Ok(())
}

/// Says which of them are not as they would be written now.
pub(crate) fn check() -> Outcome {
    let mut stale = Vec::new();
    if !is_fresh(LIST, &library::list()?) {
        stale.push(LIST);
    }
    for (path, question) in ASKED {
        if !is_fresh(path, &ask(question)?) {
            stale.push(path);
        }
    }
    if stale.is_empty() {
        return Ok(());
    }
    Err(format!("No longer as the code has it: {}. Run `cargo xtask generate`.", stale.join(", ")))
}

fn ask(question: &[&str]) -> Result<String, String> {
    let run = ["run", "--quiet", "--locked", "--package", "becket", "--"];
    Program::new("cargo", &[&run, question].concat()).read()
}

fn is_fresh(path: &str, text: &str) -> bool {
    std::fs::read_to_string(path).is_ok_and(|written| written == text)
}

fn put(path: &str, text: &str) -> Outcome {
    if is_fresh(path, text) {
        return Ok(());
    }
    say(&format!("writing {path}"));
    std::fs::write(path, text).map_err(|error| format!("{path} can't be written: {error}."))
}
