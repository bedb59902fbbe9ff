//! A boat printed as a boat file: everything written out, classes' parts included. Compiling it gives an equal boat.

mod behaviour;
mod faults;
mod parts;
mod procedures;
mod stores;

use std::fmt::Write as _;

use quantity::{Length, Quantity};

use crate::assemble::EDITION;
use crate::model::{Boat, Id, Table};

/// Prints a boat as a boat file that compiles to an equal boat.
///
/// Remarks of the file it came from are not in the model, so they are not here: to put a person's own file in
/// order and keep its remarks, use [`crate::tidy`].
pub fn write(boat: &Boat) -> String {
    let mut out = Out { text: format!("becket = {EDITION}\n") };
    parts::particulars(boat, &mut out);
    parts::places(boat, &mut out);
    parts::items(boat, &mut out);
    behaviour::controls(boat, &mut out);
    behaviour::states(boat, &mut out);
    behaviour::conditions(boat, &mut out);
    behaviour::readings(boat, &mut out);
    behaviour::actions(boat, &mut out);
    procedures::procedures(boat, &mut out);
    behaviour::nevers(boat, &mut out);
    parts::cautions(boat, &mut out);
    parts::kit(boat, &mut out);
    parts::upkeep(boat, &mut out);
    parts::topics(boat, &mut out);
    stores::stores(boat, &mut out);
    stores::feeds(boat, &mut out);
    stores::loads(boat, &mut out);
    stores::modes(boat, &mut out);
    stores::tackle(boat, &mut out);
    faults::faults(boat, &mut out);
    out.text
}

/// The text so far, and ways to add keys to it.
struct Out {
    text: String,
}

impl Out {
    fn heading(&mut self, section: &str, id: &str) {
        // Writing to a String can't fail, here and below.
        let _ = write!(self.text, "\n[{section}.{id}]\n");
    }

    fn raw(&mut self, key: &str, value: &str) {
        let _ = writeln!(self.text, "{key} = {value}");
    }

    fn text(&mut self, key: &str, text: &str) {
        self.raw(key, &quoted(text));
    }

    fn maybe(&mut self, key: &str, text: Option<&str>) {
        if let Some(text) = text {
            self.text(key, text);
        }
    }

    fn shown<T: ToString>(&mut self, key: &str, value: Option<&T>) {
        self.maybe(key, value.map(ToString::to_string).as_deref());
    }

    fn texts<S: AsRef<str>>(&mut self, key: &str, texts: &[S]) {
        if !texts.is_empty() {
            self.raw(key, &list(texts));
        }
    }

    fn yes(&mut self, key: &str, yes: bool) {
        if yes {
            self.raw(key, "true");
        }
    }

    /// A list of inner tables, one a line.
    fn rows(&mut self, key: &str, rows: &[Inline]) {
        if !rows.is_empty() {
            let lines: Vec<String> = rows.iter().map(|row| format!("  {},\n", row.text())).collect();
            self.raw(key, &format!("[\n{}]", lines.concat()));
        }
    }
}

/// An inner table, `{ key = value }`.
#[derive(Default)]
struct Inline {
    entries: Vec<String>,
}

impl Inline {
    fn raw(mut self, key: &str, value: &str) -> Self {
        self.entries.push(format!("{key} = {value}"));
        self
    }
    fn set(self, key: &str, text: &str) -> Self {
        self.raw(key, &quoted(text))
    }
    fn maybe(self, key: &str, text: Option<&str>) -> Self {
        match text {
            Some(text) => self.set(key, text),
            None => self,
        }
    }
    fn shown<T: ToString>(self, key: &str, value: Option<&T>) -> Self {
        self.maybe(key, value.map(ToString::to_string).as_deref())
    }
    fn texts<S: AsRef<str>>(self, key: &str, texts: &[S]) -> Self {
        if texts.is_empty() { self } else { self.raw(key, &list(texts)) }
    }
    fn text(&self) -> String {
        format!("{{ {} }}", self.entries.join(", "))
    }
}

/// A text in quotes, with what needs it escaped.
fn quoted(text: &str) -> String {
    toml_edit::Value::from(text).to_string()
}

fn list<S: AsRef<str>>(texts: &[S]) -> String {
    let quoted: Vec<String> = texts.iter().map(|text| quoted(text.as_ref())).collect();
    format!("[{}]", quoted.join(", "))
}

/// The ids of rows.
fn ids<'b, I: Id, T>(table: &'b Table<I, T>, which: &[I], id: impl Fn(&'b T) -> &'b str) -> Vec<&'b str> {
    which.iter().map(|at| id(&table[*at])).collect()
}

/// A distance from the centreline.
fn side(starboard: Length) -> String {
    if starboard < Length::ZERO { format!("{} port", -starboard) } else { format!("{starboard} starboard") }
}

/// A plain number that reads back as the same.
fn number(number: f64) -> String {
    toml_edit::Value::from(number).to_string()
}

fn quantity_text(quantity: Quantity) -> String {
    quantity.to_string()
}
