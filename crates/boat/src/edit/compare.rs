//! What differs between two texts of a boat file, entry by entry and key by key.

use crate::format::{SECTIONS, section};

use super::sheet::Sheet;
use super::value::Value;
use super::{BOAT, Refused};

/// One difference.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// Which section; `boat` for the particulars.
    pub section: String,
    /// Which entry; empty for the particulars.
    pub id: String,
    /// Which key; `None` if the whole entry came or went.
    pub key: Option<String>,
    /// What was there.
    pub before: Option<Value>,
    /// What is there now.
    pub after: Option<Value>,
}

impl Change {
    /// What it is about: "items.lamp, place".
    pub fn about(&self) -> String {
        let entry =
            if self.section == BOAT { "boat".to_owned() } else { format!("{}.{}", self.section, self.id) };
        self.key.as_ref().map_or(entry.clone(), |key| format!("{entry}.{key}"))
    }

    /// The section's word for one entry of it, without its article: "item".
    pub fn one(&self) -> &'static str {
        section(&self.section)
            .map_or("boat", |section| section.one.split_once(' ').map_or(section.one, |(_, one)| one))
    }

    /// In words, one sentence.
    pub fn words(&self) -> String {
        let one = self.one();
        let entry =
            if self.section == BOAT { "The boat".to_owned() } else { format!("The {one} \"{}\"", self.id) };
        match (&self.key, &self.before, &self.after) {
            (None, None, _) => format!("{entry} is new."),
            (None, _, None) => format!("{entry} was removed."),
            (None, ..) => format!("{entry} is another one."),
            (Some(key), None, Some(after)) => format!("{entry}: \"{key}\" is new: {}.", short(after)),
            (Some(key), Some(before), None) => {
                format!("{entry}: \"{key}\" was removed; it was {}.", short(before))
            }
            (Some(key), Some(before), Some(after)) => match (before, after) {
                (Value::List(old), Value::List(new)) => list_words(&entry, key, old, new),
                _ => format!("{entry}: \"{key}\" was {}, and is now {}.", short(before), short(after)),
            },
            (Some(key), None, None) => format!("{entry}: \"{key}\" did not change."),
        }
    }
}

fn list_words(entry: &str, key: &str, old: &[Value], new: &[Value]) -> String {
    let of = |list: &[Value]| {
        if list.len() == 1 { "1 entry".to_owned() } else { format!("{} entries", list.len()) }
    };
    if old.iter().chain(new).any(|one| matches!(one, Value::Table(_))) {
        let same = old.len() == new.len();
        let differ = old.iter().zip(new).enumerate().filter(|(_, (old, new))| !old.same(new));
        let which: Vec<String> = differ.map(|(at, _)| (at + 1).to_string()).collect();
        if same {
            return format!("{entry}: \"{key}\" changed in entry {}.", which.join(", "));
        }
        return format!("{entry}: \"{key}\" had {}, and has {} now.", of(old), of(new));
    }
    let words = |list: &[Value]| short(&Value::List(list.to_vec()));
    format!("{entry}: \"{key}\" was {}, and is now {}.", words(old), words(new))
}

/// Long texts are cut for a line.
fn short(value: &Value) -> String {
    const LONGEST: usize = 90;
    let typed = value.typed();
    if typed.chars().count() <= LONGEST {
        return format!("\u{201c}{typed}\u{201d}");
    }
    let cut: String = typed.chars().take(LONGEST).collect();
    format!("\u{201c}{cut} \u{2026}\u{201d}")
}

/// All differences from one text to another, in the order of the format and of the later text.
///
/// # Errors
/// [`Refused::Unreadable`] if one of them is not TOML.
pub fn changes(before: &str, after: &str) -> Result<Vec<Change>, Refused> {
    let (before, after) = (Sheet::read(before)?, Sheet::read(after)?);
    let mut found = Vec::new();
    let particulars = |sheet: &Sheet<'_>| sheet.row(BOAT, "").map(Value::of_table);
    by_key(BOAT, "", particulars(&before).as_ref(), particulars(&after).as_ref(), &mut found);
    for section in SECTIONS {
        let rows =
            |sheet: &Sheet<'_>| sheet.node(&[section.name]).map_or(Value::Table(Vec::new()), Value::of);
        let (old, new) = (rows(&before), rows(&after));
        for (id, row) in new.entries() {
            match old.get(id) {
                None => found.push(whole(section.name, id, None, Some(row))),
                old => by_key(section.name, id, old, Some(row), &mut found),
            }
        }
        for (id, row) in old.entries().iter().filter(|(id, _)| new.get(id).is_none()) {
            found.push(whole(section.name, id, Some(row), None));
        }
    }
    Ok(found)
}

fn whole(section: &str, id: &str, before: Option<&Value>, after: Option<&Value>) -> Change {
    Change {
        section: section.to_owned(),
        id: id.to_owned(),
        key: None,
        before: before.cloned(),
        after: after.cloned(),
    }
}

fn by_key(section: &str, id: &str, before: Option<&Value>, after: Option<&Value>, found: &mut Vec<Change>) {
    let none = Value::Table(Vec::new());
    let (before, after) = (before.unwrap_or(&none), after.unwrap_or(&none));
    let gone = before.entries().iter().map(|(key, _)| key).filter(|key| after.get(key).is_none());
    for key in after.entries().iter().map(|(key, _)| key).chain(gone) {
        let (old, new) = (before.get(key), after.get(key));
        let same = matches!((old, new), (Some(old), Some(new)) if old.same(new));
        if !same {
            found.push(Change { key: Some(key.clone()), ..whole(section, id, old, new) });
        }
    }
}
