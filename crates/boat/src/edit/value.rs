//! Values of a boat file without their places: what a form holds and what two files are compared by.

use std::fmt::Write as _;

use crate::document::{self, Node};

/// What may stand behind a key.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A text.
    Text(String),
    /// A whole number.
    Whole(i64),
    /// Any other number.
    Number(f64),
    /// `true` or `false`.
    Yes(bool),
    /// A day without quotes, as it is written.
    Day(String),
    /// A list.
    List(Vec<Value>),
    /// Keys with their values, in the order in which they are written.
    Table(Vec<(String, Value)>),
}

impl Value {
    /// A text.
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// A list of texts.
    pub fn texts<S: Into<String>>(texts: impl IntoIterator<Item = S>) -> Self {
        Self::List(texts.into_iter().map(Self::text).collect())
    }

    /// The value of a key, if this is a table that has it.
    pub fn get(&self, key: &str) -> Option<&Self> {
        self.entries().iter().find(|(own, _)| own == key).map(|(_, value)| value)
    }

    /// The keys of a table; nothing for other values.
    pub fn entries(&self) -> &[(String, Value)] {
        match self {
            Self::Table(entries) => entries,
            _ => &[],
        }
    }

    /// The entries of a list; nothing for other values.
    pub fn list(&self) -> &[Value] {
        match self {
            Self::List(list) => list,
            _ => &[],
        }
    }

    /// The letters of a text or of a day.
    pub fn as_text(&self) -> Option<&str> {
        match self {
            Self::Text(text) | Self::Day(text) => Some(text),
            _ => None,
        }
    }

    /// What a person types for it: a text without its quotes, a number, yes or no.
    pub fn typed(&self) -> String {
        match self {
            Self::Text(text) | Self::Day(text) => text.clone(),
            Self::Whole(number) => number.to_string(),
            Self::Number(number) => number.to_string(),
            Self::Yes(yes) => if *yes { "yes" } else { "no" }.to_owned(),
            Self::List(list) => list.iter().map(Self::typed).collect::<Vec<_>>().join("; "),
            Self::Table(entries) => {
                let parts: Vec<String> =
                    entries.iter().map(|(key, value)| format!("{key}: {}", value.typed())).collect();
                parts.join(", ")
            }
        }
    }

    /// Gives a table's key a value, or takes the key away. Nothing happens to other values.
    pub fn set(&mut self, key: &str, value: Option<Value>) {
        let Self::Table(entries) = self else { return };
        let at = entries.iter().position(|(own, _)| own == key);
        match (at, value) {
            (Some(at), Some(value)) => entries[at].1 = value,
            (Some(at), None) => {
                entries.remove(at);
            }
            (None, Some(value)) => entries.push((key.to_owned(), value)),
            (None, None) => {}
        }
    }

    /// As a boat file has it, on one line; a list of several tables stands on a line for each.
    pub fn written(&self) -> String {
        match self {
            Self::Text(text) => quoted(text),
            Self::Whole(number) => number.to_string(),
            Self::Number(number) => number.to_string(),
            Self::Yes(yes) => yes.to_string(),
            Self::Day(day) => day.clone(),
            Self::List(list) => {
                let parts: Vec<String> = list.iter().map(Self::written).collect();
                if list.len() > 1 && list.iter().all(|one| matches!(one, Self::Table(_))) {
                    return format!("[\n  {},\n]", parts.join(",\n  "));
                }
                format!("[{}]", parts.join(", "))
            }
            Self::Table(entries) if entries.is_empty() => "{}".to_owned(),
            Self::Table(entries) => {
                let parts: Vec<String> = entries
                    .iter()
                    .map(|(key, value)| format!("{} = {}", key_text(key), value.written()))
                    .collect();
                format!("{{ {} }}", parts.join(", "))
            }
        }
    }

    /// Whether both say the same; the order of a table's keys says nothing.
    pub fn same(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Text(a) | Self::Day(a), Self::Text(b) | Self::Day(b)) => a == b,
            (Self::Whole(a), Self::Whole(b)) => a == b,
            (Self::Number(a), Self::Number(b)) => a.to_bits() == b.to_bits(),
            (Self::Whole(a), Self::Number(b)) | (Self::Number(b), Self::Whole(a)) => {
                b.to_string() == a.to_string()
            }
            (Self::Yes(a), Self::Yes(b)) => a == b,
            (Self::List(a), Self::List(b)) => a.len() == b.len() && a.iter().zip(b).all(|(a, b)| a.same(b)),
            (Self::Table(a), Self::Table(b)) => {
                a.len() == b.len()
                    && a.iter().all(|(key, value)| other.get(key).is_some_and(|theirs| value.same(theirs)))
            }
            _ => false,
        }
    }

    pub(crate) fn of(node: &Node) -> Self {
        match &node.value {
            document::Value::Text(text) => Self::Text(text.clone()),
            document::Value::Integer(number) => Self::Whole(*number),
            document::Value::Float(number) => Self::Number(*number),
            document::Value::Bool(yes) => Self::Yes(*yes),
            document::Value::Date(day) => Self::Day(day.clone()),
            document::Value::List(list) => Self::List(list.iter().map(Self::of).collect()),
            document::Value::Table(table) => Self::of_table(table),
        }
    }

    pub(crate) fn of_table(table: &document::Table) -> Self {
        Self::Table(table.entries.iter().map(|entry| (entry.key.clone(), Self::of(&entry.node))).collect())
    }
}

/// A key as it stands before `=`: in quotes if it must.
pub(crate) fn key_text(key: &str) -> String {
    let bare = |c: char| c.is_ascii_alphanumeric() || matches!(c, '_' | '-');
    if !key.is_empty() && key.chars().all(bare) { key.to_owned() } else { quoted(key) }
}

/// A text in double quotes.
pub(crate) fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() => {
                // Writing to a String can't fail.
                let _ = write!(out, "\\u{:04X}", c as u32);
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}
