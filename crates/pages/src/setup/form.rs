//! Fields of a form and the values of a boat file: what was sent becomes an entry, and the buttons of its lists are
//! pressed on it. [`super::field`] writes the names that are read here.

use boat::edit::{Key, Kind, Value, parameters};

use quantity::Quantity;

use super::spot;
use crate::words;

/// The name under which all fields of an entry stand.
pub(super) const ROOT: &str = "f";

/// An entry as it was sent.
#[derive(Debug, Clone, PartialEq)]
pub struct Filled {
    /// What was typed, as far as it can be read; lists may hold empty entries.
    pub row: Value,
    /// What can't be read or is missing: the field's name, and what to do.
    pub wrong: Vec<(String, String)>,
}

/// Reads an entry of these keys from what a form sent.
pub fn read_row(keys: &'static [Key], pairs: &[(String, String)]) -> Filled {
    let mut reader = Reader { pairs, wrong: Vec::new() };
    let row = reader.table(keys, ROOT);
    Filled { row, wrong: reader.wrong }
}

/// What is needed and not there, by field; `brought` is what the entry's class brings.
pub fn lacking(keys: &'static [Key], row: &Value, brought: Option<&Value>) -> Vec<(String, String)> {
    let mut found = Vec::new();
    lacking_in(keys, row, brought, ROOT, &mut found);
    found
}

fn lacking_in(
    keys: &'static [Key],
    table: &Value,
    brought: Option<&Value>,
    name: &str,
    found: &mut Vec<(String, String)>,
) {
    let needed = |name: String, about: &str| (name, format!("This is needed. {about}"));
    for key in keys {
        let own = format!("{name}.{}", key.name);
        let value = table.get(key.name).filter(|value| !is_blank(&without_blanks(value)));
        if key.required && value.is_none() && brought.is_none_or(|brought| brought.get(key.name).is_none()) {
            found.push(needed(own, key.about));
            continue;
        }
        match key.kind {
            Kind::Row(inner) if value.is_some() => {
                lacking_in(inner, value.unwrap_or(table), None, &own, found);
            }
            Kind::Rows(inner) => {
                let rows = value.map(Value::list).unwrap_or_default().iter().enumerate();
                for (at, row) in rows.filter(|(_, row)| !is_blank(&without_blanks(row))) {
                    lacking_in(inner, row, None, &format!("{own}.{at}"), found);
                }
            }
            Kind::Parameters => {
                let asked = table.get("class").and_then(Value::as_text).map(parameters).unwrap_or_default();
                let open = asked.iter().filter(|parameter| {
                    let said = value.and_then(|value| value.get(&parameter.name));
                    parameter.default.is_none() && said.is_none()
                });
                found.extend(
                    open.map(|parameter| needed(format!("{own}.{}", parameter.name), &parameter.about)),
                );
            }
            _ => {}
        }
    }
}

/// An entry without the empty lines of its lists: what may be saved.
pub fn without_blanks(value: &Value) -> Value {
    match value {
        Value::Table(entries) => {
            let kept = entries.iter().map(|(key, value)| (key.clone(), without_blanks(value)));
            Value::Table(kept.filter(|(_, value)| !is_blank(value)).collect())
        }
        Value::List(list) => {
            Value::List(list.iter().map(without_blanks).filter(|one| !is_blank(one)).collect())
        }
        other => other.clone(),
    }
}

fn is_blank(value: &Value) -> bool {
    match value {
        Value::Table(entries) => entries.is_empty(),
        Value::List(list) => list.is_empty(),
        _ => false,
    }
}

struct Reader<'p> {
    pairs: &'p [(String, String)],
    wrong: Vec<(String, String)>,
}

impl Reader<'_> {
    fn get(&self, name: &str) -> Option<String> {
        let found = self.pairs.iter().find(|(own, _)| own == name).map(|(_, value)| value.trim());
        // A browser sends line ends of two letters.
        found.filter(|value| !value.is_empty()).map(|value| value.replace("\r\n", "\n"))
    }

    fn all(&self, name: &str) -> Vec<String> {
        let own = self.pairs.iter().filter(|(own, _)| own == name).map(|(_, value)| value.trim().to_owned());
        own.filter(|value| !value.is_empty()).collect()
    }

    fn table(&mut self, keys: &'static [Key], name: &str) -> Value {
        let mut entries = Vec::new();
        for key in keys {
            let field = format!("{name}.{}", key.name);
            if let Some(value) = self.value(key.kind, &field) {
                entries.push((key.name.to_owned(), value));
            }
        }
        Value::Table(entries)
    }

    fn value(&mut self, kind: Kind, name: &str) -> Option<Value> {
        match kind {
            Kind::Integer(least, most) => self.whole(name, least, most),
            Kind::Number(..) => self.number(name),
            Kind::Bool => self.get(name).map(|said| Value::Yes(said == "yes")),
            Kind::Quantity(_) | Kind::Signed(_) | Kind::OneOf(_) => self.quantity(name),
            Kind::Side => self.side(name),
            Kind::Fact => self.fact(name),
            Kind::Choices(_) | Kind::Refs(_) | Kind::Assigns => list(self.all(name)),
            Kind::Texts | Kind::ValueNames => {
                let typed = self.get(name).unwrap_or_default();
                list(
                    typed
                        .lines()
                        .map(|line| line.trim().to_owned())
                        .filter(|line| !line.is_empty())
                        .collect(),
                )
            }
            Kind::WordsByValue | Kind::QuantityByValue => self.by_name(name),
            Kind::Parameters => self.parameters(name),
            Kind::Row(keys) => Some(self.table(keys, name)).filter(|row| !is_blank(row)),
            Kind::Rows(keys) => self.rows(keys, name),
            // Words stand on one line in the file, whatever a browser made of it.
            Kind::Words => self.get(name).map(|text| Value::Text(text.replace('\n', " "))),
            _ => self.get(name).map(Value::Text),
        }
    }

    fn whole(&mut self, name: &str, least: i64, most: i64) -> Option<Value> {
        let typed = self.get(name)?;
        if let Ok(number) = typed.parse() {
            return Some(Value::Whole(number));
        }
        let up_to = if most == i64::MAX { String::new() } else { format!(" to {most}") };
        self.wrong.push((name.to_owned(), format!("Write a whole number from {least}{up_to}.")));
        Some(Value::Text(typed))
    }

    fn number(&mut self, name: &str) -> Option<Value> {
        let typed = self.get(name)?;
        match typed.parse::<f64>() {
            Ok(number) if number.is_finite() => {
                Some(typed.parse().map_or(Value::Number(number), Value::Whole))
            }
            _ => {
                self.wrong
                    .push((name.to_owned(), "Write a number, with a point before decimals.".to_owned()));
                Some(Value::Text(typed))
            }
        }
    }

    /// How far from the middle line, and to which side.
    fn side(&mut self, name: &str) -> Option<Value> {
        let distance = self.quantity(name).and_then(|value| value.as_text().map(str::to_owned));
        let to = self.get(&format!("{name}~to"));
        let (written, wrong) = spot::read_side(distance, to.as_deref());
        if let Some(wrong) = wrong {
            self.wrong.push((name.to_owned(), wrong.to_owned()));
        }
        written.map(Value::Text)
    }

    fn quantity(&mut self, name: &str) -> Option<Value> {
        let typed = self.get(name)?;
        let unit = self.get(&format!("{name}~unit")).unwrap_or_default();
        // Whoever types the unit as well means that one.
        let plain =
            typed.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '\u{2212}' | ' '));
        if !plain {
            return Some(Value::Text(typed));
        }
        let space = if unit.is_empty() || unit == "\u{b0}" { "" } else { " " };
        let written = format!("{typed}{space}{unit}");
        let may_choose = self.pairs.iter().any(|(own, _)| *own == format!("{name}~unit"));
        let flaw = match Quantity::parse(&written) {
            _ if unit.is_empty() && !may_choose => None,
            _ if unit.is_empty() => Some("Choose its unit beside it.".to_owned()),
            Err(error) => Some(words::sentence(&error.help().unwrap_or_else(|| error.headline()))),
            Ok(_) => None,
        };
        self.wrong.extend(flaw.map(|flaw| (name.to_owned(), flaw)));
        Some(Value::Text(written))
    }

    /// A line written out wins over the picked parts.
    fn fact(&mut self, name: &str) -> Option<Value> {
        if let Some(line) = self.get(name) {
            return Some(Value::Text(line));
        }
        let parts = self.all(&format!("{name}~part"));
        let join = if self.get(&format!("{name}~join")).as_deref() == Some("any") { " or " } else { " and " };
        (!parts.is_empty()).then(|| Value::Text(parts.join(join)))
    }

    fn by_name(&self, name: &str) -> Option<Value> {
        let prefix = format!("{name}.");
        let fields =
            self.pairs.iter().filter_map(|(own, value)| Some((own.strip_prefix(&prefix)?, value.trim())));
        let entries: Vec<(String, Value)> = fields
            .filter(|(_, value)| !value.is_empty())
            .map(|(key, value)| (key.to_owned(), Value::Text(value.to_owned())))
            .collect();
        (!entries.is_empty()).then_some(Value::Table(entries))
    }

    fn parameters(&mut self, name: &str) -> Option<Value> {
        let class = name.rsplit_once('.').and_then(|(row, _)| self.get(&format!("{row}.class")))?;
        let mut entries = Vec::new();
        for parameter in parameters(&class) {
            if let Some(value) = self.value(parameter.kind, &format!("{name}.{}", parameter.name)) {
                entries.push((parameter.name.clone(), value));
            }
        }
        (!entries.is_empty()).then_some(Value::Table(entries))
    }

    fn rows(&mut self, keys: &'static [Key], name: &str) -> Option<Value> {
        let prefix = format!("{name}.");
        let number = |own: &str| own.strip_prefix(&prefix)?.split('.').next()?.parse::<usize>().ok();
        let mut numbers: Vec<usize> = self.pairs.iter().filter_map(|(own, _)| number(own)).collect();
        numbers.sort_unstable();
        numbers.dedup();
        let rows: Vec<Value> =
            numbers.into_iter().map(|at| self.table(keys, &format!("{name}.{at}"))).collect();
        (!rows.is_empty()).then_some(Value::List(rows))
    }
}

fn list(texts: Vec<String>) -> Option<Value> {
    (!texts.is_empty()).then(|| Value::texts(texts))
}

/// Presses a button of a form that saves nothing: `add f.steps`, `up f.steps 2`, `down f.steps 2`, `drop f.steps 2`,
/// `below f.steps 2`, or `show f.class`. Gives the name of what is then looked at; `None` if it was no such button.
pub fn press(row: &mut Value, button: &str) -> Option<String> {
    let mut words = button.split(' ');
    let (what, name) = (words.next()?, words.next()?);
    let at = words.next().and_then(|at| at.parse::<usize>().ok());
    let parts: Vec<&str> = name.strip_prefix(ROOT)?.strip_prefix('.')?.split('.').collect();
    if what == "show" {
        return Some(name.to_owned());
    }
    let mut rows = within(row, &parts).map_or_else(Vec::new, |list| list.list().to_vec());
    let there = match (what, at) {
        ("add", _) => {
            rows.push(Value::Table(Vec::new()));
            Some(rows.len() - 1)
        }
        ("below", Some(at)) if at < rows.len() => {
            rows.insert(at + 1, Value::Table(Vec::new()));
            Some(at + 1)
        }
        ("up", Some(at)) if at > 0 && at < rows.len() => {
            rows.swap(at - 1, at);
            Some(at - 1)
        }
        ("down", Some(at)) if at + 1 < rows.len() => {
            rows.swap(at, at + 1);
            Some(at + 1)
        }
        ("drop", Some(at)) if at < rows.len() => {
            rows.remove(at);
            None
        }
        ("up" | "down" | "drop" | "below", _) => return Some(name.to_owned()),
        _ => return None,
    };
    put(row, &parts, Value::List(rows));
    Some(there.map_or_else(|| name.to_owned(), |at| format!("{name}.{at}")))
}

fn within<'v>(value: &'v Value, path: &[&str]) -> Option<&'v Value> {
    path.iter().try_fold(value, |value, part| match part.parse::<usize>() {
        Ok(at) => value.list().get(at),
        Err(_) => value.get(part),
    })
}

fn put(value: &mut Value, path: &[&str], new: Value) {
    let Some((first, rest)) = path.split_first() else {
        *value = new;
        return;
    };
    match (value, first.parse::<usize>()) {
        (Value::List(list), Ok(at)) => {
            if let Some(inner) = list.get_mut(at) {
                put(inner, rest, new);
            }
        }
        (value, _) => {
            let mut inner = value.get(first).cloned().unwrap_or(Value::Table(Vec::new()));
            put(&mut inner, rest, new);
            value.set(first, Some(inner));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn steps(looks: &[&str]) -> Value {
        let rows = looks.iter().map(|look| Value::Table(vec![("look".to_owned(), Value::text(*look))]));
        Value::Table(vec![("steps".to_owned(), Value::List(rows.collect()))])
    }

    #[test]
    fn a_figure_that_is_no_number_is_told_at_its_field_and_kept() {
        let keys = boat::edit::keys(boat::edit::BOAT);
        let pair = |name: &str, value: &str| (name.to_owned(), value.to_owned());
        let filled = read_row(keys, &[pair("f.length", "11,2"), pair("f.length~unit", "m")]);
        assert_eq!(filled.row.get("length").and_then(Value::as_text), Some("11,2 m"));
        let [(field, words)] = &filled.wrong[..] else { panic!("{:?}", filled.wrong) };
        assert!(field == "f.length" && words.contains("11.2"), "{words}");
        let open = read_row(keys, &[pair("f.length", "11"), pair("f.length~unit", "")]);
        assert_eq!(open.wrong, [("f.length".to_owned(), "Choose its unit beside it.".to_owned())]);
        let good = read_row(keys, &[pair("f.length", "36 ft 9 in"), pair("f.length~unit", "m")]);
        assert_eq!(
            (good.row.get("length").and_then(Value::as_text), good.wrong.len()),
            (Some("36 ft 9 in"), 0)
        );
    }

    #[test]
    fn what_is_needed_within_a_part_is_told_at_its_own_field() {
        let text = |key: &str, value: &str| (key.to_owned(), Value::text(value));
        let blank = Value::Table(Vec::new());
        let spare = Value::Table(vec![text("place", "galley")]);
        let row = Value::Table(vec![
            text("name", "Windlass"),
            text("class", "windlass"),
            text("place", "bow"),
            ("spares".to_owned(), Value::List(vec![blank, spare])),
        ]);
        let found: Vec<String> =
            lacking(boat::edit::keys("items"), &row, None).into_iter().map(|(name, _)| name).collect();
        let asked = parameters("windlass").iter().filter(|parameter| parameter.default.is_none());
        let mut wanted: Vec<String> = asked.map(|parameter| format!("f.with.{}", parameter.name)).collect();
        assert!(!wanted.is_empty(), "the class asks for something");
        wanted.push("f.spares.1.name".to_owned());
        assert_eq!(found, wanted, "an empty line is nothing");
    }

    #[test]
    fn the_boats_of_the_demonstration_lack_nothing() {
        for text in
            [include_str!("../../../../demo/whimbrel.toml"), include_str!("../../../../demo/turnstone.toml")]
        {
            let deck = boat::edit::Deck::read(text).expect("the file is TOML");
            for section in boat::edit::sections() {
                for entry in deck.section(section.name) {
                    let own = entry.own.clone().unwrap_or(Value::Table(Vec::new()));
                    let rest = entry.full.entries().iter().filter(|(key, _)| own.get(key).is_none());
                    let brought = Value::Table(rest.cloned().collect());
                    let found = lacking(section.keys, &own, Some(&brought));
                    assert!(found.is_empty(), "{}.{}: {found:?}", section.name, entry.id);
                }
            }
        }
    }

    #[test]
    fn a_button_of_a_list_says_what_is_then_looked_at() {
        for (button, there, left) in [
            ("add f.steps", "f.steps.2", 3),
            ("below f.steps 0", "f.steps.1", 3),
            ("up f.steps 1", "f.steps.0", 2),
            ("down f.steps 0", "f.steps.1", 2),
            ("drop f.steps 1", "f.steps", 1),
            ("drop f.steps 9", "f.steps", 2),
            ("show f.steps.1.set", "f.steps.1.set", 2),
        ] {
            let mut row = steps(&["oil", "water"]);
            assert_eq!(press(&mut row, button).as_deref(), Some(there), "{button}");
            assert_eq!(row.get("steps").map_or(0, |steps| steps.list().len()), left, "{button}");
        }
        for other in ["save", "try", "pick f.steps", "add steps", ""] {
            assert_eq!(press(&mut steps(&["oil"]), other), None, "{other}");
        }
    }
}
