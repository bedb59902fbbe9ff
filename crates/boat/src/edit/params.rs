//! What a class of the library asks of its item: its parameters, with the kind that the places where they are used
//! ask for.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use crate::document::{self, Table, Value};
use crate::format::{Kind, section};
use crate::library;
use crate::source::SourceId;

/// A parameter of a class.
#[derive(Debug, Clone)]
pub struct Parameter {
    /// Its key in `with`.
    pub name: String,
    /// What it is for.
    pub about: String,
    /// What stands for it if nothing is given; it must be given if there is none.
    pub default: Option<String>,
    /// What may be given.
    pub kind: Kind,
}

/// The parameters of a class, in the order of its file; nothing for an unknown class.
pub fn parameters(class: &str) -> &'static [Parameter] {
    static ALL: OnceLock<BTreeMap<&'static str, Vec<Parameter>>> = OnceLock::new();
    let all = ALL.get_or_init(|| library::classes().map(|class| (class, read(class))).collect());
    all.get(class).map_or(&[], Vec::as_slice)
}

fn read(class: &str) -> Vec<Parameter> {
    let text = library::class_text(class).unwrap_or_default();
    let tree = document::parse(text, SourceId::BOAT, &mut Vec::new());
    let Some(Value::Table(known)) = tree.get("params").map(|node| &node.value) else { return Vec::new() };
    let text = |keys: &Value, key: &str| match keys {
        Value::Table(keys) => {
            keys.get(key).and_then(|node| super::Value::of(node).as_text().map(str::to_owned))
        }
        _ => None,
    };
    let mut parameters: Vec<(u8, Parameter)> = known
        .entries
        .iter()
        .map(|entry| {
            let (about, default) = (text(&entry.node.value, "about"), text(&entry.node.value, "default"));
            let about = about.unwrap_or_default();
            (0, Parameter { name: entry.key.clone(), about, default, kind: Kind::Text })
        })
        .collect();
    kinds(&tree, &mut parameters);
    parameters.into_iter().map(|(_, parameter)| parameter).collect()
}

/// Gives each parameter the strictest kind that its uses ask for.
fn kinds(tree: &Table, parameters: &mut [(u8, Parameter)]) {
    for entry in &tree.entries {
        let (Some(section), Value::Table(rows)) = (section(&entry.key), &entry.node.value) else { continue };
        for row in &rows.entries {
            let Value::Table(table) = &row.node.value else { continue };
            // What a class's own item would give to another class says nothing, and is not looked up meanwhile.
            let mut table = table.clone();
            table.entries.retain(|entry| entry.key != "with");
            super::refs::texts(section.keys, &table, &mut |kind, _, _, text| {
                for (strict, parameter) in parameters.iter_mut() {
                    let found = used(kind, text, &format!("<{}>", parameter.name));
                    if found.0 > *strict {
                        (*strict, parameter.kind) = found;
                    }
                }
            });
        }
    }
}

/// How strictly a text asks for a kind of what stands in it, and for which.
fn used(kind: Kind, text: &str, token: &str) -> (u8, Kind) {
    if !text.contains(token) {
        return (0, Kind::Text);
    }
    let whole = text == token;
    if text.contains(&format!("{token}_")) {
        // It begins the ids of what an item's class brings.
        return (10, Kind::Ref("items"));
    }
    match kind {
        Kind::Ref(section) | Kind::Refs(section) if whole => (9, Kind::Ref(section)),
        Kind::Fact if text.contains(&format!("{token} is ")) => (8, Kind::Ref("controls")),
        Kind::Assign | Kind::Assigns if text.starts_with(&format!("{token} is ")) => {
            (8, Kind::Ref("controls"))
        }
        Kind::Quantity(_) | Kind::Signed(_) | Kind::OneOf(_) | Kind::Choice(_) if whole => (7, kind),
        Kind::QuantityByValue | Kind::AnyQuantity | Kind::QuantityOrMeasured if whole => {
            (6, Kind::AnyQuantity)
        }
        Kind::Fact => (5, Kind::Fact),
        Kind::Words | Kind::WordsByValue if whole => (3, Kind::Words),
        _ => (1, Kind::Text),
    }
}
