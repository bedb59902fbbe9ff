//! A TOML text as a tree in which every key and value knows where it stands.
//! Knows nothing of boats.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::diagnostic::Diagnostic;
use crate::source::{SourceId, Span};
use crate::syntax;

/// A value with its place.
#[derive(Debug, Clone)]
pub(crate) struct Node {
    pub(crate) value: Value,
    pub(crate) span: Span,
}

/// What a [`Node`] holds.
#[derive(Debug, Clone)]
pub(crate) enum Value {
    Text(String),
    Integer(i64),
    Float(f64),
    Bool(bool),
    /// A date or time written without quotes, as its text.
    Date(String),
    List(Vec<Node>),
    Table(Table),
}

impl Value {
    /// The kind of value in a reader's words, with its article.
    pub(crate) fn kind(&self) -> &'static str {
        match self {
            Self::Text(_) => "a text in quotes",
            Self::Integer(_) => "a whole number",
            Self::Float(number) if number.fract() == 0.0 && number.abs() > 9e18 => {
                "a number that is far too large"
            }
            Self::Float(_) => "a number with a point",
            Self::Bool(_) => "true or false",
            Self::Date(_) => "a date without quotes",
            Self::List(_) => "a list in [ ]",
            Self::Table(_) => "a table of keys",
        }
    }
}

/// Keys and values in the order of the text.
#[derive(Debug, Clone, Default)]
pub(crate) struct Table {
    pub(crate) entries: Vec<Entry>,
}

/// A key with its value.
#[derive(Debug, Clone)]
pub(crate) struct Entry {
    pub(crate) key: String,
    pub(crate) key_span: Span,
    pub(crate) node: Node,
}

impl Table {
    pub(crate) fn get(&self, key: &str) -> Option<&Node> {
        self.entries.iter().find(|entry| entry.key == key).map(|entry| &entry.node)
    }

    pub(crate) fn entry(&self, key: &str) -> Option<&Entry> {
        self.entries.iter().find(|entry| entry.key == key)
    }

    pub(crate) fn entry_mut(&mut self, key: &str) -> Option<&mut Entry> {
        self.entries.iter_mut().find(|entry| entry.key == key)
    }
}

/// Reads a TOML text as far as it can be read; what can't is reported.
pub(crate) fn parse(text: &str, source: SourceId, diagnostics: &mut Vec<Diagnostic>) -> Table {
    let (table, errors) = DeTable::parse_recoverable(text);
    diagnostics.extend(syntax::faults(text, source, &errors));
    convert_table(table.into_inner(), source)
}

fn convert_table(table: DeTable<'_>, source: SourceId) -> Table {
    let mut entries: Vec<Entry> = table
        .into_iter()
        .map(|(key, value)| Entry {
            key_span: span_of(&key, source),
            key: key.into_inner().into_owned(),
            node: convert(value, source),
        })
        .collect();
    // `[a.b]` headings may come back to a table; where a key was written decides its order.
    entries.sort_by_key(|entry| entry.key_span.start);
    Table { entries }
}

fn span_of<T>(spanned: &Spanned<T>, source: SourceId) -> Span {
    let range = spanned.span();
    Span::new(source, range.start, range.end)
}

fn convert(node: Spanned<DeValue<'_>>, source: SourceId) -> Node {
    let span = span_of(&node, source);
    let value = match node.into_inner() {
        DeValue::String(text) => Value::Text(text.into_owned()),
        DeValue::Integer(number) => match i64::from_str_radix(number.as_str(), number.radix()) {
            Ok(number) => Value::Integer(number),
            // Too large for a whole number, and so for anything aboard.
            Err(_) => Value::Float(number.as_str().parse().unwrap_or(f64::MAX)),
        },
        DeValue::Float(number) => Value::Float(number.as_str().parse().unwrap_or(f64::NAN)),
        DeValue::Boolean(yes) => Value::Bool(yes),
        DeValue::Datetime(date) => Value::Date(date.to_string()),
        DeValue::Array(list) => Value::List(list.into_iter().map(|node| convert(node, source)).collect()),
        DeValue::Table(table) => Value::Table(convert_table(table, source)),
    };
    Node { value, span }
}

/// Where in the text the letters of a quoted text begin, if they stand there as they are (no escapes).
pub(crate) fn letters_start(text: &str, span: Span, letters: &str) -> Option<usize> {
    let written = text.get(span.start..span.end)?;
    [1, 3, 4]
        .into_iter()
        .find(|&skip| written.get(skip..).is_some_and(|rest| rest.starts_with(letters)))
        .and_then(|skip| {
            let quote = written.chars().next()?;
            let closes = written[skip + letters.len()..].chars().all(|c| c == quote);
            ((quote == '"' || quote == '\'') && closes).then_some(span.start + skip)
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_error_of_a_text_is_reported_and_the_rest_is_read() {
        let mut diagnostics = Vec::new();
        let table = parse("a = \nb = 1\nc = \"x\nd = 2\n", SourceId::BOAT, &mut diagnostics);
        assert!(diagnostics.len() >= 2, "{diagnostics:?}");
        assert!(table.entry("b").is_some() && table.entry("d").is_some());
    }

    #[test]
    fn letters_are_found_unless_escaped() {
        let text = r#"a = "x is on" "#;
        assert_eq!(letters_start(text, Span::new(SourceId::BOAT, 4, 13), "x is on"), Some(5));
        let text = r#"a = "x \"is\" on" "#;
        assert_eq!(letters_start(text, Span::new(SourceId::BOAT, 4, 17), "x \"is\" on"), None);
    }
}
