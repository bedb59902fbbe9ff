//! Changing a value in its place: what stays the same keeps every letter, its remarks too.

use std::ops::Range;

use crate::document::{self, Node, Table};

use super::value::{Value, key_text};

/// New letters for a stretch of a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Patch {
    pub(crate) at: Range<usize>,
    pub(crate) to: String,
}

impl Patch {
    pub(crate) fn new(at: Range<usize>, to: impl Into<String>) -> Self {
        Self { at, to: to.into() }
    }
}

/// The text with all patches applied. They don't overlap.
pub(crate) fn patched(text: &str, mut patches: Vec<Patch>) -> String {
    patches.sort_by_key(|patch| (patch.at.start, patch.at.end));
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    for patch in patches {
        debug_assert!(at <= patch.at.start, "patches overlap");
        out.push_str(&text[at..patch.at.start]);
        out.push_str(&patch.to);
        at = patch.at.end;
    }
    out.push_str(&text[at..]);
    out
}

/// Patches that make a value say `new`.
pub(crate) fn change(text: &str, node: &Node, new: &Value, patches: &mut Vec<Patch>) {
    if Value::of(node).same(new) {
        return;
    }
    let span = node.span.start..node.span.end;
    match (&node.value, new) {
        (document::Value::Table(old), Value::Table(_)) if text[span.clone()].starts_with('{') => {
            change_table(text, &span, old, new, patches);
        }
        (document::Value::List(old), Value::List(new)) if !old.is_empty() && !new.is_empty() => {
            change_list(text, &span, old, new, patches);
        }
        _ => patches.push(Patch::new(span, new.written())),
    }
}

/// The letters of a node, changed to say `new`.
fn changed(text: &str, node: &Node, new: &Value) -> String {
    let mut patches = Vec::new();
    change(text, node, new, &mut patches);
    for patch in &mut patches {
        patch.at = patch.at.start - node.span.start..patch.at.end - node.span.start;
    }
    patched(&text[node.span.start..node.span.end], patches)
}

fn change_table(text: &str, span: &Range<usize>, old: &Table, new: &Value, patches: &mut Vec<Patch>) {
    let dotted = |table: &Table| {
        table.entries.iter().any(|entry| {
            matches!(entry.node.value, document::Value::Table(_))
                && !text[entry.node.span.start..].starts_with('{')
        })
    };
    let kept: Vec<_> = old.entries.iter().filter(|entry| new.get(&entry.key).is_some()).collect();
    if kept.is_empty() || dotted(old) {
        patches.push(Patch::new(span.clone(), new.written()));
        return;
    }
    for (at, entry) in old.entries.iter().enumerate() {
        if let Some(value) = new.get(&entry.key) {
            change(text, &entry.node, value, patches);
            continue;
        }
        // With the comma and the space up to the next key; of the last ones, those before them.
        let later_kept = old.entries[at + 1..].iter().any(|later| new.get(&later.key).is_some());
        let from = if later_kept { entry.key_span.start } else { old.entries[at - 1].node.span.end };
        let to = if later_kept { old.entries[at + 1].key_span.start } else { entry.node.span.end };
        patches.push(Patch::new(from..to, ""));
    }
    let mut fresh = String::new();
    for (key, value) in new.entries().iter().filter(|(key, _)| old.get(key).is_none()) {
        fresh.extend([", ", &key_text(key), " = ", &value.written()]);
    }
    if let (false, Some(last)) = (fresh.is_empty(), kept.last()) {
        let end = last.node.span.end;
        patches.push(Patch::new(end..end, fresh));
    }
}

/// An entry of a list with the remarks that belong to it.
struct Item {
    /// Remark lines above it.
    above: Vec<String>,
    letters: String,
    /// A remark behind it on its line.
    behind: String,
}

fn change_list(text: &str, span: &Range<usize>, old: &[Node], new: &[Value], patches: &mut Vec<Patch>) {
    let old_values: Vec<Value> = old.iter().map(Value::of).collect();
    let from = align(&old_values, new);
    let in_place = old.len() == new.len() && from.iter().enumerate().all(|(at, from)| *from == Some(at));
    if in_place {
        for (node, new) in old.iter().zip(new) {
            change(text, node, new, patches);
        }
        return;
    }
    let (mut items, end_remarks) = items(text, span, old);
    let lines = text[span.start..old[0].span.start].contains('\n');
    let made: Vec<Item> = from
        .iter()
        .zip(new)
        .map(|(from, new)| match from {
            Some(at) => Item {
                above: std::mem::take(&mut items[*at].above),
                letters: changed(text, &old[*at], new),
                behind: std::mem::take(&mut items[*at].behind),
            },
            None => Item { above: Vec::new(), letters: new.written(), behind: String::new() },
        })
        .collect();
    // What was said about entries that are gone is kept at the end, where a person can look at it.
    let homeless = items.into_iter().flat_map(|item| {
        let behind = (!item.behind.is_empty()).then_some(item.behind);
        item.above.into_iter().chain(behind)
    });
    let end_remarks: Vec<String> = homeless.chain(end_remarks).collect();
    let lines = lines
        || !end_remarks.is_empty()
        || made.iter().any(|item| !item.above.is_empty() || !item.behind.is_empty());
    let to = if lines { in_lines(text, span, old, &made, &end_remarks) } else { in_a_line(&made) };
    patches.push(Patch::new(span.clone(), to));
}

fn in_a_line(made: &[Item]) -> String {
    let letters: Vec<&str> = made.iter().map(|item| item.letters.as_str()).collect();
    format!("[{}]", letters.join(", "))
}

fn in_lines(text: &str, span: &Range<usize>, old: &[Node], made: &[Item], end_remarks: &[String]) -> String {
    let line_break = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let before = &text[span.start..old[0].span.start];
    let indent = match before.rsplit_once('\n') {
        Some((_, indent)) if indent.trim().is_empty() => indent,
        _ => "  ",
    };
    let mut out = String::from("[");
    let mut line = |words: &str| {
        out.push_str(line_break);
        out.push_str(indent);
        out.push_str(words);
    };
    for item in made {
        for remark in &item.above {
            line(remark);
        }
        let behind = if item.behind.is_empty() { String::new() } else { format!("  {}", item.behind) };
        line(&format!("{},{behind}", item.letters));
    }
    for remark in end_remarks {
        line(remark);
    }
    out.push_str(line_break);
    out.push(']');
    out
}

/// The entries of a list with their remarks, and the remarks after the last one.
fn items(text: &str, span: &Range<usize>, old: &[Node]) -> (Vec<Item>, Vec<String>) {
    let mut all: Vec<Item> = Vec::new();
    let mut at = span.start + 1;
    let mut above = Vec::new();
    for node in old {
        let (behind, lines) = remarks(&text[at..node.span.start], all.is_empty());
        if let Some(last) = all.last_mut() {
            last.behind = behind;
        } else if !behind.is_empty() {
            above.push(behind);
        }
        above.extend(lines);
        let letters = text[node.span.start..node.span.end].to_owned();
        all.push(Item { above: std::mem::take(&mut above), letters, behind: String::new() });
        at = node.span.end;
    }
    let (behind, lines) = remarks(&text[at..span.end.saturating_sub(1).max(at)], false);
    if let Some(last) = all.last_mut() {
        last.behind = behind;
    }
    (all, lines)
}

/// Of what stands between two entries: the remark behind the first on its line, and the remark lines after that.
fn remarks(gap: &str, first: bool) -> (String, Vec<String>) {
    let mut lines = gap.split('\n').map(str::trim).map(|line| line.trim_start_matches(',').trim());
    let behind = if first { "" } else { lines.next().unwrap_or_default() };
    (behind.to_owned(), lines.filter(|line| !line.is_empty()).map(str::to_owned).collect())
}

/// Which old entry each new one comes from: the same one if there is, else those that are left, in order.
fn align(old: &[Value], new: &[Value]) -> Vec<Option<usize>> {
    let mut used = vec![false; old.len()];
    let mut from = vec![None; new.len()];
    // The same place first, so that equal entries stay where they are.
    for at in 0..old.len().min(new.len()) {
        if old[at].same(&new[at]) {
            (used[at], from[at]) = (true, Some(at));
        }
    }
    for (at, value) in new.iter().enumerate().filter(|(at, _)| from[*at].is_none()).collect::<Vec<_>>() {
        if let Some(found) = (0..old.len()).find(|&found| !used[found] && old[found].same(value)) {
            (used[found], from[at]) = (true, Some(found));
        }
    }
    let mut left = (0..old.len()).filter(|&at| !used[at]).collect::<Vec<_>>().into_iter();
    for slot in from.iter_mut().filter(|slot| slot.is_none()) {
        *slot = left.next();
    }
    from
}
