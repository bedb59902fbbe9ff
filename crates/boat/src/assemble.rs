//! A boat file and the classes that its items name become one set of rows: what the file writes overrides the
//! class key by key. Knows the shape of sections, not what they mean.

use std::collections::BTreeMap;

use crate::diagnostic::{Diagnostic, nearest};
use crate::document::{self, Entry, Node, Table, Value};
use crate::format::{SECTIONS, class_keys};
use crate::ids::{is_id, is_word, make_id};
use crate::library::{self, COMMON};
use crate::source::{Source, SourceId, Sources, Span};

/// An entry of a section.
#[derive(Debug, Clone)]
pub(crate) struct Row {
    pub(crate) id: String,
    pub(crate) id_span: Span,
    pub(crate) table: Table,
    /// Where the boat file names the class that brought it, if one did.
    pub(crate) from: Option<Span>,
}

/// All rows by section, and the particulars.
#[derive(Debug, Default)]
pub(crate) struct Assembled {
    pub(crate) particulars: Option<(Table, Span)>,
    pub(crate) rows: BTreeMap<&'static str, Vec<Row>>,
}

impl Assembled {
    pub(crate) fn section(&self, name: &str) -> &[Row] {
        self.rows.get(name).map_or(&[], Vec::as_slice)
    }
}

/// The edition of the format that this program reads.
pub(crate) const EDITION: i64 = 1;

/// More entries than any boat has in one section, and few enough for the ids of controls and states together.
const MOST_ROWS: usize = 20_000;

/// Reads the boat file's sections and lets its items' classes fill them.
pub(crate) fn assemble(file: Table, sources: &mut Sources, diagnostics: &mut Vec<Diagnostic>) -> Assembled {
    let mut all = Assembled::default();
    let start = Span::new(SourceId::BOAT, 0, 0);
    if file.get("becket").is_none() {
        diagnostics.push(
            Diagnostic::error(
                "edition",
                start,
                "The file does not say which edition of the boat file it is.",
            )
            .expected(format!("becket = {EDITION}"))
            .mend(format!("Write `becket = {EDITION}` as the first line.")),
        );
    }
    for entry in file.entries {
        top_entry(entry, &mut all, diagnostics);
    }
    let mut classes = Classes::default();
    for item in all.section("items").to_vec() {
        classes.bring(&item, &mut all, sources, diagnostics);
    }
    bring_common(&mut all, sources, diagnostics);
    for (name, rows) in &mut all.rows {
        if let Some(first) = rows.get(MOST_ROWS) {
            diagnostics.push(
                Diagnostic::error(
                    "out-of-range",
                    first.id_span,
                    format!("[{name}] has more than {MOST_ROWS} entries."),
                )
                .expected(format!("at most {MOST_ROWS} entries in a section"))
                .mend("Keep one boat a file."),
            );
            rows.truncate(MOST_ROWS);
        }
    }
    all
}

fn top_entry(entry: Entry, all: &mut Assembled, diagnostics: &mut Vec<Diagnostic>) {
    let Entry { key, key_span, node } = entry;
    match (key.as_str(), node.value) {
        ("becket", Value::Integer(EDITION)) => {}
        ("becket", _) => diagnostics.push(
            Diagnostic::error(
                "edition",
                node.span,
                "This program does not read that edition of the boat file.",
            )
            .expected(format!("becket = {EDITION}"))
            .mend(format!("Write `becket = {EDITION}`, or use a program that reads the other edition.")),
        ),
        ("boat", Value::Table(table)) => all.particulars = Some((table, key_span)),
        ("boat", value) => {
            diagnostics.push(
                Diagnostic::error(
                    "wrong-kind",
                    node.span,
                    format!("`boat` is {}, but holds the boat's particulars.", value.kind()),
                )
                .expected(
                    "a heading [boat] with name, hull, model, rig, length, beam, draught and berths below it",
                )
                .mend("Write [boat] on a line of its own and one key on each line below it."),
            );
        }
        (name, value) => {
            let Some(section) = SECTIONS.iter().find(|section| section.name == name) else {
                diagnostics.push(match value {
                    Value::Table(_) => unknown_section(&key, key_span),
                    _ => no_heading(&key, key_span),
                });
                return;
            };
            let Value::Table(table) = value else {
                diagnostics.push(
                    Diagnostic::error(
                        "wrong-kind",
                        node.span,
                        format!("[{name}] is {}, but holds entries by id.", value.kind()),
                    )
                    .expected(format!("headings such as [{name}.some_id]"))
                    .mend(format!("Write each entry under its own heading [{name}.some_id].")),
                );
                return;
            };
            let own = |entry: &Entry| section.keys.iter().any(|key| key.name == entry.key);
            let (homeless, entries): (Vec<Entry>, Vec<Entry>) = table
                .entries
                .into_iter()
                .partition(|entry| own(entry) && !matches!(entry.node.value, Value::Table(_)));
            if let Some(first) = homeless.first() {
                diagnostics.push(
                    Diagnostic::error(
                        "bad-id",
                        key_span,
                        format!("The heading [{name}] does not say which entry it is."),
                    )
                    .also(first.key_span, "a key of an entry")
                    .expected(format!("a heading such as [{name}.some_id]"))
                    .mend(format!("Put a point and an id after {name} in the heading.")),
                );
            }
            let rows =
                entries.into_iter().filter_map(|entry| row(entry, section.name, None, diagnostics)).collect();
            all.rows.insert(section.name, rows);
        }
    }
}

fn unknown_section(key: &str, span: Span) -> Diagnostic {
    let names = ["boat", "becket"].into_iter().chain(SECTIONS.iter().map(|section| section.name));
    let list: Vec<&str> = SECTIONS.iter().map(|section| section.name).collect();
    Diagnostic::error("unknown-section", span, format!("A boat file has no section \"{key}\"."))
        .expected(format!("boat, {}", list.join(", ")))
        .near(nearest(key, names))
        .mend("Mend the section's name, or put a # before the line to make it a remark.")
}

fn no_heading(key: &str, span: Span) -> Diagnostic {
    Diagnostic::error("no-heading", span, format!("\"{key}\" stands under no heading."))
        .expected("`becket = 1` alone before the first heading")
        .mend("Write the heading that it belongs to above it, or move it below that heading.")
}

fn row(entry: Entry, section: &str, from: Option<Span>, diagnostics: &mut Vec<Diagnostic>) -> Option<Row> {
    let Entry { key, key_span, node } = entry;
    if !is_id(&key) {
        let why = if is_word(&key) { ": it is a word of the language of facts" } else { "" };
        diagnostics.push(
            Diagnostic::error("bad-id", key_span, format!("\"{key}\" can't be an id{why}."))
                .expected("a small letter, then small letters, figures and _, such as house_switch")
                .mend(format!("Write [{section}.{}].", make_id(&key))),
        );
        return None;
    }
    match node.value {
        Value::Table(table) => Some(Row { id: key, id_span: key_span, table, from }),
        value => {
            let mend = match value {
                Value::List(_) => {
                    format!("Write the heading in single brackets, [{section}.{key}], once for each id.")
                }
                _ => format!("Write a heading [{section}.{key}] with its keys below."),
            };
            diagnostics.push(
                Diagnostic::error(
                    "wrong-kind",
                    node.span,
                    format!("\"{key}\" in [{section}] is {}, not an entry.", value.kind()),
                )
                .expected("a table of keys")
                .mend(mend),
            );
            None
        }
    }
}

/// Classes read so far and what they brought.
#[derive(Default)]
struct Classes {
    read: BTreeMap<String, (SourceId, Table)>,
}

impl Classes {
    fn bring(
        &mut self,
        item: &Row,
        all: &mut Assembled,
        sources: &mut Sources,
        diagnostics: &mut Vec<Diagnostic>,
    ) {
        let Some(Entry { node: Node { value: Value::Text(class), span }, .. }) = item.table.entry("class")
        else {
            return;
        };
        if matches!(item.table.get("written_out"), Some(Node { value: Value::Bool(true), .. })) {
            return;
        }
        let Some((_, table)) = self.read(class, sources, diagnostics) else {
            diagnostics.push(
                Diagnostic::error("unknown-class", *span, format!("The library has no class \"{class}\"."))
                    .expected("a class of the library; `becket classes` lists them")
                    .near(nearest(class, library::classes()))
                    .mend("Mend the class's name, or leave `class` out and write the item's parts yourself."),
            );
            return;
        };
        let table = table.clone();
        let words = tokens(item, class, *span, &table, diagnostics);
        let omit = omitted(item);
        let mut unused: Vec<&(String, Span)> = omit.iter().collect();
        let mut brings: Vec<String> = Vec::new();
        for entry in table.entries {
            let Some(section) = SECTIONS.iter().find(|section| section.name == entry.key) else { continue };
            let Value::Table(rows) = entry.node.value else { continue };
            for mut brought in rows.entries {
                substitute(&mut brought, &words);
                let name = format!("{}.{}", section.name, brought.key);
                brings.push(name.clone());
                if omit.iter().any(|(omit, _)| *omit == name) {
                    unused.retain(|(omit, _)| *omit != name);
                    continue;
                }
                if let Some(new) = row(brought, section.name, Some(*span), diagnostics) {
                    add(all.rows.entry(section.name).or_default(), new, section.name, diagnostics);
                }
            }
        }
        for (omit, span) in unused {
            diagnostics.push(
                Diagnostic::error(
                    "unknown-name",
                    *span,
                    format!("The class \"{class}\" brings nothing called \"{omit}\" here."),
                )
                .expected("a section and an id that the class brings, such as \"upkeep.pump_yearly\"")
                .near(nearest(omit, brings.iter().map(String::as_str)))
                .mend(format!("Mend or remove it; `becket classes {class}` shows what the class brings.")),
            );
        }
    }

    fn read(
        &mut self,
        class: &str,
        sources: &mut Sources,
        diagnostics: &mut Vec<Diagnostic>,
    ) -> Option<&(SourceId, Table)> {
        if !self.read.contains_key(class) {
            let file = library::class_file(class)?;
            let id = sources.add(Source::new(format!("class {class}"), file.text));
            let table = document::parse(file.text, id, diagnostics);
            check_class(class, &table, id, diagnostics);
            self.read.insert(class.to_owned(), (id, table));
        }
        self.read.get(class)
    }
}

/// A class file's own top keys and parameters.
fn check_class(class: &str, table: &Table, id: SourceId, diagnostics: &mut Vec<Diagnostic>) {
    let (top, parameter) = class_keys();
    for entry in &table.entries {
        let known = entry.key == "params"
            || top.iter().any(|key| key.name == entry.key)
            || SECTIONS.iter().any(|section| section.name == entry.key);
        if !known {
            diagnostics.push(unknown_section(&entry.key, entry.key_span));
        }
    }
    for key in top.iter().filter(|key| key.required && table.get(key.name).is_none()) {
        diagnostics.push(
            Diagnostic::error(
                "missing-key",
                Span::new(id, 0, 0),
                format!("The class file \"{class}\" has no `{}`.", key.name),
            )
            .expected(key.kind.expected())
            .mend(format!("Add `{} = ...`: {}", key.name, key.about)),
        );
    }
    let Some(Node { value: Value::Table(parameters), .. }) = table.get("params") else { return };
    for entry in &parameters.entries {
        let Value::Table(keys) = &entry.node.value else { continue };
        for key in keys.entries.iter().filter(|key| !parameter.iter().any(|known| known.name == key.key)) {
            diagnostics.push(
                Diagnostic::error(
                    "unknown-key",
                    key.key_span,
                    format!("A parameter has no key \"{}\".", key.key),
                )
                .expected("about, default")
                .mend("Mend or remove the key."),
            );
        }
    }
}

/// What `<word>` stands for in a class, for one item.
fn tokens(
    item: &Row,
    class: &str,
    class_span: Span,
    table: &Table,
    diagnostics: &mut Vec<Diagnostic>,
) -> BTreeMap<String, String> {
    let name = match item.table.get("name") {
        Some(Node { value: Value::Text(name), .. }) => name.clone(),
        _ => item.id.replace('_', " "),
    };
    let noun = ("noun".to_owned(), noun(&name));
    let mut words = BTreeMap::from([("self".to_owned(), item.id.clone()), ("name".to_owned(), name), noun]);
    words.extend(item.table.get("place").and_then(as_text).map(|place| ("place".to_owned(), place)));
    let empty = Table::default();
    let known = match table.get("params") {
        Some(Node { value: Value::Table(known), .. }) => known,
        _ => &empty,
    };
    let given = match item.table.get("with") {
        Some(Node { value: Value::Table(given), .. }) => given,
        _ => &empty,
    };
    for entry in &given.entries {
        if known.entry(&entry.key).is_none() {
            let names: Vec<&str> = known.entries.iter().map(|entry| entry.key.as_str()).collect();
            diagnostics.push(
                Diagnostic::error(
                    "class-parameter",
                    entry.key_span,
                    format!("The class \"{class}\" has no parameter \"{}\".", entry.key),
                )
                .expected(if names.is_empty() { "no parameters".to_owned() } else { names.join(", ") })
                .near(nearest(&entry.key, names))
                .mend("Mend or remove the parameter."),
            );
        }
    }
    for parameter in &known.entries {
        let text = given.get(&parameter.key).and_then(as_text).or_else(|| match &parameter.node.value {
            Value::Table(keys) => keys.get("default").and_then(as_text),
            _ => None,
        });
        let Some(text) = text else {
            let written = given.entry(&parameter.key).is_some();
            let readable = matches!(item.table.get("with"), None | Some(Node { value: Value::Table(_), .. }));
            words.insert(parameter.key.clone(), "always".to_owned());
            if written || !readable {
                // What stands there is not a text, which is told when the item is read.
                continue;
            }
            let about = match &parameter.node.value {
                Value::Table(keys) => keys.get("about").and_then(as_text).unwrap_or_default(),
                _ => String::new(),
            };
            diagnostics.push(
                Diagnostic::error(
                    "class-parameter",
                    class_span,
                    format!("The class \"{class}\" needs its parameter \"{}\".", parameter.key),
                )
                .expected(about)
                .mend(format!("Add `with = {{ {} = \"...\" }}` to [items.{}].", parameter.key, item.id)),
            );
            continue;
        };
        words.insert(parameter.key.clone(), text);
    }
    words
}

/// An item's name as it stands inside a sentence: "Engine battery switch" becomes "engine battery switch", but
/// "VHF radio" and "USB socket" keep their capitals.
fn noun(name: &str) -> String {
    let mut letters = name.chars();
    match (letters.next(), letters.next()) {
        (Some(first), Some(second)) if !second.is_uppercase() && !second.is_ascii_digit() => {
            first.to_lowercase().chain(std::iter::once(second)).chain(letters).collect()
        }
        _ => name.to_owned(),
    }
}

fn as_text(node: &Node) -> Option<String> {
    match &node.value {
        Value::Text(text) => Some(text.clone()),
        Value::Integer(number) => Some(number.to_string()),
        Value::Float(number) => Some(number.to_string()),
        _ => None,
    }
}

fn omitted(item: &Row) -> Vec<(String, Span)> {
    match item.table.get("omit") {
        Some(Node { value: Value::List(list), .. }) => list
            .iter()
            .filter_map(|node| match &node.value {
                Value::Text(text) => Some((text.clone(), node.span)),
                _ => None,
            })
            .collect(),
        _ => Vec::new(),
    }
}

/// Puts an item's words in place of `<self>`, `<name>`, `<noun>`, `<place>` and the parameters, in keys and texts.
fn substitute(entry: &mut Entry, words: &BTreeMap<String, String>) {
    entry.key = fill(&entry.key, words);
    substitute_node(&mut entry.node, words);
}

fn substitute_node(node: &mut Node, words: &BTreeMap<String, String>) {
    match &mut node.value {
        Value::Text(text) => *text = fill(text, words),
        Value::List(list) => list.iter_mut().for_each(|node| substitute_node(node, words)),
        Value::Table(table) => table.entries.iter_mut().for_each(|entry| substitute(entry, words)),
        _ => {}
    }
}

fn fill(text: &str, words: &BTreeMap<String, String>) -> String {
    if !text.contains('<') {
        return text.to_owned();
    }
    words.iter().fold(text.to_owned(), |text, (token, word)| text.replace(&format!("<{token}>"), word))
}

/// Adds a row that a class brought: under what the boat file writes, beside what other classes brought.
fn add(rows: &mut Vec<Row>, new: Row, section: &str, diagnostics: &mut Vec<Diagnostic>) {
    let Some(old) = rows.iter_mut().find(|old| old.id == new.id) else {
        rows.push(new);
        return;
    };
    if old.from.is_none() {
        overlay(&mut old.table, new.table);
    } else if !same_table(&old.table, &new.table) {
        let diagnostic = Diagnostic::error(
            "class-conflict",
            new.from.unwrap_or(new.id_span),
            format!("Two classes bring [{section}.{}] and do not agree on it.", new.id),
        )
        .expected("one entry, or the same words from both")
        .mend(format!("Write [{section}.{}] in the boat file, or `omit` it on one of the items.", new.id));
        diagnostics.push(match old.from {
            Some(from) => diagnostic.also(from, "the other class"),
            None => diagnostic,
        });
    }
}

/// Keys of `under` that `over` does not write. Words, quantities and the like by position are filled in too.
fn overlay(over: &mut Table, under: Table) {
    for entry in under.entries {
        match over.entry_mut(&entry.key) {
            None => over.entries.push(entry),
            Some(mine) if matches!(mine.key.as_str(), "labels" | "tell") => {
                if let (Value::Table(mine), Value::Table(theirs)) = (&mut mine.node.value, entry.node.value) {
                    overlay(mine, theirs);
                }
            }
            Some(_) => {}
        }
    }
}

fn same_table(a: &Table, b: &Table) -> bool {
    a.entries.len() == b.entries.len()
        && a.entries.iter().all(|entry| b.get(&entry.key).is_some_and(|node| same(&entry.node, node)))
}

fn same(a: &Node, b: &Node) -> bool {
    match (&a.value, &b.value) {
        (Value::Text(a), Value::Text(b)) | (Value::Date(a), Value::Date(b)) => a == b,
        (Value::Integer(a), Value::Integer(b)) => a == b,
        (Value::Float(a), Value::Float(b)) => a.to_bits() == b.to_bits(),
        (Value::Bool(a), Value::Bool(b)) => a == b,
        (Value::List(a), Value::List(b)) => a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same(a, b)),
        (Value::Table(a), Value::Table(b)) => same_table(a, b),
        _ => false,
    }
}

/// Takes from the common cautions those that are spoken of and not written in the file.
fn bring_common(all: &mut Assembled, sources: &mut Sources, diagnostics: &mut Vec<Diagnostic>) {
    let mut spoken: Vec<(String, Span)> = Vec::new();
    for row in all.rows.values().flatten() {
        cautions_of(&row.table, &mut spoken);
    }
    let written = |id: &String| all.section("cautions").iter().any(|row| row.id == *id);
    if spoken.iter().all(|(id, _)| written(id)) {
        return;
    }
    let source = sources.add(Source::new("class library, common cautions", COMMON.text));
    let table = document::parse(COMMON.text, source, diagnostics);
    let Some(Node { value: Value::Table(common), .. }) = table.get("cautions") else { return };
    let rows = all.rows.entry("cautions").or_default();
    for entry in &common.entries {
        let from = spoken.iter().find(|(id, _)| *id == entry.key).map(|(_, span)| *span);
        let written = rows.iter().any(|row| row.id == entry.key);
        if let (Some(from), false) = (from, written) {
            rows.extend(row(entry.clone(), "cautions", Some(from), diagnostics));
        }
    }
}

fn cautions_of(table: &Table, spoken: &mut Vec<(String, Span)>) {
    for entry in &table.entries {
        let named = matches!(entry.key.as_str(), "caution" | "cautions");
        collect(&entry.node, named, spoken);
    }
}

fn collect(node: &Node, named: bool, spoken: &mut Vec<(String, Span)>) {
    match &node.value {
        Value::Text(text) if named => spoken.push((text.clone(), node.span)),
        Value::List(list) => list.iter().for_each(|node| collect(node, named, spoken)),
        Value::Table(table) => cautions_of(table, spoken),
        _ => {}
    }
}
