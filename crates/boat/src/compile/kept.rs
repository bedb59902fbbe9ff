//! Sections that their own engines read in full (faults): checked for shape, kept as written.

use super::Compiler;
use crate::document::{Node, Value};
use crate::format::SECTIONS;
use crate::model::KeptEntry;

impl Compiler<'_> {
    pub(super) fn kept(&mut self) -> Vec<KeptEntry> {
        let mut kept = Vec::new();
        for section in SECTIONS.iter().filter(|section| section.open) {
            for row in self.all.section(section.name) {
                let fields = self.open(section.name, row);
                let name = self.reader.needed_text(fields, "name");
                if let Some(node) = fields.get("item") {
                    self.reader.reference_node(node, "item", "items");
                }
                let lines: Vec<String> = row
                    .table
                    .entries
                    .iter()
                    .map(|entry| format!("{} = {}", toml_key(&entry.key), toml_value(&entry.node)))
                    .collect();
                kept.push(KeptEntry {
                    section: section.name.to_owned(),
                    id: row.id.clone(),
                    name,
                    text: lines.join("\n"),
                });
            }
        }
        self.reader.from = None;
        kept
    }
}

fn toml_key(key: &str) -> String {
    toml_edit::Key::new(key).to_string()
}

fn toml_value(node: &Node) -> String {
    match &node.value {
        Value::Text(text) => toml_edit::Value::from(text.as_str()).to_string(),
        Value::Integer(number) => number.to_string(),
        Value::Float(number) => toml_edit::Value::from(*number).to_string(),
        Value::Bool(yes) => yes.to_string(),
        Value::Date(date) => date.clone(),
        Value::List(list) => format!("[{}]", list.iter().map(toml_value).collect::<Vec<_>>().join(", ")),
        Value::Table(table) => {
            let entries: Vec<String> = table
                .entries
                .iter()
                .map(|entry| format!("{} = {}", toml_key(&entry.key), toml_value(&entry.node)))
                .collect();
            format!("{{ {} }}", entries.join(", "))
        }
    }
}
