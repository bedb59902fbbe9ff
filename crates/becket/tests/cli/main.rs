//! The command line as its users meet it: real files, real exit codes.
#![allow(clippy::disallowed_methods, reason = "the tests make and read files")]
#![allow(clippy::unwrap_used, reason = "a panic is how a test fails")]

mod base;
mod boats;
mod briefing;
mod faults;
mod forecast;
mod law;
mod readings;
mod records;
mod remedy;
mod tables;

use std::path::PathBuf;
use std::process::{Command, Output};

use serde_json::Value;

fn becket(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_becket")).args(args).output().expect("the program starts")
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("the program prints UTF-8")
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("the program prints UTF-8")
}

/// What a command prints as JSON, and its exit code.
fn json(args: &[&str]) -> (Value, Option<i32>) {
    let output = becket(&[args, &["--json"]].concat());
    let value = serde_json::from_str(&out(&output));
    (value.unwrap_or_else(|error| panic!("{error}: {}{}", out(&output), err(&output))), output.status.code())
}

/// What a command says when it can't be asked.
fn refused(args: &[&str]) -> String {
    let output = becket(args);
    assert_eq!(output.status.code(), Some(2), "{args:?}: {}{}", out(&output), err(&output));
    assert_eq!(out(&output), "", "{args:?}: a refusal goes to standard error");
    err(&output)
}

/// A file of this text in a folder of its own.
fn file(name: &str, text: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::create_dir_all(&folder).unwrap();
    let file = folder.join("boat.toml");
    std::fs::write(&file, text).unwrap();
    file
}

/// What a command says and its exit code, when this is typed at it.
fn typed(args: &[&str], lines: &str) -> (String, Option<i32>) {
    use std::io::Write as _;
    let mut child = Command::new(env!("CARGO_BIN_EXE_becket"))
        .args(args)
        .stdin(std::process::Stdio::piped())
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .expect("the program starts");
    let written = child.stdin.take().unwrap().write_all(lines.as_bytes());
    let output = child.wait_with_output().unwrap();
    assert!(written.is_ok(), "what was typed is read: {}", err(&output));
    (out(&output), output.status.code())
}

/// A sound boat of nothing but her sizes; a test adds what it asks about.
const SORA: &str = "becket = 1\n[boat]\nname = \"Sora\"\nmodel = \"9 m sloop\"\nhull = \"monohull\"\nrig = \"Sloop\"\n\
    length = \"9 m\"\nbeam = \"3 m\"\ndraught = \"1.5 m\"\nberths = 4\n";

/// The example plan.
const WEEK: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo/plans/whimbrel-week.toml");

/// Nothing is wider than a terminal, and no line ends in spaces.
fn assert_laid_out(text: &str) {
    for line in text.lines() {
        assert!(line.chars().count() <= 100, "too wide: {line:?}");
        assert_eq!(line, line.trim_end(), "spaces at the end");
    }
}
