//! One field of a form for each kind of the format's table: a picker where there is something to pick.

use boat::edit::{Deck, Key, Kind, Value, parameters, unit_choices};
use maud::{Markup, html};
use quantity::Dimension;

use super::pick;
use crate::words;

/// What fields need at hand.
#[derive(Clone, Copy)]
pub(super) struct Desk<'a> {
    /// The boat file, laid out.
    pub(super) deck: &'a Deck,
    /// The whole entry as it stands in the form.
    pub(super) row: &'a Value,
    /// All of the entry with what its class brings.
    pub(super) full: &'a Value,
    /// What is wrong, by field.
    pub(super) wrong: &'a [(String, String)],
}

impl Desk<'_> {
    fn wrong(&self, name: &str) -> Option<&str> {
        self.wrong.iter().find(|(own, _)| own == name).map(|(_, words)| words.as_str())
    }

    /// The positions or values of the entry itself.
    fn own_names(&self) -> Vec<String> {
        let own = self.row.get("positions").or_else(|| self.row.get("values"));
        let own = own.or_else(|| self.full.get("positions")).or_else(|| self.full.get("values"));
        own.map(Value::list)
            .unwrap_or_default()
            .iter()
            .filter_map(Value::as_text)
            .map(str::to_owned)
            .collect()
    }
}

/// All fields of a table: `table` is what it says now, `brought` what a class brings. What may be left open and is open
/// stands folded up below the rest.
pub(super) fn fields(
    desk: Desk<'_>,
    keys: &'static [Key],
    name: &str,
    table: &Value,
    brought: Option<&Value>,
) -> Markup {
    let own = |key: &Key| format!("{name}.{}", key.name);
    let stands_out = |key: &&Key| {
        key.required
            || keys.len() <= SHORT
            || table.get(key.name).is_some()
            || USUAL.contains(&key.name)
            || desk.wrong(&own(key)).is_some()
    };
    let (first, more): (Vec<&Key>, Vec<&Key>) = keys.iter().partition(stands_out);
    let one = |key: &Key| {
        let from_class =
            brought.and_then(|brought| brought.get(key.name)).filter(|_| table.get(key.name).is_none());
        field(desk, *key, &own(key), table, from_class)
    };
    let names: Vec<String> = more.iter().map(|key| words::spaced(key.name)).collect();
    html! {
        @for key in first { (one(key)) }
        @if !more.is_empty() {
            details.more-fields {
                summary { span { "More: " span.soft { (names.join(", ")) } } }
                div.inner { @for key in more { (one(key)) } }
            }
        }
    }
}

/// So few fields are all shown.
const SHORT: usize = 5;

/// What people fill in most, and so look for, beside what is needed.
const USUAL: [&str; 17] = [
    "name", "class", "with", "item", "place", "find", "in", "side", "rest", "when", "steps", "set", "to",
    "do", "look", "wait", "kind",
];

fn field(desk: Desk<'_>, key: Key, name: &str, table: &Value, brought: Option<&Value>) -> Markup {
    let id = name.replace(['.', '~'], "-");
    let value = table.get(key.name);
    let wrong = desk.wrong(name);
    let grouped = matches!(
        key.kind,
        Kind::Choices(_)
            | Kind::Refs(_)
            | Kind::Assigns
            | Kind::Fact
            | Kind::Row(_)
            | Kind::Rows(_)
            | Kind::WordsByValue
            | Kind::QuantityByValue
            | Kind::Parameters
    ) || matches!(key.kind, Kind::Choice(words) if words.len() <= FEW)
        || matches!(key.kind, Kind::Bool);
    let empty = matches!(key.kind, Kind::Parameters) && pick::class_of(table).is_none();
    let inside = html! {
        @if let Some(wrong) = wrong { p.answer-wrong id=(format!("{id}-wrong")) { (wrong) } }
        (control(desk, key, name, &id, table, value))
        p.hint id=(format!("{id}-hint")) { (key.about)
            @if let Some(brought) = brought { " " span.from-class { "Its class says: " (brought.typed()) } } }
    };
    html! {
        @if !empty {
            @if grouped {
                fieldset.set-field.wrong-field[wrong.is_some()] aria-describedby=(format!("{id}-hint")) {
                    legend { (label(key)) }
                    (inside)
                }
            } @else {
                div.set-field.wrong-field[wrong.is_some()] {
                    label for=(id) { (label(key)) }
                    (inside)
                }
            }
        }
    }
}

fn label(key: Key) -> Markup {
    html! { (words::capital(&words::spaced(key.name))) @if key.required { " " span.needed { "(needed)" } } }
}

/// Up to so many words stand as buttons to press, more in a list.
const FEW: usize = 5;

fn control(desk: Desk<'_>, key: Key, name: &str, id: &str, table: &Value, value: Option<&Value>) -> Markup {
    let typed = value.map(Value::typed).unwrap_or_default();
    let hint = format!("{id}-hint");
    let line = |kind: &str| html! { input id=(id) name=(name) type=(kind) value=(typed) autocomplete="off" aria-describedby=(hint); };
    match key.kind {
        Kind::Words => html! { textarea id=(id) name=(name) rows="2" aria-describedby=(hint) { (typed) } },
        Kind::Texts | Kind::ValueNames => one_a_line(id, name, &hint, value),
        Kind::Integer(..) => {
            html! { input id=(id) name=(name) type="text" inputmode="numeric" value=(typed) aria-describedby=(hint); }
        }
        Kind::Number(..) => {
            html! { input id=(id) name=(name) type="text" inputmode="decimal" value=(typed) aria-describedby=(hint); }
        }
        Kind::Bool => radios(name, id, &[("yes", "Yes"), ("no", "No")], &typed, !key.required),
        Kind::Choice(words) if words.len() <= FEW => {
            let words: Vec<(&str, &str)> = words.iter().map(|word| (*word, *word)).collect();
            radios(name, id, &words, &typed, !key.required)
        }
        Kind::Choice(words) => {
            let options =
                words.iter().map(|word| ((*word).to_owned(), words::capital(&words::spaced(word)))).collect();
            pick::select(id, name, &[(String::new(), options)], &typed)
        }
        Kind::Choices(words) => checks(name, id, words, value),
        Kind::Quantity(dimension) | Kind::Signed(dimension) => amount(name, id, &hint, &[dimension], &typed),
        Kind::OneOf(dimensions) => amount(name, id, &hint, dimensions, &typed),
        Kind::Date => line("date"),
        Kind::Ref(section) => pick::select(id, name, &pick::entries(desk.deck, section), &typed),
        Kind::Refs(section) => pick::several(id, name, &pick::entries(desk.deck, section), value),
        Kind::Class => pick::select(id, name, &pick::classes(), &typed),
        Kind::Measured => pick::select(id, name, &pick::measured(desk.deck), &typed),
        Kind::ValueName => pick::select(id, name, &pick::values(desk.deck, table, &desk.own_names()), &typed),
        Kind::Assign => {
            html! { input id=(id) name=(name) type="text" list="assigns" value=(typed) autocomplete="off" aria-describedby=(hint); }
        }
        Kind::Assigns => pick::several_lines(id, name, "assigns", value),
        Kind::Fact => pick::fact(id, name, &typed),
        Kind::WordsByValue | Kind::QuantityByValue => by_value(desk, name, id, value),
        Kind::Parameters => class_fields(desk, name, table, value),
        Kind::Row(keys) => {
            html! { div.inner { (fields(desk, keys, name, value.unwrap_or(&Value::Table(Vec::new())), None)) } }
        }
        Kind::Rows(keys) => rows(desk, keys, key.name, name, value),
        Kind::Text
        | Kind::Side
        | Kind::Clock
        | Kind::AnyQuantity
        | Kind::QuantityOrMeasured
        | Kind::Money => line("text"),
    }
}

fn one_a_line(id: &str, name: &str, hint: &str, value: Option<&Value>) -> Markup {
    let lines: Vec<String> = value.map(Value::list).unwrap_or_default().iter().map(Value::typed).collect();
    html! {
        textarea id=(id) name=(name) rows=(lines.len().max(1) + 1) aria-describedby=(hint) { (lines.join("\n")) }
        p.hint { "One a line." }
    }
}

fn radios(name: &str, id: &str, options: &[(&str, &str)], chosen: &str, may_be_open: bool) -> Markup {
    html! {
        div.choices {
            @for (at, (value, words)) in options.iter().enumerate() {
                label for=(format!("{id}-{at}")) {
                    input id=(format!("{id}-{at}")) type="radio" name=(name) value=(value) checked[*value == chosen];
                    (words::capital(&words::spaced(words)))
                }
            }
            @if may_be_open {
                label for=(format!("{id}-none")) {
                    input id=(format!("{id}-none")) type="radio" name=(name) value="" checked[chosen.is_empty()];
                    "Not said"
                }
            }
        }
    }
}

fn checks(name: &str, id: &str, options: &[&str], value: Option<&Value>) -> Markup {
    let chosen: Vec<&str> =
        value.map(Value::list).unwrap_or_default().iter().filter_map(Value::as_text).collect();
    html! {
        details open[!chosen.is_empty()] {
            summary { @if chosen.is_empty() { "None chosen" } @else { (chosen.len()) " chosen" } }
            div.choices {
                @for (at, word) in options.iter().enumerate() {
                    label for=(format!("{id}-{at}")) {
                        input id=(format!("{id}-{at}")) type="checkbox" name=(name) value=(word) checked[chosen.contains(word)];
                        (words::capital(&words::spaced(word)))
                    }
                }
            }
        }
    }
}

/// A number and its unit; what is no such pair, as "1 h 30 min", stays as it is written.
fn amount(name: &str, id: &str, hint: &str, dimensions: &[Dimension], typed: &str) -> Markup {
    let units: Vec<&str> =
        dimensions.iter().flat_map(|dimension| unit_choices(*dimension)).copied().collect();
    let split =
        typed.rsplit_once(' ').filter(|(number, unit)| units.contains(unit) && number.parse::<f64>().is_ok());
    let degrees = typed
        .strip_suffix('\u{b0}')
        .filter(|number| units.contains(&"\u{b0}") && number.parse::<f64>().is_ok());
    let split = split.or_else(|| degrees.map(|number| (number, "\u{b0}")));
    let (number, unit) = match split {
        Some((number, unit)) => (number, unit),
        None if typed.is_empty() => ("", units.first().copied().unwrap_or_default()),
        None => (typed, ""),
    };
    html! {
        div.amount {
            input id=(id) name=(name) type="text" inputmode="decimal" value=(number) autocomplete="off" aria-describedby=(hint);
            @if !units.is_empty() {
                select name=(format!("{name}~unit")) aria-label="Unit" {
                    @for choice in &units { option value=(choice) selected[*choice == unit] { (choice) } }
                    option value="" selected[unit.is_empty()] { "as written" }
                }
            }
        }
    }
}

fn by_value(desk: Desk<'_>, name: &str, id: &str, value: Option<&Value>) -> Markup {
    let names = desk.own_names();
    html! {
        @if names.is_empty() { p { "Name the positions first, then press \u{201c}Show what fits\u{201d}." } }
        @for position in &names {
            @let said = value.and_then(|value| value.get(position)).map(Value::typed).unwrap_or_default();
            label for=(format!("{id}-{position}")) { (words::spaced(position)) }
            input id=(format!("{id}-{position}")) name=(format!("{name}.{position}")) type="text" value=(said) autocomplete="off";
        }
    }
}

fn class_fields(desk: Desk<'_>, name: &str, table: &Value, value: Option<&Value>) -> Markup {
    let known = pick::class_of(table).map(parameters).unwrap_or_default();
    let none = Value::Table(Vec::new());
    html! {
        @if known.is_empty() { p { "This class asks for nothing." } }
        div.inner { @for parameter in known {
            // A parameter's name lives as long as the library.
            @let key = Key { name: &parameter.name, kind: parameter.kind, required: parameter.default.is_none(), about: &parameter.about };
            (field(desk, key, &format!("{name}.{}", parameter.name), value.unwrap_or(&none), None))
            @if let Some(default) = &parameter.default { p.hint { "If it is left open: " (default) } }
        } }
    }
}

/// A list of entries, each with its own fields and its buttons.
fn rows(desk: Desk<'_>, keys: &'static [Key], key: &str, name: &str, value: Option<&Value>) -> Markup {
    let list = value.map(Value::list).unwrap_or_default();
    let one = words::spaced(key.strip_suffix('s').unwrap_or(key));
    html! {
        ol.set-rows data-rows=(key) {
            @for (at, row) in list.iter().enumerate() {
                @let own = format!("{name}.{at}");
                li.set-row {
                    details open[list.len() <= 3 || row.entries().is_empty()] {
                        summary { span.row-words { (words::capital(&one)) " " (at + 1) ": " (pick::row_words(desk.deck, row)) } }
                        input type="hidden" name=(format!("{own}.here")) value="yes";
                        (fields(desk, keys, &own, row, None))
                        div.actions.row-buttons {
                            (button(&format!("up {name} {at}"), "Up", at > 0))
                            (button(&format!("down {name} {at}"), "Down", at + 1 < list.len()))
                            (button(&format!("below {name} {at}"), "Add one below", true))
                            (button(&format!("drop {name} {at}"), "Take out", true))
                        }
                    }
                }
            }
        }
        @if list.is_empty() { p.soft { "None." } }
        (button(&format!("add {name}"), &format!("Add a {one}"), true))
    }
}

fn button(what: &str, words: &str, of_use: bool) -> Markup {
    html! { @if of_use { button.plain type="submit" name="do" value=(what) formnovalidate { (words) } } }
}
