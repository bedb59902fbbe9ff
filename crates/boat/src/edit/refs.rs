//! Who speaks of whom: every id that a row mentions, by the kinds of the format's table.

use std::collections::BTreeMap;
use std::ops::Range;

use crate::assemble::{self, Assembled};
use crate::document::{Node, Table, Value};
use crate::fact::{self, Side, Tree};
use crate::format::{Key, Kind, section};
use crate::library;
use crate::source::{Source, Sources, Span};

use super::params;
use super::sheet::Sheet;
use super::{Reference, Refused};

/// What a mention names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Names {
    /// An entry of this section.
    Entry(&'static str),
    /// A control, state, condition or reading: facts speak of all four by one set of names.
    Fact,
    /// An item, control or action, for its limit.
    Limited,
}

impl Names {
    /// Whether an entry of a section can be meant.
    pub(crate) fn may_be(self, section: &str) -> bool {
        match self {
            Self::Entry(own) => own == section,
            Self::Fact => FACTS.contains(&section),
            Self::Limited => ["items", "controls", "actions"].contains(&section),
        }
    }
}

/// The sections that share one set of names.
pub(crate) const FACTS: [&str; 4] = ["controls", "states", "conditions", "readings"];

/// An id in a text.
#[derive(Debug, Clone)]
pub(crate) struct Mention {
    pub(crate) names: Names,
    pub(crate) id: String,
    /// Where in the text.
    pub(crate) at: Range<usize>,
}

/// The ids in one text, by what kind of value it is.
pub(crate) fn mentions(kind: Kind, text: &str) -> Vec<Mention> {
    let whole = |names| vec![Mention { names, id: text.to_owned(), at: 0..text.len() }];
    match kind {
        Kind::Ref(section) | Kind::Refs(section) => whole(Names::Entry(section)),
        Kind::Measured | Kind::QuantityOrMeasured => whole(Names::Fact),
        Kind::Fact | Kind::Assign | Kind::Assigns => {
            let mut found = Vec::new();
            if let Some(tree) = fact::parse(text, &mut Vec::new()) {
                names_of(&tree, &mut found);
            }
            found
        }
        Kind::Words | Kind::WordsByValue => limits_in(text),
        _ => Vec::new(),
    }
}

fn names_of(tree: &Tree, found: &mut Vec<Mention>) {
    let mut name = |word: &fact::Word| {
        found.push(Mention { names: Names::Fact, id: word.text.clone(), at: word.at.clone() });
    };
    match tree {
        Tree::Const(_) => {}
        Tree::Name(word) | Tree::Is { name: word, .. } => name(word),
        Tree::Compare { left, right, .. } => {
            for side in [left, right] {
                if let Side::Name(word) = side {
                    name(word);
                }
            }
        }
        Tree::Not(inner) => names_of(inner, found),
        Tree::And(parts) | Tree::Or(parts) => parts.iter().for_each(|part| names_of(part, found)),
    }
}

/// The things whose limits stand in prose, as `{bow_thruster.longest}`.
fn limits_in(text: &str) -> Vec<Mention> {
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(open) = text[at..].find('{').map(|open| at + open + 1) {
        let Some(close) = text[open..].find('}').map(|close| open + close) else { break };
        if let Some(point) = text[open..close].find('.') {
            let at = open..open + point;
            found.push(Mention { names: Names::Limited, id: text[at.clone()].to_owned(), at });
        }
        at = close;
    }
    found
}

/// Calls `each` with every text of a row and the kind that its key has. `class` is the row's class, if it is an item.
pub(crate) fn texts<'n>(
    keys: &'static [Key],
    table: &'n Table,
    each: &mut dyn FnMut(Kind, &'static str, &'n Node, &'n str),
) {
    let class = match table.get("class").map(|node| &node.value) {
        Some(Value::Text(class)) => Some(class.as_str()),
        _ => None,
    };
    for entry in &table.entries {
        let Some(key) = keys.iter().find(|key| key.name == entry.key) else { continue };
        match (key.kind, &entry.node.value) {
            (Kind::Row(inner), Value::Table(table)) => texts(inner, table, each),
            (Kind::Rows(inner), Value::List(list)) => {
                for node in list {
                    if let Value::Table(table) = &node.value {
                        texts(inner, table, each);
                    }
                }
            }
            (Kind::Parameters, Value::Table(given)) => {
                let known = class.map(params::parameters).unwrap_or_default();
                for entry in &given.entries {
                    let kind = match known.iter().find(|own| own.name == entry.key).map(|own| own.kind) {
                        // What is set or looked at may be a state as well.
                        Some(Kind::Ref("controls")) => Kind::Measured,
                        kind => kind.unwrap_or(Kind::Text),
                    };
                    deep(kind, key.name, &entry.node, each);
                }
            }
            (kind, _) => deep(kind, key.name, &entry.node, each),
        }
    }
}

fn deep<'n>(
    kind: Kind,
    key: &'static str,
    node: &'n Node,
    each: &mut dyn FnMut(Kind, &'static str, &'n Node, &'n str),
) {
    match &node.value {
        Value::Text(text) => each(kind, key, node, text),
        Value::List(list) => list.iter().for_each(|node| deep(kind, key, node, each)),
        Value::Table(table) => table.entries.iter().for_each(|entry| deep(kind, key, &entry.node, each)),
        _ => {}
    }
}

/// The file with what its classes bring.
pub(crate) fn assembled(sheet: &Sheet<'_>) -> Assembled {
    let mut sources = Sources::default();
    sources.add(Source::new("boat file", sheet.text));
    assemble::assemble(sheet.tree.clone(), &mut sources, &mut Vec::new())
}

/// Which item brings what stands at a class's name.
pub(crate) fn bringers(sheet: &Sheet<'_>) -> BTreeMap<Span, String> {
    let Some(Value::Table(items)) = sheet.node(&["items"]).map(|node| &node.value) else {
        return BTreeMap::new();
    };
    let bringer = |entry: &crate::document::Entry| match &entry.node.value {
        Value::Table(table) => table.get("class").map(|node| (node.span, entry.key.clone())),
        _ => None,
    };
    items.entries.iter().filter_map(bringer).collect()
}

/// Who refers to a row, or to what its class brings; what goes with the row does not count.
pub(super) fn referring(text: &str, name: &str, id: &str) -> Result<Vec<Reference>, Refused> {
    let sheet = Sheet::read(text)?;
    let all = assembled(&sheet);
    let bringers = bringers(&sheet);
    let goes = |section: &str, row: &assemble::Row| {
        (section == name && row.id == id)
            || (name == "items"
                && row.from.is_some_and(|from| bringers.get(&from).is_some_and(|item| item == id)))
    };
    let gone: Vec<(&str, &str)> = all
        .rows
        .iter()
        .flat_map(|(section, rows)| {
            rows.iter().filter(|row| goes(section, row)).map(|row| (*section, row.id.as_str()))
        })
        .collect();
    // A row that only changes what a class brings goes on standing when its class still does.
    if sheet.row(name, id).is_some() && still_brought(&sheet, name, id) {
        return Ok(Vec::new());
    }
    let mut found: Vec<Reference> = Vec::new();
    for (from, rows) in &all.rows {
        let Some(shape) = section(from) else { continue };
        for row in rows.iter().filter(|row| !goes(from, row)) {
            let mut add = |key: &str, to: &str| {
                let new = Reference {
                    section: (*from).to_owned(),
                    id: row.id.clone(),
                    name: name_of(&row.table),
                    key: key.to_owned(),
                    to: to.to_owned(),
                };
                if !found.contains(&new) {
                    found.push(new);
                }
            };
            texts(shape.keys, &row.table, &mut |kind, key, _, text| {
                for mention in mentions(kind, text) {
                    if gone.iter().any(|(section, id)| mention.names.may_be(section) && mention.id == *id) {
                        add(key, &mention.id);
                    }
                }
            });
            let implied =
                *from == "controls" && name == "items" && row.id == id && row.table.get("item").is_none();
            if implied {
                add("item", id);
            }
        }
    }
    Ok(found)
}

/// Whether a class brings the row even if the file does not write it.
pub(crate) fn still_brought(sheet: &Sheet<'_>, section: &str, id: &str) -> bool {
    let Some(Value::Table(items)) = sheet.node(&["items"]).map(|node| &node.value) else { return false };
    section != "items"
        && items.entries.iter().any(|item| {
            let Value::Table(table) = &item.node.value else { return false };
            let Some(Value::Text(class)) = table.get("class").map(|node| &node.value) else { return false };
            let written_out =
                matches!(table.get("written_out").map(|node| &node.value), Some(Value::Bool(true)));
            let text = library::class_text(class).unwrap_or_default();
            let named = |part: &str| part.replace("<self>", &item.key) == id;
            !written_out
                && text
                    .lines()
                    .filter_map(|line| line.strip_prefix(&format!("[{section}.")))
                    .any(|line| named(line.trim_end().trim_end_matches(']').trim_matches('"')))
        })
}

pub(crate) fn name_of(table: &Table) -> Option<String> {
    match table.get("name").map(|node| &node.value) {
        Some(Value::Text(name)) => Some(name.clone()),
        _ => None,
    }
}

/// What an item leaves out of its class.
pub(crate) fn omitted(sheet: &Sheet<'_>, item: &str) -> Vec<String> {
    let omit = sheet.row("items", item).and_then(|table| table.get("omit"));
    let texts = omit.map(super::Value::of);
    let texts = texts.as_ref().map(super::Value::list).unwrap_or_default();
    texts.iter().filter_map(super::Value::as_text).map(str::to_owned).collect()
}
