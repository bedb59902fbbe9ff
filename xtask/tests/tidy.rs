//! Tidiness of the whole workspace, as ordinary tests: each rule is a function of a file's path and text
//! that gives back what is wrong, tried on the workspace and on a text that breaks it.
#![allow(clippy::disallowed_methods, reason = "the tests read the workspace's files")]

use std::path::{Path, PathBuf};

/// Past this many lines a file has more than one subject.
const LONGEST: usize = 700;

/// Folders that are made, not written.
const MADE: [&str; 5] = ["target", ".git", "node_modules", ".venv", "__pycache__"];

/// A text file of the workspace.
struct File {
    /// From the workspace's folder, with `/`.
    path: String,
    text: String,
}

impl File {
    fn has_ending(&self, endings: &[&str]) -> bool {
        let ending = Path::new(&self.path).extension().and_then(|ending| ending.to_str());
        ending.is_some_and(|ending| endings.contains(&ending))
    }
}

#[test]
fn no_file_names_a_place_on_one_machine() {
    check(machine_paths);
    assert_breaks(machine_paths, "docs/a.md", &format!("see {}x", MACHINE_PATHS[0].join("")));
}

#[test]
fn no_file_is_too_long_to_have_one_subject() {
    check(length);
    assert_breaks(length, "crates/a/src/b.rs", &"//\n".repeat(LONGEST + 1));
}

#[test]
fn nothing_is_left_open_in_the_code() {
    check(left_open);
    for mark in LEFT_OPEN {
        assert_breaks(left_open, "crates/a/src/b.rs", &format!("fn f() {{ {} }}", mark.join("")));
    }
}

#[test]
fn every_module_opens_by_saying_what_it_is_for() {
    check(opening);
    assert_breaks(opening, "crates/a/src/b.rs", "use std::fmt;\n");
    assert_breaks(opening, "crates/a/src/b.rs", "//!\n");
}

#[test]
fn the_map_describes_every_crate_and_none_that_is_gone() {
    let map = read("ARCHITECTURE.md");
    let headings = map.lines().filter_map(|line| line.strip_prefix("### `crates/"));
    let mut described: Vec<&str> = headings.filter_map(|rest| rest.split('`').next()).collect();
    described.sort_unstable();
    assert_eq!(
        described,
        folders("crates"),
        "ARCHITECTURE.md has a heading “### `crates/name`” for each crate"
    );
}

#[test]
fn outside_data_names_its_source() {
    let nameless: Vec<String> = folders("reference")
        .into_iter()
        .filter(|name| {
            let text = std::fs::read_to_string(root().join("reference").join(name).join("README.md"));
            !text.is_ok_and(|text| text.to_lowercase().contains("source"))
        })
        .collect();
    assert!(nameless.is_empty(), "no README.md that names a source in reference/: {}", nameless.join(", "));
}

#[test]
fn links_between_documents_lead_somewhere() {
    let mut broken = Vec::new();
    for file in files().iter().filter(|file| file.has_ending(&["md"])) {
        let folder = root().join(&file.path).parent().map(Path::to_path_buf).unwrap_or_default();
        for link in links(&file.text) {
            let target = link.split('#').next().unwrap_or_default();
            let elsewhere = link.contains("://") || link.starts_with("mailto:") || target.is_empty();
            if !elsewhere && !folder.join(target).exists() {
                broken.push(format!("{}: {link}", file.path));
            }
        }
    }
    assert!(broken.is_empty(), "links that lead nowhere:\n{}", broken.join("\n"));
    assert_eq!(links("see [a](b.md) and ![c](d.png)"), ["b.md", "d.png"]);
}

// Written in parts, so that this file does not break its own rules.
const MACHINE_PATHS: [[&str; 2]; 4] =
    [["/wo", "rk/"], ["/ro", "ot/"], ["/tmp/bash", "_jobs"], ["/fa", "rm/"]];
const LEFT_OPEN: [[&str; 2]; 5] =
    [["todo", "!("], ["unimplemented", "!("], ["FIX", "ME"], ["XX", "X"], ["#[ign", "ore"]];

fn machine_paths(file: &File) -> Option<String> {
    let found = MACHINE_PATHS.iter().map(|parts| parts.join("")).find(|path| file.text.contains(path))?;
    Some(format!("names {found}, which is a place on one machine"))
}

fn length(file: &File) -> Option<String> {
    let lines = file.text.lines().count();
    let too_long = file.has_ending(&["rs", "js", "mjs", "css"]) && lines > LONGEST;
    too_long.then(|| format!("has {lines} lines, {LONGEST} at most"))
}

fn left_open(file: &File) -> Option<String> {
    if !file.has_ending(&["rs", "js", "mjs", "css", "py", "toml"]) {
        return None;
    }
    let found = LEFT_OPEN.iter().map(|parts| parts.join("")).find(|mark| file.text.contains(mark))?;
    Some(format!("has {found}"))
}

fn opening(file: &File) -> Option<String> {
    let says = file
        .text
        .lines()
        .next()
        .and_then(|line| line.strip_prefix("//!"))
        .is_some_and(|words| !words.trim().is_empty());
    (file.has_ending(&["rs"]) && !says).then(|| "does not open with `//!` and what it is for".to_owned())
}

/// Tries a rule on every file, and says all that is wrong at once.
fn check(rule: fn(&File) -> Option<String>) {
    let files = files();
    assert!(files.len() > 50, "only {} files were found: is this the workspace?", files.len());
    let wrong: Vec<String> =
        files.iter().filter_map(|file| rule(file).map(|what| format!("{} {what}", file.path))).collect();
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

fn assert_breaks(rule: fn(&File) -> Option<String>, path: &str, text: &str) {
    let file = File { path: path.to_owned(), text: text.to_owned() };
    assert!(rule(&file).is_some(), "the rule does not see what is wrong with {text:?}");
}

/// The targets of a Markdown text's links and pictures.
fn links(text: &str) -> Vec<&str> {
    text.split("](").skip(1).filter_map(|rest| rest.split([')', ' ']).next()).collect()
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("xtask/ lies in the workspace").to_path_buf()
}

fn read(path: &str) -> String {
    std::fs::read_to_string(root().join(path)).unwrap_or_else(|error| panic!("{path} can't be read: {error}"))
}

/// The names of the folders in a folder, in order.
fn folders(within: &str) -> Vec<String> {
    let mut names: Vec<String> = entries(&root().join(within))
        .into_iter()
        .filter(|(_, path)| path.is_dir())
        .map(|(name, _)| name)
        .collect();
    names.sort();
    assert!(!names.is_empty(), "{within} is empty");
    names
}

/// All text files that people wrote.
fn files() -> Vec<File> {
    let mut files = Vec::new();
    collect(&root(), "", &mut files);
    files.sort_by(|one, other| one.path.cmp(&other.path));
    files
}

fn collect(folder: &Path, within: &str, files: &mut Vec<File>) {
    for (name, path) in entries(folder) {
        let shown = if within.is_empty() { name.clone() } else { format!("{within}/{name}") };
        if path.is_dir() {
            if !MADE.contains(&name.as_str()) {
                collect(&path, &shown, files);
            }
        } else if let Ok(text) = std::fs::read_to_string(path) {
            files.push(File { path: shown, text });
        }
    }
}

/// The names and paths of what lies in a folder.
fn entries(folder: &Path) -> Vec<(String, PathBuf)> {
    let found = std::fs::read_dir(folder)
        .unwrap_or_else(|error| panic!("{} can't be read: {error}", folder.display()));
    found.flatten().map(|entry| (entry.file_name().to_string_lossy().into_owned(), entry.path())).collect()
}
