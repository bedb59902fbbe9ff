//! The broken boat files of `tests/broken` and trip plans of `tests/broken_trips`, and what is said about them; used by
//! the tests and by the example `expect`, which writes the expected texts.

use std::fs;
use std::path::{Path, PathBuf};

/// What a text is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Text {
    /// A boat file.
    Boat,
    /// A trip plan.
    Trip,
}

/// A boat file or a trip plan with something wrong in it.
pub(crate) struct Case {
    /// What it is.
    pub(crate) what: Text,
    /// The file's name without its ending.
    pub(crate) name: String,
    /// The file's text as it is written.
    pub(crate) text: String,
    /// What it is expected to bring forth; absent if nobody has written it yet.
    pub(crate) expected: Option<String>,
}

impl Case {
    /// Everything that is said about it; a boat file is completed first.
    pub(crate) fn said(&self) -> String {
        let name = format!("{}.toml", self.name);
        let (diagnostics, sources) = match self.what {
            Text::Boat => {
                let compiled = boat::compile(&name, &completed(&self.text));
                (compiled.diagnostics, compiled.sources)
            }
            Text::Trip => {
                let read = boat::trip::compile(&name, &self.text);
                (read.diagnostics, read.sources)
            }
        };
        let texts: Vec<String> = diagnostics.iter().map(|found| found.plain(&sources)).collect();
        texts.join("\n")
    }
}

/// The folder of the cases.
pub(crate) fn folder(what: Text) -> PathBuf {
    let name = match what {
        Text::Boat => "tests/broken",
        Text::Trip => "tests/broken_trips",
    };
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

/// All cases of one kind, by name.
pub(crate) fn cases(what: Text) -> Vec<Case> {
    let folder = folder(what);
    let mut names: Vec<String> = fs::read_dir(&folder)
        .expect("the folder of the cases is beside the tests")
        .filter_map(|file| file.ok()?.file_name().into_string().ok()?.strip_suffix(".toml").map(String::from))
        .filter(|name| !name.starts_with('_'))
        .collect();
    names.sort();
    let read = |name: &str, ending: &str| fs::read_to_string(folder.join(format!("{name}.{ending}"))).ok();
    names
        .into_iter()
        .map(|name| Case {
            what,
            text: read(&name, "toml").expect("a boat file is UTF-8"),
            expected: read(&name, "txt"),
            name,
        })
        .collect()
}

/// All boat files and trip plans.
pub(crate) fn all() -> Vec<Case> {
    [Text::Boat, Text::Trip].into_iter().flat_map(cases).collect()
}

/// The text of the sound boat that completes the cases.
pub(crate) fn sound() -> &'static str {
    include_str!("../broken/_sound.toml")
}

/// A file with the entries of the sound boat below it that it does not write itself.
pub(crate) fn completed(text: &str) -> String {
    if text.starts_with("# on its own") {
        return text.to_owned();
    }
    let mut whole = text.to_owned();
    for entry in sound().split("\n\n").filter(|entry| entry.starts_with('[')) {
        let heading = entry.lines().next().unwrap_or(entry);
        if !text.lines().any(|line| line.trim_end() == heading) {
            whole.push('\n');
            whole.push_str(entry.trim_end());
            whole.push('\n');
        }
    }
    whole
}
