//! Giving an entry another short name, everywhere where it is spoken of.

use crate::assemble::Assembled;
use crate::document::{Node, Value as Written};
use crate::format::{Kind, section};
use crate::ids::{is_id, make_id};

use super::patch::{Patch, patched};
use super::refs::{self, FACTS};
use super::sheet::Sheet;
use super::value::{Value, quoted};
use super::{Refused, apply};

/// Section, the id until now, the new one.
type Renamed = (String, String, String);

/// Renames an entry; what the class of an item brings is renamed with it.
pub(super) fn rename(text: &str, name: &str, id: &str, to: &str) -> Result<String, Refused> {
    if !is_id(to) {
        let mend =
            format!("Use small letters, figures and _, beginning with a letter, such as {}.", make_id(to));
        return Err(Refused::words(format!("\"{to}\" can't be a short name."), mend));
    }
    let sheet = Sheet::read(text)?;
    if sheet.row(name, id).is_none() {
        let what = format!("The file has no entry \"{id}\" in its section \"{name}\".");
        return Err(Refused::words(what, "Load the page again: somebody may have removed or renamed it."));
    }
    if name == "modes" {
        let what = "What the boat can be doing has fixed names.".to_owned();
        return Err(Refused::words(what, "Add the other one, and remove this one."));
    }
    if refs::still_brought(&sheet, name, id) {
        let what = format!("\"{id}\" comes from the class of an item, so it is named after that item.");
        return Err(Refused::words(what, "Rename the item instead."));
    }
    let before = refs::assembled(&sheet);
    free(&before, name, to)?;
    let own = (name.to_owned(), id.to_owned(), to.to_owned());
    let mut brought = Vec::new();
    if name == "items" {
        let heading_only = patched(text, headings(&sheet, std::slice::from_ref(&own)));
        brought = with_class(&sheet, &heading_only, id, to)?;
    }
    // What this boat leaves out of the class is spoken of in `omit` only.
    let omitted = refs::omitted(&sheet, id);
    let mut renamed = vec![own];
    let is_here = |(section, old, _): &&Renamed| !omitted.contains(&format!("{section}.{old}"));
    renamed.extend(brought.iter().filter(is_here).cloned());
    for (section, _, new) in &renamed[1..] {
        free(&before, section, new)?;
    }
    let mut patches = headings(&sheet, &renamed);
    for (section_name, rows) in sheet.tree.entries.iter().map(|entry| (&entry.key, &entry.node.value)) {
        let (Some(shape), Written::Table(rows)) = (section(section_name), rows) else { continue };
        for row in &rows.entries {
            if let Written::Table(table) = &row.node.value {
                refs::texts(shape.keys, table, &mut |kind, key, node, words| {
                    patches.extend(respoken(
                        text,
                        kind,
                        key,
                        node,
                        words,
                        if key == "omit" { &brought } else { &renamed },
                    ));
                });
            }
        }
    }
    let renamed_text = patched(text, patches);
    implied(renamed_text, name, id, to)
}

/// A name must not be taken, in facts neither.
fn free(all: &Assembled, name: &str, to: &str) -> Result<(), Refused> {
    let shares: Vec<&str> = if FACTS.contains(&name) { FACTS.to_vec() } else { vec![name] };
    let taken = shares.into_iter().find(|section| all.section(section).iter().any(|row| row.id == to));
    match taken {
        Some(section) => {
            let what = format!("There is an entry \"{to}\" in \"{section}\" already.");
            Err(Refused::words(what, "Choose another short name."))
        }
        None => Ok(()),
    }
}

/// How the ids of what an item's class brings change with the item's own.
fn with_class(sheet: &Sheet<'_>, after: &str, id: &str, to: &str) -> Result<Vec<Renamed>, Refused> {
    let after = Sheet::read(after)?;
    let pairs = class_rows(sheet, id).into_iter().zip(class_rows(&after, to));
    let changed = pairs.filter(|((_, old), (_, new))| old != new);
    Ok(changed.map(|((section, old), (_, new))| (section, old, new)).collect())
}

/// What an item's class brings: sections and ids. The item is looked at alone and whole, without the file's own rows
/// and without leaving anything out, so that each row keeps its place whatever the item is called.
fn class_rows(sheet: &Sheet<'_>, item: &str) -> Vec<(String, String)> {
    let mut tree = sheet.tree.clone();
    tree.entries.retain(|entry| entry.key == "items");
    if let Some(Written::Table(items)) = tree.entry_mut("items").map(|entry| &mut entry.node.value) {
        items.entries.retain(|entry| entry.key == item);
        for entry in &mut items.entries {
            if let Written::Table(keys) = &mut entry.node.value {
                keys.entries.retain(|entry| entry.key != "omit");
            }
        }
    }
    let lone = Sheet { text: sheet.text, tree, headings: Vec::new(), pairs: Vec::new() };
    let all = refs::assembled(&lone);
    let rows = all.rows.iter().flat_map(|(section, rows)| rows.iter().map(move |row| (section, row)));
    rows.filter(|(_, row)| row.from.is_some())
        .map(|(section, row)| ((*section).to_owned(), row.id.clone()))
        .collect()
}

/// The headings and keys under which the rows stand.
fn headings(sheet: &Sheet<'_>, renamed: &[Renamed]) -> Vec<Patch> {
    let mut patches = Vec::new();
    for (section, old, new) in renamed {
        let own = |path: &[String]| path.len() >= 2 && path[0] == *section && path[1] == *old;
        for heading in sheet.headings.iter().filter(|heading| own(&heading.path)) {
            patches.push(Patch::new(heading.parts[1].clone(), new.clone()));
        }
        for pair in sheet.pairs.iter().filter(|pair| own(&pair.path)) {
            let above = pair.under.map_or(0, |under| sheet.headings[under].path.len());
            if above < 2 {
                patches.push(Patch::new(pair.parts[1 - above].clone(), new.clone()));
            }
        }
    }
    patches
}

/// A text that speaks of something that is renamed, said anew.
fn respoken(
    text: &str,
    kind: Kind,
    key: &str,
    node: &Node,
    words: &str,
    renamed: &[Renamed],
) -> Option<Patch> {
    let mut inner: Vec<Patch> = refs::mentions(kind, words)
        .into_iter()
        .filter_map(|mention| {
            let (.., new) = renamed
                .iter()
                .find(|(section, old, _)| mention.names.may_be(section) && *old == mention.id)?;
            Some(Patch::new(mention.at, new.clone()))
        })
        .collect();
    if key == "omit" {
        inner.extend(
            renamed
                .iter()
                .filter(|(section, old, _)| words == format!("{section}.{old}"))
                .map(|(section, _, new)| Patch::new(0..words.len(), format!("{section}.{new}"))),
        );
    }
    // An item has the limits of its controls and actions: one mention may name several things that go together.
    inner.dedup_by(|a, b| a.at == b.at);
    if inner.is_empty() {
        return None;
    }
    let said = patched(words, inner);
    let written = &text[node.span.start..node.span.end];
    let quote = written.chars().next().filter(|c| matches!(c, '"' | '\''))?;
    let plain = written.len() == words.len() + 2 && written[1..].starts_with(words);
    let to = if plain { format!("{quote}{said}{quote}") } else { quoted(&said) };
    Some(Patch::new(node.span.start..node.span.end, to))
}

/// A control that belongs to the item of the same id must say so once the two have different ones.
fn implied(text: String, name: &str, id: &str, to: &str) -> Result<String, Refused> {
    let control = |text: &str, id: &str| -> Result<Option<bool>, Refused> {
        let sheet = Sheet::read(text)?;
        Ok(sheet.row("controls", id).map(|table| table.get("item").is_some()))
    };
    if name == "items" && control(&text, id)? == Some(false) {
        return apply::set(&text, "controls", id, "item", Some(&Value::text(to)));
    }
    if name == "controls" && control(&text, to)? == Some(false) {
        let item = Sheet::read(&text)?.row("items", id).is_some();
        if item {
            return apply::set(&text, "controls", to, "item", Some(&Value::text(id)));
        }
    }
    Ok(text)
}
