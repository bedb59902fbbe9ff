//! A boat file laid out for pickers: every entry of every section with its name, its place and who brings it.

use std::collections::BTreeMap;

use quantity::Dimension;

use crate::assemble::Row;
use crate::format::SECTIONS;

use super::Refused;
use super::refs::{self, name_of};
use super::sheet::Sheet;
use super::value::Value;

/// An entry of a section.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Its id.
    pub id: String,
    /// Its name for people: its own, else its item's, else its id with spaces.
    pub name: String,
    /// What the file itself writes of it; `None` if only a class brings it.
    pub own: Option<Value>,
    /// All of it, with what its class brings.
    pub full: Value,
    /// The item whose class brings it, if one does and the file does not write it.
    pub by: Option<String>,
    /// The place where it is, by id.
    pub place: Option<String>,
}

/// A boat file by section, read as far as it can be: it need not be a sound boat.
#[derive(Debug, Clone, PartialEq)]
pub struct Deck {
    /// The particulars.
    pub particulars: Value,
    rows: BTreeMap<&'static str, Vec<Entry>>,
}

impl Deck {
    /// Lays out a boat file.
    ///
    /// # Errors
    /// If the text is not TOML.
    pub fn read(text: &str) -> Result<Self, Refused> {
        let sheet = Sheet::read(text)?;
        let all = refs::assembled(&sheet);
        let bringers = refs::bringers(&sheet);
        let mut deck = Self {
            particulars: sheet.row(super::BOAT, "").map_or(Value::Table(Vec::new()), Value::of_table),
            rows: BTreeMap::new(),
        };
        // Items first: others are named after them.
        let names: Vec<&'static str> = SECTIONS.iter().map(|section| section.name).collect();
        let (items, others): (Vec<_>, Vec<_>) = names.into_iter().partition(|name| *name == "items");
        for name in items.into_iter().chain(others) {
            let rows = all.section(name).iter().map(|row| {
                let by = row.from.and_then(|from| bringers.get(&from)).cloned();
                deck.entry(name, row, sheet.row(name, &row.id).map(Value::of_table), by)
            });
            let rows = rows.collect();
            deck.rows.insert(name, rows);
        }
        Ok(deck)
    }

    fn entry(&self, section: &str, row: &Row, own: Option<Value>, by: Option<String>) -> Entry {
        let full = Value::of_table(&row.table);
        let item = full.get("item").and_then(Value::as_text).map(str::to_owned);
        let item = item.or_else(|| (section == "controls").then(|| row.id.clone()));
        let item = item.and_then(|item| self.find("items", &item));
        let words = full.get("text").and_then(Value::as_text).filter(|_| section == "cautions").map(cut);
        let name = name_of(&row.table)
            .or_else(|| item.map(|item| item.name.clone()))
            .or(words)
            .unwrap_or_else(|| row.id.replace('_', " "));
        let place = full.get("place").and_then(Value::as_text).map(str::to_owned);
        let place = place.or_else(|| item.and_then(|item| item.place.clone()));
        Entry { id: row.id.clone(), name, own, full, by, place }
    }

    /// The entries of a section, in the order of the file, with what classes bring behind them.
    pub fn section(&self, name: &str) -> &[Entry] {
        self.rows.get(name).map_or(&[], Vec::as_slice)
    }

    /// One entry.
    pub fn find(&self, section: &str, id: &str) -> Option<&Entry> {
        self.section(section).iter().find(|entry| entry.id == id)
    }

    /// The positions of a control or the values of a state, each with its words.
    pub fn positions(&self, id: &str) -> Vec<(String, String)> {
        let control = self.find("controls", id).map(|entry| (entry, "positions"));
        let Some((entry, key)) = control.or_else(|| self.find("states", id).map(|entry| (entry, "values")))
        else {
            return Vec::new();
        };
        let labels = entry.full.get("labels");
        let names = entry.full.get(key).map(Value::list).unwrap_or_default();
        names
            .iter()
            .filter_map(Value::as_text)
            .map(|name| {
                let label = labels.and_then(|labels| labels.get(name)).and_then(Value::as_text);
                (name.to_owned(), label.map_or_else(|| name.replace('_', " "), str::to_owned))
            })
            .collect()
    }
}

fn cut(text: &str) -> String {
    let short: String = text.chars().take(60).collect();
    if short.len() < text.len() { format!("{short} \u{2026}") } else { short }
}

/// The units that a form offers for a dimension, the usual one first.
pub fn unit_choices(dimension: Dimension) -> &'static [&'static str] {
    use Dimension as D;
    match dimension {
        D::Charge => &["Ah", "mAh"],
        D::Voltage => &["V", "mV"],
        D::Current => &["A", "mA"],
        D::Power => &["W", "kW", "hp"],
        D::Energy => &["Wh", "kWh"],
        D::Resistance => &["m\u{3a9}", "\u{3a9}"],
        D::Volume => &["L", "gal", "mL"],
        D::Mass => &["kg", "g", "lb"],
        D::Length => &["m", "mm", "cm", "ft", "in"],
        D::Time => &["min", "s", "h", "d"],
        D::Speed => &["kn", "m/s", "km/h"],
        D::RotationalSpeed => &["rpm"],
        D::Temperature => &["\u{b0}C", "\u{b0}F"],
        D::Force => &["kN", "N", "lbf"],
        D::Angle => &["\u{b0}"],
        D::VolumeRate => &["L/h", "L/min", "gal/h"],
        D::MassRate => &["g/h", "kg/h"],
        D::Pressure => &["bar", "psi"],
        D::Ratio => &["%"],
        _ => &[],
    }
}
