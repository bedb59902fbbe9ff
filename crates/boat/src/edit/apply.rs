//! Changes of a boat file: each gives a new text in which nothing else has changed.

use crate::format::{Key, PARTICULARS, section};
use crate::ids::{is_id, make_id};

use super::patch::{Patch, change, patched};
use super::sheet::Sheet;
use super::value::{Value, key_text};
use super::{BOAT, Edit, Refused, refs, rename};

/// Does one change.
pub(super) fn apply(text: &str, edit: &Edit) -> Result<String, Refused> {
    match edit {
        Edit::AddRow { section, id, keys } => add_row(text, section, id, keys),
        Edit::RemoveRow { section, id } => {
            let by = refs::referring(text, section, id)?;
            if by.is_empty() {
                remove_row(text, section, id)
            } else {
                Err(Refused::Referred { what: id.clone(), by })
            }
        }
        Edit::Rename { section, id, to } => rename::rename(text, section, id, to),
        Edit::Set { section, id, key, value } => set(text, section, id, key, value.as_ref()),
        Edit::Row { section, id, row } => set_row(text, section, id, row),
        Edit::AddStep { procedure, at, step } => steps(text, procedure, |steps| {
            steps.insert((*at).min(steps.len()), step.clone());
            Ok(())
        }),
        Edit::RemoveStep { procedure, at } => steps(text, procedure, |steps| {
            there(steps, *at)?;
            steps.remove(*at);
            Ok(())
        }),
        Edit::MoveStep { procedure, from, to } => steps(text, procedure, |steps| {
            there(steps, *from)?;
            let step = steps.remove(*from);
            steps.insert((*to).min(steps.len()), step);
            Ok(())
        }),
        Edit::SetStep { procedure, at, key, value } => steps(text, procedure, |steps| {
            there(steps, *at)?;
            steps[*at].set(key, value.clone());
            Ok(())
        }),
    }
}

fn there(steps: &[Value], at: usize) -> Result<(), Refused> {
    let what = || format!("There is no step {} in this list of {}.", at + 1, steps.len());
    if at < steps.len() {
        Ok(())
    } else {
        Err(Refused::words(what(), "Load the list again and choose one of its steps."))
    }
}

fn steps(
    text: &str,
    procedure: &str,
    change: impl FnOnce(&mut Vec<Value>) -> Result<(), Refused>,
) -> Result<String, Refused> {
    let sheet = Sheet::read(text)?;
    let row = sheet.row("procedures", procedure).ok_or_else(|| missing("procedures", procedure))?;
    let mut steps = row.get("steps").map_or_else(Vec::new, |node| Value::of(node).list().to_vec());
    change(&mut steps)?;
    set(text, "procedures", procedure, "steps", Some(&Value::List(steps)))
}

fn missing(section: &str, id: &str) -> Refused {
    let what = format!("The file has no entry \"{id}\" in its section \"{section}\".");
    Refused::words(what, "Load the page again: somebody may have removed or renamed it.")
}

/// The keys of a section, or of the particulars.
pub(super) fn keys_of(name: &str) -> Result<&'static [Key], Refused> {
    if name == BOAT {
        return Ok(PARTICULARS);
    }
    section(name).map(|section| section.keys).ok_or_else(|| {
        Refused::words(
            format!("A boat file has no section \"{name}\"."),
            "Choose one of the sections of the list.",
        )
    })
}

/// Adds an entry behind the last one of its section.
pub(super) fn add_row(text: &str, name: &str, id: &str, keys: &Value) -> Result<String, Refused> {
    let known = keys_of(name)?;
    if !is_id(id) {
        let mend =
            format!("Use small letters, figures and _, beginning with a letter, such as {}.", make_id(id));
        return Err(Refused::words(format!("\"{id}\" can't be a short name."), mend));
    }
    let sheet = Sheet::read(text)?;
    if sheet.row(name, id).is_some() {
        let what = format!("There is an entry \"{id}\" in this section already.");
        return Err(Refused::words(what, "Choose another short name, or change the one that is there."));
    }
    let end = sheet.line_break();
    let at = sheet.end_of_section(name);
    let mut made = String::new();
    if at > 0 && !text[..at].ends_with('\n') {
        made.push_str(end);
    }
    made.extend([end, "[", name, ".", id, "]", end]);
    for (key, value) in in_order(known, keys.entries()) {
        made.push_str(&line(key, value, end));
    }
    // A heading directly below keeps its blank line.
    if text[at..].starts_with('[') {
        made.push_str(end);
    }
    Ok(patched(text, vec![Patch::new(at..at, made)]))
}

fn line(key: &str, value: &Value, end: &str) -> String {
    format!("{} = {}{end}", key_text(key), value.written().replace('\n', end))
}

/// Keys in the order of the format.
fn in_order<'k>(known: &[Key], keys: &'k [(String, Value)]) -> Vec<&'k (String, Value)> {
    let mut keys: Vec<_> = keys.iter().collect();
    keys.sort_by_key(|(key, _)| order(known, key));
    keys
}

fn order(known: &[Key], key: &str) -> usize {
    known.iter().position(|own| own.name == key).unwrap_or(usize::MAX)
}

pub(super) fn remove_row(text: &str, section: &str, id: &str) -> Result<String, Refused> {
    let sheet = Sheet::read(text)?;
    if sheet.row(section, id).is_none() {
        return Err(missing(section, id));
    }
    let own = |path: &[String]| path.len() >= 2 && path[0] == section && path[1] == id;
    let mut patches = Vec::new();
    for (at, heading) in sheet.headings.iter().enumerate().filter(|(_, heading)| own(&heading.path)) {
        let end = sheet.pairs.iter().filter(|pair| pair.under == Some(at)).map(|pair| pair.line.end).max();
        let start = above(text, heading.line.start);
        patches.push(Patch::new(start..end.unwrap_or(heading.line.end), ""));
    }
    let under_own = |under: Option<usize>| under.is_some_and(|under| own(&sheet.headings[under].path));
    for pair in sheet.pairs.iter().filter(|pair| own(&pair.path) && !under_own(pair.under)) {
        patches.push(Patch::new(pair.line.clone(), ""));
    }
    if patches.is_empty() {
        // The whole section stands in one pair of curly brackets.
        let mut rows = sheet.node(&[section]).map_or_else(|| Value::Table(Vec::new()), Value::of);
        rows.set(id, None);
        if let Some(node) = sheet.node(&[section]) {
            change(text, node, &rows, &mut patches);
        }
    }
    Ok(patched(text, patches))
}

/// Where what belongs to a heading begins: remarks directly above it, unless they head a part of the file, and one
/// blank line.
fn above(text: &str, heading: usize) -> usize {
    let mut start = heading;
    loop {
        let before = &text[..start];
        let line = before[..before.len().saturating_sub(1)].rfind('\n').map_or(0, |at| at + 1);
        let words = before[line..].trim();
        let banner = words.contains("---") || words.contains("===");
        if words.starts_with('#') && !banner && line > 0 {
            start = line;
        } else {
            return if words.is_empty() && line < start { line } else { start };
        }
    }
}

/// Gives a key a value, or takes it away.
pub(super) fn set(
    text: &str,
    name: &str,
    id: &str,
    key: &str,
    value: Option<&Value>,
) -> Result<String, Refused> {
    let known = keys_of(name)?;
    if !known.iter().any(|own| own.name == key) {
        let what = format!("An entry of \"{name}\" has no key \"{key}\".");
        return Err(Refused::words(what, "Choose one of the fields of the form."));
    }
    let sheet = Sheet::read(text)?;
    let row: Vec<&str> = if name == BOAT { vec![BOAT] } else { vec![name, id] };
    let Some(table) = sheet.row(name, id) else {
        let Some(value) = value else { return Ok(text.to_owned()) };
        if name == BOAT {
            let made = format!("{0}[boat]{0}{1}", sheet.line_break(), line(key, value, sheet.line_break()));
            return Ok(format!("{text}{made}"));
        }
        return add_row(text, name, id, &Value::Table(vec![(key.to_owned(), value.clone())]));
    };
    let old = table.get(key).map(Value::of);
    match (&old, value) {
        (None, None) => return Ok(text.to_owned()),
        (Some(old), Some(new)) if old.same(new) => return Ok(text.to_owned()),
        _ => {}
    }
    let mut path = row.clone();
    path.push(key);
    let mut patches = Vec::new();
    let own = sheet.pairs.iter().find(|pair| pair.path == path);
    match (own, value) {
        (Some(_), Some(value)) => {
            if let Some(node) = table.get(key) {
                change(text, node, value, &mut patches);
            }
        }
        (Some(pair), None) => patches.push(Patch::new(pair.line.clone(), "")),
        (None, _) => {
            if let Some(pair) = sheet.pairs.iter().find(|pair| row.starts_with(&strs(&pair.path))) {
                // The row, or all of its section, stands in curly brackets.
                let node_path = strs(&pair.path);
                let mut whole = sheet.node(&node_path).map_or_else(|| Value::Table(Vec::new()), Value::of);
                set_within(&mut whole, &path[node_path.len()..], value);
                if let Some(node) = sheet.node(&node_path) {
                    change(text, node, &whole, &mut patches);
                }
            } else {
                take_parts(&sheet, &path, &mut patches);
                if let Some(value) = value {
                    patches.push(sheet.new_line(known, &row, key, value));
                }
            }
        }
    }
    Ok(patched(text, patches))
}

fn strs(path: &[String]) -> Vec<&str> {
    path.iter().map(String::as_str).collect()
}

fn set_within(whole: &mut Value, path: &[&str], value: Option<&Value>) {
    let Some((first, rest)) = path.split_first() else { return };
    if rest.is_empty() {
        whole.set(first, value.cloned());
        return;
    }
    let mut inner = whole.get(first).cloned().unwrap_or(Value::Table(Vec::new()));
    set_within(&mut inner, rest, value);
    whole.set(first, Some(inner));
}

/// Takes out a value that is spread over headings or dotted keys of its own.
fn take_parts(sheet: &Sheet<'_>, path: &[&str], patches: &mut Vec<Patch>) {
    let own = |found: &[String]| strs(found).starts_with(path);
    for heading in sheet.headings.iter().filter(|heading| own(&heading.path)) {
        patches.push(Patch::new(heading.line.clone(), ""));
    }
    for pair in sheet.pairs.iter().filter(|pair| own(&pair.path)) {
        patches.push(Patch::new(pair.line.clone(), ""));
    }
}

/// Makes a row say exactly this, key by key.
pub(super) fn set_row(text: &str, name: &str, id: &str, row: &Value) -> Result<String, Refused> {
    let known = keys_of(name)?;
    let old = match Sheet::read(text)?.row(name, id) {
        Some(table) => Value::of_table(table),
        None => return add_row(text, name, id, row),
    };
    let keys = old.entries().iter().map(|(key, _)| key);
    let gone = keys.filter(|key| row.get(key).is_none() && known.iter().any(|own| own.name == **key));
    let mut out = text.to_owned();
    for key in gone {
        out = set(&out, name, id, key, None)?;
    }
    for (key, value) in in_order(known, row.entries()) {
        // A long file is read again only for what differs.
        if !old.get(key).is_some_and(|old| old.same(value)) {
            out = set(&out, name, id, key, Some(value))?;
        }
    }
    Ok(out)
}

impl Sheet<'_> {
    /// Where a new row of a section goes: behind the last one of it, or at the end of the file.
    fn end_of_section(&self, section: &str) -> usize {
        let last =
            self.headings.iter().rposition(|heading| heading.path.first().is_some_and(|own| own == section));
        let Some(last) = last else { return self.text.len() };
        self.end_of_block(last)
    }

    /// Past the last key below a heading.
    fn end_of_block(&self, heading: usize) -> usize {
        let pairs = self.pairs.iter().filter(|pair| pair.under == Some(heading));
        pairs.map(|pair| pair.line.end).max().unwrap_or(self.headings[heading].line.end)
    }

    /// A new line for a key of a row, in the order of the format as far as the row keeps to it.
    fn new_line(&self, known: &[Key], row: &[&str], key: &str, value: &Value) -> Patch {
        let end = self.line_break();
        let own = |path: &[String], length: usize| path.len() >= length && strs(path).starts_with(row);
        let heading = self.headings.iter().position(|heading| strs(&heading.path) == row);
        let mut pairs = self.pairs.iter().filter(|pair| own(&pair.path, row.len() + 1));
        let above = |under: Option<usize>| under.map_or(0, |under| self.headings[under].path.len());
        let (at, name) = if let Some(heading) = heading {
            let before = pairs
                .filter(|pair| pair.under == Some(heading))
                .take_while(|pair| order(known, &pair.path[row.len()]) < order(known, key))
                .last();
            (before.map_or(self.headings[heading].line.end, |pair| pair.line.end), key_text(key))
        } else if let Some(pair) = pairs.rfind(|pair| above(pair.under) < row.len()) {
            // Written with dotted keys below a heading further up.
            let dotted: Vec<String> = row[above(pair.under)..].iter().map(|part| key_text(part)).collect();
            let lead = if dotted.is_empty() { String::new() } else { format!("{}.", dotted.join(".")) };
            (pair.line.end, format!("{lead}{}", key_text(key)))
        } else {
            // Only headings below it: its own goes above the first of them.
            let first = self.headings.iter().find(|heading| own(&heading.path, row.len()));
            let at = first.map_or(self.text.len(), |heading| heading.line.start);
            let made = format!("[{}]{end}{}{end}", row.join("."), line(key, value, end));
            return Patch::new(at..at, made);
        };
        let lead = if at > 0 && !self.text[..at].ends_with('\n') { end } else { "" };
        Patch::new(at..at, format!("{lead}{name} = {}{end}", value.written().replace('\n', end)))
    }
}
