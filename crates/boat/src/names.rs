//! All names of a boat before anything is resolved, so that the order of the file does not matter.

use std::collections::BTreeMap;

use quantity::{Dimension, Quantity};

use crate::assemble::{Assembled, Row};
use crate::diagnostic::Diagnostic;
use crate::document::{Node, Value};
use crate::fact::{Meaning, Names, ValueNames};
use crate::format::SECTIONS;
use crate::model::{ConditionId, Id, ReadingId, VarId};

/// Ids by section, and what each name stands for in a fact.
#[derive(Debug, Default)]
pub(crate) struct Symbols {
    sections: BTreeMap<&'static str, BTreeMap<String, usize>>,
    meanings: BTreeMap<String, Meaning>,
    /// Value names of each control and state, controls first.
    values: Vec<Vec<String>>,
    /// The dimension of the quantities of each control and state.
    dimensions: Vec<Option<Dimension>>,
}

impl Symbols {
    /// Collects the names of all rows; names used twice in facts are reported.
    pub(crate) fn collect(all: &Assembled, diagnostics: &mut Vec<Diagnostic>) -> Self {
        let mut symbols = Self::default();
        for section in SECTIONS {
            let ids =
                all.section(section.name).iter().enumerate().map(|(at, row)| (row.id.clone(), at)).collect();
            symbols.sections.insert(section.name, ids);
        }
        let mut written: BTreeMap<&str, &Row> = BTreeMap::new();
        for (section, key) in [("controls", "positions"), ("states", "values")] {
            for row in all.section(section) {
                let var = VarId::at(symbols.values.len());
                let dimension = reads_dimension(row);
                symbols.values.push(value_names(row, key));
                symbols.dimensions.push(dimension);
                symbols.name(row, Meaning::Var(var, dimension), &mut written, diagnostics);
            }
        }
        for (at, row) in all.section("conditions").iter().enumerate() {
            symbols.name(row, Meaning::Condition(ConditionId::at(at)), &mut written, diagnostics);
        }
        for (at, row) in all.section("readings").iter().enumerate() {
            let dimension = quantity_of(row.table.get("otherwise")).map(Quantity::dimension);
            symbols.name(row, Meaning::Reading(ReadingId::at(at), dimension), &mut written, diagnostics);
        }
        symbols
    }

    fn name<'a>(
        &mut self,
        row: &'a Row,
        meaning: Meaning,
        written: &mut BTreeMap<&'a str, &'a Row>,
        diagnostics: &mut Vec<Diagnostic>,
    ) {
        if let Some(first) = written.get(row.id.as_str()) {
            let diagnostic = Diagnostic::error(
                "name-twice",
                row.id_span,
                format!("\"{}\" already stands for something else in facts.", row.id),
            )
            .also(first.id_span, "the first of that name")
            .expected("different names for controls, states, conditions and readings")
            .mend(format!("Give one of them another name, such as {}_state or {}_works.", row.id, row.id));
            diagnostics.push(match row.from {
                Some(from) => diagnostic.also(from, "brought in from the class library here"),
                None => diagnostic,
            });
            return;
        }
        written.insert(&row.id, row);
        self.meanings.insert(row.id.clone(), meaning);
    }

    /// The place of an entry in its section.
    pub(crate) fn position(&self, section: &str, id: &str) -> Option<usize> {
        self.sections.get(section)?.get(id).copied()
    }

    /// Another section that has an entry of this id.
    pub(crate) fn section_of(&self, id: &str) -> Option<&'static str> {
        SECTIONS.iter().map(|section| section.name).find(|name| self.position(name, id).is_some())
    }

    /// The ids of a section.
    pub(crate) fn ids(&self, section: &str) -> impl Iterator<Item = &str> {
        self.sections.get(section).into_iter().flatten().map(|(id, _)| id.as_str())
    }

    /// The dimension of a control's or state's quantities.
    pub(crate) fn dimension(&self, var: VarId) -> Option<Dimension> {
        self.dimensions[var.index()]
    }
}

impl ValueNames for Symbols {
    fn values(&self, var: VarId) -> &[String] {
        &self.values[var.index()]
    }
}

impl Names for Symbols {
    fn meaning(&self, name: &str) -> Option<Meaning> {
        self.meanings.get(name).copied()
    }
    fn all(&self) -> Vec<&str> {
        self.meanings.keys().map(String::as_str).collect()
    }
}

/// The value names as far as they can be read; what is wrong with them is told when the row is read.
fn value_names(row: &Row, key: &str) -> Vec<String> {
    match row.table.get(key) {
        Some(Node { value: Value::List(list), .. }) => list
            .iter()
            .filter_map(|node| match &node.value {
                Value::Text(text) => Some(text.clone()),
                _ => None,
            })
            .take(255)
            .collect(),
        _ => Vec::new(),
    }
}

fn reads_dimension(row: &Row) -> Option<Dimension> {
    let Some(Node { value: Value::Table(reads), .. }) = row.table.get("reads") else { return None };
    reads.entries.iter().find_map(|entry| quantity_of(Some(&entry.node))).map(Quantity::dimension)
}

fn quantity_of(node: Option<&Node>) -> Option<Quantity> {
    match node {
        Some(Node { value: Value::Text(text), .. }) => Quantity::parse(text).ok(),
        _ => None,
    }
}
