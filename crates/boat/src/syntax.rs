//! What is wrong with a text that is not sound TOML, in words for people who write no programs.
//!
//! The reader goes on after a fault. Of what it finds on one line only the first is told, and what is missing or
//! homeless only because a line could not be read is not told at all: mending the first mends the rest.

use toml::de::Error;

use crate::diagnostic::Diagnostic;
use crate::source::{SourceId, Span};

const CODE: &str = "toml-syntax";

/// What may be a mere consequence of a line that can't be read.
const CONSEQUENCES: &[&str] =
    &["missing-key", "missing-section", "no-heading", "control-without-rest", "state-without-rest"];

/// The faults of a text, the first of each line.
pub(crate) fn faults(text: &str, source: SourceId, errors: &[Error]) -> Vec<Diagnostic> {
    let mut found: Vec<(usize, usize, &str)> = errors
        .iter()
        .map(|error| {
            let at = error.span().unwrap_or(0..0);
            let (start, end) = within(text, at.start, at.end);
            (start, end, error.message())
        })
        .collect();
    found.sort_by_key(|(start, ..)| *start);
    let mut diagnostics = Vec::new();
    let mut told_line = None;
    let mut told_to = 0;
    for (start, end, message) in found {
        let line = line_start(text, start);
        let follows = message.starts_with("duplicate key") && start < told_to;
        if told_line == Some(line) || follows {
            continue;
        }
        told_line = Some(line);
        if text[line..].trim_start().starts_with('[') {
            // What stands below a heading that is written twice is written twice too.
            told_to = text[start..].find("\n[").map_or(text.len(), |next| start + next + 1);
        }
        let heading = text[line..start].trim_start().starts_with('[');
        let (headline, mend) = words(message, &text[start..end], heading);
        diagnostics.push(
            Diagnostic::error("toml-syntax", Span::new(source, start, end), headline)
                .expected("[section.name] headings, and lines such as name = \"value\"")
                .mend(mend),
        );
    }
    diagnostics
}

/// Takes out what follows from lines that could not be read.
pub(crate) fn without_consequences(text: &str, diagnostics: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let lines: Vec<usize> = diagnostics
        .iter()
        .filter(|found| found.code == CODE && found.primary.span.source == SourceId::BOAT)
        .map(|found| line_start(text, found.primary.span.start))
        .collect();
    if lines.is_empty() {
        return diagnostics;
    }
    let stays = |found: &Diagnostic| {
        let span = found.primary.span;
        let edition_missing = found.code == "edition" && span.start == span.end;
        let line = line_start(text, span.start.min(text.len()));
        // What is no heading and takes itself for a section lost its own heading.
        let homeless = found.code == "unknown-section" && !text[line..].trim_start().starts_with('[');
        let on_such_a_line = lines.contains(&line);
        found.code == CODE
            || span.source != SourceId::BOAT
            || !(CONSEQUENCES.contains(&found.code) || edition_missing || homeless || on_such_a_line)
    };
    diagnostics.into_iter().filter(stays).collect()
}

/// Inside the text and on character bounds.
fn within(text: &str, start: usize, end: usize) -> (usize, usize) {
    let mut start = start.min(text.len());
    while !text.is_char_boundary(start) {
        start -= 1;
    }
    let mut end = end.clamp(start, text.len());
    while !text.is_char_boundary(end) {
        end += 1;
    }
    (start, end)
}

fn line_start(text: &str, at: usize) -> usize {
    text[..at].rfind('\n').map_or(0, |end| end + 1)
}

/// The TOML reader's message as a headline and a mend.
fn words(message: &str, here: &str, heading: bool) -> (String, String) {
    let begins = |start: &str| message.starts_with(start);
    let (headline, mend) = if begins("duplicate key") && heading {
        ("This heading was written already, further up.", "Join the two, or give this one another name.")
    } else if begins("duplicate key") {
        return (format!("\"{here}\" was written already, further up."), "Keep one of the two.".to_owned());
    } else if begins("string values must be quoted") {
        let bare = here.trim_matches(['“', '”', '„', '«', '»', '‘', '’', '"', '\'']);
        return (format!("{here} does not stand in straight quotes."), format!("Write \"{bare}\"."));
    } else if begins("invalid basic string, expected `\"`") || begins("invalid literal string, expected `'`")
    {
        (
            "A text begins on this line and has no closing quote.",
            "Put the closing quote at the end of the text.",
        )
    } else if begins("invalid basic string") || begins("invalid literal string") || begins("invalid comment")
    {
        ("A sign stands here that can't be printed.", "Delete it, or write the line again by hand.")
    } else if begins("missing escaped value") {
        (
            "The sign \\ has a special meaning in double quotes.",
            "Write \\\\ for one \\, or put the text in single quotes.",
        )
    } else if begins("key with no value") || begins("missing assignment") {
        (
            "A name stands here, but no = and no value after it.",
            "Write it as name = \"value\", or put a # before the line to make it a remark.",
        )
    } else if begins("missing value") {
        ("No value stands after the =.", "Write the value, or remove the line.")
    } else if begins("missing comma") {
        (
            "A comma or a closing bracket is missing before this.",
            "Put a comma between two entries, and ] or } after the last.",
        )
    } else if begins("unclosed array table") || begins("unclosed table") {
        ("The heading is not closed.", "Put ] at the end of the heading.")
    } else if begins("unclosed array") {
        ("A list was opened with [ and is not closed.", "Put ] after the list's last entry.")
    } else if begins("unclosed inline table") {
        ("A table was opened with { and is not closed.", "Put } after the table's last entry.")
    } else if begins("unexpected leading zero") {
        (
            "A number can't begin with 0.",
            "Write it without the 0; a day or a telephone number stands in quotes.",
        )
    } else if begins("carriage return") {
        (
            "The lines of the file end in a way that can't be read.",
            "Save the file with the usual line ends of your editor (LF or CRLF).",
        )
    } else if begins("cannot recurse") || begins("recursion limit") {
        ("Lists and tables nest too deep here.", "Write it with fewer brackets in brackets.")
    } else if begins("invalid unquoted key") || begins("unquoted keys") {
        ("This can't be a name.", "Use small letters, figures and _, such as house_switch.")
    } else if begins("cannot extend value") {
        (
            "A value stands under this name already, so nothing can stand below it.",
            "Give one of the two another name.",
        )
    } else if begins("unexpected key or value") || begins("unexpected content") {
        (
            "Something stands after the value, where the line should end.",
            "Begin a new line, or put a # before it to make it a remark.",
        )
    } else {
        return (
            format!("The file can't be read here: {}.", message.trim_end_matches('.')),
            "Look for a missing quote, bracket, comma or equals sign here or on the line above.".to_owned(),
        );
    };
    (headline.to_owned(), mend.to_owned())
}
