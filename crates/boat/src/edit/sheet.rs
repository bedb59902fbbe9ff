//! A boat file line by line: where each heading and each key stands, so that a change touches nothing else.

use std::collections::BTreeMap;
use std::ops::Range;

use crate::document::{self, Node, Table, Value};
use crate::source::{Source, SourceId, Sources};

use super::Refused;

/// A heading such as `[items.lamp]`.
#[derive(Debug, Clone)]
pub(crate) struct Heading {
    pub(crate) path: Vec<String>,
    /// Where each part of the path stands.
    pub(crate) parts: Vec<Range<usize>>,
    /// Its whole line, with the line's end.
    pub(crate) line: Range<usize>,
}

/// A key with its value.
#[derive(Debug, Clone)]
pub(crate) struct Pair {
    /// From the top of the file: the heading's path and the key's own.
    pub(crate) path: Vec<String>,
    /// Where each part of the key's own path stands.
    pub(crate) parts: Vec<Range<usize>>,
    /// Its lines, with the last one's end.
    pub(crate) line: Range<usize>,
    /// The heading above it, if there is one.
    pub(crate) under: Option<usize>,
}

/// A text with all that stands in it.
#[derive(Debug)]
pub(crate) struct Sheet<'t> {
    pub(crate) text: &'t str,
    pub(crate) tree: Table,
    pub(crate) headings: Vec<Heading>,
    pub(crate) pairs: Vec<Pair>,
}

impl<'t> Sheet<'t> {
    /// Reads a text; one that is not TOML is refused, with every place where it is not.
    pub(crate) fn read(text: &'t str) -> Result<Self, Refused> {
        let mut diagnostics = Vec::new();
        let tree = document::parse(text, SourceId::BOAT, &mut diagnostics);
        if !diagnostics.is_empty() {
            let mut sources = Sources::default();
            sources.add(Source::new("boat file", text));
            return Err(Refused::Unreadable { diagnostics, sources });
        }
        let mut ends = BTreeMap::new();
        value_ends(&tree, &mut ends);
        let mut sheet = Self { text, tree, headings: Vec::new(), pairs: Vec::new() };
        sheet.scan(&ends);
        Ok(sheet)
    }

    fn scan(&mut self, ends: &BTreeMap<usize, usize>) {
        let text = self.text;
        let mut at = 0;
        while at < text.len() {
            let start = at;
            let first = at + blank(&text[at..]);
            let rest = &text[first..];
            if rest.starts_with('[') {
                let open = if rest.starts_with("[[") { 2 } else { 1 };
                let (path, parts, _) = keys(text, first + open);
                at = line_end(text, first);
                self.headings.push(Heading { path, parts, line: start..at });
            } else if rest.is_empty() || rest.starts_with(['#', '\n', '\r', '\u{feff}']) {
                at = if rest.starts_with('\u{feff}') { first + 3 } else { line_end(text, first) };
            } else {
                let (own, parts, end) = keys(text, first);
                let value = end + text[end..].find(|c: char| c != '=' && !c.is_whitespace()).unwrap_or(0);
                let value_end = ends.get(&value).copied().unwrap_or(value);
                at = line_end(text, value_end);
                let under = self.headings.len().checked_sub(1);
                let mut path = under.map_or_else(Vec::new, |under| self.headings[under].path.clone());
                path.extend(own);
                self.pairs.push(Pair { path, parts, line: start..at, under });
            }
        }
    }

    /// The node at a path, if the tree has one; lists are not entered.
    pub(crate) fn node(&self, path: &[&str]) -> Option<&Node> {
        let (last, parents) = path.split_last()?;
        let mut table = &self.tree;
        for part in parents {
            match table.get(part).map(|node| &node.value) {
                Some(Value::Table(inner)) => table = inner,
                _ => return None,
            }
        }
        table.get(last)
    }

    /// What the file itself writes of a row.
    pub(crate) fn row(&self, section: &str, id: &str) -> Option<&Table> {
        let node = if section == super::BOAT { self.node(&[section]) } else { self.node(&[section, id]) };
        match node.map(|node| &node.value) {
            Some(Value::Table(table)) => Some(table),
            _ => None,
        }
    }

    /// The line end that the file uses.
    pub(crate) fn line_break(&self) -> &'static str {
        if self.text.contains("\r\n") { "\r\n" } else { "\n" }
    }
}

/// Where the value ends that begins at a place.
fn value_ends(table: &Table, ends: &mut BTreeMap<usize, usize>) {
    for entry in &table.entries {
        let span = entry.node.span;
        let end = ends.entry(span.start).or_insert(span.end);
        *end = (*end).max(span.end);
        match &entry.node.value {
            Value::Table(inner) => value_ends(inner, ends),
            Value::List(list) => {
                for node in list {
                    if let Value::Table(inner) = &node.value {
                        value_ends(inner, ends);
                    }
                }
            }
            _ => {}
        }
    }
}

fn blank(text: &str) -> usize {
    text.len() - text.trim_start_matches([' ', '\t']).len()
}

/// Past the end of the line on which a place lies.
pub(crate) fn line_end(text: &str, at: usize) -> usize {
    text[at..].find('\n').map_or(text.len(), |end| at + end + 1)
}

/// The parts of a dotted key, where each stands, and where the key ends.
fn keys(text: &str, mut at: usize) -> (Vec<String>, Vec<Range<usize>>, usize) {
    let (mut path, mut parts) = (Vec::new(), Vec::new());
    loop {
        at += blank(&text[at..]);
        let rest = &text[at..];
        let quote = rest.chars().next().filter(|c| matches!(c, '"' | '\''));
        let (inner, end) = if let Some(quote) = quote {
            let length = quoted_length(&rest[1..], quote);
            (at + 1..at + 1 + length, (at + length + 2).min(text.len()))
        } else {
            let length =
                rest.find(|c: char| !(c.is_alphanumeric() || matches!(c, '_' | '-'))).unwrap_or(rest.len());
            (at..at + length, at + length)
        };
        path.push(text[inner.clone()].to_owned());
        parts.push(inner);
        at = end + blank(&text[end..]);
        if !text[at..].starts_with('.') {
            return (path, parts, at);
        }
        at += 1;
    }
}

/// How long a quoted key is inside its quotes.
fn quoted_length(text: &str, quote: char) -> usize {
    let mut escaped = false;
    for (at, c) in text.char_indices() {
        if c == quote && !escaped {
            return at;
        }
        escaped = c == '\\' && quote == '"' && !escaped;
    }
    text.len()
}
